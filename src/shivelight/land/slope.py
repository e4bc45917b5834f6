"""Slope and the bearing it faces."""

import math

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.angles import wrap_deg
from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, MissingDataError, require_range
from shivelight.basis.places import Position
from shivelight.land.ground import Ground, heights_at_m
from shivelight.land.rays import positions_on_rays


def slope_and_aspect_deg(heights_m: ArrayLike, *, cell_m: float) -> tuple[FloatArray, FloatArray]:
    """Slope and aspect of every cell of a square north-up grid, by Horn's eight neighbours.

    Parameters
    ----------
    heights_m : array_like, shape (rows, columns)
        Row 0 at the north edge; NaN for holes. [m]
    cell_m : float
        Side of a cell. [m]

    Returns
    -------
    slope_deg, aspect_deg : ndarray of float64, shape (rows, columns)
        Steepness, and the bearing (of the grid) that the ground faces downhill, in [0, 360),
        NaN on level ground. NaN at the rim and beside holes. [°]

    References
    ----------
    .. [1] B. K. P. Horn, Hill shading and the reflectance map, Proc. IEEE 69 (1981) 14-47.
    """
    heights = np.asarray(heights_m, dtype=np.float64)
    if heights.ndim != 2 or min(heights.shape) < 3:
        raise BadInputError("Slopes need heights in at least three rows and three columns.")
    require_range("cell side", cell_m, 1e-3, 1e6, "m")
    west, east = heights[:, :-2], heights[:, 2:]
    north, south = heights[:-2, :], heights[2:, :]
    eastward = (
        (east[:-2] + 2 * east[1:-1] + east[2:]) - (west[:-2] + 2 * west[1:-1] + west[2:])
    ) / (8 * cell_m)
    northward = (
        (north[:, :-2] + 2 * north[:, 1:-1] + north[:, 2:])
        - (south[:, :-2] + 2 * south[:, 1:-1] + south[:, 2:])
    ) / (8 * cell_m)
    # The formula leaves the middle cell out; a hole there has no slope all the same.
    hole = np.isnan(heights[1:-1, 1:-1])
    inner_slope, inner_aspect = _from_rise(
        np.where(hole, np.nan, eastward), np.where(hole, np.nan, northward)
    )
    slope, aspect = np.full(heights.shape, np.nan), np.full(heights.shape, np.nan)
    slope[1:-1, 1:-1], aspect[1:-1, 1:-1] = inner_slope, inner_aspect
    return slope, aspect


def slope_at_deg(
    ground: Ground, position: Position, *, spacing_m: float = 10.0
) -> tuple[float, float]:
    """Slope and true aspect at a place, in any coordinate system, by Horn's eight neighbours.

    Parameters
    ----------
    ground : Ground
        Heights.
    position : Position
        The place.
    spacing_m : float
        Distance to the neighbours north, east, south and west. [m]

    Returns
    -------
    slope_deg, aspect_deg : float
        Steepness, and the true bearing that the ground faces downhill; NaN when level. [°]

    Raises
    ------
    MissingDataError
        If the ground within ``spacing_m`` is not all known.
    OutOfRangeError
        For a spacing outside 0.5 m to 5 km.
    """
    require_range("spacing", spacing_m, 0.5, 5000.0, "m")
    east = np.array([[-1.0, 0.0, 1.0]] * 3) * spacing_m
    north = east.T[::-1]
    latitude, longitude = positions_on_rays(
        position, np.degrees(np.arctan2(east, north)), distance_m=np.hypot(east, north)
    )
    heights = heights_at_m(ground, latitude, longitude_deg=longitude)
    slope, aspect = slope_and_aspect_deg(heights, cell_m=spacing_m)
    if math.isnan(slope[1, 1]):
        raise MissingDataError(
            f"The ground raster is not known all round within {spacing_m:g} m of the place."
        )
    return float(slope[1, 1]), float(aspect[1, 1])


def _from_rise(eastward: FloatArray, northward: FloatArray) -> tuple[FloatArray, FloatArray]:
    rise = np.hypot(eastward, northward)
    downhill = wrap_deg(np.degrees(np.arctan2(-eastward, -northward)))
    return np.degrees(np.arctan(rise)), np.where(rise > 0.0, downhill, np.nan)
