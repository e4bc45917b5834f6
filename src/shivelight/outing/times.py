"""Alarm, set-out and in-place times, worked backward from what must not be missed.

Instants in UTC go in and come out, so a clock that changes in the night cannot shift them.
"""

from dataclasses import dataclass

import numpy as np

from shivelight.basis.errors import BadInputError, require_range
from shivelight.basis.instants import seconds_between

SET_UP_S = 600.0
"""From arriving to the first picture: tripod, lens, frame. A judgement. [s]"""
WAKE_S = 2700.0
"""From the alarm to the car rolling. A judgement; people differ, so it is a setting. [s]"""
SLACK_S = 600.0
"""Slack of any morning: a gate, a wrong turn, a last look at the sky. A judgement. [s]"""
SLACK_BY_DAY_FRAC = 0.1
"""Further slack by length of the walk, in daylight. A judgement."""
SLACK_IN_DARK_FRAC = 0.3
"""The same in the dark, where paths are lost and found again. A judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Times:
    """The morning's times, each on a whole minute and never later than it must be."""

    alarm_utc: np.datetime64
    set_out_utc: np.datetime64
    park_utc: np.datetime64
    in_place_utc: np.datetime64


def backward_times(
    first_window_start_utc: np.datetime64,
    *,
    walk_s: float,
    road_s: float,
    set_up_s: float = SET_UP_S,
    slack_s: float = SLACK_S,
    wake_s: float = WAKE_S,
) -> Times:
    """Work backward from the first window to the alarm.

    Parameters
    ----------
    first_window_start_utc : datetime64
        When the camera must be ready; see :func:`first_need` for first light.
    walk_s, road_s : float
        From the parking place to the spot at the pace of that hour, and from home. [s]
    set_up_s : float
        From arriving at the spot to the first picture. [s]
    slack_s : float
        Between parking and being in place, on top of the walk; see :func:`slack_for`. [s]
    wake_s : float
        From the alarm to setting out. [s]

    Returns
    -------
    Times
        In place one set-up before the window.

    Raises
    ------
    OutOfRangeError
        If a span is negative or over a day.
    """
    for name, span_s in (
        ("walk", walk_s),
        ("road time", road_s),
        ("set-up", set_up_s),
        ("slack", slack_s),
        ("time from alarm to setting out", wake_s),
    ):
        require_range(name, span_s, 0.0, 86_400.0, "s")
    if np.isnat(first_window_start_utc):
        raise BadInputError("There is no window to be in place for; nothing to count back from.")
    in_place = _minute_before(first_window_start_utc, set_up_s)
    park = _minute_before(in_place, walk_s + slack_s)
    set_out = _minute_before(park, road_s)
    return Times(
        alarm_utc=_minute_before(set_out, wake_s),
        set_out_utc=set_out,
        park_utc=park,
        in_place_utc=in_place,
    )


def first_need(
    window_start_utc: np.datetime64,
    *,
    first_light_utc: np.datetime64 | None = None,
    set_up_s: float = SET_UP_S,
) -> np.datetime64:
    """When the camera must be ready so that one stands in place at first light, if that is asked.

    Parameters
    ----------
    window_start_utc : datetime64
        Start of the first window.
    first_light_utc : datetime64 or None
        When to stand in place at the latest (civil dawn, say); None when it is not asked.
    set_up_s : float
        As given to :func:`backward_times`. [s]

    Returns
    -------
    datetime64
        The window's start, or one set-up after first light where that is earlier.
    """
    if first_light_utc is None:
        return window_start_utc
    return min(window_start_utc, first_light_utc + _span(set_up_s))


def slack_for(walk_s: float, *, dark_frac: float) -> float:
    """Slack for a walk, more in the dark.

    Ten minutes, and a tenth of the walk by day or three tenths in the dark: a judgement, to be
    put right by one's own mornings.

    Parameters
    ----------
    walk_s : float
        Length of the walk. [s]
    dark_frac : float
        Share of it before civil dawn, 0 to 1; see :func:`dark_share`.

    Returns
    -------
    float
        Slack. [s]
    """
    require_range("walk", walk_s, 0.0, 86_400.0, "s")
    require_range("share in the dark", dark_frac, 0.0, 1.0)
    further_frac = SLACK_BY_DAY_FRAC + (SLACK_IN_DARK_FRAC - SLACK_BY_DAY_FRAC) * dark_frac
    return SLACK_S + further_frac * walk_s


def dark_share(
    in_place_utc: np.datetime64, *, walk_s: float, first_light_utc: np.datetime64
) -> float:
    """Share of a walk that ends at ``in_place_utc`` and lies before first light, 0 to 1."""
    if walk_s <= 0.0:
        return 0.0
    lit_s = seconds_between(in_place_utc, first_light_utc)
    return min(max((walk_s - lit_s) / walk_s, 0.0), 1.0)


def _minute_before(moment: np.datetime64, span_s: float) -> np.datetime64:
    """Last whole minute that is ``span_s`` or more before a moment, in microseconds."""
    exact = moment.astype("datetime64[us]") - _span(span_s)
    minute: np.datetime64 = exact.astype("datetime64[m]").astype("datetime64[us]")
    return minute


def _span(seconds: float) -> np.timedelta64:
    return np.timedelta64(round(seconds * 1e6), "us")
