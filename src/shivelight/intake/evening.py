"""The values a person can type late in the evening, made into an hourly forecast of one night.

Temperature and dew point follow the cooling fitted in :mod:`shivelight.air.mist_evening`, with
its errors; cloud and wind follow the words typed. What was not typed stays missing. The sizes
that stand for words here are judgements.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from shivelight.air.forecast import Ensemble, single
from shivelight.air.humidity import dew_point_degc
from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.basis.errors import BadInputError, MissingDataError, require_range
from shivelight.basis.instants import clock
from shivelight.basis.places import Position

TRENDS = ("falling", "steady", "rising")
CLOUD_CHANGES = ("steady", "clearing", "thickening")
GROUNDS = ("wet", "dry")

LEAST_HOURS_AHEAD = 14
PAST_SUNRISE_H = 4.0
TREND_TAKES_H = 6.0
WIND_AFTER_FRAC = {"falling": 0.4, "steady": 1.0, "rising": 2.0}
"""Wind after the trend has run, as a share of that typed."""
WIND_RISES_AT_MOST_MPS = 5.0
"""A rising wind gains no more than this: a strong one is not doubled. A judgement. [m/s]"""
CLOUD_AFTER_FRAC = {"clearing": 0.1, "thickening": 0.9}
CLOUD_BEFORE_FRAC = {"clearing": 0.75, "thickening": 0.25}
"""Cloud now where only the change was typed ("clearing by 01:00")."""
PRESSURE_HPA_PER_H = {"falling": -0.4, "steady": 0.0, "rising": 0.4}
USUAL_CLOUD_FRAC = 0.5
USUAL_WIND_MPS = 2.5
"""Taken for the cooling of the night alone where cloud or wind was not typed."""
WET_GROUND_MM = 1.0
"""Rain taken to have fallen before the evening when the ground is typed as wet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EveningValues:
    """What was typed, in the core's units; None (or "") where nothing was.

    Attributes
    ----------
    utc : datetime64
        When the values were read.
    temperature_degc : float
        Air temperature. [°C]
    dew_point_degc, relative_humidity_frac : float or None
        One of them is needed. [°C]
    wind_speed_mps : float or None
        As forecasts give it, 10 m up in the open. [m/s]
    wind_trend : str
        One of :data:`TRENDS`.
    cloud_cover_frac : float or None
        Cloud now.
    cloud_change : str
        One of :data:`CLOUD_CHANGES`.
    cloud_by_utc : datetime64 or None
        By when it has cleared or thickened; within six hours when not typed.
    ground : str
        One of :data:`GROUNDS`, or "".
    pressure_hpa : float or None
        At sea level. [hPa]
    pressure_trend : str
        One of :data:`TRENDS`, or "". Without a pressure it is a sign only.
    """

    utc: np.datetime64
    temperature_degc: float
    dew_point_degc: float | None = None
    relative_humidity_frac: float | None = None
    wind_speed_mps: float | None = None
    wind_trend: str = "steady"
    cloud_cover_frac: float | None = None
    cloud_change: str = "steady"
    cloud_by_utc: np.datetime64 | None = None
    ground: str = ""
    pressure_hpa: float | None = None
    pressure_trend: str = ""

    def __post_init__(self) -> None:
        require_range("temperature", self.temperature_degc, -40.0, 45.0, "°C")
        if self.dew_point_degc is None and self.relative_humidity_frac is None:
            raise MissingDataError(
                "Type the dew point or the humidity too: without either nothing can be said "
                "of mist."
            )
        if self.dew_point_degc is not None:
            require_range("dew point", self.dew_point_degc, -60.0, 35.0, "°C")
            if self.dew_point_degc > self.temperature_degc + 0.05:
                raise BadInputError(
                    f"The dew point, {self.dew_point_degc:g} °C, is above the temperature, "
                    f"{self.temperature_degc:g} °C; are they exchanged?"
                )
        elif self.relative_humidity_frac is not None:
            require_range("humidity", self.relative_humidity_frac, 0.01, 1.0)
        for name, value, known in (
            ("wind", self.wind_trend, TRENDS),
            ("cloud", self.cloud_change, CLOUD_CHANGES),
            ("ground", self.ground, ("", *GROUNDS)),
            ("pressure", self.pressure_trend, ("", *TRENDS)),
        ):
            if value not in known:
                raise BadInputError(
                    f"The {name} is {', '.join(word for word in known if word)}, not {value!r}."
                )
        if self.wind_speed_mps is not None:
            require_range("wind", self.wind_speed_mps, 0.0, 60.0, "m/s")
        if self.cloud_cover_frac is not None:
            require_range("cloud", self.cloud_cover_frac, 0.0, 1.0)
        if self.pressure_hpa is not None:
            require_range("pressure", self.pressure_hpa, 900.0, 1080.0, "hPa", "At sea level.")

    @property
    def dew_point_taken_degc(self) -> float:
        """Dew point, typed or worked out from the humidity, never above the temperature."""
        if self.dew_point_degc is not None:
            return min(self.dew_point_degc, self.temperature_degc)
        return float(dew_point_degc(self.temperature_degc, self.relative_humidity_frac or np.nan))


