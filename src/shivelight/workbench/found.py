"""The log: what was really there, and how it compares with what was said."""

from shivelight.outing.found import Found, SaidFound
from shivelight.store import found as found_rows
from shivelight.workbench.evening import EveningDesk
from shivelight.workbench.results import WoodPage


class FoundDesk(EveningDesk):
    """One minute at the tailgate."""

    def log_found(self, found: Found) -> WoodPage:
        """Keep one morning's log; the same morning again puts the old aside, never away."""
        wood = self.wood(found.wood).wood
        if found.spot:
            self.spot(found.spot)
        found_rows.add(self.book, found)
        return self.wood(wood.name)

    def counts(self, wood: str) -> SaidFound:
        """Said against found in a wood, as counts."""
        return self.wood(wood).counts
