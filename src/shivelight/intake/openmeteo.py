"""Open-Meteo's JSON, forecast and ensemble, as one ensemble table.

Field names, units and the naming of members follow the service's public documentation
(open-meteo.com/en/docs and /en/docs/ensemble-api). Its data are offered under CC BY 4.0.
"""

import datetime as dt
import re
from typing import Any

import numpy as np

from shivelight.air.forecast import Ensemble, single, with_missing_hours
from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.basis.errors import (
    BadInputError,
    MissingDataError,
    NotFoundError,
    UnreadableFileError,
)
from shivelight.basis.instants import zone
from shivelight.basis.places import Position, distance_and_azimuth
from shivelight.intake.series import (
    checked_times,
    dew_point_from_humidity,
    json_from,
    moment_from,
    place_from,
    shown,
    stated_unit,
)
from shivelight.intake.units import converted, number, numbers

SOURCE = "Open-Meteo"

# The service renamed its variables once (windspeed_10m became wind_speed_10m); both are read.
_NAMES: dict[str, tuple[str, ...]] = {
    "temperature_degc": ("temperature_2m",),
    "dew_point_degc": ("dew_point_2m", "dewpoint_2m"),
    "relative_humidity_frac": ("relative_humidity_2m", "relativehumidity_2m"),
    "wind_speed_mps": ("wind_speed_10m", "windspeed_10m"),
    "wind_gust_mps": ("wind_gusts_10m", "windgusts_10m"),
    "cloud_cover_frac": ("cloud_cover", "cloudcover"),
    "low_cloud_frac": ("cloud_cover_low", "cloudcover_low"),
    "precipitation_mm": ("precipitation",),
    "pressure_hpa": ("pressure_msl",),
    "visibility_m": ("visibility",),
}
_QUANTITY_OF = {name: quantity for quantity, names in _NAMES.items() for name in names}
# With several models in one request each name ends in the model's; these begin such endings.
_MODELS = (
    "best_match|ecmwf|icon|gfs|gefs|hrrr|nbm|nam|ncep|aifs|graphcast|gem|meteofrance|arpege|arome|"
    "ukmo|jma|metno|knmi|dmi|cma|bom|kma|italia_meteo|meteoswiss|meteo_swiss"
)
_NAME = re.compile(
    rf"(?P<name>{'|'.join(sorted(_QUANTITY_OF, key=len, reverse=True))})"
    rf"(?:_member(?P<member>\d{{1,3}}))?(?:_(?P<model>(?:{_MODELS})\w*))?"
)


def read_openmeteo(payload: bytes | str, *, near: Position | None = None) -> Ensemble:
    """Read an answer of Open-Meteo's forecast or ensemble service.

    Parameters
    ----------
    payload : bytes or str
        The JSON as received.
    near : Position, optional
        Which place is meant when the answer holds several: the nearest to it.

    Returns
    -------
    Ensemble
        Hours in UTC. Dew point is worked out from relative humidity where only that is given.

    Raises
    ------
    UnreadableFileError
        If it is no JSON (cut off, say), or the service's own error message.
    BadInputError
        If units, zone, times or values make no sense.
    MissingDataError
        If it holds no hourly values of any quantity that is used.
    """
    answer = _one_place(json_from(payload, SOURCE), near)
    if answer.get("error"):
        raise UnreadableFileError(
            f"{SOURCE} refused the request: {shown(answer.get('reason'), 'no reason given')}."
        )
    hourly, units = answer.get("hourly"), answer.get("hourly_units")
    if not isinstance(hourly, dict) or not isinstance(units, dict):
        raise MissingDataError(
            f"This answer of {SOURCE} holds no hourly values; ask for hourly=temperature_2m,…"
        )
    utc = _times(answer, hourly, units)
    rows = _rows(hourly, units, utc.size)
    if not rows:
        raise MissingDataError(
            f"This answer of {SOURCE} holds none of {', '.join(sorted(_QUANTITY_OF))}."
        )
    members = next(iter(rows.values())).shape[0]
    latitude_deg, longitude_deg = place_from(
        answer.get("latitude"), answer.get("longitude"), SOURCE
    )
    quantities: dict[str, Any] = {**dew_point_from_humidity(rows)}
    height_m = number(answer.get("elevation"), "elevation", source=SOURCE)
    forecast = single(
        utc,
        SOURCE if members == 1 else f"{SOURCE}, {members} members",
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        ground_height_m=height_m if np.isfinite(height_m) else None,
        **quantities,
    )
    return with_missing_hours(forecast)


