"""An outing: the morning that was taken, the word that was left, and whom to ring."""

import datetime as dt
from dataclasses import dataclass

import numpy as np

from shivelight.basis.errors import BadInputError


@dataclass(frozen=True, slots=True, kw_only=True)
class LeaveWord:
    """What somebody at home needs: today's area only, never the list of spots.

    Attributes
    ----------
    who : str
        The photographer.
    car : str
        In words.
    contact : str
        Whom to ring first.
    back_by_utc, alarm_utc : datetime64
        When to be back, and when to raise the alarm; the alarm comes after.
    note : str
        Anything.
    """

    who: str
    car: str
    contact: str
    back_by_utc: np.datetime64
    alarm_utc: np.datetime64
    note: str = ""

    def __post_init__(self) -> None:
        if not self.back_by_utc < self.alarm_utc:
            alarm, back = (
                str(one.astype("datetime64[m]")) for one in (self.alarm_utc, self.back_by_utc)
            )
            raise BadInputError(f"The alarm ({alarm} UTC) must come after back-by ({back} UTC).")


@dataclass(frozen=True, slots=True, kw_only=True)
class Outing:
    """A morning taken.

    Attributes
    ----------
    day : date
        The civil day.
    woods, visits : tuple of str
        Woods in order, and spots in order.
    word : LeaveWord or None
        The word left.
    sheet_given : bool
        Whether a morning sheet was made.
    note : str
        Anything.
    """

    day: dt.date
    woods: tuple[str, ...]
    visits: tuple[str, ...] = ()
    word: LeaveWord | None = None
    sheet_given: bool = False
    note: str = ""
