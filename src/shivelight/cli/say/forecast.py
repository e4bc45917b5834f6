"""Forecasts in words."""

from collections.abc import Sequence

from shivelight.cli.say.words import age, blocks, counted, day_and_clock, item, lines, para
from shivelight.drawing.tables import table
from shivelight.workbench.results import ForecastKept

CLOCK = "UTC"
"""Forecasts of several woods share no clock; their spans are given in UTC, as services do."""


def forecasts(kept: Sequence[ForecastKept], width: int) -> str:
    """List forecasts, one a line, newest first as the book gives them."""
    if not kept:
        return (
            "No forecast in the book yet. Fetch one (shivelight forecast fetch), read one from a "
            "file (shivelight forecast read FILE) or type the evening (shivelight evening enter)."
        )
    rows = [
        (
            one.wood or "all woods",
            one.source,
            age(one.age_h),
            f"{day_and_clock(one.first_utc, CLOCK)} to {day_and_clock(one.last_utc, CLOCK)}",
            str(one.members),
            ", ".join(one.missing) or "nothing",
        )
        for one in kept
    ]
    headers = ("wood", "source", "age", "from, to (UTC)", "members", "lacks")
    notes = [f"{one.wood or 'All woods'}: {one.note}" for one in kept if one.note]
    return blocks(
        table(rows, headers, width=width),
        lines(*(para(note, width) for note in notes)),
    )


def kept_now(kept: Sequence[ForecastKept], width: int) -> str:
    """Say what was kept of one forecast, for one wood or for several."""
    one = kept[0]
    woods = ", ".join(each.wood or "all woods" for each in kept)
    issued = (
        "not said" if one.issued_utc is None else f"{day_and_clock(one.issued_utc, CLOCK)} UTC"
    )
    span = f"{day_and_clock(one.first_utc, CLOCK)} to {day_and_clock(one.last_utc, CLOCK)} UTC"
    far_km = max((each.distance_km for each in kept if each.distance_km is not None), default=None)
    away = [] if far_km is None else [f"at most {far_km:.0f} km from the wood"]
    return lines(
        f"Kept: {one.source}, {age(one.age_h)}.",
        item("woods", [woods], width),
        item("issued", [issued], width),
        item("covers", [span], width),
        item("members", [counted(one.members, "member")], width),
        item("made for", away, width) if away else "",
        item("lacks", [", ".join(one.missing) or "nothing"], width),
        item("note", [one.note], width) if one.note else "",
    )
