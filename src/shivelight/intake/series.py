"""What the readers of weather share: JSON, times, units, a place, dew point from humidity."""

import datetime as dt
import json
from collections.abc import Mapping
from typing import Any

import numpy as np

from shivelight.air.humidity import dew_point_degc
from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.basis.errors import BadInputError, MissingDataError, UnreadableFileError
from shivelight.intake.units import number

LARGEST_BYTES = 50_000_000
"""A payload above this is no forecast for one place (a judgement)."""


def text_from(payload: bytes | str, source: str) -> str:
    """Decode a payload as UTF-8, without a byte-order mark.

    Raises
    ------
    UnreadableFileError
        If it is not text, or far too long to be a forecast.
    """
    if len(payload) > LARGEST_BYTES:
        raise UnreadableFileError(f"This is {len(payload) / 1e6:.0f} MB, no forecast of {source}.")
    if isinstance(payload, bytes):
        try:
            payload = payload.decode("utf-8-sig")
        except UnicodeDecodeError:
            raise UnreadableFileError(
                "This is not text; a forecast is JSON, METAR reports or a table."
            ) from None
    return payload.removeprefix("\ufeff")


def json_from(payload: bytes | str, source: str) -> Any:
    """Read JSON.

    Raises
    ------
    UnreadableFileError
        If it is empty, cut off, nested beyond reason or no JSON.
    """
    text = text_from(payload, source)
    if not text.strip():
        raise UnreadableFileError(f"The answer of {source} is empty; fetch it again.")
    try:
        return json.loads(text)
    except json.JSONDecodeError as why:
        cut = why.pos >= len(text.rstrip()) - 1 or "Unterminated" in why.msg
        state = "is cut off" if cut else "is no JSON"
        raise UnreadableFileError(
            f"The answer of {source} {state} (line {why.lineno}, column {why.colno}); "
            "fetch it again."
        ) from why
    except (RecursionError, ValueError) as why:
        raise UnreadableFileError(f"The answer of {source} is no JSON of a forecast.") from why


def checked_times(utc: UtcArray, source: str) -> UtcArray:
    """Give instants as microseconds, refusing what does not rise.

    Raises
    ------
    MissingDataError
        If there are none.
    BadInputError
        If two are the same, or a later one stands before an earlier one.
    """
    if utc.size == 0:
        raise MissingDataError(f"{source} holds no hours; fetch or type it again.")
    step = np.diff(utc)
    if np.any(step <= np.timedelta64(0, "s")):
        at = int(np.argmax(step <= np.timedelta64(0, "s"))) + 1
        word = "twice" if step[at - 1] == np.timedelta64(0, "s") else "out of order"
        raise BadInputError(f"{source} gives {str(utc[at])[:16]} UTC {word}.")
    return utc.astype("datetime64[us]")


def moment_from(text: object) -> dt.datetime | None:
    """Read an ISO date and time, with or without its offset; None for what is none.

    Years before 1900 and after 2200 are taken for a mistake too.
    """
    try:
        moment = dt.datetime.fromisoformat(str(text))
    except ValueError:
        return None
    return moment if 1900 <= moment.year <= 2200 else None


def stated_unit(units: Mapping[str, object], name: str, *, source: str) -> str:
    """Give the unit that an answer states for one of its names.

    Raises
    ------
    BadInputError
        If it states none.
    """
    unit = units.get(name)
    if not isinstance(unit, str):
        raise BadInputError(f"{source}'s answer does not state the unit of {name}.")
    return unit


def place_from(
    latitude: object, longitude: object, source: str
) -> tuple[float | None, float | None]:
    """Give the stated place in degrees, or None twice when none is stated.

    Raises
    ------
    BadInputError
        If it lies off the globe.
    """
    latitude_deg = number(latitude, "latitude", source=source)
    longitude_deg = number(longitude, "longitude", source=source)
    if not (np.isfinite(latitude_deg) and np.isfinite(longitude_deg)):
        return None, None
    if not (-90.0 <= latitude_deg <= 90.0 and -180.0 <= longitude_deg <= 360.0):
        raise BadInputError(
            f"{source} names the place {latitude_deg:g}, {longitude_deg:g}, off the globe."
        )
    return latitude_deg, longitude_deg


def dew_point_from_humidity(rows: dict[str, FloatArray]) -> dict[str, FloatArray]:
    """Replace relative humidity by dew point, where no dew point was given.

    Services give a little over 100 now and then; that is taken as saturated. Zero humidity is
    no measurement and gives NaN. A dew point above the temperature is cut to it.
    """
    made = dict(rows)
    share = made.pop("relative_humidity_frac", None)
    temperature = made.get("temperature_degc")
    if temperature is None:
        return made
    if share is not None:
        worked = dew_point_degc(temperature, np.minimum(share, 1.0))
        given = made.get("dew_point_degc", np.full_like(worked, np.nan))
        made["dew_point_degc"] = np.where(np.isfinite(given), given, worked)
    if "dew_point_degc" in made:
        dew = made["dew_point_degc"]
        made["dew_point_degc"] = np.where(dew > temperature, temperature, dew)
    return made


def shown(text: object, otherwise: str) -> str:
    """Shorten a service's own words to one line that can stand in a sentence."""
    words = " ".join(str(text).split()).rstrip(".") if text else ""
    return words[:200] or otherwise
