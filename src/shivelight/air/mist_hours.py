"""Weather of many nights on one ruler: whole hours before and after each sunrise."""

from dataclasses import dataclass, fields

import numpy as np

from shivelight.air.mist_sun import declination_deg
from shivelight.basis.arrays import BoolArray, FloatArray, UtcArray
from shivelight.basis.errors import BadInputError

HOURS = np.arange(-20.0, 6.0)
"""The ruler: hours from sunrise, one column each. Shape (R,). [h]"""

BRIDGED_H = 3
"""Longest gap closed by a straight line, or by the nearest value at an end. [h]"""

HELD_H = 4
"""How long the last value is held after the end of a forecast that reaches past sunrise. [h]"""

FIRST_NIGHT_H = -8.0
"""The night's means look back this far from sunrise; what lies before is "evening". [h]"""

QUANTITIES = (
    "temperature_degc",
    "dew_point_degc",
    "wind_speed_mps",
    "cloud_cover_frac",
    "precipitation_mm",
    "pressure_hpa",
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class NightHours:
    """B nights (or members of one night) on the ruler :data:`HOURS`.

    Attributes
    ----------
    temperature_degc, dew_point_degc : ndarray, shape (B, R)
        At screen height. [°C]
    wind_speed_mps : ndarray, shape (B, R)
        At 10 m. [m/s]
    cloud_cover_frac : ndarray, shape (B, R)
        0 to 1.
    precipitation_mm : ndarray, shape (B, R)
        In the hour before. [mm]
    pressure_hpa : ndarray, shape (B, R)
        At sea level. [hPa]
    rain_before_mm : ndarray, shape (B,)
        In the 24 h up to the noon before; NaN when not known. [mm]
    night_h : ndarray, shape (B,)
        From sunset to sunrise. [h]
    latitude_deg, declination : ndarray, shape (B,)
        Of the place and of the sun. [°]
    sunrise_utc : ndarray of datetime64, shape (B,)
        Sunrise of the morning asked about.
    """

    temperature_degc: FloatArray
    dew_point_degc: FloatArray
    wind_speed_mps: FloatArray
    cloud_cover_frac: FloatArray
    precipitation_mm: FloatArray
    pressure_hpa: FloatArray
    rain_before_mm: FloatArray
    night_h: FloatArray
    latitude_deg: FloatArray
    declination: FloatArray
    sunrise_utc: UtcArray

    @property
    def count(self) -> int:
        """How many nights."""
        return int(self.night_h.size)

    def only(self, keep: BoolArray) -> "NightHours":
        """Keep some of the nights; ``keep`` has shape (B,)."""
        return NightHours(
            **{field.name: getattr(self, field.name)[keep] for field in fields(self)}
        )

    def at(self, quantity: str, after_h: FloatArray) -> FloatArray:
        """Interpolate one quantity to times after sunrise.

        Parameters
        ----------
        quantity : str
            One of :data:`QUANTITIES`.
        after_h : ndarray, shape (B, Q)
            Times; held at the ruler's ends. [h]

        Returns
        -------
        ndarray, shape (B, Q)
            NaN beside a missing hour.
        """
        return sample(getattr(self, quantity), after_h - HOURS[0])

    def has(self, quantity: str, first_h: float, last_h: float) -> BoolArray:
        """Which nights hold every hour of a quantity between two hours. Shape (B,)."""
        columns = (first_h <= HOURS) & (last_h >= HOURS)
        known: BoolArray = np.isfinite(getattr(self, quantity)[:, columns]).all(axis=1)
        return known


def sample(values: FloatArray, position: FloatArray) -> FloatArray:
    """Read rows between columns, straight, held at both ends.

    Parameters
    ----------
    values : ndarray, shape (B, T)
        Rows with one column per step.
    position : ndarray, shape (B, Q)
        Column asked for, fractions allowed.

    Returns
    -------
    ndarray, shape (B, Q)
        A NaN counts only where its weight is not zero.
    """
    last = values.shape[1] - 1
    clipped = np.clip(position, 0.0, last)
    left = np.minimum(np.floor(clipped).astype(np.int64), max(last - 1, 0))
    share = clipped - left
    low = np.take_along_axis(values, left, axis=1)
    high = np.take_along_axis(values, np.minimum(left + 1, last), axis=1)
    low_part = np.where(share < 1.0, low * (1.0 - share), 0.0)
    return np.asarray(low_part + np.where(share > 0.0, high * share, 0.0), dtype=np.float64)


def bridge(values: FloatArray, *, longest: int = BRIDGED_H) -> FloatArray:
    """Close short gaps in hourly rows by a straight line; leave longer ones NaN.

    Parameters
    ----------
    values : ndarray, shape (B, T)
        Hourly rows.
    longest : int
        Most missing hours in a row that are closed; as many are held at either end.

    Returns
    -------
    ndarray, shape (B, T)
        A new array.
    """
    known = np.isfinite(values)
    if known.all():
        return values.copy()
    columns = np.arange(values.shape[1])
    before = np.maximum.accumulate(np.where(known, columns, -1), axis=1)
    after = np.minimum.accumulate(np.where(known, columns, values.shape[1])[:, ::-1], axis=1)[
        :, ::-1
    ]
    has_before, has_after = before >= 0, after < values.shape[1]
    left = np.take_along_axis(values, np.maximum(before, 0), axis=1)
    right = np.take_along_axis(values, np.minimum(after, values.shape[1] - 1), axis=1)
    share = (columns - before) / np.maximum(after - before, 1)
    inside = np.where(share > 0.0, left + (right - left) * share, left)
    filled = np.where(has_before & has_after, inside, np.where(has_before, left, right))
    gap = np.where(
        has_before & has_after,
        after - before - 1,
        np.where(has_before, columns - before, after - columns),
    )
    closed = (has_before | has_after) & (gap <= longest)
    return np.where(known, values, np.where(closed, filled, np.nan))


def on_ruler(hourly: FloatArray, start_h: FloatArray) -> FloatArray:
    """Move hourly rows onto the ruler of :data:`HOURS`.

    Parameters
    ----------
    hourly : ndarray, shape (B, T)
        Rows whose first column stands at ``start_h``.
    start_h : ndarray, shape (B,)
        Hours from sunrise of the first column (negative before it). [h]

    Returns
    -------
    ndarray, shape (B, R)
        Before the rows' span the first value is held for :data:`BRIDGED_H` hours, after it the
        last for :data:`HELD_H`; beyond that NaN.
    """
    position = HOURS[None, :] - start_h[:, None]
    moved = sample(bridge(hourly), position)
    outside = (position < -BRIDGED_H) | (position > hourly.shape[1] - 1 + HELD_H)
    return np.where(outside, np.nan, moved)


def hourly_steps(utc: UtcArray) -> tuple[UtcArray, FloatArray]:
    """Whole hours that cover a series, and where its instants stand on them.

    Parameters
    ----------
    utc : ndarray of datetime64, shape (T,)
        Rising instants.

    Returns
    -------
    hours : ndarray of datetime64[us], shape (H,)
        One an hour from the first instant.
    position_h : ndarray, shape (T,)
        Hours of the given instants from the first. [h]
    """
    if utc.size == 0:
        raise BadInputError("The night holds no hours; give at least the hours around sunrise.")
    start = utc[0].astype("datetime64[us]")
    position_h = np.asarray((utc - utc[0]) / np.timedelta64(1, "h"), dtype=np.float64)
    if np.any(np.diff(position_h) <= 0.0):
        raise BadInputError("The night's hours do not rise one after another.")
    count = int(np.floor(position_h[-1] + 1e-9)) + 1
    return start + np.arange(count) * np.timedelta64(3_600_000_000, "us"), position_h


def to_hourly(values: FloatArray, position_h: FloatArray, count: int) -> FloatArray:
    """Interpolate rows at uneven instants to whole hours; steps over 6 h stay NaN.

    Parameters
    ----------
    values : ndarray, shape (B, T)
        Rows.
    position_h : ndarray, shape (T,)
        Where the columns stand. [h]
    count : int
        How many whole hours from 0.

    Returns
    -------
    ndarray, shape (B, count)
        NaN where a row is missing next to the hour.
    """
    asked = np.arange(float(count))
    if position_h.size == count and np.allclose(position_h, asked):
        return np.asarray(values, dtype=np.float64)
    right = np.clip(np.searchsorted(position_h, asked, side="left"), 1, position_h.size - 1)
    width = position_h[right] - position_h[right - 1]
    share = (asked - position_h[right - 1]) / width
    rows = values[:, right - 1] * (1.0 - share) + values[:, right] * share
    rows = np.where(np.isclose(share, 0.0), values[:, right - 1], rows)
    rows = np.where(np.isclose(share, 1.0), values[:, right], rows)
    return np.where(width > 6.0, np.nan, rows)


def sun_of(sunrise_utc: UtcArray) -> FloatArray:
    """Give the declination of the sun at each sunrise, in degrees."""
    return declination_deg(sunrise_utc)
