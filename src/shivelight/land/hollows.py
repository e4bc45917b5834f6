"""Hollows and knolls: how a place lies among its surroundings, where cold air would gather."""

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, MissingDataError, require_range
from shivelight.basis.places import Position
from shivelight.land.ground import Ground, height_at_m, heights_at_m
from shivelight.land.rays import positions_on_rays


def topographic_position_index(heights_m: ArrayLike, *, radius_cells: int = 1) -> FloatArray:
    """Height of each cell less the mean of its neighbours: negative in hollows.

    Parameters
    ----------
    heights_m : array_like, shape (rows, columns)
        Ground heights; NaN for holes. [m]
    radius_cells : int
        Neighbours are the square of this half width, the cell itself left out; 1 means the
        eight that touch it.

    Returns
    -------
    ndarray of float64, shape (rows, columns)
        NaN at holes and where fewer than half of the neighbours are known (at the corners of
        the raster, and beside holes). [m]

    References
    ----------
    .. [1] A. D. Weiss, Topographic position and landforms analysis, poster, ESRI User
       Conference, 2001.
    """
    heights = np.asarray(heights_m, dtype=np.float64)
    if heights.ndim != 2:
        raise BadInputError("Heights for a position index must be rows and columns.")
    if radius_cells < 1:
        raise BadInputError(f"A radius of {radius_cells} cells has no neighbours; give 1 or more.")
    known = np.isfinite(heights)
    # Heights relative to their mean: sums of small numbers keep their last digits.
    level = float(heights[known].mean()) if known.any() else 0.0
    total = _square_sums(np.where(known, heights - level, 0.0), radius_cells)
    count = _square_sums(known.astype(np.float64), radius_cells)
    count -= known
    total -= np.where(known, heights - level, 0.0)
    enough = known & (count >= ((2 * radius_cells + 1) ** 2 - 1) / 2)
    mean = np.divide(total, count, out=np.full(heights.shape, np.nan), where=enough)
    return np.where(enough, heights - level - mean, np.nan)


def hollow_depth_m(ground: Ground, position: Position, *, radius_m: float = 500.0) -> float:
    """How far a place lies below the mean of its surroundings; negative on a knoll.

    Parameters
    ----------
    ground : Ground
        Heights.
    position : Position
        The place.
    radius_m : float
        Of the surroundings; half a kilometre suits frost hollows of woods (a judgement). [m]

    Returns
    -------
    float
        The topographic position index with its sign turned, over a disc of true metres. [m]

    Raises
    ------
    MissingDataError
        If the place has no height or less than three quarters of the disc is known.
    OutOfRangeError
        For a radius outside 5 m to 20 km.
    """
    require_range("radius", radius_m, 5.0, 20_000.0, "m")
    here_m = height_at_m(ground, position)
    # Rings of even area: each point stands for as much ground as any other.
    ring = radius_m * np.sqrt((np.arange(24) + 0.5) / 24)
    azimuth_deg, distance_m = np.meshgrid(np.arange(0.0, 360.0, 6.0), ring)
    latitude, longitude = positions_on_rays(position, azimuth_deg, distance_m=distance_m)
    around_m = heights_at_m(ground, latitude, longitude_deg=longitude)
    known = np.isfinite(around_m)
    if known.mean() < 0.75:
        raise MissingDataError(
            f"The ground raster does not reach {radius_m:g} m round the place; "
            "give a smaller radius or a wider raster."
        )
    return float(around_m[known].mean()) - here_m


def _square_sums(values: FloatArray, radius: int) -> FloatArray:
    """Add up squares round each cell, cut at the rim (by running totals)."""
    for axis in (0, 1):
        line = np.moveaxis(values, axis, 0)
        totals = np.concatenate([np.zeros((1, line.shape[1])), np.cumsum(line, axis=0)])
        index = np.arange(line.shape[0])
        upto = totals[np.minimum(index + radius + 1, line.shape[0])]
        values = np.moveaxis(upto - totals[np.maximum(index - radius, 0)], 0, axis)
    return np.array(values)
