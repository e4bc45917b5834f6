"""The evening's values as a person writes them: "3 mph falling", "clearing by 01:00"."""

import datetime as dt
import re
from collections.abc import Mapping
from typing import Any

import numpy as np

from shivelight.air.wind import beaufort_wind_mps
from shivelight.basis.errors import BadInputError, MissingDataError
from shivelight.basis.instants import to_utc
from shivelight.intake.evening import CLOUD_AFTER_FRAC, TRENDS, EveningValues
from shivelight.intake.units import KINDS, converted

SOURCE = "The evening's values"

_CLOUD_WORDS = {
    "clear": 0.0, "none": 0.0, "few": 0.2, "some": 0.4, "half": 0.5, "broken": 0.75,
    "mostly": 0.85, "overcast": 1.0, "full": 1.0,
}  # fmt: skip
_WORDS = (
    "at",
    "temperature",
    "dew_point",
    "humidity",
    "wind",
    "cloud",
    "ground",
    "pressure",
)


def evening_from_words(words: Mapping[str, str], *, day: dt.date, zone_name: str) -> EveningValues:
    """Understand what was typed, each value as a person writes it.

    Parameters
    ----------
    words : mapping of str to str
        ``at`` "21:40"; ``temperature`` "6.2" or "43 F"; ``dew_point`` the same, or ``humidity``
        "88" or "88 %"; ``wind`` "3 mph falling", "calm", "force 2"; ``cloud`` "clearing by
        01:00", "6/8", "half", "80 % thickening by 04:00"; ``ground`` "wet" or "dry";
        ``pressure`` "1024 rising" or "rising". What is not there was not typed.
    day : date
        Day of the evening on the zone's clock. A time before noon is of the next day.
    zone_name : str
        IANA zone of the clock.

    Returns
    -------
    EveningValues
        In the core's units.

    Raises
    ------
    BadInputError
        If a word is not understood.
    MissingDataError
        If time, temperature or humidity is missing.
    """
    strange = sorted(set(words) - set(_WORDS))
    if strange:
        raise BadInputError(
            f"There is no evening value named {strange[0]!r}; there are {', '.join(_WORDS)}."
        )
    said = {name: " ".join(text.lower().split()) for name, text in words.items() if text.strip()}
    for name in ("at", "temperature"):
        if name not in said:
            raise MissingDataError(f"The evening's values need {name!r}.")
    utc = _clock_time(said["at"], day, zone_name)
    wind, wind_trend = _wind_words(said.get("wind", ""))
    pressure, pressure_trend = _pressure_words(said.get("pressure", ""))
    return EveningValues(
        utc=utc,
        temperature_degc=_quantity(said["temperature"], "temperature_degc", "c"),
        dew_point_degc=_quantity(said["dew_point"], "dew_point_degc", "c")
        if "dew_point" in said
        else None,
        relative_humidity_frac=_quantity(said["humidity"], "relative_humidity_frac", "%")
        if "humidity" in said
        else None,
        wind_speed_mps=wind,
        wind_trend=wind_trend,
        ground=said.get("ground", ""),
        pressure_hpa=pressure,
        pressure_trend=pressure_trend,
        **_cloud_words(said.get("cloud", ""), day, zone_name),
    )


def _clock_time(text: str, day: dt.date, zone_name: str) -> np.datetime64:
    match = re.fullmatch(r"([01]?\d|2[0-3])[:.]([0-5]\d)", text)
    if match is None:
        raise BadInputError(f"{text[:20]!r} is no time on a clock; write it as 21:40.")
    hour, minute = int(match[1]), int(match[2])
    of_day = day if hour >= 12 else day + dt.timedelta(days=1)
    wall = dt.datetime.combine(of_day, dt.time(hour, minute))
    # Of an hour that the clock shows twice the first is meant.
    return to_utc(wall, zone_name, fold=0)


def _quantity(text: str, quantity: str, usual: str) -> float:
    match = re.fullmatch(r"([-−]?\d+(?:[.,]\d+)?)\s*(\S*)", text)
    if match is None:
        raise BadInputError(f"{text[:30]!r} is no number with a unit.")
    number = float(match[1].replace("−", "-").replace(",", "."))
    unit = match[2] or usual
    return float(converted(quantity, np.array([number]), unit, source=SOURCE)[0])


def _trend(text: str, otherwise: str) -> tuple[str, str]:
    """Take a trend off the end of the words."""
    for word in TRENDS:
        if text == word or text.endswith(" " + word):
            return text.removesuffix(word).strip(" ,"), word
    return text, otherwise


def _wind_words(text: str) -> tuple[float | None, str]:
    rest, trend = _trend(text, "steady")
    if rest == "":
        if text:
            raise BadInputError("Say the wind itself too, such as '3 mph falling' or 'calm'.")
        return None, trend
    if rest == "calm":
        return 0.0, trend
    force = re.fullmatch(r"(?:force|bft|beaufort) (\d|1[0-2])", rest)
    if force:
        return float(beaufort_wind_mps(int(force[1]))), trend
    if re.fullmatch(r"\d+(?:[.,]\d+)?", rest):
        units = ", ".join(sorted(KINDS["wind_speed_mps"]))
        raise BadInputError(f"Say the unit of the wind, as in '3 mph'; understood are {units}.")
    return _quantity(rest, "wind_speed_mps", ""), trend


def _pressure_words(text: str) -> tuple[float | None, str]:
    rest, trend = _trend(text, "")
    return (_quantity(rest, "pressure_hpa", "hpa") if rest else None), trend


def _cloud_words(text: str, day: dt.date, zone_name: str) -> dict[str, Any]:
    match = re.fullmatch(r"(.*?)[ ,]*(steady|clearing|thickening)?(?: by ([\d:.]+))?", text)
    if match is None:  # pragma: no cover  every text matches
        raise BadInputError(f"The cloud {text[:30]!r} is not understood.")
    now, change, by = match[1], match[2], match[3]
    if by and change not in CLOUD_AFTER_FRAC:
        raise BadInputError("Say what the cloud does, such as 'clearing by 01:00'.")
    return {
        "cloud_cover_frac": _cloud_now(now) if now else None,
        "cloud_change": change or "steady",
        "cloud_by_utc": _clock_time(by, day, zone_name) if by else None,
    }


def _cloud_now(text: str) -> float:
    if text in _CLOUD_WORDS:
        return _CLOUD_WORDS[text]
    eighths = re.fullmatch(r"([0-8])\s*/\s*8", text)
    if eighths:
        return int(eighths[1]) / 8.0
    try:
        return _quantity(text, "cloud_cover_frac", "%")
    except BadInputError:
        raise BadInputError(
            f"The cloud {text[:30]!r} is not understood; write 6/8, 80 %, or one of "
            f"{', '.join(_CLOUD_WORDS)}, then 'clearing by 01:00' if it will."
        ) from None
