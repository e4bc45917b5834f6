"""How far a beam of light runs through the crowns of a canopy raster on its way to a spot."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from shivelight.basis.arrays import FloatArray, IntArray
from shivelight.basis.errors import BadInputError, require_range
from shivelight.basis.places import Position
from shivelight.land.crownmarch import beams_kernel
from shivelight.land.curvature import STANDARD_CURVE
from shivelight.land.ground import (
    Ground,
    cells_of,
    height_at_m,
    heights_at_m,
    latitude_longitude_deg,
    map_places,
    sample,
)
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
    heights = crowns.heights
    reach_m = min(farthest_corner_m(heights, position), farthest_corner_m(ground, position))
    tallest_m = _highest_m(heights)
    bearings, which = np.unique(azimuth.ravel(), return_inverse=True)
    charts = [local_map(one, position, reach_m=reach_m) for one in (ground, heights)]
    under, over = (ray_polynomials(one, bearings) for one in charts)
    step_m, end_m = _steps(altitude.ravel(), which, over, charts[1], clear_m=(
        _highest_m(ground) + tallest_m - eye_m
    ))  # fmt: skip
    path_m, unseen_m = beams_kernel(
        (ground.heights_m, heights.heights_m),
        (*under, *over),
        (which, altitude.ravel(), step_m, end_m),
        (eye_m, STANDARD_CURVE.bend_per_m, reach_m),
        (crowns.base_frac, tallest_m),
    )
    return CrownPath(
        path_m=path_m.reshape(azimuth.shape), unseen_m=unseen_m.reshape(azimuth.shape)
    )


def _steps(
    altitude_deg: FloatArray,
    which: IntArray,
    lines: tuple[FloatArray, FloatArray],
    chart: LocalMap,
    *,
    clear_m: float,
) -> tuple[FloatArray, FloatArray]:
    """Length of one step along the ground, and where no known crown can be met any more [m]."""
    rows, columns = lines
    cells = np.hypot(rows.sum(axis=1) - chart.row, columns.sum(axis=1) - chart.column)[which]
    step_m = STEP_CELLS * chart.reach_m / cells
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        slope = np.tan(np.radians(altitude_deg))
        rising = slope > 0.0
        step_m = np.where(rising, np.minimum(step_m, STEP_UP_M / slope), step_m)
        clear = np.maximum(clear_m / slope, step_m)
    return step_m, np.where(rising, np.minimum(FARTHEST_CROWNS_M, clear), FARTHEST_CROWNS_M)


def _highest_m(raster: Ground) -> float:
    known = raster.heights_m[np.isfinite(raster.heights_m)]
    return float(known.max()) if known.size else 0.0


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
    same = ground.crs_wkt == surface.crs_wkt
    above = surface.heights_m - (_on_same_map if same else _ground_under)(ground, surface)
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
    column = np.arange(columns, dtype=np.float64)
    for row in range(rows):
        latitude, longitude = latitude_longitude_deg(
            raster.affine, raster.crs_wkt, row=row, column=column
        )
        under[row] = heights_at_m(ground, latitude, longitude_deg=longitude)
    return under


def _on_same_map(ground: Ground, raster: Ground) -> NDArray[np.float32]:
    """Like :func:`_ground_under` in one coordinate system, where no projection is needed."""
    rows, columns = raster.heights_m.shape
    under = np.full((rows, columns), np.nan, dtype=np.float32)
    layer: Ground | None = ground
    while layer is not None and layer.crs_wkt == raster.crs_wkt:
        for row in range(rows):
            if not np.isnan(under[row]).any():
                continue
            x, y = map_places(raster.affine, row, column=np.arange(columns))
            layer_row, layer_column = cells_of(layer.affine, x, y=y)
            found = sample(layer.heights_m, layer_row, column=layer_column)
            under[row] = np.where(np.isnan(under[row]), found, under[row])
        layer = layer.farther
    return under
