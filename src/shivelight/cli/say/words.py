"""Small pieces of text that several answers share: days, clock times, paragraphs, lists."""

import datetime as dt
import textwrap
from collections.abc import Iterable
from typing import Any, TypeAlias

Instant: TypeAlias = Any
"""A ``datetime64`` in UTC; shells handle instants whole and never import NumPy for its name."""

MEASURE = 88
"""Running text is never set wider than this, however wide the terminal is."""


def short_day(day: dt.date) -> str:
    """Write a day for a table: "Wed 3 Nov"."""
    return f"{day:%a} {day.day} {day:%b}"


def date_words(day: dt.date) -> str:
    """Write a date: "3 November 2027"."""
    return f"{day.day} {day:%B %Y}"


def clock_or(utc: Instant | None, zone_name: str, otherwise: str = "none") -> str:
    """Write an instant as a clock time, or say that there is none."""
    from shivelight.basis.instants import clock

    return otherwise if utc is None else clock(utc, zone_name)


def window(start: Instant | None, end: Instant | None, zone_name: str) -> str:
    """Write a span of clock times: "07:43–08:00"; open ends are left open."""
    if start is None:
        return "none"
    return f"{clock_or(start, zone_name)}–{clock_or(end, zone_name, '')}"


def is_time(utc: Instant | None) -> bool:
    """Whether it is an instant: neither nothing nor "not a time", which differs from itself."""
    return utc is not None and bool(utc == utc)  # noqa: PLR0124


def date_and_clock(utc: Instant, zone_name: str) -> str:
    """Write an instant with its date, short: "2 Nov 21:40"."""
    from shivelight.basis.instants import clock, to_local

    day = to_local(utc, zone_name).date()
    return f"{day.day} {day:%b} {clock(utc, zone_name)}"


def day_and_clock(utc: Instant, zone_name: str) -> str:
    """Write an instant with its day: "Tue 2 Nov 21:40"."""
    from shivelight.basis.instants import clock, to_local

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


def para(text: str, width: int, *, indent: int = 0) -> str:
    """Fill a paragraph."""
    blank = " " * indent
    return textwrap.fill(text, min(width, MEASURE), initial_indent=blank, subsequent_indent=blank)


def item(label: str, texts: Iterable[str], width: int, *, gutter: int = 18) -> str:
    """Set sentences beside a label, each on its own line; nothing is said as a dash."""
    lines: list[str] = []
    blank = " " * gutter
    for text in texts:
        head = f"  {label}".ljust(gutter) if not lines else blank
        lines.append(
            textwrap.fill(
                text, min(width, MEASURE + 8), initial_indent=head,
                subsequent_indent=blank + "  ",
            )
        )  # fmt: skip
    return "\n".join(lines) if lines else f"  {label}".ljust(gutter) + "nothing"


def blocks(*parts: str) -> str:
    """Join parts that are not empty by one empty line."""
    return "\n\n".join(part for part in parts if part)


def lines(*parts: str) -> str:
    """Join parts that are not empty, each on its own line."""
    return "\n".join(part for part in parts if part)
