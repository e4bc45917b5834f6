"""Plain twin of the crown march: one beam with arrays, as the definition reads."""

import math

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.basis.places import Position
from shivelight.land.beams import FARTHEST_CROWNS_M, STEP_CELLS, STEP_UP_M
from shivelight.land.curvature import STANDARD_CURVE
from shivelight.land.ground import Ground, height_at_m, sample
from shivelight.land.rays import farthest_corner_m, local_map, ray_polynomials


def plain_crown_path(
    ground: Ground,
    heights: Ground,
    base_frac: float,
    position: Position,
    azimuth_deg: float,
    altitude_deg: float,
    eye_height_m: float,
) -> tuple[float, float]:
    """Length of one beam inside crowns, and unseen below the tallest. [m]."""
    eye_m = height_at_m(ground, position) + eye_height_m
    reach_m = min(farthest_corner_m(heights, position), farthest_corner_m(ground, position))
    tallest_m = float(np.nanmax(heights.heights_m))
    top_m = float(np.nanmax(ground.heights_m)) + tallest_m
    charts = [local_map(one, position, reach_m=reach_m) for one in (ground, heights)]
    lines = [ray_polynomials(one, np.array([azimuth_deg])) for one in charts]
    rows, columns = lines[1]
    cells = float(np.hypot(rows.sum() - charts[1].row, columns.sum() - charts[1].column))
    slope = math.tan(math.radians(altitude_deg))
    step_m, end_m = STEP_CELLS * reach_m / cells, FARTHEST_CROWNS_M
    if slope > 0.0:
        step_m = min(step_m, STEP_UP_M / slope)
        end_m = min(end_m, max((top_m - eye_m) / slope, step_m))
    distance = np.arange(0.5 * step_m, end_m, step_m)
    under = _along(ground, lines[0], distance / reach_m)
    tall = _along(heights, lines[1], distance / reach_m)
    rise = distance * slope + STANDARD_CURVE.bend_per_m * distance**2
    over = eye_m + rise - under
    inside = (over > base_frac * tall) & (over < tall)
    bound = np.where(np.isfinite(under), over, rise)
    unseen = (np.isnan(under) | np.isnan(tall)) & (bound < tallest_m)
    length_m = step_m / math.cos(math.radians(altitude_deg))
    return float(inside.sum()) * length_m, float(unseen.sum()) * length_m


def _along(raster: Ground, line: tuple[FloatArray, FloatArray], share: FloatArray) -> FloatArray:
    row, column = (np.polynomial.polynomial.polyval(share, terms[0]) for terms in line)
    return np.where(share <= 1.0, sample(raster.heights_m, row, column=column), np.nan)
