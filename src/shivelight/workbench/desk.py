"""What every part of the workbench stands on: the open book, the settings, the time given."""

import datetime as dt
from collections.abc import Callable
from typing import TypeAlias

import numpy as np

from shivelight.basis.errors import BadInputError
from shivelight.basis.instants import to_local
from shivelight.basis.places import Position
from shivelight.outing.spots import Spot
from shivelight.outing.woods import Wood
from shivelight.store import woods as wood_rows
from shivelight.store.book import FieldBook
from shivelight.workbench.settings import Settings

Progress: TypeAlias = Callable[[str, int, int], None]
"""Called with the step's name, how many are done, and of how many."""


def silent(_step: str, _done: int, _total: int) -> None:
    """Say nothing of progress."""


class Desk:
    """An open field book with its settings and the present time.

    Attributes
    ----------
    book : FieldBook
        The open book.
    settings : Settings
        As chosen.
    now_utc : datetime64
        The present, as the shell gave it.
    """

    def __init__(self, book: FieldBook, settings: Settings, now_utc: np.datetime64) -> None:
        self.book = book
        self.settings = settings
        self.now_utc = now_utc

    def zone_of(self, wood: Wood | None = None) -> str:
        """Clock of a wood, or of the first wood in the book; UTC in an empty book."""
        if wood is not None:
            return wood.zone_name
        woods = wood_rows.every(self.book)
        return woods[0].zone_name if woods else "UTC"

    def first_parking(self) -> Position | None:
        """Where the car stands at the first wood of the book; None in an empty book."""
        woods = wood_rows.every(self.book)
        return woods[0].parking if woods else None

    def today(self, wood: Wood | None = None) -> dt.date:
        """Civil day now on a wood's clock."""
        return to_local(self.now_utc, self.zone_of(wood)).date()

    def wall_now(self) -> dt.datetime:
        """Day and minute that the clock of the first wood shows now, with its offset."""
        return to_local(self.now_utc, self.zone_of()).replace(second=0, microsecond=0)

    def next_morning(self) -> dt.date:
        """Name the coming morning: today until noon on the clock, then tomorrow."""
        local = to_local(self.now_utc, self.zone_of())
        return local.date() if local.hour < 12 else local.date() + dt.timedelta(days=1)

    def wood_of(self, spot: Spot) -> Wood:
        """Look up the wood that a spot stands in."""
        return wood_rows.get(self.book, spot.wood)

    def check_new_name(self, kind: str, name: str, taken: tuple[str, ...]) -> None:
        """Refuse a name that is there already, capitals apart."""
        if name.casefold() in {one.casefold() for one in taken}:
            raise BadInputError(f"There is already a {kind} named {name!r}; choose another name.")
