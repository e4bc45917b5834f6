"""Airfield observations (METAR text) as a short series, read with the ``metar`` library.

A report gives the day and the hour but neither month nor year: they follow from when the text
was received. What a report does not say stays missing.
"""

import calendar
import re
import warnings
from typing import TYPE_CHECKING, Any

import numpy as np

from shivelight.air.forecast import Ensemble, single
from shivelight.basis.errors import BadInputError, UnreadableFileError
from shivelight.intake.series import text_from
from shivelight.intake.units import refuse_unbelievable

if TYPE_CHECKING:
    from metar.Metar import Metar

SOURCE = "METAR"

_HEAD = re.compile(
    r"\b(?:(?P<kind>METAR|SPECI|TAF)\s+)?(?:COR\s+|AMD\s+)?(?P<station>[A-Z][A-Z0-9]{3})\s+"
    r"(?P<day>\d\d)(?P<hour>\d\d)(?P<minute>\d\d)Z(?=\s|$)(?P<span>\s+\d{4}/\d{4})?"
)
# Share of the sky of each word, the middle of its eighths (WMO-No. 306, code 2700, from memory).
_SHARES = {"FEW": 1.5 / 8, "SCT": 3.5 / 8, "BKN": 6.0 / 8, "OVC": 1.0}
_NO_CLOUD = {"SKC", "CLR", "NSC", "NCD", "CAVOK"}
_LOW_CLOUD_BELOW_M = 2000.0
_WET = {"DZ", "RA", "SN", "SG", "IC", "PL", "GR", "GS", "UP"}


def read_metar(payload: bytes | str, *, now_utc: np.datetime64 | None) -> Ensemble:
    """Read one or many reports of one airfield.

    Parameters
    ----------
    payload : bytes or str
        Reports, one a line or run together, in any order.
    now_utc : datetime64
        When the text was received; the reports are taken to be from the four weeks before.

    Returns
    -------
    Ensemble
        One member at the times of the reports. Cloud is that of the thickest layer ("no
        significant cloud" counts as none); a sky hidden by fog gives none at all. Visibility
        of 9999 or CAVOK is 10 km, the most that the code can say. Rain is 0 where the report
        names no wet weather, the stated amount where it gives one, and else missing.

    Raises
    ------
    BadInputError
        If ``now_utc`` is not given, the reports are of several airfields, or are forecasts
        (TAF).
    UnreadableFileError
        If there is no report, or nothing in any report can be read.
    """
    text = " ".join(text_from(payload, SOURCE).split())
    heads = list(_HEAD.finditer(text))
    if not heads:
        raise UnreadableFileError(
            "There is no METAR report here; one begins with its airfield and time, "
            "such as 'METAR XXXX 030650Z'."
        )
    if any(head["span"] or head["kind"] == "TAF" for head in heads):
        raise BadInputError(
            "This is a TAF, the forecast of an airfield, which is not read; give its METAR."
        )
    stations = sorted({head["station"] for head in heads})
    if len(stations) > 1:
        raise BadInputError(
            f"These reports are of {len(stations)} airfields ({', '.join(stations[:5])}); "
            "give those of one."
        )
    if now_utc is None:
        raise BadInputError("A METAR names no month; say when the reports were received.")
    ends = [head.start() for head in heads[1:]] + [len(text)]
    rows: dict[np.datetime64, dict[str, float]] = {}
    for head, end in zip(heads, ends, strict=True):
        utc = _time(head, now_utc)
        row = _values(text[head.start() : end], utc)
        corrected = " COR" in text[head.start() : end]
        if row and (utc not in rows or corrected):
            rows[utc] = row
    if not rows:
        raise UnreadableFileError("Nothing in these METAR reports can be read.")
    return _series(rows, stations[0])


def _time(head: re.Match[str], now_utc: np.datetime64) -> np.datetime64:
    """Latest instant with the report's day and time that is not after now (two hours allowed)."""
    day, hour, minute = int(head["day"]), int(head["hour"]), int(head["minute"])
    if not (1 <= day <= 31 and hour <= 23 and minute <= 59):
        raise BadInputError(f"The METAR time {day:02d}{hour:02d}{minute:02d}Z is no time.")
    latest = now_utc + np.timedelta64(2, "h")
    month = latest.astype("datetime64[M]")
    for back in range(3):
        start = month - back
        year, number = divmod(int(start.astype(np.int64)), 12)
        if day > calendar.monthrange(1970 + year, number + 1)[1]:
            continue
        minutes = ((day - 1) * 24 + hour) * 60 + minute
        utc: np.datetime64 = start.astype("datetime64[us]") + np.timedelta64(minutes, "m")
        if utc <= latest:
            return utc
    raise BadInputError(f"The METAR time {day:02d}{hour:02d}{minute:02d}Z is in no recent month.")


