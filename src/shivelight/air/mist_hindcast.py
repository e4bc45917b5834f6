"""Hindcasts: recorded forecasts in, one line of JSON each; what the model says out, likewise."""

import json
import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from shivelight.air._mist_table import BASE_FOG_SHAPE, BASE_LIFT_MIN, BASE_MIST_SHAPE
from shivelight.air.humidity import dew_point_degc
from shivelight.air.mist import base_rates
from shivelight.air.mist_hours import QUANTITIES, NightHours, on_ruler, sun_of
from shivelight.air.mist_lift import QUANTILES, lift_quantiles_min
from shivelight.air.mist_model import CURVE_MIN, MistModel, predict
from shivelight.air.mist_sun import night_length_h
from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError

BATCH = 1_000
LONGEST_SERIES_H = 240

SERIES = {
    "temperature_2m": ("temperature_degc", 1.0, -90.0, 60.0),
    "dew_point_2m": ("dew_point_degc", 1.0, -100.0, 45.0),
    "wind_speed_10m": ("wind_speed_mps", 1.0, 0.0, 120.0),
    "cloud_cover": ("cloud_cover_frac", 0.01, 0.0, 100.0),
    "precipitation": ("precipitation_mm", 1.0, 0.0, 500.0),
    "pressure_msl": ("pressure_hpa", 1.0, 850.0, 1100.0),
}
"""Name in a case: our name, factor to our unit, limits in the case's own unit."""

NOTE = "no temperature or humidity around sunrise: the season's base rate, not a forecast"
_UTC_TIME = re.compile(r"^\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d+)?)?(Z|[+-]00:?00)?$")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Case:
    """One line, read and checked."""

    name: Any
    latitude_deg: float
    sunrise_utc: np.datetime64
    start_h: float
    rain_before_mm: float
    rows: dict[str, FloatArray]


def hindcast_lines(lines: Iterable[str], *, model: MistModel | None = None) -> Iterator[str]:
    """Predict every recorded case of a JSONL stream.

    Parameters
    ----------
    lines : iterable of str
        One case a line, as docs/mist.md describes; blank lines are passed over.
    model : MistModel, optional
        Coefficients; those of the package by default.

    Yields
    ------
    str
        One prediction a line, in the order of the cases, without a line end. A case without
        humidity or temperature around sunrise gets the season's base rate and a ``note``.

    Raises
    ------
    BadInputError
        At the first line that is not a case; the sentence names the line.
    """
    table = model or MistModel.default()
    batch: list[_Case] = []
    for number, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        batch.append(_read_case(line, number))
        if len(batch) == BATCH:
            yield from _predicted(batch, table)
            batch = []
    yield from _predicted(batch, table)


def _read_case(line: str, number: int) -> _Case:
    try:
        return _case(json.loads(line))
    except json.JSONDecodeError as why:
        raise BadInputError(
            f"Line {number} is not JSON ({why.msg} at column {why.colno}); each line must be one "
            "whole case."
        ) from why
    except RecursionError as why:
        raise BadInputError(f"Line {number} is nested too deeply to be a case.") from why
    except BadInputError as why:
        raise BadInputError(f"Line {number}: {why}") from why


def _case(record: Any) -> _Case:
    if not isinstance(record, dict):
        raise BadInputError("a case must be a JSON object with id, site, sunrise_utc and hourly.")
    for key in ("id", "site", "sunrise_utc", "hourly"):
        if key not in record:
            raise BadInputError(f"the case has no {key!r}.")
    site, hourly = record["site"], record["hourly"]
    if not isinstance(site, dict) or not isinstance(hourly, dict):
        raise BadInputError("site and hourly must be JSON objects.")
    times = hourly.get("time")
    if not isinstance(times, list) or not 1 <= len(times) <= LONGEST_SERIES_H:
        raise BadInputError(f"hourly.time must list 1 to {LONGEST_SERIES_H} hours.")
    sunrise = _instant(record["sunrise_utc"], "sunrise_utc")
    rows = _rows(hourly, _whole_hours(times))
    return _Case(
        name=record["id"],
        latitude_deg=_number(site.get("lat"), "site.lat", -90.0, 90.0),
        sunrise_utc=sunrise,
        start_h=float((_instant(times[0], "hourly.time") - sunrise) / np.timedelta64(1, "h")),
        rain_before_mm=_maybe(record.get("rain_prev_24h"), "rain_prev_24h", 0.0, 2_000.0),
        rows=rows,
    )


def _instant(text: Any, what: str) -> np.datetime64:
    if not isinstance(text, str) or not _UTC_TIME.match(text):
        raise BadInputError(f"{what} is {text!r}; write UTC like 2027-11-03T07:00Z.")
    try:
        return np.datetime64(text[:16], "m")
    except ValueError as why:
        raise BadInputError(f"{what} is {text!r}, which is no date.") from why


def _whole_hours(times: list[Any]) -> FloatArray:
    """Check that the hours follow one another; give their count from the first. Shape (T,)."""
    when = np.array([_instant(time, "hourly.time") for time in times], dtype="datetime64[m]")
    after_h = np.asarray((when - when[0]) / np.timedelta64(1, "h"), dtype=np.float64)
    if np.any(after_h != np.round(after_h)) or np.any(np.diff(after_h) <= 0.0):
        raise BadInputError("hourly.time must rise by whole hours.")
    if after_h[-1] > LONGEST_SERIES_H:
        raise BadInputError(f"hourly.time spans more than {LONGEST_SERIES_H} hours.")
    return after_h


