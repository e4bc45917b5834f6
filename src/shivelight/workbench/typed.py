"""What is read off and typed on one evening, on the clock of the wall."""

import datetime as dt
from dataclasses import dataclass

import numpy as np

from shivelight.air.forecast import Ensemble
from shivelight.basis.errors import BadInputError, MissingDataError
from shivelight.basis.instants import to_utc
from shivelight.intake.evening import EveningValues, evening_forecast
from shivelight.outing.woods import Wood
from shivelight.sky.twilight import find_sun_events


@dataclass(frozen=True, slots=True, kw_only=True)
class EveningTyped:
    """The evening's values as a person types them.

    Attributes
    ----------
    at : datetime
        When they were read off, on the wood's clock, without a zone.
    temperature_degc : float
        Air temperature. [°C]
    dew_point_degc, humidity_frac : float or None
        One of them is needed. [°C]
    wind_mps : float or None
        At 10 m in the open, as forecasts give it. [m/s]
    wind_trend : {"falling", "steady", "rising"}
        What it will do.
    cloud_frac : float or None
        Cloud now.
    clears_by, thickens_by : time or None
        When the sky will have cleared or closed, tonight or in the morning; one of them at most.
    ground_wet : bool or None
        Whether the ground is wet; None when not looked at.
    pressure_hpa : float or None
        At sea level. [hPa]
    pressure_trend : {"falling", "steady", "rising", ""}
        What it does.
    """

    at: dt.datetime
    temperature_degc: float
    dew_point_degc: float | None = None
    humidity_frac: float | None = None
    wind_mps: float | None = None
    wind_trend: str = "steady"
    cloud_frac: float | None = None
    clears_by: dt.time | None = None
    thickens_by: dt.time | None = None
    ground_wet: bool | None = None
    pressure_hpa: float | None = None
    pressure_trend: str = ""

    def __post_init__(self) -> None:
        if self.clears_by is not None and self.thickens_by is not None:
            raise BadInputError("The sky clears or thickens tonight, not both; give one time.")

    def values(self, zone_name: str) -> EveningValues:
        """Turn them into the core's units and instants."""
        change, by = "steady", None
        if self.clears_by is not None:
            change, by = "clearing", self._next(self.clears_by, zone_name)
        elif self.thickens_by is not None:
            change, by = "thickening", self._next(self.thickens_by, zone_name)
        ground = "" if self.ground_wet is None else ("wet" if self.ground_wet else "dry")
        return EveningValues(
            utc=to_utc(self.at, zone_name),
            temperature_degc=self.temperature_degc,
            dew_point_degc=self.dew_point_degc,
            relative_humidity_frac=self.humidity_frac,
            wind_speed_mps=self.wind_mps,
            wind_trend=self.wind_trend,
            cloud_cover_frac=self.cloud_frac,
            cloud_change=change,
            cloud_by_utc=by,
            ground=ground,
            pressure_hpa=self.pressure_hpa,
            pressure_trend=self.pressure_trend,
        )

    def _next(self, time: dt.time, zone_name: str) -> np.datetime64:
        """Next instant after the values were typed at which the clock shows a time."""
        there = dt.datetime.combine(self.at.date(), time)
        if there <= self.at.replace(tzinfo=None):
            there += dt.timedelta(days=1)
        return to_utc(there, zone_name, fold=0)


def forecast_from(typed: EveningTyped, wood: Wood) -> Ensemble:
    """Forecast of the night that the typed values make at a wood.

    Raises
    ------
    MissingDataError
        If no sun rises there within a day.
    """
    values = typed.values(wood.zone_name)
    day = np.timedelta64(24, "h")
    after = find_sun_events(values.utc, values.utc + day, position=wood.parking)
    if after.sunrise is None:
        raise MissingDataError(
            f"No sun rises at {wood.name} in the day after, so typed values give no night."
        )
    before = find_sun_events(after.sunrise - day, after.sunrise, position=wood.parking)
    sunset = before.sunset if before.sunset is not None else after.sunrise - day // 2
    return evening_forecast(
        values,
        sunrise_utc=after.sunrise,
        sunset_utc=sunset,
        position=wood.parking,
        zone_name=wood.zone_name,
    )
