"""A position on the ground, and how far and which way to another."""

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from shivelight.basis.errors import require_range

if TYPE_CHECKING:
    from pyproj import Geod


@dataclass(frozen=True, slots=True, kw_only=True)
class Position:
    """A point on the ground, WGS 84.

    Attributes
    ----------
    latitude_deg, longitude_deg : float
        North and east positive. [°]
    ground_height_m : float or None
        Height of the ground above sea level; None when not known. [m]
    """

    latitude_deg: float
    longitude_deg: float
    ground_height_m: float | None = None

    def __post_init__(self) -> None:
        require_range("latitude", self.latitude_deg, -90.0, 90.0, "°")
        require_range(
            "longitude", self.longitude_deg, -180.0, 360.0, "°", "East is positive, west negative."
        )
        if self.ground_height_m is not None:
            require_range("ground height", self.ground_height_m, -500.0, 9000.0, "m")


@lru_cache(maxsize=1)
def wgs84() -> "Geod":
    """Geodesics on the ellipsoid of WGS 84."""
    from pyproj import Geod  # noqa: PLC0415  a tenth of a second, only when distances are asked

    return Geod(ellps="WGS84")


def distance_and_azimuth(start: Position, end: Position) -> tuple[float, float]:
    """Geodesic distance and starting azimuth on WGS 84.

    Parameters
    ----------
    start, end : Position
        Two points; heights are ignored.

    Returns
    -------
    distance_m : float
        Along the ellipsoid, within a millimetre. [m]
    azimuth_deg : float
        True azimuth at ``start``, in [0, 360); 0 when the points coincide. [°]

    References
    ----------
    .. [1] C. F. F. Karney, Algorithms for geodesics, J. Geodesy 87, 43-55 (2013), through PROJ.
    """
    azimuth, _, distance_m = wgs84().inv(
        start.longitude_deg, start.latitude_deg, end.longitude_deg, end.latitude_deg
    )
    if distance_m == 0.0:
        return 0.0, 0.0
    return float(distance_m), float(azimuth) % 360.0


def destination(start: Position, *, azimuth_deg: float, distance_m: float) -> Position:
    """Point reached from ``start`` along a geodesic; the height is not carried over.

    Parameters
    ----------
    start : Position
        Where to set out.
    azimuth_deg : float
        True azimuth. [°]
    distance_m : float
        Along the ellipsoid. [m]
    """
    longitude, latitude, _ = wgs84().fwd(
        start.longitude_deg, start.latitude_deg, azimuth_deg, distance_m
    )
    return Position(latitude_deg=float(latitude), longitude_deg=float(longitude))


def rounded_to_district(position: Position, *, square_m: float = 10_000.0) -> tuple[float, float]:
    """Latitude and longitude coarsened to the middle of a square of about ``square_m``.

    For what goes out of a wood of class *district* or *never* without anybody asking, such as
    the request for a forecast. [°]
    """
    step_deg = square_m / 111_195.0
    latitude_deg = (math.floor(position.latitude_deg / step_deg) + 0.5) * step_deg
    across_deg = step_deg / max(math.cos(math.radians(latitude_deg)), 0.05)
    longitude_deg = (math.floor(position.longitude_deg / across_deg) + 0.5) * across_deg
    return latitude_deg, longitude_deg