def evening_forecast(
    values: EveningValues,
    *,
    sunrise_utc: np.datetime64,
    sunset_utc: np.datetime64,
    position: Position | None = None,
    zone_name: str = "UTC",
) -> Ensemble:
    """Make an hourly forecast of the night from what was typed.

    Parameters
    ----------
    values : EveningValues
        What was typed.
    sunrise_utc, sunset_utc : datetime64
        The next sunrise, and the sunset before it.
    position : Position, optional
        The place they hold for.
    zone_name : str
        Zone in which ``source`` names the time of typing.

    Returns
    -------
    Ensemble
        One member, hourly from the moment of typing for 14 h or to 4 h after sunrise, whichever
        is later; ``stated_sd`` holds the errors of temperature and dew point. No rain is
        expected in the night; wet ground stands as rain just before. What was not typed stays
        missing, though the cooling is worked out with half the sky clouded and a light wind.

    Raises
    ------
    BadInputError
        If the values were not read in the 18 hours before sunrise.
    """
    from shivelight.air.mist_evening import evening_series  # noqa: PLC0415  with its table

    ahead_h = float((sunrise_utc - values.utc) / np.timedelta64(1, "s")) / 3600.0
    if not 0.5 <= ahead_h <= 18.0:
        raise BadInputError(
            f"These values are {ahead_h:.1f} h before the sunrise; they must be of the evening or "
            "night before it."
        )
    count = max(LEAST_HOURS_AHEAD, int(np.ceil(ahead_h + PAST_SUNRISE_H))) + 1
    utc = values.utc.astype("datetime64[us]") + np.arange(count) * np.timedelta64(1, "h")
    cloud, wind = _cloud(values, utc), _wind(values, utc)
    temperature, dew_point, sd_temperature, sd_dew_point = evening_series(
        utc,
        start_utc=values.utc,
        temperature_degc=values.temperature_degc,
        dew_point_degc=values.dew_point_taken_degc,
        cloud_frac=np.where(np.isfinite(cloud), cloud, USUAL_CLOUD_FRAC),
        wind_mps=np.where(np.isfinite(wind), wind, USUAL_WIND_MPS),
        sunrise_utc=sunrise_utc,
        sunset_utc=sunset_utc,
    )
    typed: dict[str, Any] = {
        "temperature_degc": temperature,
        "dew_point_degc": np.minimum(dew_point, temperature),
        "wind_speed_mps": wind,
        "cloud_cover_frac": cloud,
        "precipitation_mm": _rain(values, utc),
        "pressure_hpa": _pressure(values, utc),
    }
    return single(
        utc,
        f"typed at {clock(values.utc, zone_name)}",
        latitude_deg=None if position is None else position.latitude_deg,
        longitude_deg=None if position is None else position.longitude_deg,
        ground_height_m=None if position is None else position.ground_height_m,
        issued_utc=values.utc,
        stated_sd={"temperature_degc": sd_temperature, "dew_point_degc": sd_dew_point},
        **typed,
    )


def _passed_h(values: EveningValues, utc: UtcArray) -> FloatArray:
    return np.asarray((utc - values.utc) / np.timedelta64(1, "s") / 3600.0, dtype=np.float64)


def _wind(values: EveningValues, utc: UtcArray) -> FloatArray:
    """Wind as typed, going over six hours to what its trend makes of it."""
    if values.wind_speed_mps is None:
        return np.full(utc.size, np.nan)
    share = np.clip(_passed_h(values, utc) / TREND_TAKES_H, 0.0, 1.0)
    change = (WIND_AFTER_FRAC[values.wind_trend] - 1.0) * values.wind_speed_mps
    return np.asarray(values.wind_speed_mps + min(change, WIND_RISES_AT_MOST_MPS) * share)


def _cloud(values: EveningValues, utc: UtcArray) -> FloatArray:
    """Cloud as typed, going straight to clear or thick by the hour typed."""
    change = values.cloud_change
    now = values.cloud_cover_frac
    if change == "steady":
        return np.full(utc.size, np.nan if now is None else now)
    now = CLOUD_BEFORE_FRAC[change] if now is None else now
    after = CLOUD_AFTER_FRAC[change]
    after = min(after, now) if change == "clearing" else max(after, now)
    takes_h = TREND_TAKES_H
    if values.cloud_by_utc is not None:
        takes_h = max(float(_passed_h(values, np.array([values.cloud_by_utc]))[0]), 0.1)
    share = np.clip(_passed_h(values, utc) / takes_h, 0.0, 1.0)
    return np.asarray(now + (after - now) * share)


def _rain(values: EveningValues, utc: UtcArray) -> FloatArray:
    """Wet ground as rain just before, none after; not known when the ground was not typed."""
    rain = np.full(utc.size, 0.0 if values.ground else np.nan)
    if values.ground == "wet":
        rain[0] = WET_GROUND_MM
    return rain


def _pressure(values: EveningValues, utc: UtcArray) -> FloatArray:
    if values.pressure_hpa is None:
        return np.full(utc.size, np.nan)
    slope = PRESSURE_HPA_PER_H[values.pressure_trend or "steady"]
    passed_h = np.minimum(_passed_h(values, utc), TREND_TAKES_H)
    return np.asarray(values.pressure_hpa + slope * passed_h)
