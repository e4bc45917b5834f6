"""A spot's whole year: the season without direct light, and the season carpet."""

import datetime as dt
from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import BoolArray, FloatArray, IntArray, UtcArray
from shivelight.basis.errors import require_range
from shivelight.basis.instants import day_bounds
from shivelight.basis.places import Position
from shivelight.land.skyline import Skyline
from shivelight.light.beams import LEAST_BEAM_FRAC, CrownedBy, beam_by_day
from shivelight.light.clockgrid import clock_grid
from shivelight.light.edge import Edge, lit_spans
from shivelight.light.reach import View, off_view_deg
from shivelight.sky.refraction import COOL_DAWN, AirColumn, apparent_altitude_deg
from shivelight.sky.sun import place_of, sun_altitude_azimuth
from shivelight.sky.twilight import CIVIL_DEG, SUNRISE_DEG

STEP_S = 60.0
"""Samples of the year: the sun moves about half a skyline sample between two of them."""

NO_SUCH_TIME, DARK, TWILIGHT, SHADE, SUN = -1, 0, 1, 2, 3
"""States of a carpet: a clock time that the spring change skips; before civil dawn or after
civil dusk; twilight; sun above the level horizon, but behind the skyline or, where crowns are
known, too dim behind them to be seen; direct light."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DarkSpan:
    """A run of civil days on which no direct light reaches a spot.

    Attributes
    ----------
    first_day, last_day : date
        Both without light; the last may lie in the year after.
    is_whole_year : bool
        Whether no day of the asked year has light.
    skyline_assumed : bool
        Whether unknown bearings of the skyline were taken as level.
    """

    first_day: dt.date
    last_day: dt.date
    is_whole_year: bool = False
    skyline_assumed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Carpet:
    """Date by clock time for one spot and year.

    Attributes
    ----------
    days : ndarray of datetime64[D], shape (D,)
        Civil days.
    clock_min : ndarray of int64, shape (T,)
        Minutes after midnight on the local clock. [min]
    utc : ndarray of datetime64[us], shape (D, T)
        Instant of each cell; NaT where the clock skips it. A time shown twice means the first.
    state : ndarray of int64, shape (D, T)
        ``NO_SUCH_TIME``, ``DARK``, ``TWILIGHT``, ``SHADE`` or ``SUN``.
    altitude_deg, azimuth_deg : ndarray of float64, shape (D, T)
        Apparent altitude of the disc's centre and its true azimuth. [°]
    off_view_deg : ndarray of float64, shape (D, T)
        Angle between sun and view, 0 to 180; NaN without a view. [°]
    first_sun_utc, last_sun_utc : ndarray of datetime64[us], shape (D,)
        First and last direct light of each civil day, to ±10 s; NaT on days without. Where the
        light lasts over midnight these are the day's own ends. Where crowns hide the sun at first
        or at last they are the first and last ``SUN`` cells.
    beam_frac : ndarray of float64, shape (D, T), or None
        Share of the beam that crowns leave, 1 where the sun is down; None in the open.
    skyline_assumed : bool
        Whether unknown bearings of the skyline were taken as level.
    """

    days: UtcArray
    clock_min: IntArray
    utc: UtcArray
    state: IntArray
    altitude_deg: FloatArray
    azimuth_deg: FloatArray
    off_view_deg: FloatArray
    first_sun_utc: UtcArray
    last_sun_utc: UtcArray
    skyline_assumed: bool
    beam_frac: FloatArray | None = None


def dark_season(
    skyline: Skyline,
    *,
    position: Position,
    year: int,
    zone_name: str,
    air: AirColumn = COOL_DAWN,
    unknown_as_level: bool = False,
) -> tuple[DarkSpan, ...]:
    """Find the spans of days without direct light that begin in a year.

    Parameters
    ----------
    skyline : Skyline
        Of the place where the light is wanted.
    position : Position
        Of that place.
    year : int
        Civil year.
    zone_name : str
        Whose civil days are meant.
    air : AirColumn
        For refraction.
    unknown_as_level : bool
        As in :func:`shivelight.light.reach.direct_light_windows`.

    Returns
    -------
    tuple of DarkSpan
        In order. A span that runs over the new year is followed to its end and belongs to the
        year in which it begins; a year without any light is one span marked so. Empty when every
        day has light. A day counts as lit when the limb passes the skyline for a moment.

    Raises
    ------
    MissingDataError
        If the sun meets unknown skyline, naming the bearings.
    """
    edge = Edge(skyline=skyline, position=position, air=air, unknown_as_level=unknown_as_level)
    first, after = dt.date(year, 1, 1), dt.date(year + 1, 1, 1)
    lit = lit_days(edge, first, after, zone_name=zone_name)
    assumed = unknown_as_level and not skyline.is_whole
    if not lit.any():
        return (
            DarkSpan(
                first_day=first,
                last_day=after - dt.timedelta(days=1),
                is_whole_year=True,
                skyline_assumed=assumed,
            ),
        )
    if not lit[-1]:
        end = dt.date(year + 2, 1, 1)
        lit = np.concatenate([lit, lit_days(edge, after, end, zone_name=zone_name)])
    # Days that follow a lit one (or, on 1 January, a lit 31 December) begin a span.
    if not lit[0]:
        before = first - dt.timedelta(days=1)
        opens_dark = not lit_days(edge, before, first, zone_name=zone_name)[0]
    else:
        opens_dark = False
    return _spans(lit, first, count=(after - first).days, opens_dark=opens_dark, assumed=assumed)


def _spans(
    lit: BoolArray, first: dt.date, *, count: int, opens_dark: bool, assumed: bool
) -> tuple[DarkSpan, ...]:
    """Find runs of dark days that begin within the first ``count`` days."""
    before = np.concatenate([[not opens_dark], lit[:-1]])
    begins = np.flatnonzero(~lit & before)
    ends = np.flatnonzero(~lit & np.concatenate([lit[1:], [True]]))
    if opens_dark:
        ends = ends[1:]
    return tuple(
        DarkSpan(
            first_day=first + dt.timedelta(days=int(begin)),
            last_day=first + dt.timedelta(days=int(end)),
            skyline_assumed=assumed,
        )
        for begin, end in zip(begins, ends, strict=True)
        if begin < count
    )


def lit_days(edge: Edge, first: dt.date, after: dt.date, *, zone_name: str) -> BoolArray:
    """Whether each civil day from ``first`` to before ``after`` has direct light."""
    bounds = _midnights(first, after, zone_name)
    starts, ends = lit_spans(edge, bounds[0], bounds[-1], step_s=STEP_S)
    return _touched(starts, ends, bounds)


def season_carpet(
    skyline: Skyline,
    *,
    position: Position,
    year: int,
    zone_name: str,
    view: View | None = None,
    canopy_on: CrownedBy | None = None,
    step_min: int = 5,
    unknown_as_level: bool = False,
) -> Carpet:
    """Work out date by clock time for a whole year of one spot.

    Parameters
    ----------
    skyline : Skyline
        Of the place where the light is wanted.
    position : Position
        Of that place.
    year : int
        Civil year.
    zone_name : str
        Whose clock is shown, so that its changes show as steps.
    view : View, optional
        For the angle between sun and view.
    canopy_on : callable, optional
        Crowns by the day; a cell in which they leave less than a twentieth is shade.
    step_min : int
        Minutes between the rows, a divisor of 1440. [min]
    unknown_as_level : bool
        As in :func:`shivelight.light.reach.direct_light_windows`.

    Returns
    -------
    Carpet

    Raises
    ------
    MissingDataError
        If the sun meets unknown skyline, naming the bearings.
    """
    require_range("carpet step", step_min, 1, 60, "min")
    edge = Edge(skyline=skyline, position=position, unknown_as_level=unknown_as_level)
    first, after = dt.date(year, 1, 1), dt.date(year + 1, 1, 1)
    bounds = _midnights(first, after, zone_name)
    starts, ends = lit_spans(edge, bounds[0], bounds[-1], step_s=STEP_S)
    days, clock_min, utc = clock_grid(first, after, zone_name=zone_name, step_min=step_min)
    true_deg, azimuth_deg = sun_altitude_azimuth(utc, **place_of(position))
    altitude_deg = apparent_altitude_deg(true_deg)
    state = _states(utc, true_deg, starts, ends)
    first_sun, last_sun = _first_and_last(starts, ends, bounds)
    beam = None
    if canopy_on is not None:
        beam = beam_by_day(days, azimuth_deg, altitude_deg=altitude_deg, canopy_on=canopy_on)
        seen = np.where((state == SUN) & (beam < LEAST_BEAM_FRAC), SHADE, state)
        first_sun = _moved(first_sun, utc, state == SUN, seen == SUN)
        last_sun = _moved(last_sun, utc[:, ::-1], (state == SUN)[:, ::-1], (seen == SUN)[:, ::-1])
        state = seen
    return Carpet(
        days=days,
        clock_min=clock_min,
        utc=utc,
        state=state,
        altitude_deg=altitude_deg,
        azimuth_deg=azimuth_deg,
        off_view_deg=off_view_deg(azimuth_deg, view),
        first_sun_utc=first_sun,
        last_sun_utc=last_sun,
        skyline_assumed=unknown_as_level and not skyline.is_whole,
        beam_frac=beam,
    )


def _moved(edge_utc: UtcArray, utc: UtcArray, was_sun: BoolArray, is_sun: BoolArray) -> UtcArray:
    """First light of each day where crowns hide it: the first cell of sun left, or NaT.

    A day whose light falls between two cells keeps it, for nothing is known of its crowns.
    """
    had, has = was_sun.argmax(axis=1), is_sun.argmax(axis=1)
    hidden = was_sun.any(axis=1) & (~is_sun.any(axis=1) | (had != has))
    cell = utc[np.arange(utc.shape[0]), has]
    later = np.where(is_sun.any(axis=1), cell, np.datetime64("NaT", "us"))
    return np.where(hidden, later, edge_utc)


def _midnights(first: dt.date, after: dt.date, zone_name: str) -> UtcArray:
    """First instants of all civil days and of the one after the last, shape (D + 1,)."""
    count = (after - first).days
    moments = [day_bounds(first + dt.timedelta(days=k), zone_name)[0] for k in range(count + 1)]
    return np.array(moments, dtype="datetime64[us]")


def _touched(starts: UtcArray, ends: UtcArray, bounds: UtcArray) -> BoolArray:
    """Whether any stretch of light touches each day."""
    begun = np.searchsorted(starts, bounds[1:], side="left")
    over = np.searchsorted(ends, bounds[:-1], side="right")
    return np.asarray(begun > over)


def _first_and_last(
    starts: UtcArray, ends: UtcArray, bounds: UtcArray
) -> tuple[UtcArray, UtcArray]:
    """First and last light of each day, NaT on days without."""
    lit = _touched(starts, ends, bounds)
    none = np.full(lit.shape, np.datetime64("NaT", "us"))
    if not starts.size:
        return none, none.copy()
    opening = np.searchsorted(ends, bounds[:-1], side="right")
    closing = np.searchsorted(starts, bounds[1:], side="left") - 1
    first = np.maximum(starts[np.minimum(opening, starts.size - 1)], bounds[:-1])
    last = np.minimum(ends[np.maximum(closing, 0)], bounds[1:])
    return np.where(lit, first, none), np.where(lit, last, none)


def _states(utc: UtcArray, true_deg: FloatArray, starts: UtcArray, ends: UtcArray) -> IntArray:
    """State of each cell of a carpet."""
    state = np.full(utc.shape, DARK, dtype=np.int64)
    state[true_deg >= CIVIL_DEG] = TWILIGHT
    state[true_deg >= SUNRISE_DEG] = SHADE
    begun = np.searchsorted(starts, utc.ravel(), side="right")
    over = np.searchsorted(ends, utc.ravel(), side="right")
    state[(begun > over).reshape(utc.shape)] = SUN
    state[np.isnat(utc)] = NO_SUCH_TIME
    return state
