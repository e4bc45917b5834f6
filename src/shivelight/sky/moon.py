"""Where the Moon stands, how much of it is lit, and its phases."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.angles import wrap_deg
from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.sky.constants import AU_M
from shivelight.sky.events import find_quarters
from shivelight.sky.nodes import geocentric_place, topocentric_place
from shivelight.sky.sun import apparent_place, ecliptic_longitude_deg

MOON_RADIUS_M = 1_737_400.0
"""Mean radius (IAU 2015 working group on cartographic coordinates; from memory)."""

PHASE_NAMES = ("new Moon", "first quarter", "full Moon", "last quarter")


@dataclass(frozen=True, slots=True, kw_only=True)
class Phase:
    """One of the four phases of the Moon and its instant."""

    name: str
    utc: np.datetime64


def moon_altitude_azimuth(
    utc: UtcArray, *, latitude_deg: float, longitude_deg: float, ground_height_m: float = 0.0
) -> tuple[FloatArray, FloatArray]:
    """Airless topocentric altitude and true azimuth of the Moon's centre, parallax included.

    Parameters
    ----------
    utc : ndarray of datetime64, shape S
        Instants in UTC, 1900 to 2052. NaT gives NaN.
    latitude_deg, longitude_deg : float
        Geodetic, WGS 84, north and east positive. [°]
    ground_height_m : float
        Above sea level. [m]

    Returns
    -------
    altitude_deg, azimuth_deg : ndarray of float64, shape S
        Within 0.3″ on the sky of Skyfield with DE421. [°]

    Raises
    ------
    OutOfRangeError
        If the place is not on Earth or an instant lies outside the ephemeris.
    """
    altitude_deg, azimuth_deg, _ = topocentric_place(
        "moon",
        utc,
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        ground_height_m=ground_height_m,
    )
    return altitude_deg, azimuth_deg


def moon_limb_altitude_deg(
    utc: UtcArray, *, latitude_deg: float, longitude_deg: float, ground_height_m: float = 0.0
) -> FloatArray:
    """Airless altitude of the Moon's upper limb; parameters as :func:`moon_altitude_azimuth`."""
    altitude_deg, _, distance_au = topocentric_place(
        "moon",
        utc,
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        ground_height_m=ground_height_m,
    )
    return np.asarray(altitude_deg + np.degrees(np.arcsin(MOON_RADIUS_M / (distance_au * AU_M))))


def moon_illuminated_frac(utc: UtcArray) -> FloatArray:
    """Share of the Moon's disc that is lit, seen from the Earth's centre.

    Parameters
    ----------
    utc : ndarray of datetime64, shape S
        Instants in UTC.

    Returns
    -------
    ndarray of float64, shape S
        0 at new Moon, 1 at full, within 0.001.

    References
    ----------
    .. [1] J. Meeus, Astronomical Algorithms, 2nd ed., 1998, eqs 48.1, 48.3.
    """
    moments = np.asarray(utc).astype("datetime64[us]")
    moon = geocentric_place("moon", moments.ravel())[:, :3]
    sun = geocentric_place("sun", moments.ravel())[:, :3]
    moon_away, sun_away = np.linalg.norm(moon, axis=1), np.linalg.norm(sun, axis=1)
    cos_elongation = (moon * sun).sum(axis=1) / (moon_away * sun_away)
    sin_elongation = np.sqrt(np.maximum(1.0 - cos_elongation**2, 0.0))
    phase_angle = np.arctan2(sun_away * sin_elongation, moon_away - sun_away * cos_elongation)
    return np.asarray(((1.0 + np.cos(phase_angle)) / 2.0).reshape(moments.shape))


def moon_longitude_latitude_deg(utc: UtcArray) -> tuple[FloatArray, FloatArray]:
    """Apparent geocentric ecliptic longitude and latitude of the Moon, equinox of date.

    Parameters
    ----------
    utc : ndarray of datetime64, shape (n,)
        Instants in UTC.

    Returns
    -------
    longitude_deg, latitude_deg : ndarray of float64, shape (n,)
        Longitude in [0, 360). [°]
    """
    place = geocentric_place("moon", utc)
    x, y, z, obliquity = place.T
    north = z * np.cos(obliquity) - y * np.sin(obliquity)
    latitude_deg = np.degrees(np.arctan2(north, np.sqrt(x**2 + y**2 + z**2 - north**2)))
    return ecliptic_longitude_deg(place), np.asarray(latitude_deg)


def moon_ahead_deg(utc: UtcArray) -> FloatArray:
    """Apparent longitude of the Moon minus that of the Sun, in [0, 360) [°], shape (n,)."""
    moon_deg = ecliptic_longitude_deg(geocentric_place("moon", utc))
    return wrap_deg(moon_deg - ecliptic_longitude_deg(geocentric_place("sun", utc)))


def moon_phases(start_utc: np.datetime64, end_utc: np.datetime64) -> tuple[Phase, ...]:
    """Find new, first-quarter, full and last-quarter Moons of a span, in order.

    Parameters
    ----------
    start_utc, end_utc : datetime64
        The span.

    Returns
    -------
    tuple of Phase
        When the Moon is 0°, 90°, 180° and 270° ahead of the Sun in apparent longitude, to a
        second of the ephemeris.
    """
    found = find_quarters(moon_ahead_deg, start_utc, end_utc, step_s=86400.0)
    return tuple(Phase(name=PHASE_NAMES[quarter], utc=moment) for quarter, moment in found)


def moon_apparent_place(tt: ArrayLike) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Apparent geocentric right ascension, declination and distance, straight from Skyfield.

    Parameters
    ----------
    tt : array_like of datetime64, shape S
        Instants in Terrestrial Time, not UTC.

    Returns
    -------
    right_ascension_deg, declination_deg, distance_au : ndarray of float64, shape S
        True equator and equinox of date; the distance holds light time. [°], [°], [au]
    """
    return apparent_place("moon", tt)
