"""How far a beam of light runs through the crowns of a canopy raster on its way to a spot."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, require_range
from shivelight.basis.places import Position
from shivelight.land.curvature import STANDARD_CURVE
from shivelight.land.ground import Ground, height_at_m, heights_at_m, sample, transformer
from shivelight.land.rays import LocalMap, farthest_corner_m, local_map, ray_polynomials

STEP_CELLS = 0.25
STEP_UP_M = 0.5
FARTHEST_CROWNS_M = 3_000.0
"""Crowns farther off are the skyline's business: 30 m of them stand half a degree high."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CrownPath:
    """What beams meet between the sky and a spot.

    Attributes
    ----------
    path_m : ndarray of float64, shape S
        Length of each beam inside crowns. [m]
    unseen_m : ndarray of float64, shape S
        Length below the tallest crown's height where the canopy is not known: beyond the
        raster's edge (until the beam would be clear of any crown) or over holes. Not in
        ``path_m``. [m]
    """

    path_m: FloatArray
    unseen_m: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Crowns:
    """Crowns as a raster of their tops.

    Attributes
    ----------
    heights : Ground
        Canopy heights above the ground; NaN where not known. [m]
    base_frac : float
        Where crowns begin, as a share of their height: 0 for leaf down to the floor, 0.5 for
        clean boles (a judgement by stand).
    """

    heights: Ground
    base_frac: float = 0.0

    def __post_init__(self) -> None:
        require_range("crown base", self.base_frac, 0.0, 0.95)


