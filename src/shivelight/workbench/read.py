"""Turn typed words into values: numbers, days, times, speeds. A unit that matters is asked for.

Numbers may have a decimal comma. What cannot be read raises ``BadInputError`` with the form that
would be read. The clock's two bad hours (skipped in spring, shown twice in autumn) are met in
``basis.instants``. Both shells read with these; only :func:`position` and :func:`sight_lines` look
at a file, and only the command line uses those two.
"""

import datetime as dt
import re
from collections.abc import Callable, Iterable
from enum import StrEnum
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from shivelight.basis.errors import (
    BadInputError,
    NotFoundError,
    UnreadableFileError,
    require_range,
)

if TYPE_CHECKING:
    import numpy as np

    from shivelight.basis.places import Position

E = TypeVar("E", bound=StrEnum)
_NUMBER = r"[-+−]?\d+(?:[.,]\d+)?"
_SPEEDS_MPS = {"m/s": 1.0, "mps": 1.0, "mph": 0.44704, "km/h": 1 / 3.6, "kmh": 1 / 3.6}
_SPEEDS_MPS |= {"kph": 1 / 3.6, "kn": 1852 / 3600, "kt": 1852 / 3600, "knots": 1852 / 3600}
_SAVED = re.compile(r"(.+\.(?:gpx|geojson|json))(?::(.+))?", re.IGNORECASE)
MOST_NAMED = 12
# Exact by definition: the mile of 1609.344 m, the nautical mile of 1852 m.


def number(text: str, *, what: str = "number", unit: str = "") -> float:
    """Read a number, with a decimal point or comma; its own unit may follow it."""
    said = text.strip().replace("−", "-")
    if unit:
        said = said.removesuffix(unit).rstrip()
    if not re.fullmatch(_NUMBER, said):
        asked = f", in {unit}" if unit else ""
        raise BadInputError(f"The {what} {text!r} is no number; write it like 6.2 or 6,2{asked}.")
    return float(said.replace(",", "."))


def whole(text: str, *, what: str = "count") -> int:
    """Read a whole number."""
    if not re.fullmatch(r"\d+", text.strip()):
        raise BadInputError(f"The {what} {text!r} is no whole number.")
    return int(text)


def reader(what: str, unit: str = "") -> Callable[[str], float]:
    """Make a reader of one kind of number, for a table of fields."""
    return partial(number, what=what, unit=unit)


def span(text: str, *, what: str, unit: str) -> tuple[float, float]:
    """Read "24-105", "24 to 105", "36 x 24" or a single number, which stands for both."""
    said = text.strip().removesuffix(unit).rstrip()
    found = re.fullmatch(rf"({_NUMBER})\s*(?:(?:to|x|×|-|–)\s*({_NUMBER}))?", said)
    if not found:
        raise BadInputError(f"The {what} {text!r} is not read; write it like 24-105, in {unit}.")
    low = number(found[1])
    return low, low if found[2] is None else number(found[2])


def speed_mps(text: str) -> float:
    """Read a wind speed with its unit; a bare number is refused, since units differ by half."""
    found = re.fullmatch(rf"({_NUMBER})\s*([a-z/]+)", text.strip().lower())
    if not found or found[2] not in _SPEEDS_MPS:
        raise BadInputError(
            f"The wind {text!r} needs its unit: write 3 mph, 1.3 m/s, 5 km/h or 2 kn."
        )
    return number(found[1], what="wind") * _SPEEDS_MPS[found[2]]


def speed_words(value_mps: float) -> str:
    """Write a wind speed in the unit in which it is the rounder number: 3 mph, 1.3 m/s."""
    told = [
        (len(f"{round(value_mps / factor, 6):.10g}"), place, f"{value_mps / factor:.6g} {unit}")
        for place, (unit, factor) in enumerate(_SPEEDS_MPS.items())
        if unit in {"m/s", "mph", "km/h", "kn"}
    ]
    return min(told)[2]


def degc(text: str, *, what: str = "temperature") -> float:
    """Read a temperature in °C, or in °F when it says so."""
    found = re.fullmatch(rf"({_NUMBER})\s*°?\s*([cf])?", text.strip().lower())
    if not found:
        raise BadInputError(f"The {what} {text!r} is not read; write it like 6.2 or 43 F.")
    value = number(found[1])
    return (value - 32.0) / 1.8 if found[2] == "f" else value


def cloud_frac(text: str) -> float:
    """Read cloud as eighths ("7/8"), as a share ("0.9") or in words ("clear")."""
    words = {"clear": 0.0, "broken": 0.6, "overcast": 1.0}
    said = text.strip().lower()
    if said in words:
        return words[said]
    eighths = re.fullmatch(r"([0-8])\s*/\s*8", said)
    plain = re.fullmatch(_NUMBER, said)
    share = float(eighths[1]) / 8.0 if eighths else number(said) if plain else -1.0
    if not 0.0 <= share <= 1.0:
        raise BadInputError(
            f"Cloud {text!r} is not read; write eighths like 7/8, or clear, broken, overcast."
        )
    return share


def cloud_words(value_frac: float) -> str:
    """Write cloud in eighths where it is a whole number of them, else as a share."""
    eighths = value_frac * 8.0
    return f"{eighths:.0f}/8" if eighths == round(eighths) else f"{value_frac:.10g}"


def humidity_frac(text: str) -> float:
    """Read relative humidity as instruments show it, in hundredths ("88")."""
    value = number(text.strip().removesuffix("%"), what="humidity")
    require_range("humidity", value, 1.0, 100.0, "%")
    return value / 100.0


