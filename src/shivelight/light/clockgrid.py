"""Civil days by clock time as instants, through the changes of the clock."""

import datetime as dt

import numpy as np

from shivelight.basis.arrays import IntArray, UtcArray
from shivelight.basis.errors import BadInputError
from shivelight.basis.instants import clock_change, day_bounds, from_datetime, to_local, zone

DAY_MIN = 1440


def clock_grid(
    first: dt.date, after: dt.date, *, zone_name: str, step_min: int
) -> tuple[UtcArray, IntArray, UtcArray]:
    """Instants of every clock time of every civil day.

    Parameters
    ----------
    first, after : date
        First day, and the day after the last.
    zone_name : str
        Whose clock.
    step_min : int
        Minutes between clock times, a divisor of 1440. [min]

    Returns
    -------
    days : ndarray of datetime64[D], shape (D,)
    clock_min : ndarray of int64, shape (T,)
        Minutes after midnight. [min]
    utc : ndarray of datetime64[us], shape (D, T)
        NaT where the clock skips the time; the first of two where it shows it twice.

    Raises
    ------
    BadInputError
        If the step does not divide a day.
    """
    if step_min < 1 or DAY_MIN % step_min:
        raise BadInputError(f"A day cannot be cut into steps of {step_min} minutes; try 5 or 10.")
    clock_min = np.arange(0, DAY_MIN, step_min, dtype=np.int64)
    days = np.arange(np.datetime64(first), np.datetime64(after))
    utc = np.empty((days.size, clock_min.size), dtype="datetime64[us]")
    for row in range(days.size):
        day = first + dt.timedelta(days=row)
        if clock_change(day, zone_name):
            utc[row] = _changing_day(day, clock_min, zone_name)
        else:
            utc[row] = day_bounds(day, zone_name)[0] + clock_min.astype("timedelta64[m]")
    return days, clock_min, utc


def _changing_day(day: dt.date, clock_min: IntArray, zone_name: str) -> UtcArray:
    """Instants of one day's clock times, one by one."""
    there = zone(zone_name)
    found = np.full(clock_min.shape, np.datetime64("NaT", "us"))
    for place, minutes in enumerate(clock_min):
        wall = dt.datetime(day.year, day.month, day.day, tzinfo=there) + dt.timedelta(
            minutes=int(minutes)
        )
        moment = from_datetime(wall)
        if to_local(moment, zone_name).replace(tzinfo=None) == wall.replace(tzinfo=None):
            found[place] = moment
    return found