def _one_place(answer: Any, near: Position | None) -> dict[str, Any]:
    places = answer if isinstance(answer, list) else [answer]
    if not places or not all(isinstance(place, dict) for place in places):
        raise UnreadableFileError(f"This is no answer of {SOURCE}: it holds no forecast.")
    if len(places) == 1:
        return dict(places[0])
    if near is None:
        raise BadInputError(
            f"This answer of {SOURCE} holds {len(places)} places; say which one, or ask for one."
        )

    def away_m(place: dict[str, Any]) -> float:
        latitude_deg, longitude_deg = place_from(
            place.get("latitude"), place.get("longitude"), SOURCE
        )
        if latitude_deg is None or longitude_deg is None:
            return np.inf
        there = Position(latitude_deg=latitude_deg, longitude_deg=longitude_deg)
        return distance_and_azimuth(near, there)[0]

    return min((dict(place) for place in places), key=away_m)


def _times(answer: dict[str, Any], hourly: dict[str, Any], units: dict[str, Any]) -> UtcArray:
    """Hours as UTC; local ones are all at the one offset that the answer states."""
    times = hourly.get("time")
    if not isinstance(times, list) or not times:
        raise MissingDataError(f"This answer of {SOURCE} holds no hours; fetch it again.")
    if units.get("time") == "unixtime":
        seconds = numbers(times, "time", source=SOURCE)
        if not np.all((seconds > 0.0) & (seconds < 7e9)):
            raise BadInputError(f"{SOURCE}'s times are no seconds since 1970.")
        return checked_times(seconds.astype(np.int64).astype("datetime64[s]"), SOURCE)
    offset_s = answer.get("utc_offset_seconds")
    if isinstance(offset_s, bool) or not isinstance(offset_s, int) or abs(offset_s) > 64_800:
        raise BadInputError(
            f"{SOURCE}'s answer does not state its offset from UTC (utc_offset_seconds), "
            "so its hours mean nothing."
        )
    local = [_moment(text) for text in times]
    _refuse_wrong_zone(answer.get("timezone"), offset_s, local)
    offset = dt.timedelta(seconds=offset_s)
    return checked_times(np.array([wall - offset for wall in local], "datetime64[us]"), SOURCE)


def _moment(text: object) -> dt.datetime:
    moment = moment_from(text)
    if moment is None or moment.tzinfo is not None:
        raise BadInputError(f"{SOURCE}'s time {str(text)[:40]!r} is no local date and hour.")
    return moment


def _refuse_wrong_zone(name: object, offset_s: int, local: list[dt.datetime]) -> None:
    """Raise when the named zone's clock is never at the stated offset around then."""
    if not isinstance(name, str):
        return
    try:
        there = zone(name)
    except NotFoundError:
        return  # "GMT+11" and other labels that are no IANA name
    # The offset may be that of the day on which it was asked, so a year around is looked at.
    days = [local[0] + dt.timedelta(days=step) for step in range(-189, 190, 27)]
    offsets = {day.replace(tzinfo=there).utcoffset() for day in (*days, *local)}
    if dt.timedelta(seconds=offset_s) not in offsets:
        raise BadInputError(
            f"{SOURCE}'s answer names the zone {name} but an offset of {offset_s / 3600.0:+g} h, "
            "which is not that zone's; fetch it again."
        )


def _rows(hourly: dict[str, Any], units: dict[str, Any], hours: int) -> dict[str, FloatArray]:
    """Every known quantity as members by hours; the unnumbered name is the first member."""
    found: dict[str, dict[tuple[str, int], FloatArray]] = {}
    for name, values in hourly.items():
        match = _NAME.fullmatch(name)
        if match is None:
            continue
        quantity = _QUANTITY_OF[match["name"]]
        row = numbers(values, name, source=SOURCE)
        if row.size != hours:
            raise BadInputError(f"{SOURCE}'s {name} has {row.size} values for {hours} hours.")
        unit = stated_unit(units, name, source=SOURCE)
        member = (match["model"] or "", int(match["member"] or 0))
        found.setdefault(quantity, {})[member] = converted(quantity, row, unit, source=SOURCE)
    members = sorted({member for rows in found.values() for member in rows})
    empty = np.full(hours, np.nan)
    return {
        quantity: np.stack([rows.get(member, empty) for member in members])
        for quantity, rows in found.items()
    }
