"""Where to go as things were found, in words."""

from collections.abc import Sequence

from shivelight.basis.instants import zone_label
from shivelight.cli.say.words import blocks, para, window
from shivelight.drawing.tables import table
from shivelight.outing.arrive import ArrivalChoice


def choices(found: Sequence[ArrivalChoice], width: int, *, zone_name: str) -> str:
    """List spots that suit what is found, the first to walk to first."""
    if not found:
        return "No spot suits what you found. Stay for the walk, or go home to bed."
    first = found[0]
    why = f"{first.why[:1].upper()}{first.why[1:].rstrip('.')}."
    answer = f"{first.spot}, {first.wood}: {first.walk_min:.0f} minutes' walk. {why}"
    label = ""
    if first.from_utc is not None:
        label = f" ({zone_label(first.from_utc, zone_name)})"
    rows = [
        (
            str(place),
            one.spot,
            one.wood,
            f"{one.walk_min:.0f} min",
            window(one.from_utc, one.until_utc, zone_name),
            one.why,
        )
        for place, one in enumerate(found, start=1)
    ]
    headers = ("", "spot", "wood", "walk", f"window{label}", "why")
    return blocks(para(answer, width), table(rows, headers, width=width))
