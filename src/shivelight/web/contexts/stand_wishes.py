"""What is wished of the picture, and how far one will go for it, as a form."""

from collections.abc import Mapping
from dataclasses import replace

from shivelight.web.boxes import Box, boxes, opened
from shivelight.web.forms import Form
from shivelight.workbench.bench import Workbench
from shivelight.workbench.fields.field import Field
from shivelight.workbench.fields.stand import REACHED, WISHED

_SHOWN = tuple(one for one in REACHED if one.key != "reach_m")
FIELDS: tuple[Field, ...] = (*WISHED, *_SHOWN)
"""All boxes of the form, in the order of the page."""
FIRST = (
    "parts", "keeps", "least_gap_deg", "print_width_cm", "left_m", "right_m", "forward_m",
    "back_m", "heights_m",
)  # fmt: skip
"""Boxes that stand open; the rest is folded away."""


def wishes_form(
    bench: Workbench, spot: str, *, typed: Mapping[str, str] | None, wrong: Mapping[str, str]
) -> Form:
    """Write the form, filled with what is kept, or as it was sent."""
    kept = bench.framing_of(spot)
    framing, reach = kept.framing, kept.reach
    heights = None
    if reach.low_m is not None and reach.high_m is not None:
        heights = (reach.low_m, reach.high_m)
    values = {
        "parts": framing.parts,
        "keeps": framing.keeps,
        "whole": framing.whole,
        "subject_place": framing.subject_place,
        "room_above_frac": framing.room_above_frac or None,
        "least_gap_deg": framing.least_gap_deg,
        "print_width_cm": framing.print_width_m * 100.0,
        "focal_lengths_mm": framing.focal_lengths_mm,
        "left_m": reach.left_m,
        "right_m": reach.right_m,
        "forward_m": reach.forward_m,
        "back_m": reach.back_m,
        "heights_m": heights,
        "tilt_deg": reach.tilt_deg,
        "turn_deg": reach.turn_deg,
    }
    filled = boxes(FIELDS, values, typed=typed, wrong=wrong)
    return Form(
        action="/stand/wish",
        button="Keep these, and look again",
        boxes=tuple(_told(one, bench) for one in filled),
        hidden=(("spot", kept.spot),),
        wrong=opened(wrong.get("", "")),
    )


def _told(box: Box, bench: Workbench) -> Box:
    """Add the unit of a length, and what is in the bag."""
    if box.key in {"left_m", "right_m", "forward_m", "back_m"}:
        return replace(box, unit="m")
    if box.key != "focal_lengths_mm":
        return box
    bag = ", ".join(
        f"{one.shortest_mm:g}"
        if one.shortest_mm == one.longest_mm
        else f"{one.shortest_mm:g} to {one.longest_mm:g}"
        for one in bench.kit().lenses
    )
    return replace(box, hint=f"{box.hint} In the bag: {bag} mm." if bag else box.hint)