def _rows(hourly: dict[str, Any], after_h: FloatArray) -> dict[str, FloatArray]:
    """Every series on whole hours in our units; NaN where nothing was said."""
    place = after_h.astype(np.int64)
    found = {}
    for key, (name, factor, low, high) in SERIES.items():
        values = _series(hourly.get(key), key, len(place), low, high)
        row = np.full(int(place[-1]) + 1, np.nan)
        row[place] = values * factor
        found[name] = row
    humidity = np.full(int(place[-1]) + 1, np.nan)
    humidity[place] = _series(
        hourly.get("relative_humidity_2m"), "relative_humidity_2m", len(place), 0.0, 110.0
    )
    unknown = ~np.isfinite(found["dew_point_degc"])
    humidity_frac = np.minimum(humidity / 100.0, 1.0)
    from_humidity = dew_point_degc(found["temperature_degc"], humidity_frac)
    found["dew_point_degc"] = np.where(unknown, from_humidity, found["dew_point_degc"])
    return found


def _series(values: Any, key: str, size: int, low: float, high: float) -> FloatArray:
    if values is None:
        return np.full(size, np.nan)
    if not isinstance(values, list) or len(values) != size:
        raise BadInputError(f"hourly.{key} must be a list of {size} values, one for each time.")
    if any(isinstance(v, bool) or not isinstance(v, int | float | None) for v in values):
        raise BadInputError(f"hourly.{key} holds something that is neither a number nor null.")
    row = np.array([math.nan if v is None else float(v) for v in values], dtype=np.float64)
    bad = (row < low) | (row > high)
    if bad.any():
        raise BadInputError(
            f"hourly.{key} holds {row[bad][0]:g}; it must be {low:g} to {high:g}. Check its unit."
        )
    return row


def _number(value: Any, what: str, low: float, high: float) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
        raise BadInputError(f"{what} is {value!r}; it must be a number from {low:g} to {high:g}.")
    return float(value)


def _maybe(value: Any, what: str, low: float, high: float) -> float:
    return math.nan if value is None else _number(value, what, low, high)


def _batch_hours(cases: list[_Case]) -> NightHours:
    longest = max(case.rows["temperature_degc"].size for case in cases)
    start_h = np.array([case.start_h for case in cases])
    rows = {}
    for name in QUANTITIES:
        table = np.full((len(cases), longest), np.nan)
        for index, case in enumerate(cases):
            table[index, : case.rows[name].size] = case.rows[name]
        rows[name] = on_ruler(table, start_h)
    sunrise_utc = np.array([case.sunrise_utc for case in cases])
    latitude_deg = np.array([case.latitude_deg for case in cases])
    declination = sun_of(sunrise_utc)
    return NightHours(
        **rows,
        rain_before_mm=np.array([case.rain_before_mm for case in cases]),
        night_h=night_length_h(latitude_deg, declination),
        latitude_deg=latitude_deg,
        declination=declination,
        sunrise_utc=sunrise_utc,
    )


def _predicted(cases: list[_Case], model: MistModel) -> Iterator[str]:
    if not cases:
        return
    said = predict(_batch_hours(cases), model)
    quantiles = lift_quantiles_min(np.nan_to_num(said.still_frac, nan=1.0))
    minutes = [int(minute) for minute in CURVE_MIN]
    for index, case in enumerate(cases):
        if said.variant[index] < 0:
            yield json.dumps(_base_rate(case, minutes, model))
            continue
        used = model.variants[int(said.variant[index])]
        fog_now, mist_now = said.fog_now_frac[index], said.mist_now_frac[index]
        record = {
            "id": case.name,
            "p_fog": _short(said.fog_frac[index]),
            "p_mist": _short(said.mist_frac[index]),
            "curve": [
                [minute, _short(fog), _short(mist)]
                for minute, fog, mist in zip(minutes, fog_now, mist_now, strict=True)
            ],
            "lift": _quantile_record(quantiles[index]),
        }
        if used.name != "full":
            record["note"] = f"inputs missing; used the variant: {used.name}"
        yield json.dumps(record)


def _short(chance: float) -> float:
    return round(float(chance), 5)


def _quantile_record(quantiles_min: FloatArray) -> dict[str, float]:
    return {
        f"q{round(share * 100)}": round(float(minutes), 1)
        for share, minutes in zip(QUANTILES, quantiles_min, strict=True)
    }


def _base_rate(case: _Case, minutes: list[int], model: MistModel) -> dict[str, Any]:
    """Season's rate for the window, spread over the morning as at the training stations."""
    fog, mist = base_rates(case.sunrise_utc, case.latitude_deg, model=model)
    shapes = zip(minutes, BASE_FOG_SHAPE, BASE_MIST_SHAPE, strict=True)
    return {
        "id": case.name,
        "p_fog": _short(fog),
        "p_mist": _short(mist),
        "curve": [[minute, _short(fog * one), _short(mist * two)] for minute, one, two in shapes],
        "lift": _quantile_record(np.asarray(BASE_LIFT_MIN, dtype=np.float64)),
        "note": NOTE,
    }