def crown_path(
    ground: Ground,
    crowns: Crowns,
    *,
    position: Position,
    azimuth_deg: ArrayLike,
    altitude_deg: ArrayLike,
    eye_height_m: float,
) -> CrownPath:
    """Length of beams inside crowns.

    Parameters
    ----------
    ground : Ground
        Bare ground.
    crowns : Crowns
        Canopy heights on any grid of their own.
    position : Position
        The spot.
    azimuth_deg, altitude_deg : array_like, shapes that broadcast to S
        Where the light comes from: true bearing and apparent altitude. [°]
    eye_height_m : float
        Height of the lens, or of what is to be lit, above the ground. [m]

    Returns
    -------
    CrownPath
        A beam from below the level horizon, or NaN, gives NaN.

    Raises
    ------
    MissingDataError
        If the spot lies off either raster or on a hole of the ground.
    OutOfRangeError
        For an eye height outside 0 to 200 m.

    Notes
    -----
    A canopy raster is a coat over the crowns: holes narrower than its cells are closed, and
    leaf is taken to fill it evenly from crown base to top. Stepped by a quarter cell or less;
    the length is right to about one step at each edge of a crown.
    """
    require_range("eye height", eye_height_m, 0.0, 200.0, "m")
    azimuth, altitude = np.broadcast_arrays(
        np.asarray(azimuth_deg, dtype=np.float64), np.asarray(altitude_deg, dtype=np.float64)
    )
    eye_m = height_at_m(ground, position) + eye_height_m
    reach_m = min(farthest_corner_m(crowns.heights, position), farthest_corner_m(ground, position))
    tallest_m = _highest_m(crowns.heights)
    scene = _Scene(
        ground=ground,
        crowns=crowns,
        maps=tuple(local_map(one, position, reach_m=reach_m) for one in (ground, crowns.heights)),
        eye_m=eye_m,
        tallest_m=tallest_m,
        top_m=_highest_m(ground) + tallest_m,
    )
    path_m, unseen_m = np.full(azimuth.size, np.nan), np.full(azimuth.size, np.nan)
    beams = zip(azimuth.ravel(), altitude.ravel(), strict=True)
    for index, (bearing, height) in enumerate(beams):
        if height >= 0.0:
            path_m[index], unseen_m[index] = _one_beam(scene, float(bearing), float(height))
    return CrownPath(
        path_m=path_m.reshape(azimuth.shape), unseen_m=unseen_m.reshape(azimuth.shape)
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Scene:
    ground: Ground
    crowns: Crowns
    maps: tuple[LocalMap, ...]
    eye_m: float
    tallest_m: float
    top_m: float


def _one_beam(scene: _Scene, azimuth_deg: float, altitude_deg: float) -> tuple[float, float]:
    """Follow one beam outward until no known crown can reach it."""
    chart = scene.maps[1]
    lines = [ray_polynomials(one, np.array([azimuth_deg])) for one in scene.maps]
    rows, columns = lines[1]
    cells = float(np.hypot(rows.sum() - chart.row, columns.sum() - chart.column))
    slope = math.tan(math.radians(altitude_deg))
    step_m = STEP_CELLS * chart.reach_m / cells
    end_m = FARTHEST_CROWNS_M
    if slope > 0.0:
        step_m = min(step_m, STEP_UP_M / slope)
        end_m = min(end_m, max((scene.top_m - scene.eye_m) / slope, step_m))
    distance = np.arange(0.5 * step_m, end_m, step_m, dtype=np.float64)
    share = distance / chart.reach_m
    under = _along(scene.ground, lines[0], share)
    tall = _along(scene.crowns.heights, lines[1], share)
    rise = distance * slope + STANDARD_CURVE.bend_per_m * distance**2
    over = scene.eye_m + rise - under
    inside = (over > scene.crowns.base_frac * tall) & (over < tall)
    # Where the ground is not known it is taken as level, only to bound what may be met.
    bound = np.where(np.isfinite(under), over, rise)
    unseen = (np.isnan(under) | np.isnan(tall)) & (bound < scene.tallest_m)
    length_m = step_m / math.cos(math.radians(altitude_deg))
    return float(inside.sum()) * length_m, float(unseen.sum()) * length_m


def _along(raster: Ground, line: tuple[FloatArray, FloatArray], share: FloatArray) -> FloatArray:
    """Values of a raster along a ray, NaN past the ray's map."""
    row, column = (np.polynomial.polynomial.polyval(share, terms[0]) for terms in line)
    return np.where(share <= 1.0, sample(raster.heights_m, row, column=column), np.nan)


def _highest_m(raster: Ground) -> float:
    known = raster.heights_m[np.isfinite(raster.heights_m)]
    return float(known.max()) if known.size else 0.0


def canopy_path_m(
    ground: Ground,
    canopy_heights: Ground,
    *,
    position: Position,
    azimuth_deg: ArrayLike,
    altitude_deg: ArrayLike,
    eye_height_m: float,
) -> FloatArray:
    """Length of beams below the canopy's surface: :func:`crown_path` with leaf to the floor.

    Parameters
    ----------
    ground, canopy_heights : Ground
        Bare ground, and canopy heights above it.
    position, azimuth_deg, altitude_deg, eye_height_m
        As in :func:`crown_path`.

    Returns
    -------
    ndarray of float64, shape S
        What lies off the canopy raster is not in it. [m]
    """
    found = crown_path(
        ground,
        Crowns(heights=canopy_heights),
        position=position,
        azimuth_deg=azimuth_deg,
        altitude_deg=altitude_deg,
        eye_height_m=eye_height_m,
    )
    return found.path_m


def canopy_above(ground: Ground, surface: Ground) -> Ground:
    """Canopy heights from a surface raster (tree tops and roofs) and the bare ground.

    Parameters
    ----------
    ground, surface : Ground
        Both above the same sea level, on any grids.

    Returns
    -------
    Ground
        On the surface's grid, heights above the ground, never negative.

    Raises
    ------
    BadInputError
        If the two do not overlap.
    """
    above = surface.heights_m - _ground_under(ground, surface)
    if not np.isfinite(above).any():
        raise BadInputError("The surface raster and the ground raster do not overlap.")
    return Ground(
        heights_m=np.maximum(above, np.float32(0.0)),
        affine=surface.affine,
        crs_wkt=surface.crs_wkt,
        origin="canopy raster from surface less ground",
    )


def _ground_under(ground: Ground, raster: Ground) -> NDArray[np.float32]:
    """Ground heights at the cell centres of another raster, NaN where there are none."""
    rows, columns = raster.heights_m.shape
    under = np.empty((rows, columns), dtype=np.float32)
    a, b, c, d, e, f = raster.affine
    column = np.arange(columns, dtype=np.float64)
    back = transformer(raster.crs_wkt)
    for row in range(rows):
        longitude, latitude = back.transform(
            a * column + b * row + c, d * column + e * row + f, direction="INVERSE"
        )
        under[row] = heights_at_m(ground, latitude, longitude_deg=longitude)
    return under
