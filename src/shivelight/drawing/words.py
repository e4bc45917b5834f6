"""Small pieces of text that pages and answers share: days, clock times, ages, counts."""

import datetime as dt

import numpy as np

from shivelight.basis.instants import clock, to_local


def short_day(day: dt.date) -> str:
    """Write a day for a table: "Wed 3 Nov"."""
    return f"{day:%a} {day.day} {day:%b}"


def date_words(day: dt.date) -> str:
    """Write a date: "3 November 2027"."""
    return f"{day.day} {day:%B %Y}"


def clock_or(utc: np.datetime64 | None, zone_name: str, otherwise: str = "none") -> str:
    """Write an instant as a clock time, or say that there is none."""
    return otherwise if utc is None else clock(utc, zone_name)


def window(start: np.datetime64 | None, end: np.datetime64 | None, zone_name: str) -> str:
    """Write a span of clock times: "07:43–08:00"; open ends are left open."""
    if start is None:
        return "none"
    return f"{clock_or(start, zone_name)}–{clock_or(end, zone_name, '')}"


def is_time(utc: np.datetime64 | None) -> bool:
    """Whether it is an instant: neither nothing nor "not a time", which differs from itself."""
    return utc is not None and bool(utc == utc)  # noqa: PLR0124


def date_and_clock(utc: np.datetime64, zone_name: str) -> str:
    """Write an instant with its date, short: "2 Nov 21:40"."""
    day = to_local(utc, zone_name).date()
    return f"{day.day} {day:%b} {clock(utc, zone_name)}"


def day_and_clock(utc: np.datetime64, zone_name: str) -> str:
    """Write an instant with its day: "Tue 2 Nov 21:40"."""
    return f"{short_day(to_local(utc, zone_name).date())} {clock(utc, zone_name)}"


def minutes(value: float) -> str:
    """Write a length of time: "17 min", "2 h 5 min"."""
    whole = round(value)
    return f"{whole} min" if whole < 120 else f"{whole // 60} h {whole % 60} min"


def age(hours: float) -> str:
    """Write an age: "3 hours old", "2 days old"."""
    if hours < 1.0:
        return "under an hour old"
    if hours < 48.0:
        count, noun = round(hours), "hour"
    else:
        count, noun = round(hours / 24.0), "day"
    return f"{count} {noun}{'' if count == 1 else 's'} old"


def counted(number: int, noun: str, many: str = "") -> str:
    """Write a count with its noun: "1 spot", "3 spots"."""
    return f"{number} {noun if number == 1 else many or noun + 's'}"
