"""Rays over the ground: the loop behind the skyline of a spot.

A ray leaves the spot by each bearing, by geodesic, and the ground under it is read every half
cell between the four nearest cells. Blocks of eight cells whose highest ground cannot show
above what has been seen already are passed over, which changes nothing but the time taken.
"""

import weakref

import numpy as np
from numpy.typing import NDArray

from shivelight.basis.arrays import FloatArray, kernel
from shivelight.basis.places import Position
from shivelight.land.curvature import EarthCurve
from shivelight.land.ground import Ground, height_at_m
from shivelight.land.rays import farthest_corner_m, local_map, ray_polynomials

BLOCK_CELLS = 8
STEP_CELLS = 0.5
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
    farthest_m = farthest_corner_m(ground, position)
    if reach_m is not None:
        farthest_m = min(farthest_m, reach_m)
    chart = local_map(ground, position, reach_m=farthest_m)
    rows, columns = ray_polynomials(chart, azimuth_deg)
    across = np.hypot(rows.sum(axis=1) - chart.row, columns.sum(axis=1) - chart.column)
    step_m = STEP_CELLS * farthest_m / across
    tangent, seen_m, unseen_m = _march_kernel(
        ground.heights_m, _block_tops(ground), np.stack([rows, columns]), step_m,
        farthest_m, eye_m, curve.bend_per_m,
    )  # fmt: skip
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
    reach_m: float,
    eye_m: float,
    bend_per_m: float,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """March every ray outward; tangent of the skyline, reach and length over holes."""
    tangent = np.empty(step_m.size)
    seen_m = np.empty(step_m.size)
    hole_m = np.empty(step_m.size)
    for ray in range(step_m.size):
        tangent[ray], seen_m[ray], hole_m[ray] = _ray_kernel(
            heights_m, tops_m, terms[:, ray], step_m[ray], reach_m, eye_m, bend_per_m
        )
    return tangent, seen_m, hole_m


@kernel
def _ray_kernel(
    heights_m: Heights,
    tops_m: Heights,
    terms: FloatArray,
    step_m: float,
    reach_m: float,
    eye_m: float,
    bend_per_m: float,
) -> tuple[float, float, float]:
    """March one ray, block by block."""
    last_row, last_column = heights_m.shape[0] - 1, heights_m.shape[1] - 1
    best = -np.inf
    done, seen, holes, pending = 0, 0, 0, 0
    row_0, column_0 = terms[0, 0], terms[1, 0]
    count = int(reach_m / step_m + 1e-9)
    while done < count:
        upto = min(done + STEPS_IN_BLOCK, count)
        row_1 = place_kernel(terms[0], upto * step_m / reach_m)
        column_1 = place_kernel(terms[1], upto * step_m / reach_m)
        inside = 0.0 <= row_1 <= last_row and 0.0 <= column_1 <= last_column
        if inside:
            block_row = int((row_0 + row_1) * 0.5 + 0.5) // BLOCK_CELLS
            block_column = int((column_0 + column_1) * 0.5 + 0.5) // BLOCK_CELLS
            rise = tops_m[block_row, block_column] - eye_m
            near, far = (done + 1) * step_m, upto * step_m
            # A block with a hole has NaN for its top and is never passed over.
            if rise / (near if rise > 0.0 else far) - bend_per_m * near <= best:
                holes, pending, seen = holes + pending, 0, upto
                done, row_0, column_0 = upto, row_1, column_1
                continue
        best, last, over, pending = _stretch_kernel(
            heights_m,
            (
                row_0,
                column_0,
                (row_1 - row_0) / (upto - done),
                (column_1 - column_0) / (upto - done),
            ),
            (done, upto, inside),
            (step_m, eye_m, bend_per_m),
            best,
            pending,
        )
        holes += over
        seen = max(seen, last)
        if not inside:
            break
        done, row_0, column_0 = upto, row_1, column_1
    return (best if seen > 0 else np.nan), seen * step_m, holes * step_m


@kernel
def _stretch_kernel(
    heights_m: Heights,
    line: tuple[float, float, float, float],
    span: tuple[int, int, bool],
    sight: tuple[float, float, float],
    best: float,
    pending: int,
) -> tuple[float, int, int, int]:
    """March one block's length of a ray, sample by sample.

    Returns the steepest sight line so far, the last sample with ground (0 for none), how many
    samples before it fell on holes, and how many after it.
    """
    row_0, column_0, row_step, column_step = line
    done, upto, inside = span
    step_m, eye_m, bend_per_m = sight
    last_row, last_column = heights_m.shape[0] - 1, heights_m.shape[1] - 1
    last, holes = 0, 0
    for index in range(1, upto - done + 1):
        row, column = row_0 + index * row_step, column_0 + index * column_step
        if not inside and not (0.0 <= row <= last_row and 0.0 <= column <= last_column):
            pending += 1
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
            pending += 1
            continue
        last = done + index
        holes, pending = holes + pending, 0
        distance = last * step_m
        best = max(best, (height - eye_m) / distance - bend_per_m * distance)
    return best, last, holes, pending
