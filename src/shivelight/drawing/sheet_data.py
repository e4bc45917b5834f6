"""What the on-arrival part of the sheet looks up, as JSON inside the page."""

import json
import re

import numpy as np

from shivelight.basis.instants import clock
from shivelight.outing.sheet import SeenLifting, SheetContext


def arrival_data(context: SheetContext) -> str:
    """Write what the page's script looks up, as JSON that can stand in a ``script`` element.

    Spots, woods, sentences and clock times are kept once in ``strings`` and named by number:
    ``rows["good still clear"] = [[spot, wood, walk, why, clock, until_ms], ...]``.
    """
    strings: dict[str, int] = {}

    def number(text: str) -> int:
        return strings.setdefault(text, len(strings))

    rows = {}
    for row in context.arrival.rows:
        rows[f"{row.mist} {row.air} {row.light}"] = [
            [
                number(choice.spot),
                number(choice.wood),
                round(choice.walk_min),
                number(choice.why),
                number(_span_words(choice.from_utc, choice.until_utc, context.zone_name)),
                _ms(choice.until_utc),
            ]
            for choice in row.choices
        ]
    day = np.datetime64(context.day.isoformat(), "ms").astype(np.int64)
    data = {
        "strings": list(strings),
        "rows": rows,
        "seen": {one.seen: seen_words(one, context.zone_name) for one in context.arrival.seen},
        # The clock drops what is over only on the day itself, a day's half either way.
        "day": [int(day) - 43_200_000, int(day) + 129_600_000],
        "made": _ms(context.made_utc),
    }
    return re.sub(
        "[<>&]", lambda m: f"\\u{ord(m[0]):04x}", json.dumps(data, separators=(",", ":"))
    )


def paper_from_ms(context: SheetContext) -> int | None:
    """When the clock turns the page to paper light: half an hour after sunrise. [ms]."""
    rise = _ms(context.almanac.sunrise_utc)
    return None if rise is None else rise + 1_800_000


def _span_words(start: np.datetime64 | None, end: np.datetime64 | None, zone_name: str) -> str:
    if start is None:
        return "" if end is None else f"until {clock(end, zone_name)}"
    if end is None:
        return f"from {clock(start, zone_name)}"
    return f"{clock(start, zone_name)}–{clock(end, zone_name)}"


def seen_words(seen: SeenLifting, zone_name: str) -> str:
    """Say when mist goes, given what is seen at sunrise."""
    clocks = [clock(utc, zone_name) for utc in seen.times]
    if seen.seen == "none":
        return "None at sunrise: nothing has to lift."
    if not clocks:
        return f"If it is {seen.seen} at sunrise, it may sit all morning."
    if len(clocks) == 1:
        return f"If it is {seen.seen} at sunrise: gone by {clocks[0]} in 1 of 10, else it may sit."
    text = f"If it is {seen.seen} at sunrise: gone by {clocks[1]} in 5 of 10 ({clocks[0]} in 1"
    return (
        f"{text}, {clocks[2]} in 9)." if len(clocks) == 3 else f"{text}); it may sit all morning."
    )


def _ms(utc: np.datetime64 | None) -> int | None:
    return None if utc is None else int(utc.astype("datetime64[ms]").astype(np.int64))