def yes(text: str) -> bool:
    """Read yes or no."""
    return choice(text, ("yes", "no"), what="answer") == "yes"


def choice(text: str, words: Iterable[str], *, what: str) -> str:
    """Read one of a few words; capitals do not matter."""
    known = tuple(words)
    said = text.strip().lower()
    if said not in known:
        raise BadInputError(f"The {what} {text!r} is not one of: {', '.join(known)}.")
    return said


def member(text: str, kind: type[E], *, what: str) -> E:
    """Read one of the words of an enumeration."""
    return kind(choice(text, tuple(one.value for one in kind), what=what))


def day(text: str, today: dt.date) -> dt.date:
    """Read a civil day: "today", "tomorrow" or 2027-11-03."""
    said = text.strip().lower()
    if said in {"today", "tomorrow", "yesterday"}:
        return today + dt.timedelta(days={"yesterday": -1, "today": 0, "tomorrow": 1}[said])
    return date(said)


def past(day: dt.date, today: dt.date) -> dt.date:
    """Refuse a day that is still to come."""
    if day > today:
        raise BadInputError(f"{day} has not come yet; only a morning that was can be logged.")
    return day


def date(text: str) -> dt.date:
    """Read a civil day written 2027-11-03."""
    try:
        return dt.date.fromisoformat(text.strip())
    except ValueError as why:
        raise BadInputError(
            f"The day {text!r} is not read; write it like 2027-11-03, today or tomorrow."
        ) from why


def clock(text: str) -> dt.time:
    """Read a time of day on a 24-hour clock: 06:45."""
    found = re.fullmatch(r"(\d{1,2})[:.](\d{2})", text.strip())
    if not found or int(found[1]) > 23 or int(found[2]) > 59:
        raise BadInputError(f"The time {text!r} is not read; write it like 06:45, on 24 hours.")
    return dt.time(int(found[1]), int(found[2]))


def wall_time(text: str) -> dt.datetime:
    """Read a day and a time, as a clock on the wall shows them; an offset may follow."""
    try:
        moment = dt.datetime.fromisoformat(text.strip())
    except ValueError as why:
        raise BadInputError(
            f"The time {text!r} is not read; write it like '2027-11-02 21:40'."
        ) from why
    if len(text.strip()) <= len("2027-11-02"):
        raise BadInputError(f"The time {text!r} has no clock in it; add it, like 21:40.")
    return moment


def instant(text: str, zone_name: str | None) -> "np.datetime64":
    """Read a day and a time on the clock of a zone; None for this machine's clock."""
    from shivelight.basis.instants import from_datetime, to_utc

    moment = wall_time(text)
    if zone_name is None and moment.tzinfo is None:
        return from_datetime(moment.astimezone())
    return to_utc(moment, zone_name or "UTC")


def on_day(day: dt.date, time: dt.time, zone_name: str) -> "np.datetime64":
    """Join a day and a time of it, as the clock of a zone shows them."""
    from shivelight.basis.instants import to_utc

    return to_utc(dt.datetime.combine(day, time), zone_name)


def position(text: str) -> "Position":
    """Read a place: "53.0012 N 5.1003 W", "53.0012,-5.1003", or a saved point, "walk.gpx:Gap"."""
    from shivelight.workbench.places import parse_position

    found = _SAVED.fullmatch(text.strip())
    return saved_place(Path(found[1]), found[2]) if found else parse_position(text)


def place(text: str) -> "Position":
    """Read a place from its degrees alone; nothing that is typed here ever names a file."""
    from shivelight.workbench.places import parse_position

    return parse_position(text)


def saved_place(file: Path, name: str | None) -> "Position":
    """Take one point out of a GPX or GeoJSON file: the named one, or the only one."""
    from shivelight.workbench.places import read_places

    places = read_places(file)
    wanted = [one for one in places if name is None or one.name.casefold() == name.casefold()]
    if len(wanted) == 1:
        return wanted[0].position
    names = ", ".join(dict.fromkeys(one.name or "(no name)" for one in places[:MOST_NAMED]))
    if not wanted:
        raise NotFoundError(f"{file.name} has no point named {name!r}; it has {names}.")
    raise BadInputError(f"{file.name} has {len(wanted)} points that fit; name one of {names}.")


def corner(text: str) -> tuple[float, float]:
    """Read a corner of an outline as latitude and longitude."""
    place = position(text)
    return place.latitude_deg, place.longitude_deg


def sight_lines(path: Path) -> tuple[str, ...]:
    """Read a file of bearings and skyline heights, one pair a line, as lines to be typed.

    Commas, semicolons, tabs or blanks part the two; a first line of words is passed over, and
    so are empty lines and those that begin with ``#``.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as why:
        raise UnreadableFileError(f"{path} cannot be read as text.") from why
    except OSError as why:
        raise UnreadableFileError(f"{path} cannot be read: {why.strerror}.") from why
    lines: list[str] = []
    for place, raw in enumerate(text.splitlines(), start=1):
        line = raw.split("#")[0].strip()
        if not line or (not lines and not re.search(r"\d", line)):
            continue
        found = re.fullmatch(rf"({_NUMBER})\s*[;,\t :]\s*(\S.*)", line)
        if not found:
            raise UnreadableFileError(
                f"Line {place} of {path.name} is {line!r}; write a bearing and a height, "
                "like 95, 12.5."
            )
        lines.append(f"{found[1]}: {found[2].strip()}")
    if not lines:
        raise UnreadableFileError(f"{path.name} holds no bearing and height.")
    return tuple(lines)
