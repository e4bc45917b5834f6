"""Rays over the ground: the loop behind the skyline of a spot.

A ray leaves the spot by each bearing, by geodesic, and the ground under it is read every half
cell, closer near the spot, between the four nearest cells. Blocks of eight cells whose highest
ground cannot show above what has been seen already are passed over, which changes nothing but
the time taken.
"""

import weakref

import numpy as np
from numpy.typing import NDArray

from shivelight.basis.arrays import FloatArray, IntArray, kernel
from shivelight.basis.places import Position
from shivelight.land.curvature import EarthCurve
from shivelight.land.ground import Ground, height_at_m
from shivelight.land.rays import farthest_corner_m, local_map, ray_polynomials

BLOCK_CELLS = 8
STEP_CELLS = 0.5
NEAR_STEP_FRAC = 0.03
LEAST_STEP_M = 0.6
MOST_FINER = 16.0
"""Near the spot a step is at most this share of the distance (but not under 0.6 m, nor
a sixteenth of the full step): on 80 m cells half a cell a step would miss half a degree."""
STEPS_IN_BLOCK = 16
"""Steps between exact points of a ray; in between it is straight (a chord of eight cells)."""

Heights = NDArray[np.float32]

_tops: "weakref.WeakKeyDictionary[Ground, NDArray[np.float32]]" = weakref.WeakKeyDictionary()


