"""Bearings from a compass needle or a map's grid, turned to true bearings."""

import datetime as dt
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.angles import signed_difference_deg, wrap_deg
from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import OutOfRangeError, require_range
from shivelight.basis.places import Position
from shivelight.land.ground import transformer
from shivelight.land.rays import positions_on_rays

if TYPE_CHECKING:
    from pygeomag import GeoMag

FIRST_YEAR, LAST_YEAR = 2025.0, 2030.0
"""Span of the World Magnetic Model 2025."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MagneticField:
    """The Earth's field at one place and time.

    Attributes
    ----------
    north_nt, east_nt, down_nt : float
        Its parts toward true north, east and down. [nT]
    declination_deg : float
        How far east of true north a compass needle points. [°]
    """

    north_nt: float
    east_nt: float
    down_nt: float
    declination_deg: float


def magnetic_field(
    position: Position, *, year: float, height_above_ellipsoid_m: float = 0.0
) -> MagneticField:
    """Field of the World Magnetic Model 2025.

    Parameters
    ----------
    position : Position
        Where.
    year : float
        Decimal year, 2025.0 to 2030.0.
    height_above_ellipsoid_m : float
        Above WGS 84; a hill changes the declination by less than 0.01°. [m]

    Raises
    ------
    OutOfRangeError
        Outside the model's years or -1 km to 850 km.

    Notes
    -----
    The model leaves out rocks, fences, wires and the tripod. Its own error of declination is
    stated as about 0.4° in middle latitudes (from memory); steel near by adds degrees.

    References
    ----------
    .. [1] NOAA NCEI and British Geological Survey, The US/UK World Magnetic Model for 2025-2030,
       through pygeomag.
    """
    require_range(
        "year", year, FIRST_YEAR, LAST_YEAR, "",
        "The magnetic model holds for these years only; take the bearing from a map instead.",
    )  # fmt: skip
    require_range("height", height_above_ellipsoid_m, -1_000.0, 850_000.0, "m")
    found = _model().calculate(
        glat=position.latitude_deg,
        glon=position.longitude_deg,
        alt=height_above_ellipsoid_m / 1000.0,
        time=year,
    )
    return MagneticField(
        north_nt=float(found.x),
        east_nt=float(found.y),
        down_nt=float(found.z),
        declination_deg=float(found.d),
    )


def magnetic_declination_deg(position: Position, day: dt.date) -> float:
    """How far east of true north a compass needle points on a day, WMM2025 [°].

    Raises
    ------
    OutOfRangeError
        Outside 2025 to 2029.
    """
    return magnetic_field(position, year=_decimal_year(day)).declination_deg


def true_from_magnetic(
    magnetic_bearing_deg: ArrayLike, *, position: Position, day: dt.date
) -> FloatArray:
    """Turn compass bearings into true ones: magnetic plus declination (east positive).

    Parameters
    ----------
    magnetic_bearing_deg : array_like, shape S
        As read off the needle. [°]
    position : Position
        Where it was read.
    day : date
        When; the needle moves by about a degree in five years.

    Returns
    -------
    ndarray of float64, shape S
        True bearings in [0, 360). [°]

    Raises
    ------
    OutOfRangeError
        Outside 2025 to 2029.
    """
    bearing = np.asarray(magnetic_bearing_deg, dtype=np.float64)
    return wrap_deg(bearing + magnetic_declination_deg(position, day))


def grid_convergence_deg(position: Position, *, crs: str) -> float:
    """Bearing of a map's grid north: how far it lies east of true north at a place.

    Parameters
    ----------
    position : Position
        Where.
    crs : str
        The map's coordinate system, such as "EPSG:27700".

    Returns
    -------
    float
        East positive, so that true = grid + this. [°]

    Raises
    ------
    BadInputError
        If the system is not known.
    OutOfRangeError
        If the place lies off the map.
    """
    change = transformer(crs)
    latitude, longitude = positions_on_rays(
        position, np.array([180.0, 0.0]), distance_m=np.array([50.0, 50.0])
    )
    x, y = (np.asarray(part, dtype=np.float64) for part in change.transform(longitude, latitude))
    if not (np.isfinite(x).all() and np.isfinite(y).all()):
        raise OutOfRangeError(
            "longitude", position.longitude_deg, -180.0, 180.0, "°",
            f"The place lies off the map {crs}.",
        )  # fmt: skip
    # True north points along (x, y); seen from grid north that is the bearing atan2(x, y).
    true_on_grid_deg = np.degrees(np.arctan2(x[1] - x[0], y[1] - y[0]))
    return float(signed_difference_deg(0.0, true_on_grid_deg))


def true_from_grid(grid_bearing_deg: ArrayLike, *, position: Position, crs: str) -> FloatArray:
    """Turn bearings measured on a map's grid into true ones.

    Parameters
    ----------
    grid_bearing_deg : array_like, shape S
        Clockwise from grid north. [°]
    position, crs
        As in :func:`grid_convergence_deg`.

    Returns
    -------
    ndarray of float64, shape S
        True bearings in [0, 360). [°]
    """
    bearing = np.asarray(grid_bearing_deg, dtype=np.float64)
    return wrap_deg(bearing + grid_convergence_deg(position, crs=crs))


def _decimal_year(day: dt.date) -> float:
    start, end = dt.date(day.year, 1, 1), dt.date(day.year + 1, 1, 1)
    return day.year + (day - start).days / (end - start).days


@lru_cache(maxsize=1)
def _model() -> "GeoMag":
    from pygeomag import GeoMag  # noqa: PLC0415  only when a compass bearing is turned
    from pygeomag.wmm import wmm_2025  # noqa: PLC0415

    return GeoMag(coefficients_data=wmm_2025.WMM_2025)
