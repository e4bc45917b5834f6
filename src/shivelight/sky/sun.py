"""Where the Sun stands, fast and within an arcsecond of Skyfield."""

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.angles import signed_difference_deg, wrap_deg
from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.basis.places import Position
from shivelight.sky.constants import AU_M
from shivelight.sky.nodes import geocentric_place, topocentric_place
from shivelight.sky.timescale import DAY_S, ephemeris, skyfield_time, tt_seconds_of_tt

SUN_RADIUS_M = 695_700_000.0
"""Nominal solar radius (IAU 2015 resolution B3): 15′ 59.2″ at one astronomical unit."""


def place_of(position: Position) -> dict[str, float]:
    """Latitude, longitude and height of a position by the names that this room takes them by.

    An unknown height counts as sea level: it is wanted for the parallax only.
    """
    return {
        "latitude_deg": position.latitude_deg,
        "longitude_deg": position.longitude_deg,
        "ground_height_m": position.ground_height_m or 0.0,
    }


def sun_altitude_azimuth(
    utc: UtcArray, *, latitude_deg: float, longitude_deg: float, ground_height_m: float = 0.0
) -> tuple[FloatArray, FloatArray]:
    """Airless topocentric altitude and true azimuth of the Sun's centre.

    Parameters
    ----------
    utc : ndarray of datetime64, shape S
        Instants in UTC, 1900 to 2052. NaT gives NaN.
    latitude_deg, longitude_deg : float
        Geodetic, WGS 84, north and east positive. [°]
    ground_height_m : float
        Above sea level; changes the altitude by less than 0.01″. [m]

    Returns
    -------
    altitude_deg, azimuth_deg : ndarray of float64, shape S
        Altitude above the level horizon without refraction; azimuth clockwise from true north
        in [0, 360). Within 0.1″ on the sky of Skyfield with DE421. [°]

    Raises
    ------
    OutOfRangeError
        If the place is not on Earth or an instant lies outside the ephemeris.
    """
    altitude_deg, azimuth_deg, _ = topocentric_place(
        "sun",
        utc,
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        ground_height_m=ground_height_m,
    )
    return altitude_deg, azimuth_deg


def sun_disc(
    utc: UtcArray, *, latitude_deg: float, longitude_deg: float, ground_height_m: float = 0.0
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Airless altitude and true azimuth of the Sun's centre, with the true semidiameter.

    Parameters
    ----------
    utc, latitude_deg, longitude_deg, ground_height_m
        As in :func:`sun_altitude_azimuth`.

    Returns
    -------
    altitude_deg, azimuth_deg, semidiameter_deg : ndarray of float64, shape S
        The semidiameter is 0.262° to 0.271° through the year. [°]
    """
    altitude_deg, azimuth_deg, away_au = topocentric_place(
        "sun",
        utc,
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        ground_height_m=ground_height_m,
    )
    return altitude_deg, azimuth_deg, np.degrees(np.arcsin(SUN_RADIUS_M / AU_M / away_au))


def sun_longitude_deg(utc: UtcArray) -> FloatArray:
    """Apparent geocentric ecliptic longitude of the Sun, true equinox of date.

    Parameters
    ----------
    utc : ndarray of datetime64, shape (n,)
        Instants in UTC.

    Returns
    -------
    ndarray of float64, shape (n,)
        In [0, 360). [°]
    """
    return ecliptic_longitude_deg(geocentric_place("sun", utc))


def ecliptic_longitude_deg(place: FloatArray) -> FloatArray:
    """Longitude of rows from :func:`shivelight.sky.nodes.geocentric_place`, in [0, 360) [°]."""
    x, y, z, obliquity = place.T
    return wrap_deg(np.degrees(np.arctan2(y * np.cos(obliquity) + z * np.sin(obliquity), x)))


def sun_apparent_place(tt: ArrayLike) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Apparent geocentric right ascension, declination and distance, straight from Skyfield.

    Parameters
    ----------
    tt : array_like of datetime64, shape S
        Instants in Terrestrial Time, not UTC.

    Returns
    -------
    right_ascension_deg, declination_deg, distance_au : ndarray of float64, shape S
        True equator and equinox of date. [°], [°], [au]
    """
    return apparent_place("sun", tt)


def apparent_place(body: str, tt: ArrayLike) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Apparent geocentric place of "sun" or "moon"; see :func:`sun_apparent_place`."""
    tt_s = tt_seconds_of_tt(np.asarray(tt))
    times, bodies = skyfield_time(tt_s), ephemeris()
    ascension, declination, distance = (
        bodies["earth"].at(times).observe(bodies[body]).apparent().radec("date")
    )
    return (
        np.asarray(ascension.hours * 15.0),
        np.asarray(declination.degrees),
        np.asarray(distance.au),
    )


def equation_of_time_min(tt: ArrayLike) -> FloatArray:
    """Apparent minus mean solar time.

    Parameters
    ----------
    tt : array_like of datetime64, shape S
        Instants in Terrestrial Time.

    Returns
    -------
    ndarray of float64, shape S
        Positive when the sundial is ahead of the clock. [min]

    References
    ----------
    .. [1] J. Meeus, Astronomical Algorithms, 2nd ed., 1998, eqs 28.1, 28.2.
    """
    tt_s = tt_seconds_of_tt(np.asarray(tt))
    tau = tt_s / (DAY_S * 365250.0)  # Julian millennia, as in eq. 28.2
    mean_longitude_deg = 280.4664567 + tau * (
        360007.6982779 + tau * (0.03032028 + tau * (1 / 49931 - tau * (1 / 15300)))
    )
    times = skyfield_time(tt_s)
    equinoxes_deg = (times.gast - times.gmst) * 15.0  # nutation in longitude times cos obliquity
    ascension_deg, _, _ = sun_apparent_place(tt)
    ahead_deg = signed_difference_deg(
        mean_longitude_deg - 0.0057183 + equinoxes_deg, ascension_deg
    )
    return np.asarray(ahead_deg * 4.0)
