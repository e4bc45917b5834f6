"""Forecasts in words."""

from collections.abc import Sequence

from shivelight.cli.say.words import blocks, item, lines, para
from shivelight.drawing.tables import table
from shivelight.drawing.words import age, counted, date_and_clock, day_and_clock
from shivelight.outing.value_words import named
from shivelight.workbench.results import ForecastKept


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
            f"{date_and_clock(one.first_utc, one.zone_name)} – "
            f"{date_and_clock(one.last_utc, one.zone_name)}",
            _members(one),
            named(one.missing),
        )
        for one in kept
    ]
    headers = ("wood", "source", "age", "from, to (wood's clock)", "holds", "lacks")
    notes = [f"{one.wood or 'All woods'}: {one.note}" for one in kept if one.note]
    return blocks(
        table(rows, headers, width=width),
        lines(*(para(note, width) for note in notes)),
    )


def _members(one: ForecastKept) -> str:
    return "one forecast" if one.members == 1 else counted(one.members, "member")


def kept_now(kept: Sequence[ForecastKept], width: int) -> str:
    """Say what was kept of one forecast, for one wood or for several."""
    one = kept[0]
    woods = ", ".join(each.wood or "all woods" for each in kept)
    there = one.zone_name
    issued = "not said" if one.issued_utc is None else day_and_clock(one.issued_utc, there)
    span = f"{day_and_clock(one.first_utc, there)} to {day_and_clock(one.last_utc, there)}"
    far_km = max((each.distance_km for each in kept if each.distance_km is not None), default=None)
    away = [] if far_km is None or far_km < 1.0 else [f"a place {far_km:.0f} km from the wood"]
    return lines(
        f"Kept: {one.source}, {age(one.age_h)}.",
        item("woods", [woods], width),
        item("issued", [issued], width),
        item("covers", [f"{span}, clock of {there}"], width),
        item("holds", [_members(one)], width),
        item("made for", away, width) if away else "",
        item("lacks", [named(one.missing)], width),
        item("note", [one.note], width) if one.note else "",
    )
