"""When does a value cross nought: the one event finder of the package.

Rise and set, twilight, transits, phases, seasons and the light on a spot are all "when does
f(t) change its sign". The value is sampled evenly, every change of sign is closed in on, and all
brackets are refined together, so that a year of events costs a few array calls.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from shivelight.basis.angles import signed_difference_deg
from shivelight.basis.arrays import BoolArray, FloatArray, UtcArray
from shivelight.basis.errors import BadInputError, require_range

SECTIONS = 8
"""Each refinement cuts a bracket into this many parts."""

ValueAt: TypeAlias = Callable[[UtcArray], FloatArray]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Crossings:
    """Instants at which a value crosses nought, in order.

    Attributes
    ----------
    utc : ndarray of datetime64[us], shape (n,)
        The instants.
    is_rising : ndarray of bool, shape (n,)
        True where the value goes from below nought to nought or above.
    is_up_at_start : bool
        Whether the value is nought or above at the start of the span.
    """

    utc: UtcArray
    is_rising: BoolArray
    is_up_at_start: bool


def find_crossings(
    function: ValueAt,
    start_utc: np.datetime64,
    end_utc: np.datetime64,
    *,
    step_s: float,
    tolerance_s: float,
) -> Crossings:
    """Find where ``function`` crosses nought between two instants.

    Parameters
    ----------
    function : callable
        Takes ``datetime64[us]`` of shape (n,), gives float64 of shape (n,). It may jump; it must
        not be NaN.
    start_utc, end_utc : datetime64
        The span; both ends are sampled.
    step_s : float
        Distance of the samples. [s]
    tolerance_s : float
        How closely each crossing is closed in on, 1 ms or more. [s]

    Returns
    -------
    Crossings
        In order. A pair of crossings between two samples (a body that grazes) is found too when
        the samples show a turning point there: the turn is followed to the tolerance. Two pairs
        inside one step, or a spike narrower than the step with no sample on its flanks, are not
        found: choose the step to suit.

    Raises
    ------
    BadInputError
        If the span runs backward or the function gives NaN.
    OutOfRangeError
        If the step or the tolerance is not positive.
    """
    require_range("step", step_s, 1e-3, 1e7, "s")
    require_range("tolerance", tolerance_s, 1e-3, step_s, "s")
    grid = sample_instants(start_utc, end_utc, step_s=step_s)
    values = function(grid)
    if np.isnan(values).any():
        raise BadInputError("An event cannot be found where the value itself is not known.")
    grid, values = _with_turning_points(function, grid, values, tolerance_s)
    up = values >= 0.0
    before = np.flatnonzero(up[1:] != up[:-1])
    moments = _close_in(
        function, grid[before], grid[before + 1], was_up=up[before], tolerance_s=tolerance_s
    )
    return Crossings(
        utc=moments, is_rising=up[before + 1], is_up_at_start=bool(up[0]) if up.size else False
    )


def find_quarters(
    angle_deg: ValueAt, start_utc: np.datetime64, end_utc: np.datetime64, *, step_s: float
) -> tuple[tuple[int, np.datetime64], ...]:
    """Find when an angle that grows round the circle passes 0°, 90°, 180° and 270°, in order.

    Parameters
    ----------
    angle_deg : callable
        As ``function`` of :func:`find_crossings`; the angle [°].
    start_utc, end_utc : datetime64
        The span.
    step_s : float
        Distance of the samples; the angle must grow by less than 180° in it. [s]

    Returns
    -------
    tuple of (int, datetime64)
        Which quarter, 0 to 3, and when, to half a second.
    """
    found: list[tuple[int, np.datetime64]] = []
    for quarter in range(4):

        def past(utc: UtcArray, target_deg: float = 90.0 * quarter) -> FloatArray:
            return signed_difference_deg(angle_deg(utc), target_deg)

        crossings = find_crossings(past, start_utc, end_utc, step_s=step_s, tolerance_s=0.5)
        # The jump from +180° to −180° falls; the passage itself is where the difference rises.
        found += [(quarter, moment) for moment in crossings.utc[crossings.is_rising]]
    return tuple(sorted(found, key=lambda one: one[1]))


def sample_instants(
    start_utc: np.datetime64, end_utc: np.datetime64, *, step_s: float
) -> UtcArray:
    """Even samples of a span with its very end added, ``datetime64[us]``, shape (n,).

    Raises
    ------
    BadInputError
        If the span runs backward or an end is not a time.
    """
    start, end = start_utc.astype("datetime64[us]"), end_utc.astype("datetime64[us]")
    if not end >= start:  # also false for NaT
        raise BadInputError(
            f"The span from {start} to {end} runs backward; give the earlier first."
        )
    grid = np.arange(start, end, np.timedelta64(round(step_s * 1e6), "us"))
    return np.append(grid, end)


def _with_turning_points(
    function: ValueAt, grid: UtcArray, values: FloatArray, tolerance_s: float
) -> tuple[UtcArray, FloatArray]:
    """Add samples at turning points that may reach nought between the samples."""
    if values.size < 3:
        return grid, values
    left, mid, right = values[:-2], values[1:-1], values[2:]
    top = (mid >= left) & (mid >= right) & (mid < 0.0)
    bottom = (mid <= left) & (mid <= right) & (mid >= 0.0)
    # A smooth turn lies within the second difference of its middle sample; four times that
    # also covers kinks such as those of a skyline.
    near = np.abs(mid) <= 4.0 * np.abs(left - 2.0 * mid + right)
    turns = np.flatnonzero((top | bottom) & near) + 1
    if not turns.size:
        return grid, values
    sign = np.where(values[turns] < 0.0, 1.0, -1.0)
    low, high = grid[turns - 1], grid[turns + 1]
    while float((high - low).max() / np.timedelta64(1, "us")) > tolerance_s * 1e6:
        inside = _cut(low, high)
        heights = sign[:, None] * function(inside.ravel()).reshape(inside.shape)
        best = np.clip(heights.argmax(axis=1), 1, SECTIONS - 1)
        rows = np.arange(turns.size)
        low, high = inside[rows, best - 1], inside[rows, best + 1]
    tops = low + (high - low) // 2
    order = np.argsort(np.concatenate([grid, tops]), kind="stable")
    return (
        np.concatenate([grid, tops])[order],
        np.concatenate([values, function(tops)])[order],
    )


def _cut(low: UtcArray, high: UtcArray) -> UtcArray:
    """Cut each bracket evenly, shape (n, SECTIONS + 1)."""
    whole_us = (high - low).astype("timedelta64[us]").astype(np.int64)
    parts = whole_us[:, None] * np.arange(SECTIONS + 1, dtype=np.int64) // SECTIONS
    return np.asarray(low[:, None] + parts.astype("timedelta64[us]"))


def _close_in(
    function: ValueAt, low: UtcArray, high: UtcArray, *, was_up: BoolArray, tolerance_s: float
) -> UtcArray:
    """Shrink every bracket round its first change of sign, then draw a straight line."""
    if not low.size:
        return low
    rows = np.arange(low.size)
    while True:
        inside = _cut(low, high)
        values = function(inside.ravel()).reshape(inside.shape)
        up = values >= 0.0
        # The ends are known; a value within rounding of nought must not be taken otherwise now.
        up[:, 0], up[:, -1] = was_up, ~was_up
        first = (up != up[:, :1]).argmax(axis=1)
        low, high = inside[rows, first - 1], inside[rows, first]
        if float((high - low).max() / np.timedelta64(1, "us")) <= tolerance_s * 1e6:
            break
    below, above = np.abs(values[rows, first - 1]), np.abs(values[rows, first])
    share = np.where(below + above > 0.0, below, 0.0) / np.maximum(below + above, 1e-300)
    part_us = np.rint(share * (high - low).astype(np.int64)).astype(np.int64)
    return np.asarray(low + part_us.astype("timedelta64[us]"))
