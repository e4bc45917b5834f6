"""The loop behind the paths of beams through crowns; its plain twin is in the tests.

A beam is followed outward from the eye in even steps along the ground. At each, the bare ground
and the canopy over it are read between their four nearest cells.
"""

import numpy as np
from numpy.typing import NDArray

from shivelight.basis.arrays import FloatArray, IntArray, kernel
from shivelight.land.march import place_kernel

Heights = NDArray[np.float32]


@kernel
def beams_kernel(
    rasters: tuple[Heights, Heights],
    lines: tuple[FloatArray, FloatArray, FloatArray, FloatArray],
    beams: tuple[IntArray, FloatArray, FloatArray, FloatArray],
    sight: tuple[float, float, float],
    crowns: tuple[float, float],
) -> tuple[FloatArray, FloatArray]:
    """Follow every beam outward; lengths inside crowns, and below the tallest but unseen."""
    which, altitude_deg, step_m, end_m = beams
    path_m, unseen_m = np.full(which.size, np.nan), np.full(which.size, np.nan)
    for beam in range(which.size):
        ray, height = which[beam], np.radians(altitude_deg[beam])
        if not height >= 0.0:
            continue
        inside, unseen = _beam_kernel(
            rasters,
            (lines[0][ray], lines[1][ray], lines[2][ray], lines[3][ray]),
            (np.tan(height), step_m[beam], end_m[beam]),
            sight,
            crowns,
        )
        length_m = step_m[beam] / np.cos(height)
        path_m[beam], unseen_m[beam] = inside * length_m, unseen * length_m
    return path_m, unseen_m


@kernel
def _beam_kernel(
    rasters: tuple[Heights, Heights],
    lines: tuple[FloatArray, FloatArray, FloatArray, FloatArray],
    beam: tuple[float, float, float],
    sight: tuple[float, float, float],
    crowns: tuple[float, float],
) -> tuple[int, int]:
    """Follow one beam, step by step: how many steps lie inside crowns, how many are unseen."""
    slope, step_m, end_m = beam
    eye_m, bend_per_m, reach_m = sight
    base_frac, tallest_m = crowns
    inside, unseen = 0, 0
    for index in range(int(np.ceil((end_m - 0.5 * step_m) / step_m))):
        distance = (index + 0.5) * step_m
        rise = distance * slope + bend_per_m * distance**2
        share = distance / reach_m
        ground, tall = np.nan, np.nan
        if share <= 1.0:
            ground = bilinear_kernel(
                rasters[0], place_kernel(lines[0], share), place_kernel(lines[1], share)
            )
        over = eye_m + rise - ground
        # Where the ground is not known it is taken as level, only to bound what may be met.
        bound = rise if np.isnan(ground) else over
        if bound >= tallest_m:
            continue
        if share <= 1.0:
            tall = bilinear_kernel(
                rasters[1], place_kernel(lines[2], share), place_kernel(lines[3], share)
            )
        if np.isnan(ground) or np.isnan(tall):
            unseen += 1
        elif base_frac * tall < over < tall:
            inside += 1
    return inside, unseen


@kernel
def bilinear_kernel(values: Heights, row: float, column: float) -> float:
    """Value between the four nearest cell centres; NaN outside and beside a hole."""
    last_row, last_column = values.shape[0] - 1, values.shape[1] - 1
    if not (0.0 <= row <= last_row and 0.0 <= column <= last_column):
        return np.nan
    top, left = min(int(row), last_row - 1), min(int(column), last_column - 1)
    down, right = row - top, column - left
    upper = values[top, left] * (1.0 - right) + values[top, left + 1] * right
    lower = values[top + 1, left] * (1.0 - right) + values[top + 1, left + 1] * right
    return float(upper * (1.0 - down) + lower * down)
