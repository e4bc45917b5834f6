"""Clock time and UTC: the only place where a wall clock becomes an instant.

The core works in ``datetime64`` UTC. Shells read and print civil time in a wood's zone with
the functions here, so that the hour which does not exist in spring and the one which happens
twice in autumn are met in one place.
"""

import datetime as dt
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np

from shivelight.basis.arrays import UtcArray
from shivelight.basis.errors import BadInputError, NotFoundError


def zone(name: str) -> ZoneInfo:
    """Find a time zone by its IANA name.

    Raises
    ------
    NotFoundError
        If there is no such zone.
    """
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, IsADirectoryError, PermissionError, OSError) as why:
        raise NotFoundError(
            f"There is no time zone named {name!r}; use an IANA name such as 'Europe/London'."
        ) from why


def to_utc(wall: dt.datetime, zone_name: str, *, fold: int | None = None) -> np.datetime64:
    """Turn a wall-clock time into an instant.

    Parameters
    ----------
    wall : datetime
        Naive: a time on the clock in ``zone_name``. Aware: converted as it stands.
    zone_name : str
        IANA name of the zone whose clock is read.
    fold : 0 or 1, optional
        Which of two instants is meant when the clock shows this time twice (0 the first).

    Returns
    -------
    datetime64[us]
        The instant in UTC.

    Raises
    ------
    BadInputError
        If the clock skips this time, or shows it twice and ``fold`` is not given.
    """
    if wall.tzinfo is not None:
        return from_datetime(wall)
    there = zone(zone_name)
    first = wall.replace(tzinfo=there, fold=0)
    second = wall.replace(tzinfo=there, fold=1)
    if first.utcoffset() == second.utcoffset():
        return from_datetime(first)
    shown = f"{wall:%H:%M} on {wall.day} {wall:%B %Y}"
    back = first.astimezone(dt.UTC).astimezone(there).replace(tzinfo=None)
    if back != wall:
        raise BadInputError(
            f"The clock in {zone_name} never shows {shown}: it goes forward that night. "
            "Give a time before or after the change."
        )
    if fold is None:
        raise BadInputError(
            f"The clock in {zone_name} shows {shown} twice: it goes back that night. "
            f"Say which is meant by its offset, {first:%z} or {second:%z}."
        )
    return from_datetime(second if fold else first)


def from_datetime(moment: dt.datetime) -> np.datetime64:
    """Turn an aware ``datetime`` into ``datetime64[us]`` UTC."""
    if moment.tzinfo is None:
        raise BadInputError(f"The time {moment} has no zone; say which clock it was read from.")
    return np.datetime64(moment.astimezone(dt.UTC).replace(tzinfo=None), "us")


def to_local(utc: np.datetime64, zone_name: str) -> dt.datetime:
    """Turn an instant into the aware civil time of a zone."""
    moment = utc.astype("datetime64[us]").astype(dt.datetime)
    local: dt.datetime = moment.replace(tzinfo=dt.UTC).astimezone(zone(zone_name))
    return local


def day_words(day: dt.date) -> str:
    """Write a day in full: "Wednesday 3 November 2027"."""
    return f"{day:%A} {day.day} {day:%B %Y}"


def clock(utc: np.datetime64, zone_name: str) -> str:
    """Print an instant as hours and minutes on a zone's clock, to the nearest minute."""
    return f"{to_local(utc + np.timedelta64(30, 's'), zone_name):%H:%M}"


def zone_label(utc: np.datetime64, zone_name: str) -> str:
    """Short name of the clock in force at an instant ("GMT", "BST", "UTC+02:00")."""
    local = to_local(utc, zone_name)
    name = local.tzname() or ""
    if name and name[0].isalpha():
        return name
    return f"UTC{local:%z}"[:6] + ":" + f"{local:%z}"[3:5]


def day_bounds(day: dt.date, zone_name: str) -> tuple[np.datetime64, np.datetime64]:
    """First instant of a civil day and of the next one (23, 24 or 25 hours apart)."""
    return _midnight(day, zone_name), _midnight(day + dt.timedelta(days=1), zone_name)


def _midnight(day: dt.date, zone_name: str) -> np.datetime64:
    """First instant whose civil date is ``day``, also where midnight itself is skipped."""
    local = dt.datetime(day.year, day.month, day.day, tzinfo=zone(zone_name))
    return from_datetime(local)


def clock_change(day: dt.date, zone_name: str) -> dt.timedelta:
    """How far the clock moves during a civil day: +1 h in spring, −1 h in autumn, usually 0."""
    start, end = day_bounds(day, zone_name)
    length = (end - start).astype("timedelta64[s]").astype(dt.timedelta)
    moved: dt.timedelta = dt.timedelta(days=1) - length
    return moved


def steps(start: np.datetime64, end: np.datetime64, *, step_s: float) -> UtcArray:
    """Instants from ``start`` up to and including ``end`` where the step allows, microseconds."""
    span = np.timedelta64(round(step_s * 1e6), "us")
    return np.arange(start.astype("datetime64[us]"), end.astype("datetime64[us]") + 1, span)


def seconds_between(later: np.datetime64, earlier: np.datetime64) -> float:
    """Seconds from ``earlier`` to ``later`` [s]."""
    return float((later - earlier) / np.timedelta64(1, "s"))
