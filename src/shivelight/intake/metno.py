"""MET Norway's Locationforecast 2.0 (compact or complete) as one table.

Field names and units follow the service's public data model (api.met.no, Locationforecast).
Its data are offered under CC BY 4.0 and NLOD. After two or three days its steps are six hours
long; the hours between them stay empty, for nothing is interpolated across that.
"""

from typing import Any

import numpy as np

from shivelight.air.forecast import Ensemble, single, with_missing_hours
from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.basis.errors import BadInputError, MissingDataError, UnreadableFileError
from shivelight.basis.instants import from_datetime
from shivelight.intake.series import (
    checked_times,
    dew_point_from_humidity,
    json_from,
    moment_from,
    place_from,
    shown,
    stated_unit,
)
from shivelight.intake.units import converted, number

SOURCE = "MET Norway"

_INSTANT = {
    "temperature_degc": "air_temperature",
    "dew_point_degc": "dew_point_temperature",
    "relative_humidity_frac": "relative_humidity",
    "wind_speed_mps": "wind_speed",
    "wind_gust_mps": "wind_speed_of_gust",
    "cloud_cover_frac": "cloud_area_fraction",
    "low_cloud_frac": "cloud_area_fraction_low",
    "pressure_hpa": "air_pressure_at_sea_level",
    "fog_area_frac": "fog_area_fraction",
}
_PERCENTILES = {"temperature_degc": "air_temperature", "wind_speed_mps": "wind_speed"}
# 10 % and 90 % of a normal distribution lie this many standard deviations apart.
_TENTH_TO_NINTH_SD = 2.5631


def read_metno(payload: bytes | str) -> Ensemble:
    """Read an answer of Locationforecast 2.0, bare or in a recorder's wrapper.

    Parameters
    ----------
    payload : bytes or str
        The JSON as received, or ``{"status_code", "headers", "data"}`` around it.

    Returns
    -------
    Ensemble
        One member. Rain stands at the end of the hour in which it falls; where the service
        gives six hours together, at their end and as the hourly share. Where the service
        gives the 10 and 90 % percentiles of temperature or wind, ``stated_sd`` holds the
        standard error that they mean. Its share of area in fog is kept.

    Raises
    ------
    UnreadableFileError
        If it is no JSON (cut off, say), or a recorded refusal.
    BadInputError
        If units, times or values make no sense.
    MissingDataError
        If it holds no hours.
    """
    feature = _unwrapped(json_from(payload, SOURCE))
    properties = feature.get("properties")
    series = properties.get("timeseries") if isinstance(properties, dict) else None
    if not isinstance(series, list):
        raise UnreadableFileError(f"This is no answer of {SOURCE}: it holds no timeseries.")
    if not series:
        raise MissingDataError(f"This answer of {SOURCE} holds no hours; fetch it again.")
    meta = properties.get("meta") if isinstance(properties, dict) else None
    meta = meta if isinstance(meta, dict) else {}
    units = meta.get("units")
    units = units if isinstance(units, dict) else {}
    utc = checked_times(np.array([_time(entry) for entry in series]), SOURCE)
    rows = _instants(series, units)
    rain = _rain(series, utc, units)
    if np.isfinite(rain).any():
        rows["precipitation_mm"] = rain
    if not rows:
        raise MissingDataError(f"This answer of {SOURCE} holds none of the values that are used.")
    quantities: dict[str, Any] = {**dew_point_from_humidity(rows)}
    issued = meta.get("updated_at")
    latitude_deg, longitude_deg, height_m = _place(feature)
    forecast = single(
        utc,
        SOURCE,
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        ground_height_m=height_m,
        issued_utc=None if issued is None else _moment(issued),
        stated_sd=_stated(series, units),
        **quantities,
    )
    return with_missing_hours(forecast)


