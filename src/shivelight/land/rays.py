"""Where rays that leave a spot by true bearing run on a raster, in rows and columns.

The exact way (geodesic, then map projection, then affine) costs about two microseconds a point.
Round one spot all of it is smooth, so it is fitted once by a polynomial in metres east and
north, checked against the exact way at points that the fit has not seen.
"""

import math
from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError
from shivelight.basis.places import Position, wgs84
from shivelight.land.ground import Ground, latitude_longitude_deg, pixel_of

WORST_FIT_CELLS = 0.02
"""The fit is raised in degree until it misses by less than this anywhere it was checked."""
FARTHEST_M = 300_000.0
"""No ground farther off is looked at: a 3,000 m mountain is under the sea's edge by then."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LocalMap:
    """Rows and columns round one spot as polynomials in metres east and north.

    Attributes
    ----------
    row, column : float
        Of the spot.
    reach_m : float
        Radius within which the map holds. [m]
    terms : ndarray of float64, shape (T, 2)
        Factors of ``(east / reach)^i (north / reach)^j`` for row and column, in the order of
        :func:`_powers`; there is no constant term, so the spot is exact.
    degree : int
        Of the polynomial.
    error_cells : float
        Largest miss found at check points. [cells]
    """

    row: float
    column: float
    reach_m: float
    terms: FloatArray
    degree: int
    error_cells: float


def local_map(ground: Ground, position: Position, *, reach_m: float) -> LocalMap:
    """Fit the map round a spot.

    Parameters
    ----------
    ground : Ground
        The raster.
    position : Position
        The spot.
    reach_m : float
        How far round it the map must hold. [m]

    Returns
    -------
    LocalMap
        Good to ``WORST_FIT_CELLS`` of a cell.

    Raises
    ------
    BadInputError
        If no polynomial up to degree nine is as good (near a pole, or at the rim of a map
        projection).
    """
    east, north = _disc(12, 40, offset=0.0)
    east_check, north_check = _disc(9, 17, offset=0.4)
    row, column = _exact(ground, position, east * reach_m, north * reach_m)
    row_check, column_check = _exact(ground, position, east_check * reach_m, north_check * reach_m)
    spot_row, spot_column = pixel_of(
        ground, position.latitude_deg, longitude_deg=position.longitude_deg
    )
    wanted = np.stack([row - spot_row, column - spot_column], axis=1)
    check = np.stack([row_check - spot_row, column_check - spot_column], axis=1)
    if np.isfinite(wanted).all() and np.isfinite(check).all():
        for degree in range(2, 10):
            terms: FloatArray = np.linalg.lstsq(
                _monomials(east, north, degree), wanted, rcond=None
            )[0].astype(np.float64)
            miss = _monomials(east_check, north_check, degree) @ terms - check
            error_cells = float(np.abs(miss).max())
            if error_cells < WORST_FIT_CELLS:
                return LocalMap(
                    row=float(spot_row), column=float(spot_column), reach_m=reach_m,
                    terms=terms, degree=degree, error_cells=error_cells,
                )  # fmt: skip
    raise BadInputError(
        "The raster's coordinate system bends too much round this spot; warp the raster to a "
        "projected system made for the region."
    )


def ray_polynomials(chart: LocalMap, azimuth_deg: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Rows and columns along each bearing as polynomials in distance over reach.

    Parameters
    ----------
    chart : LocalMap
        From :func:`local_map`.
    azimuth_deg : ndarray, shape (N,)
        True bearings. [°]

    Returns
    -------
    row_terms, column_terms : ndarray of float64, shape (N, degree + 1)
        Factors of (distance / reach) to the power 0, 1, 2, ...
    """
    sine, cosine = np.sin(np.radians(azimuth_deg)), np.cos(np.radians(azimuth_deg))
    rows = np.zeros((azimuth_deg.size, chart.degree + 1))
    columns = np.zeros_like(rows)
    rows[:, 0], columns[:, 0] = chart.row, chart.column
    for (i, j), (row_term, column_term) in zip(_powers(chart.degree), chart.terms, strict=True):
        shape = sine**i * cosine**j
        rows[:, i + j] += row_term * shape
        columns[:, i + j] += column_term * shape
    return rows, columns


def farthest_corner_m(ground: Ground, position: Position) -> float:
    """Distance from a spot to the farthest corner of a raster, at most ``FARTHEST_M`` [m]."""
    rows, columns = ground.heights_m.shape
    column = np.array([0.0, columns - 1.0, 0.0, columns - 1.0])
    row = np.array([0.0, 0.0, rows - 1.0, rows - 1.0])
    latitude, longitude = latitude_longitude_deg(
        ground.affine, ground.crs_wkt, row=row, column=column
    )
    start = np.full(4, position.longitude_deg), np.full(4, position.latitude_deg)
    _, _, distance_m = wgs84().inv(*start, longitude, latitude)
    farthest = float(np.max(distance_m))
    return min(farthest, FARTHEST_M) if math.isfinite(farthest) else FARTHEST_M


def positions_on_rays(
    position: Position, azimuth_deg: FloatArray, *, distance_m: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Latitudes and longitudes at distances along geodesics from one position.

    Parameters
    ----------
    position : Position
        Where the rays leave.
    azimuth_deg, distance_m : ndarray, shapes that broadcast to S
        True bearings [°] and distances along the ellipsoid [m].

    Returns
    -------
    latitude_deg, longitude_deg : ndarray of float64, shape S
        [°]

    References
    ----------
    .. [1] C. F. F. Karney, Algorithms for geodesics, J. Geodesy 87, 43-55 (2013), through PROJ.
    """
    azimuth, distance = np.broadcast_arrays(
        np.asarray(azimuth_deg, dtype=np.float64), np.asarray(distance_m, dtype=np.float64)
    )
    longitude, latitude, _ = wgs84().fwd(
        np.full(azimuth.shape, position.longitude_deg),
        np.full(azimuth.shape, position.latitude_deg),
        azimuth,
        distance,
    )
    return np.asarray(latitude), np.asarray(longitude)


def _exact(
    ground: Ground, position: Position, east_m: FloatArray, north_m: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Rows and columns at the ends of geodesics, by the long way."""
    latitude, longitude = positions_on_rays(
        position, np.degrees(np.arctan2(east_m, north_m)), distance_m=np.hypot(east_m, north_m)
    )
    return pixel_of(ground, latitude, longitude_deg=longitude)


def _disc(rings: int, spokes: int, *, offset: float) -> tuple[FloatArray, FloatArray]:
    """Points in the unit disc, denser toward the rim, as polynomials like it."""
    radius = np.sin(np.pi / 2 * (np.arange(rings) + 1.0 - offset) / rings)
    turn = 2.0 * np.pi * (np.arange(spokes) + offset) / spokes
    radius, turn = (part.ravel() for part in np.meshgrid(radius, turn))
    return radius * np.sin(turn), radius * np.cos(turn)


def _powers(degree: int) -> list[tuple[int, int]]:
    return [(total - j, j) for total in range(1, degree + 1) for j in range(total + 1)]


def _monomials(east: FloatArray, north: FloatArray, degree: int) -> FloatArray:
    return np.stack([east**i * north**j for i, j in _powers(degree)], axis=1)
