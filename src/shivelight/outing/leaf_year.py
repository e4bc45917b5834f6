"""When the leaves of a stand usually turn to their next stage, as dates of one year."""

import datetime as dt

from shivelight.outing.leafstage import YEARLY_SPREAD_DAYS
from shivelight.wood.stands import YEAR_D, find_stand

__all__ = ["YEARLY_SPREAD_DAYS", "typical_stages"]


def typical_stages(
    stand: str, *, year: int, latitude_deg: float
) -> tuple[tuple[str, dt.date], ...]:
    """Give the first day of each stage of a stand in a year, as its type has it.

    Parameters
    ----------
    stand : str
        Name of a stand type.
    year : int
        Calendar year.
    latitude_deg : float
        South of the equator the year is moved by half. [°]

    Returns
    -------
    tuple of (stage, date)
        Of ``LEAF_STAGES``, by day; empty where nothing is shed or nothing stands. Real years lie
        about :data:`YEARLY_SPREAD_DAYS` to either side.

    Raises
    ------
    NotFoundError
        If there is no stand type of that name.
    """
    known = find_stand(stand)
    if known.evergreen or known.leaf_area_index == 0.0:
        return ()
    shift_d = YEAR_D / 2.0 if latitude_deg < 0.0 else 0.0
    begins = {
        "flush": known.flush_day, "full": known.full_day, "turning": known.turning_day,
        "peak": known.peak_day, "drop": known.drop_day, "bare": known.bare_day,
    }  # fmt: skip
    first = dt.date(year, 1, 1)
    dated = [
        (stage, first + dt.timedelta(days=int((day - 1 + shift_d) % YEAR_D)))
        for stage, day in begins.items()
    ]
    return tuple(sorted(dated, key=lambda one: one[1]))
