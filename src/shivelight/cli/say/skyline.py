"""A skyline in words."""

from shivelight.cli.say.words import blocks, item, lines
from shivelight.drawing.tables import table
from shivelight.workbench.results import SkylineReport

POINTS = (
    "north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west",
)  # fmt: skip


def skyline(one: SkylineReport, width: int) -> str:
    """Say how high it stands round the compass, and what is not known."""
    head = lines(
        f"{one.spot}: highest {one.highest_deg:.1f}° toward {one.highest_toward_deg:.0f}° true.",
        item("comes from", [one.origin], width),
        item("not known", _gaps(one), width) if one.unknown else "",
        item("note", [one.note], width) if one.note else "",
    )
    return blocks(head, table(_rows(one), ("toward", "bearing, true", "height"), width=width))


def _gaps(one: SkylineReport) -> list[str]:
    if one.unknown == ((0.0, 360.0),):
        return ["all round"]
    step_deg = 360.0 / len(one.altitude_deg)  # the arcs name their first and last unknown bearing
    return [
        f"between {start - step_deg:.0f}° and {(end + step_deg) % 360.0:.0f}°"
        for start, end in one.unknown
    ]


def _rows(one: SkylineReport) -> list[tuple[str, str, str]]:
    heights = one.altitude_deg
    count = len(heights)
    rows: list[tuple[str, str, str]] = []
    for place in range(16):
        name = POINTS[place // 2] if place % 2 == 0 else ""
        height = float(heights[round(place * count / 16) % count])
        told = "not known" if height != height else f"{height:.1f}°"  # noqa: PLR0124  NaN
        rows.append((name, f"{place * 22.5:.1f}°", told))
    return rows
