"""Which leaf stage a wood is in on a day, as far as a stand type and the log can say.

Typical dates are wide apart between years (the spread used here is 8 days, a judgement;
docs/models.md has what it rests on), so the stage is a share of members, never a date. A stage
noted in the wood within the last ten days is believed instead.
"""

import datetime as dt

import numpy as np

from shivelight.basis.arrays import FloatArray, IntArray
from shivelight.outing.wishes import LEAF_STAGES
from shivelight.wood.stands import StandType

YEARLY_SPREAD_DAYS = 8.0
NOTED_HOLDS_DAYS = 10


def stage_by_member(
    stand: StandType, day: dt.date, *, latitude_deg: float, wander: FloatArray
) -> IntArray:
    """Stage of each member on a day.

    Parameters
    ----------
    stand : StandType
        With its typical dates.
    day : date
        Civil day.
    latitude_deg : float
        South of the equator the year is shifted by half. [°]
    wander : ndarray, shape (M,)
        Standard normal draws: how early or late the year is, one a member.

    Returns
    -------
    ndarray of int64, shape (M,)
        Index into ``LEAF_STAGES``.
    """
    if stand.evergreen:
        return np.full(wander.shape, LEAF_STAGES.index("full"), dtype=np.int64)
    day_of_year = day.timetuple().tm_yday + (182.5 if latitude_deg < 0 else 0.0)
    shifted = np.mod(day_of_year + YEARLY_SPREAD_DAYS * wander - 1.0, 365.25) + 1.0
    starts = np.array(
        [
            stand.flush_day, stand.full_day, stand.turning_day, stand.peak_day, stand.drop_day,
            stand.bare_day,
        ]
    )  # fmt: skip
    names = ("flush", "full", "turning", "peak", "drop", "bare")
    codes = np.array([LEAF_STAGES.index("bare"), *(LEAF_STAGES.index(name) for name in names)])
    return np.asarray(codes[np.searchsorted(starts, shifted, side="right")], dtype=np.int64)


def stage_as_noted(
    noted: str, noted_on: dt.date, day: dt.date, *, members: int
) -> IntArray | None:
    """Stage of every member as last noted in the wood, or None when the note is too old."""
    age_days = (day - noted_on).days
    if noted not in LEAF_STAGES or not 0 <= age_days <= NOTED_HOLDS_DAYS:
        return None
    return np.full(members, LEAF_STAGES.index(noted), dtype=np.int64)