def march(
    ground: Ground,
    position: Position,
    *,
    eye_height_m: float,
    azimuth_deg: FloatArray,
    reach_m: float | None,
    curve: EarthCurve,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Look along bearings over the ground.

    Parameters
    ----------
    ground : Ground
        Heights in any coordinate system.
    position : Position
        Of the eye.
    eye_height_m : float
        Of the eye above the ground. [m]
    azimuth_deg : ndarray, shape (N,)
        True bearings. [°]
    reach_m : float or None
        How far to look; None for the raster's edge. [m]
    curve : EarthCurve
        Earth radius and refraction.

    Returns
    -------
    tangent_frac : ndarray of float64, shape (N,)
        Tangent of the skyline's apparent height; NaN where nothing was seen.
    seen_m, unseen_m : ndarray of float64, shape (N,)
        How far ground was seen, and how much of that lay over holes. [m]

    Raises
    ------
    MissingDataError
        If the position lies off the raster or on a hole.
    BadInputError
        If the raster cannot be mapped round the position.
    """
    eye_m = height_at_m(ground, position) + eye_height_m
    tangent = np.full(azimuth_deg.size, np.nan)
    seen_m, unseen_m = np.zeros(azimuth_deg.size), np.zeros(azimuth_deg.size)
    layer: Ground | None = ground
    while layer is not None:
        farthest_m = farthest_corner_m(layer, position)
        farthest_m = farthest_m if reach_m is None else min(farthest_m, reach_m)
        chart = local_map(layer, position, reach_m=farthest_m)
        rows, columns = ray_polynomials(chart, azimuth_deg)
        across = np.hypot(rows.sum(axis=1) - chart.row, columns.sum(axis=1) - chart.column)
        step_m = STEP_CELLS * farthest_m / across
        higher, upto_m, holes_m = _march_kernel(
            layer.heights_m, _block_tops(layer), np.stack([rows, columns]), step_m,
            np.floor(seen_m / step_m).astype(np.int64), (farthest_m, eye_m, curve.bend_per_m),
        )  # fmt: skip
        tangent = np.fmax(tangent, higher)
        seen_m, unseen_m = np.maximum(seen_m, upto_m), unseen_m + holes_m
        layer = layer.farther
    return tangent, seen_m, unseen_m


def _block_tops(ground: Ground) -> Heights:
    """Highest ground in each block and its eight neighbours; NaN where any has a hole."""
    tops = _tops.get(ground)
    if tops is None:
        tops = _thinned(_thinned(ground.heights_m).T).T
        rim = np.pad(tops, 1, constant_values=-np.inf)
        tall = np.maximum(np.maximum(rim[:-2], rim[1:-1]), rim[2:])
        wide = np.maximum(np.maximum(tall[:, :-2], tall[:, 1:-1]), tall[:, 2:])
        tops = np.ascontiguousarray(wide)
        _tops[ground] = tops
    return tops


def _thinned(heights_m: Heights) -> Heights:
    """Highest of each run of rows; NaN where any is NaN."""
    whole = np.array(heights_m[::BLOCK_CELLS])
    for row in range(1, BLOCK_CELLS):
        part = heights_m[row::BLOCK_CELLS]
        np.maximum(whole[: part.shape[0]], part, out=whole[: part.shape[0]])
    return whole


@kernel
def place_kernel(terms: FloatArray, share: float) -> float:
    """Value of a ray's polynomial (Horner)."""
    value = 0.0
    for power in range(terms.size - 1, -1, -1):
        value = value * share + terms[power]
    return value


@kernel
def _march_kernel(
    heights_m: Heights,
    tops_m: Heights,
    terms: FloatArray,
    step_m: FloatArray,
    start: IntArray,
    sight: tuple[float, float, float],
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """March every ray outward; tangent of the skyline, reach and length over holes."""
    tangent = np.empty(step_m.size)
    seen_m = np.empty(step_m.size)
    hole_m = np.empty(step_m.size)
    for ray in range(step_m.size):
        tangent[ray], seen_m[ray], hole_m[ray] = _ray_kernel(
            heights_m, tops_m, terms[:, ray], step_m[ray], start[ray], sight
        )
    return tangent, seen_m, hole_m


@kernel
def _ray_kernel(
    heights_m: Heights,
    tops_m: Heights,
    terms: FloatArray,
    step_m: float,
    start: int,
    sight: tuple[float, float, float],
) -> tuple[float, float, float]:
    """March one ray from its start-th step, block by block."""
    reach_m, eye_m, bend_per_m = sight
    last_row, last_column = heights_m.shape[0] - 1, heights_m.shape[1] - 1
    best, done = -np.inf, start
    seen_m, hole_m, pending_m = 0.0, 0.0, 0.0
    row_0 = place_kernel(terms[0], start * step_m / reach_m)
    column_0 = place_kernel(terms[1], start * step_m / reach_m)
    count = int(reach_m / step_m + 1e-9)
    while done < count:
        upto = min(done + STEPS_IN_BLOCK, count)
        row_1 = place_kernel(terms[0], upto * step_m / reach_m)
        column_1 = place_kernel(terms[1], upto * step_m / reach_m)
        finer = min(
            np.ceil(step_m / max(LEAST_STEP_M, NEAR_STEP_FRAC * done * step_m)), MOST_FINER
        )
        inside = 0.0 <= row_1 <= last_row and 0.0 <= column_1 <= last_column
        if inside:
            block_row = int((row_0 + row_1) * 0.5 + 0.5) // BLOCK_CELLS
            block_column = int((column_0 + column_1) * 0.5 + 0.5) // BLOCK_CELLS
            rise = tops_m[block_row, block_column] - eye_m
            near, far = (done + 1.0 / finer) * step_m, upto * step_m
            # A block with a hole has NaN for its top and is never passed over.
            if rise / (near if rise > 0.0 else far) - bend_per_m * near <= best:
                hole_m, pending_m, seen_m = hole_m + pending_m, 0.0, far
                done, row_0, column_0 = upto, row_1, column_1
                continue
        samples = int((upto - done) * finer)
        best, last_m, over_m, pending_m = _stretch_kernel(
            heights_m,
            (row_0, column_0, (row_1 - row_0) / samples, (column_1 - column_0) / samples),
            (done * step_m, step_m / finer, samples, inside),
            (eye_m, bend_per_m),
            best,
            pending_m,
        )
        hole_m += over_m
        seen_m = max(seen_m, last_m)
        if not inside:
            break
        done, row_0, column_0 = upto, row_1, column_1
    return (best if seen_m > 0.0 else np.nan), seen_m, hole_m


@kernel
def _stretch_kernel(
    heights_m: Heights,
    line: tuple[float, float, float, float],
    span: tuple[float, float, int, bool],
    sight: tuple[float, float],
    best: float,
    pending_m: float,
) -> tuple[float, float, float, float]:
    """March one block's length of a ray, sample by sample.

    Returns the steepest sight line so far, the distance of the last sample with ground (0 for
    none), how much before it lay over holes, and how much after it.
    """
    row_0, column_0, row_step, column_step = line
    start_m, step_m, samples, inside = span
    eye_m, bend_per_m = sight
    last_row, last_column = heights_m.shape[0] - 1, heights_m.shape[1] - 1
    last_m, hole_m = 0.0, 0.0
    for index in range(1, samples + 1):
        row, column = row_0 + index * row_step, column_0 + index * column_step
        if not inside and not (0.0 <= row <= last_row and 0.0 <= column <= last_column):
            pending_m += step_m
            continue
        # Unsigned, so that no sample pays for indices counted from the end.
        top, left = np.uint32(row), np.uint32(column)
        top -= np.uint32(top == last_row)
        left -= np.uint32(left == last_column)
        down, right = row - top, column - left
        below, beside = top + np.uint32(1), left + np.uint32(1)
        upper = heights_m[top, left] * (1.0 - right) + heights_m[top, beside] * right
        lower = heights_m[below, left] * (1.0 - right) + heights_m[below, beside] * right
        height = upper * (1.0 - down) + lower * down
        if np.isnan(height):
            pending_m += step_m
            continue
        last_m = start_m + index * step_m
        hole_m, pending_m = hole_m + pending_m, 0.0
        best = max(best, (height - eye_m) / last_m - bend_per_m * last_m)
    return best, last_m, hole_m, pending_m