def _values(report: str, utc: np.datetime64) -> dict[str, float]:
    """Give what one report says, in the core's units; nothing when it cannot be read."""
    from metar.Metar import Metar, ParserError  # noqa: PLC0415  only when there is a report

    month = int(utc.astype("datetime64[M]").astype(np.int64))
    text = _tidied(report)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # groups it cannot read; what it can is used
            read = Metar(text, month=month % 12 + 1, year=1970 + month // 12, strict=False)
    except (ParserError, ValueError, ArithmeticError, LookupError, TypeError, AttributeError):
        return {}
    values = {
        "temperature_degc": _number(read.temp, "C"),
        "dew_point_degc": _number(read.dewpt, "C"),
        "wind_speed_mps": _number(read.wind_speed, "MPS"),
        "wind_gust_mps": _number(read.wind_gust, "MPS"),
        "visibility_m": _visibility_m(read, text),
        "pressure_hpa": _number(read.press_sea_level or read.press, "HPA"),
        "precipitation_mm": _rain_mm(read),
        **_cloud(read, text),
    }
    known = {name: value for name, value in values.items() if np.isfinite(value)}
    for name, value in known.items():
        refuse_unbelievable(name, np.array([value]), source=SOURCE)
    return known if set(known) - {"precipitation_mm"} else {}


def _tidied(report: str) -> str:
    """Take off what ends a report, and its trend: "BECMG 5000" is no observation."""
    text = report.split("=", maxsplit=1)[0].strip()
    body, mark, remarks = text.partition(" RMK ")
    body = re.split(r"\s(?:NOSIG|BECMG|TEMPO|PROB\d\d)\b", body)[0]
    return body + mark + remarks


def _number(quantity: Any, unit: str) -> float:
    if quantity is None:
        return np.nan
    value = quantity.value(unit)
    return float(value) if value is not None else np.nan


def _visibility_m(read: "Metar", text: str) -> float:
    if re.search(r"\bCAVOK\b", text):
        return 10_000.0
    return min(_number(read.vis, "M"), 10_000.0) if " 9999" in text else _number(read.vis, "M")


def _cloud(read: "Metar", text: str) -> dict[str, float]:
    words = [layer[0] for layer in read.sky]
    if "VV" in words or re.search(r"\bVV(?:\d{3}|///)", text):
        return {}
    if not words:
        clear = re.search(rf"\b(?:{'|'.join(sorted(_NO_CLOUD))})\b", text)
        return {"cloud_cover_frac": 0.0, "low_cloud_frac": 0.0} if clear else {}
    whole = [_SHARES.get(word, 0.0 if word in _NO_CLOUD else np.nan) for word in words]
    if np.isnan(whole).any():
        return {}
    low = [
        share
        for share, layer in zip(whole, read.sky, strict=True)
        if layer[1] is not None and layer[1].value("M") < _LOW_CLOUD_BELOW_M
    ]
    return {"cloud_cover_frac": max(whole), "low_cloud_frac": max(low, default=0.0)}


def _rain_mm(read: "Metar") -> float:
    if read.precip_1hr is not None:
        return float(read.precip_1hr.value("CM")) * 10.0
    kinds = {part for group in read.weather for part in re.findall("..", group[2] or "")}
    return np.nan if kinds & _WET else 0.0


def _series(rows: dict[np.datetime64, dict[str, float]], station: str) -> Ensemble:
    times = sorted(rows)
    names = sorted({name for row in rows.values() for name in row})
    quantities: dict[str, Any] = {
        name: np.array([rows[time].get(name, np.nan) for time in times]) for name in names
    }
    if {"temperature_degc", "dew_point_degc"} <= set(names):
        quantities["dew_point_degc"] = np.minimum(
            quantities["dew_point_degc"],
            np.where(np.isnan(warm := quantities["temperature_degc"]), np.inf, warm),
        )
    latitude_deg, longitude_deg = _position(station)
    return single(
        np.array(times),
        f"{SOURCE} of {station}",
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        issued_utc=times[-1],
        **quantities,
    )


def _position(station: str) -> tuple[float | None, float | None]:
    """Look the airfield up in the list that comes with the library (to the minute of arc)."""
    from metar import Station  # noqa: PLC0415  reads its list on import

    known = Station.stations.get(station)
    if known is None:
        return None, None
    latitude_deg, longitude_deg = known.position.latitude, known.position.longitude
    return _degrees(latitude_deg), _degrees(longitude_deg)


def _degrees(text: object) -> float | None:
    """Turn "51-29N" or "000-27-41W" into degrees."""
    match = re.fullmatch(r"(\d{2,3})-(\d\d)(?:-(\d\d))?([NSEW])", str(text).strip())
    if match is None:
        return None
    size = int(match[1]) + int(match[2]) / 60.0 + int(match[3] or 0) / 3600.0
    return -size if match[4] in "SW" else size
