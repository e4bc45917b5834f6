"""Woods in words."""

import datetime as dt
from collections.abc import Sequence

from shivelight.cli.say.words import blocks, item, lines
from shivelight.drawing.tables import table
from shivelight.drawing.words import counted, date_words
from shivelight.outing.kept import RasterNote
from shivelight.outing.woods import AccessFact, Wood
from shivelight.workbench.results import WoodPage

WIDE = 96
"""From so many columns on the list of woods has room to say why one goes."""


def woods(pages: Sequence[WoodPage], width: int) -> str:
    """List woods, one a line."""
    if not pages:
        return (
            "No woods yet. Add one with: shivelight wood add NAME --parking PLACE --height M ..."
        )
    rows = [
        (
            page.wood.name,
            page.wood.stand,
            f"{page.wood.ground_height_m:.0f} m",
            "" if page.wood.road_min is None else f"{page.wood.road_min:.0f} min",
            str(len(page.spots)),
            str(len(page.logs)),
            *((page.wood.note,) if width >= WIDE else ()),
        )
        for page in pages
    ]
    headers = ("wood", "stand", "height", "road", "spots", "logged", "why go")
    return table(rows, headers[: 7 if width >= WIDE else 6], width=width)


def page(one: WoodPage, width: int, *, today: dt.date) -> str:
    """Show a wood with its spots, access, rasters and record."""
    return blocks(
        lines(one.wood.name, _facts(one.wood, width)),
        _access(one, width, today),
        _spots(one, width),
        _laid(one, width),
        _record(one, width),
    )


def _facts(wood: Wood, width: int) -> str:
    place = wood.parking
    habit = wood.habit
    mist = [
        f"taken as {habit.depth_m:g} m deep",
        f"floor {habit.hollow_depth_m:g} m below its surroundings" if habit.hollow_depth_m else "",
        "water beside it" if habit.near_water else "",
        f"fog usually up to {habit.fog_top_m:g} m" if habit.fog_top_m is not None else "",
        habit.note,
    ]
    return lines(
        item("why go", [wood.note], width) if wood.note else "",
        item("stand", [f"{wood.stand}, {wood.ground_height_m:g} m above the sea"], width),
        item("parking", [f"{place.latitude_deg:.5f}, {place.longitude_deg:.5f}"], width),
        item("outline", [f"{len(wood.outline)} corners"], width) if wood.outline else "",
        item("road", ["not timed" if wood.road_min is None else f"{wood.road_min:g} min"], width),
        item("clock", [wood.zone_name], width),
        item("mist", ["; ".join(part for part in mist if part)], width),
        item("hazards", [", ".join(wood.hazards)], width) if wood.hazards else "",
        item("class", [str(wood.privacy)], width),
    )


def _access(one: WoodPage, width: int, today: dt.date) -> str:
    facts = [
        _fact(fact, today)
        + ("; look again" if any(told.startswith(fact.what) for told in one.stale_access) else "")
        for fact in one.wood.access
    ]
    return lines("Getting in", item("access", facts or ["nothing noted"], width))


def _fact(fact: AccessFact, today: dt.date) -> str:
    span = ""
    if fact.from_day or fact.to_day:
        ends = (
            f"from {date_words(fact.from_day)}" if fact.from_day else "",
            f"to {date_words(fact.to_day)}" if fact.to_day else "",
        )
        span = f", {' '.join(end for end in ends if end)}"
    closed = ", speaks against going now" if fact.closes and fact.holds_on(today) else ""
    asks = f"; ask {fact.contact}" if fact.contact else ""
    return f"{fact.what}{span}{closed}{asks} (noted {date_words(fact.noted_on)})"


def _spots(one: WoodPage, width: int) -> str:
    if not one.spots:
        return f"No spots yet. Add one with: shivelight spot add NAME --wood '{one.wood.name}' ..."
    rows = [
        (spot.name, f"{spot.view_azimuth_deg:.0f}°", f"{spot.focal_length_mm:g} mm",
         "; ".join(wish.words for wish in spot.musts) or "no musts", str(spot.state))
        for spot in one.spots
    ]  # fmt: skip
    return table(rows, ("spot", "view, true", "lens", "has to hold", "state"), width=width)


def _laid(one: WoodPage, width: int) -> str:
    return rasters(one.rasters, width) if one.rasters else ""


def _record(one: WoodPage, width: int) -> str:
    heard = [
        f"{date_words(log.day)}: mist {log.mist}"
        + (f", {log.optical_range_m:.0f} m" if log.optical_range_m is not None else "")
        + (f", air {log.air}" if log.air else "")
        + (f". {log.note}" if log.note else "")
        for log in sorted(one.logs, key=lambda log: log.day, reverse=True)
    ]
    more = [f"and {counted(len(heard) - 5, 'earlier morning')}"] if len(heard) > 5 else []
    return lines(
        "Found here",
        item("counts", [one.counts.words], width),
        item("last", [*heard[:5], *more] or ["nothing logged yet"], width),
    )


def rasters(notes: Sequence[RasterNote], width: int) -> str:
    """List the rasters under a wood."""
    rows = [(note.kind, note.path, note.height_unit or "as in the file") for note in notes]
    return table(rows, ("raster", "file", "heights in"), width=width)


def removed(told: dict[str, str], width: int) -> str:
    """Say that a wood is gone."""
    del width
    return f"{told['removed']} is out of the book."