def _unwrapped(answer: Any) -> dict[str, Any]:
    if isinstance(answer, dict) and "status_code" in answer:
        status = answer["status_code"]
        if status not in {200, 203}:
            raise UnreadableFileError(
                f"{SOURCE} answered with status {shown(status, '?')}, not with a forecast."
            )
        answer = answer.get("data")
    if not isinstance(answer, dict):
        raise UnreadableFileError(f"This is no answer of {SOURCE}: it holds no forecast.")
    return answer


def _moment(text: object) -> np.datetime64:
    moment = moment_from(text)
    if moment is None or moment.tzinfo is None:
        raise BadInputError(
            f"{SOURCE}'s time {str(text)[:40]!r} is no date and hour with its offset from UTC."
        )
    return from_datetime(moment)


def _time(entry: object) -> np.datetime64:
    if not isinstance(entry, dict):
        raise BadInputError(f"{SOURCE}'s timeseries holds {str(entry)[:20]!r}, not an hour.")
    return _moment(entry.get("time"))


def _details(entry: dict[str, Any], part: str) -> dict[str, Any]:
    data = entry.get("data")
    block = data.get(part) if isinstance(data, dict) else None
    details = block.get("details") if isinstance(block, dict) else None
    return details if isinstance(details, dict) else {}


def _instants(series: list[dict[str, Any]], units: dict[str, Any]) -> dict[str, FloatArray]:
    details = [_details(entry, "instant") for entry in series]
    rows = {}
    for quantity, name in _INSTANT.items():
        row = np.array([number(hour.get(name), name, source=SOURCE) for hour in details])
        if np.isfinite(row).any():
            rows[quantity] = _in_ours(quantity, row, units, name)
    return rows


def _in_ours(quantity: str, row: FloatArray, units: dict[str, Any], name: str) -> FloatArray:
    return converted(quantity, row, stated_unit(units, name, source=SOURCE), source=SOURCE)


def _rain(series: list[dict[str, Any]], utc: UtcArray, units: dict[str, Any]) -> FloatArray:
    """Rain of the hour before each row; the service gives that of the hours after."""
    rain = np.full(utc.size, np.nan)
    name = "precipitation_amount"
    step_h = np.diff(utc) / np.timedelta64(1, "h")
    for index, entry in enumerate(series[:-1]):
        for part, hours in (("next_1_hours", 1.0), ("next_6_hours", 6.0)):
            amount = number(_details(entry, part).get(name), name, source=SOURCE)
            if np.isfinite(amount) and step_h[index] == hours:
                rain[index + 1] = amount / hours
                break
    if np.isfinite(rain).any():
        return _in_ours("precipitation_mm", rain, units, name)
    return rain


def _stated(series: list[dict[str, Any]], units: dict[str, Any]) -> dict[str, FloatArray]:
    """Work out standard errors from the percentiles that the service gives in some regions."""
    details = [_details(entry, "instant") for entry in series]
    stated = {}
    for quantity, name in _PERCENTILES.items():
        ends = []
        for end in (10, 90):
            key = f"{name}_percentile_{end}"
            row = np.array([number(hour.get(key), key, source=SOURCE) for hour in details])
            if np.isfinite(row).any():
                row = _in_ours(quantity, row, units, key)
            ends.append(row)
        width = np.maximum(ends[1] - ends[0], 0.0)
        if np.isfinite(width).any():
            stated[quantity] = np.asarray(width / _TENTH_TO_NINTH_SD)
    return stated


def _place(feature: dict[str, Any]) -> tuple[float | None, float | None, float | None]:
    geometry = feature.get("geometry")
    corner = geometry.get("coordinates") if isinstance(geometry, dict) else None
    if not isinstance(corner, list) or len(corner) < 2:
        return None, None, None
    latitude_deg, longitude_deg = place_from(corner[1], corner[0], SOURCE)
    height_m = number(corner[2], "height", source=SOURCE) if len(corner) > 2 else np.nan
    return latitude_deg, longitude_deg, float(height_m) if np.isfinite(height_m) else None
