"""What became of a spot: every morning said for it, what was found there, who went."""

from shivelight.outing.history import SpotHistory, history_of, past_mornings
from shivelight.store import found as found_rows
from shivelight.store import judgements
from shivelight.store import outings as outing_rows
from shivelight.store import spots as spot_rows
from shivelight.store import woods as wood_rows
from shivelight.workbench.desk import Desk


class HistoryDesk(Desk):
    """Looking back."""

    def spot_history(self, spot: str) -> SpotHistory:
        """Give every morning that anything is known of for a spot, the newest first.

        Raises
        ------
        NotFoundError
            If the book has no such spot.
        UnreadableFileError
            If a judgement in the book is damaged.
        """
        with self.book.reading_as_one():
            known = spot_rows.get(self.book, spot)
            mornings = past_mornings(
                known.name,
                said=judgements.of_spot(self.book, known.name),
                logs=found_rows.of_wood(self.book, known.wood),
                outings=outing_rows.of_spot(self.book, known.name),
            )
            zone_name = wood_rows.get(self.book, known.wood).zone_name
        return history_of(known.name, wood=known.wood, zone_name=zone_name, mornings=mornings)
