"""A square of ground as a picture shows it: north up, metres along its sides, pixels across.

The square lies in an azimuthal equidistant projection round its centre: every pixel is so many
metres east and north of the centre, reached along a geodesic of WGS 84. Distances from the centre
are exact; across the picture they are stretched by less than :attr:`GroundSquare.stretch_frac`.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import require_range
from shivelight.basis.places import Position, wgs84

EARTH_RADIUS_M = 6_371_009.0
"""Mean radius of WGS 84 (IUGG, from memory); only for how far a picture stretches. [m]"""
LEAST_RADIUS_M, MOST_RADIUS_M = 10.0, 25_000.0
LEAST_SIDE_PX, MOST_SIDE_PX = 64, 2400


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundSquare:
    """A square of ground round a place, true north up.

    Attributes
    ----------
    centre : Position
        The place in the middle, WGS 84.
    radius_m : float
        From the centre to the middle of a side. [m]
    side_px : int
        Pixels along a side.
    """

    centre: Position
    radius_m: float
    side_px: int

    def __post_init__(self) -> None:
        require_range("radius of the picture", self.radius_m, LEAST_RADIUS_M, MOST_RADIUS_M, "m")
        require_range("side of the picture", self.side_px, LEAST_SIDE_PX, MOST_SIDE_PX, "px")

    @property
    def pixel_m(self) -> float:
        """Side of a pixel on the ground [m]."""
        return 2.0 * self.radius_m / self.side_px

    @property
    def stretch_frac(self) -> float:
        """How much longer than on the ground a length at a corner is at most, as a fraction.

        References
        ----------
        .. [1] J. P. Snyder, Map Projections: A Working Manual, USGS Professional Paper 1395
           (1987), eq. 25-2 with c / sin c = 1 + c² / 6 for a small arc c.
        """
        return (math.sqrt(2.0) * self.radius_m / EARTH_RADIUS_M) ** 2 / 6.0


def places_at(
    square: GroundSquare, x_px: ArrayLike, *, y_px: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Latitude and longitude of places in the picture.

    Parameters
    ----------
    square : GroundSquare
        What is shown.
    x_px, y_px : array_like, shapes that broadcast to S
        Right and down from the picture's top left **corner**, as browsers count. [px]

    Returns
    -------
    latitude_deg, longitude_deg : ndarray of float64, shape S
        WGS 84, longitude in [-180, 180). NaN in gives NaN out. [°]
    """
    across, down = np.broadcast_arrays(
        np.asarray(x_px, dtype=np.float64), np.asarray(y_px, dtype=np.float64)
    )
    half_px = square.side_px / 2.0
    east, north = (across - half_px) * square.pixel_m, (half_px - down) * square.pixel_m
    return places_from_centre(square.centre, east, north_m=north)


def places_from_centre(
    centre: Position, east_m: ArrayLike, *, north_m: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Latitude and longitude of places so many metres east and north, along geodesics. [°]."""
    east, north = np.broadcast_arrays(
        np.asarray(east_m, dtype=np.float64), np.asarray(north_m, dtype=np.float64)
    )
    longitude, latitude, _ = wgs84().fwd(
        np.full(east.shape, centre.longitude_deg),
        np.full(east.shape, centre.latitude_deg),
        np.degrees(np.arctan2(east, north)),
        np.hypot(east, north),
    )
    turned = np.mod(np.asarray(longitude, dtype=np.float64) + 180.0, 360.0) - 180.0
    return np.asarray(latitude, dtype=np.float64), turned


def pixels_at(
    square: GroundSquare, latitude_deg: ArrayLike, *, longitude_deg: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Where places fall in the picture; :func:`places_at` turned round.

    Parameters
    ----------
    square : GroundSquare
        What is shown.
    latitude_deg, longitude_deg : array_like, shapes that broadcast to S
        WGS 84. [°]

    Returns
    -------
    x_px, y_px : ndarray of float64, shape S
        From the top left corner; outside 0 to ``side_px`` for places that are not shown. NaN in
        gives NaN out. [px]
    """
    latitude, longitude = np.broadcast_arrays(
        np.asarray(latitude_deg, dtype=np.float64), np.asarray(longitude_deg, dtype=np.float64)
    )
    azimuth, _, distance = wgs84().inv(
        np.full(latitude.shape, square.centre.longitude_deg),
        np.full(latitude.shape, square.centre.latitude_deg),
        longitude,
        latitude,
    )
    away_px = np.asarray(distance, dtype=np.float64) / square.pixel_m
    turn = np.radians(np.asarray(azimuth, dtype=np.float64))
    half_px = square.side_px / 2.0
    return half_px + away_px * np.sin(turn), half_px - away_px * np.cos(turn)


@dataclass(frozen=True, slots=True, kw_only=True)
class LinearDegrees:
    """Degrees as a straight function of pixels, for a pointer's reading while it moves.

    Attributes
    ----------
    latitude_deg, longitude_deg : float
        At the picture's top left corner. [°]
    latitude_per_x_deg, latitude_per_y_deg : float
        Change of latitude for one pixel right and one down. [°]
    longitude_per_x_deg, longitude_per_y_deg : float
        Change of longitude likewise. [°]
    error_m : float
        Farthest that a place so read lies from where it is, measured over the picture. [m]
    """

    latitude_deg: float
    longitude_deg: float
    latitude_per_x_deg: float
    latitude_per_y_deg: float
    longitude_per_x_deg: float
    longitude_per_y_deg: float
    error_m: float


def linear_degrees(square: GroundSquare) -> LinearDegrees:
    """Fit degrees to pixels by least squares, and measure how far the fit misses.

    Parameters
    ----------
    square : GroundSquare
        What is shown.
    """
    along = np.linspace(0.0, square.side_px, 9)
    across, down = (part.ravel() for part in np.meshgrid(along, along))
    latitude, longitude = places_at(square, across, y_px=down)
    start = float(longitude[0])
    longitude = start + np.mod(longitude - start + 180.0, 360.0) - 180.0
    terms = np.column_stack([np.ones_like(across), across, down])
    factors, *_ = np.linalg.lstsq(terms, np.column_stack([latitude, longitude]), rcond=None)
    read = terms @ factors
    _, _, miss_m = wgs84().inv(longitude, latitude, read[:, 1], np.clip(read[:, 0], -90.0, 90.0))
    return LinearDegrees(
        latitude_deg=float(factors[0, 0]),
        longitude_deg=float(factors[0, 1]),
        latitude_per_x_deg=float(factors[1, 0]),
        latitude_per_y_deg=float(factors[2, 0]),
        longitude_per_x_deg=float(factors[1, 1]),
        longitude_per_y_deg=float(factors[2, 1]),
        error_m=float(np.max(miss_m)),
    )
