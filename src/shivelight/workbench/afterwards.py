"""Before and after an outing: which morning is taken, which one there is to log."""

import datetime as dt

from shivelight.outing.found import Found
from shivelight.outing.outings import Outing
from shivelight.store import found as found_rows
from shivelight.store import found_aside
from shivelight.store import outings as outing_rows
from shivelight.workbench.desk import Desk


class AfterDesk(Desk):
    """What the log page wants beside the log itself."""

    def last_outing(self) -> Outing | None:
        """Outing of today, or the one before it; None when none was taken yet."""
        today = self.today()
        been = [one for one in outing_rows.every(self.book) if one.day <= today]
        return been[-1] if been else None

    def taken_morning(self) -> dt.date:
        """Give the next morning that was taken; the coming one where none was."""
        coming = self.next_morning()
        return next((one.day for one in outing_rows.every(self.book) if one.day >= coming), coming)

    def logs(self) -> tuple[Found, ...]:
        """Every log of the book, the latest first."""
        return tuple(reversed(found_rows.every(self.book)))

    def log_of(self, day: dt.date, wood: str, spot: str = "") -> Found | None:
        """Log of one morning at one place; None when there is none."""
        return next(
            (
                one
                for one in found_rows.of_wood(self.book, wood)
                if one.day == day and one.spot.casefold() == spot.casefold()
            ),
            None,
        )

    def take_back_found(self, day: dt.date, *, wood: str, spot: str = "") -> None:
        """Take a log out of the counts; it is put aside, never away."""
        found_aside.put_aside(self.book, day, wood=wood, spot=spot)
