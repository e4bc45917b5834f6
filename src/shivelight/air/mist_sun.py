"""The little of the sun that the mist model needs: declination, length of night, sun gathered.

The rooms ``sky`` and ``air`` are strangers to each other, so the exact sunrise is passed in;
here is only what turns a sunrise into a sunset and into the heat gathered since.
"""

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray, UtcArray

RISE_ALTITUDE_DEG = -0.833  # upper limb on the level horizon with 34' of refraction; convention


def declination_deg(utc: UtcArray) -> FloatArray:
    """Declination of the sun, within 0.3° of the truth in this century.

    Parameters
    ----------
    utc : ndarray of datetime64, shape S
        Instants.

    Returns
    -------
    ndarray of float64, shape S
        Declination, north positive. [°]

    References
    ----------
    .. [1] The Astronomical Almanac, "Low precision formulas for the Sun's coordinates" (from
       memory): mean longitude, mean anomaly, two terms of the equation of the centre.
    """
    days = (np.asarray(utc) - np.datetime64("2000-01-01T12:00")) / np.timedelta64(1, "D")
    anomaly = np.radians(357.528 + 0.9856003 * days)
    longitude = np.radians(280.460 + 0.9856474 * days) + np.radians(
        1.915 * np.sin(anomaly) + 0.020 * np.sin(2.0 * anomaly)
    )
    sine = np.sin(np.radians(23.439)) * np.sin(longitude)
    return np.asarray(np.degrees(np.arcsin(sine)), dtype=np.float64)


def night_length_h(latitude_deg: ArrayLike, declination: ArrayLike) -> FloatArray:
    """Hours from sunset to sunrise on the level horizon.

    Parameters
    ----------
    latitude_deg, declination : array_like, shapes that broadcast to S
        Latitude and the sun's declination. [°]

    Returns
    -------
    ndarray of float64, shape S
        0 where the sun does not set, 24 where it does not rise. [h]
    """
    phi, delta = np.radians(latitude_deg), np.radians(declination)
    across = np.maximum(np.cos(phi) * np.cos(delta), 1e-9)
    cosine = (np.sin(np.radians(RISE_ALTITUDE_DEG)) - np.sin(phi) * np.sin(delta)) / across
    half_day = np.arccos(np.clip(cosine, -1.0, 1.0))
    return np.asarray(24.0 - 24.0 * half_day / np.pi, dtype=np.float64)


def sun_gathered_h(
    after_h: ArrayLike, *, latitude_deg: ArrayLike, declination: ArrayLike
) -> FloatArray:
    """Sine of the sun's altitude, added up since sunrise: a clear morning's warmth so far.

    Parameters
    ----------
    after_h : array_like, shape S
        Time after sunrise; before it the answer is 0. [h]
    latitude_deg, declination : array_like, shapes that broadcast with S
        Latitude and the sun's declination. [°]

    Returns
    -------
    ndarray of float64, shape S
        Equivalent hours of an overhead sun. [h]
    """
    hours = np.clip(after_h, 0.0, 24.0)
    phi, delta = np.radians(latitude_deg), np.radians(declination)
    day_h = 24.0 - night_length_h(latitude_deg, declination)
    rate = np.pi / 12.0
    start = -day_h / 2.0 * rate
    level = np.sin(phi) * np.sin(delta) * hours
    swing = np.cos(phi) * np.cos(delta) * (np.sin(start + rate * hours) - np.sin(start)) / rate
    return np.asarray(np.maximum(level + swing, 0.0), dtype=np.float64)
