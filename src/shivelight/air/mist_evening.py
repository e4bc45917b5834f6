"""Temperature and dew point through the night from what a person reads in the evening.

A linear model of the change since the reading: the root of the hours of dark gone by, cloud,
wind and spread before sunrise, sun gathered after it. Fitted on the training stations of the
mist model with cloud and wind as uncertain as a forecast's; it holds for readings between sunset
and midnight in a mild lowland climate, and its error grows with the hours (returned as sd).
"""

import numpy as np
from numpy.typing import ArrayLike

from shivelight.air._mist_evening_table import (
    DEW_POINT,
    LEAD_H,
    SD_DEW_POINT_K,
    SD_TEMPERATURE_K,
    TEMPERATURE,
)
from shivelight.air.mist_sun import RISE_ALTITUDE_DEG, declination_deg, sun_gathered_h
from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.basis.errors import BadInputError, require_range

HOUR = np.timedelta64(3_600_000_000, "us")


def evening_series(
    utc: UtcArray,
    *,
    start_utc: np.datetime64,
    temperature_degc: float,
    dew_point_degc: float,
    cloud_frac: ArrayLike,
    wind_mps: ArrayLike,
    sunrise_utc: np.datetime64,
    sunset_utc: np.datetime64,
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Carry an evening's reading through the night.

    Parameters
    ----------
    utc : ndarray of datetime64, shape (T,)
        Rising instants; up to 4 h after sunrise is what was fitted.
    start_utc : datetime64
        When temperature and dew point were read.
    temperature_degc, dew_point_degc : float
        As read. [°C]
    cloud_frac, wind_mps : array_like, shape () or (T,)
        Cloud cover (0 to 1) and wind at 10 m through the night, as expected. [1, m/s]
    sunrise_utc, sunset_utc : datetime64
        Next sunrise and the sunset before it.

    Returns
    -------
    temperature_degc, dew_point_degc : ndarray, shape (T,)
        Dew point never above temperature; NaN before ``start_utc``. [°C]
    sd_temperature_k, sd_dew_point_k : ndarray, shape (T,)
        Spread of their errors at the training stations. [K]

    Raises
    ------
    BadInputError
        If the dew point is above the temperature or the times are out of order.
    OutOfRangeError
        If a value is outside what it can be.
    """
    _check(temperature_degc, dew_point_degc)
    if not sunset_utc < sunrise_utc or not start_utc < sunrise_utc:
        raise BadInputError("The reading and the sunset must come before the sunrise.")
    when = np.asarray(utc).astype("datetime64[us]")
    lead_h = np.asarray((when - start_utc.astype("datetime64[us]")) / HOUR, dtype=np.float64)
    if np.any(np.diff(lead_h) <= 0.0):
        raise BadInputError("The hours asked for do not rise one after another.")
    dawn_h = float((sunrise_utc - start_utc) / HOUR)
    night_h = float((sunrise_utc - sunset_utc) / HOUR)
    columns = change_terms(
        lead_h,
        dawn_h=dawn_h,
        night_h=night_h,
        declination=float(declination_deg(np.array([sunrise_utc]))[0]),
        reading=(temperature_degc, dew_point_degc),
        sky=(
            running_mean(np.broadcast_to(np.asarray(cloud_frac, float), lead_h.shape), lead_h),
            running_mean(np.broadcast_to(np.asarray(wind_mps, float), lead_h.shape), lead_h),
        ),
    )
    before = lead_h < 0.0
    temperature = temperature_degc + columns @ np.asarray(TEMPERATURE)
    dew_point = dew_point_degc + columns @ np.asarray(DEW_POINT)
    dew_point = np.minimum(dew_point, temperature)
    spreads = [np.interp(lead_h, LEAD_H, sd) for sd in (SD_TEMPERATURE_K, SD_DEW_POINT_K)]
    rows = [temperature, dew_point, *spreads]
    warm, moist, sd_warm, sd_moist = (np.where(before, np.nan, row) for row in rows)
    return warm, moist, sd_warm, sd_moist


def _check(temperature_degc: float, dew_point_degc: float) -> None:
    require_range("temperature", temperature_degc, -40.0, 45.0, "°C")
    require_range("dew point", dew_point_degc, -60.0, 35.0, "°C")
    if dew_point_degc > temperature_degc + 0.05:
        raise BadInputError(
            f"The dew point {dew_point_degc:g} °C is above the temperature {temperature_degc:g} "
            "°C, which cannot be; check which is which."
        )


def running_mean(values: FloatArray, lead_h: FloatArray) -> FloatArray:
    """Mean of a series from the reading up to each instant, trapezes. Shape (..., T)."""
    later = np.maximum(lead_h, 0.0)
    width = np.diff(later, axis=-1)
    middle = 0.5 * (values[..., 1:] + values[..., :-1])
    area = np.concatenate(
        [
            values[..., :1] * later[..., :1],
            values[..., :1] * later[..., :1] + np.cumsum(middle * width, axis=-1),
        ],
        axis=-1,
    )
    return np.where(later > 0.0, area / np.maximum(later, 1e-9), values)


def change_terms(
    lead_h: FloatArray,
    *,
    dawn_h: ArrayLike,
    night_h: ArrayLike,
    declination: ArrayLike,
    reading: tuple[ArrayLike, ArrayLike],
    sky: tuple[FloatArray, FloatArray],
) -> FloatArray:
    """Terms of the change since the reading; all of them 0 at the reading.

    Parameters
    ----------
    lead_h : ndarray, shape (..., T)
        Hours since the reading. [h]
    dawn_h, night_h, declination : array_like, shapes that broadcast
        Hours from the reading to sunrise, length of the night [h], declination of the sun [°].
    reading : tuple of array_like
        Temperature and dew point as read. [°C]
    sky : tuple of ndarray, shape (..., T)
        Means since the reading of cloud (0 to 1) and wind. [1, m/s]

    Returns
    -------
    ndarray, shape (..., T, 17)
    """
    warm, moist = (np.asarray(value, dtype=np.float64) for value in reading)
    spread = np.clip(warm - moist, 0.0, 15.0) / 5.0
    cloud, wind = np.clip(sky[0], 0.0, 1.0), np.clip(sky[1], 0.0, 12.0) / 4.0
    dark_h = np.clip(np.minimum(lead_h, dawn_h), 0.0, None)
    root = np.sqrt(dark_h)
    # The sun's share of a day is set by the length of the night; a latitude that gives that
    # night is all that is needed.
    sun = sun_gathered_h(
        lead_h - np.asarray(dawn_h, dtype=np.float64),
        latitude_deg=latitude_of_night(night_h, declination),
        declination=declination,
    )
    open_sky = 1.0 - cloud**2
    columns = [
        root,
        root * open_sky,
        root * wind,
        root * open_sky * wind,
        root * spread,
        root * spread * open_sky,
        root * warm / 10.0,
        dark_h / 4.0,
        dark_h / 4.0 * open_sky,
        dark_h / 4.0 * wind,
        dark_h / 4.0 * spread,
        dark_h / 4.0 * warm / 10.0,
        sun,
        sun * open_sky,
        sun**2,
        sun * spread,
        sun * warm / 10.0,
    ]
    shape = np.broadcast_shapes(*(np.shape(column) for column in columns))
    return np.stack([np.broadcast_to(column, shape) for column in columns], axis=-1)


def latitude_of_night(night_h: ArrayLike, declination: ArrayLike) -> FloatArray:
    """Latitude at which the night has a given length, within ±70°.

    Near the equinox every latitude has the same night; there 50° is taken. [°]
    """
    delta = np.radians(np.asarray(declination, dtype=np.float64))
    half_day = np.pi * (24.0 - np.asarray(night_h, dtype=np.float64)) / 24.0
    # sin(phi) sin(delta) + cos(phi) cos(delta) cos(H) = sin(a), as one cosine of phi.
    east = np.cos(delta) * np.cos(half_day)
    size = np.maximum(np.hypot(np.sin(delta), east), 1e-9)
    middle = np.arctan2(np.sin(delta), east)
    turn = np.arccos(np.clip(np.sin(np.radians(RISE_ALTITUDE_DEG)) / size, -1.0, 1.0))
    one, two = (
        np.degrees((angle + np.pi) % (2.0 * np.pi) - np.pi)
        for angle in (middle + turn, middle - turn)
    )
    found = np.where(np.abs(one) <= np.abs(two), one, two)
    steady = np.abs(np.sin(delta)) > 0.06
    return np.where(steady, np.clip(found, -70.0, 70.0), 50.0)
