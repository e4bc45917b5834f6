"""Where to go as things were found, in words."""

from collections.abc import Sequence

from shivelight.basis.instants import clock, zone_label
from shivelight.cli.say.words import blocks, para
from shivelight.drawing.tables import table
from shivelight.drawing.words import window
from shivelight.outing.arrive import ArrivalChoice
from shivelight.workbench.results import Arrival

LIFTING_TIMES = 3


def arrival(found: Arrival, width: int, *, zone_name: str) -> str:
    """List spots that suit what is found, and when such mist lifts."""
    listed = choices(found.choices, width, zone_name=zone_name)
    if not found.lifting:
        return listed
    times = [clock(one, zone_name) for one in found.lifting]
    middle = times[min(1, len(times) - 1)]
    late = f" to {times[-1]}" if len(times) == LIFTING_TIMES else ", or much later"
    said = (
        f"Mist like this at sunrise ({found.seen}) has lifted by about {middle}; "
        f"{times[0]}{late} in 8 of 10 cases."
    )
    return blocks(listed, para(said, width))


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
