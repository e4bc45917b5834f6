"""Trunks marked on a picture: what is typed and tapped, one line a trunk, and the part shown."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from shivelight.basis.errors import BadInputError
from shivelight.workbench.picture_marks import Part
from shivelight.workbench.typed_marks import mark_lines, pixel_place, read_marks

SIDES_WIDE, SIDES_TALL = (880, 356, 288), (600, 356, 288)
"""Widths at which a picture lying and standing is shown, so that a tap can be read. [px]"""
ZOOMS = (1, 2, 4, 8)
PLACES = ("left", "right", "foot")
NEXT = {"left": "right", "right": "foot", "foot": "foot"}
SAID = {"left": "Left edge", "right": "Right edge", "foot": "Foot"}
KEYS = (
    "name", "role", "width", "left", "right", "foot", "sets", "marks", "lens_height", "pitch",
    "focal", "sensor", "middle_x", "middle_y", "zoom",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class MarksDraft:
    """What the form holds between two sendings, as typed.

    Attributes
    ----------
    name, role, width : str
        Of the trunk that is being marked; its width where it was measured.
    left, right, foot : str
        Its places, "column row" in pixels of the whole upright picture.
    sets : str
        Which of them the next tap sets.
    marks : str
        Trunks that are marked, one a line.
    lens_height, pitch, focal, sensor : str
        How the picture was taken.
    middle_x, middle_y : float
        Middle of the part that is shown, as shares of the picture.
    zoom : int
        How many times nearer than the whole it is shown.
    reading : str
        What was set last.
    wrong : dict of str to str
        Why something was not taken, by box; "" for the whole.
    """

    name: str = ""
    role: str = ""
    width: str = ""
    left: str = ""
    right: str = ""
    foot: str = ""
    sets: str = "left"
    marks: str = ""
    lens_height: str = ""
    pitch: str = ""
    focal: str = ""
    sensor: str = ""
    middle_x: float = 0.5
    middle_y: float = 0.5
    zoom: int = 1
    reading: str = ""
    wrong: Mapping[str, str] = field(default_factory=dict)


def draft_from(typed: Mapping[str, str]) -> MarksDraft:
    """Read the form, whatever state it is in."""
    said = {key: typed.get(key, "").strip() for key in KEYS}
    return MarksDraft(
        name=said["name"],
        role=said["role"],
        width=said["width"],
        left=said["left"],
        right=said["right"],
        foot=said["foot"],
        marks=said["marks"],
        lens_height=said["lens_height"],
        pitch=said["pitch"],
        focal=said["focal"],
        sensor=said["sensor"],
        sets=said["sets"] if said["sets"] in PLACES else "left",
        middle_x=_share(said["middle_x"]),
        middle_y=_share(said["middle_y"]),
        zoom=int(said["zoom"]) if said["zoom"] in {str(one) for one in ZOOMS} else 1,
    )


def part_of(draft: MarksDraft, width_px: int, height_px: int) -> Part:
    """Rectangle of the picture that is shown, kept inside it."""
    wide, high = width_px / draft.zoom, height_px / draft.zoom
    left = min(max(draft.middle_x * width_px - wide / 2.0, 0.0), width_px - wide)
    top = min(max(draft.middle_y * height_px - high / 2.0, 0.0), height_px - high)
    return Part(left_px=left, top_px=top, width_px=wide, height_px=high)


def tap_of(typed: Mapping[str, str], shape: float) -> tuple[float, float] | None:
    """Where the picture was tapped, as shares of the part that is shown; None for no tap.

    Parameters
    ----------
    typed : mapping of str to str
        The form.
    shape : float
        Height over width of the picture.
    """
    for side in sorted({*SIDES_WIDE, *SIDES_TALL}):
        x, y = typed.get(f"at{side}.x"), typed.get(f"at{side}.y")
        if x is None or y is None:
            continue
        try:
            found = (float(x) + 0.5) / side, (float(y) + 0.5) / round(side * shape)
        except ValueError as why:
            raise BadInputError("Where the picture was tapped is no number.") from why
        if not all(math.isfinite(one) for one in found):
            raise BadInputError("Where the picture was tapped is no number.")
        return min(max(found[0], 0.0), 1.0), min(max(found[1], 0.0), 1.0)
    return None


def tapped(draft: MarksDraft, tap: tuple[float, float], part: Part) -> MarksDraft:
    """Set the place that is asked for, and ask for the next."""
    x = part.left_px + tap[0] * part.width_px - 0.5
    y = part.top_px + tap[1] * part.height_px - 0.5
    words = f"{SAID[draft.sets]} at column {x:.0f}, row {y:.0f}."
    place = f"{x:.1f} {y:.1f}"
    return replace(
        draft,
        left=place if draft.sets == "left" else draft.left,
        right=place if draft.sets == "right" else draft.right,
        foot=place if draft.sets == "foot" else draft.foot,
        sets=NEXT[draft.sets],
        reading=words,
    )


def nearer(draft: MarksDraft, do: str) -> MarksDraft:
    """Show a nearer part, a wider one, or the next one to a side."""
    if do == "whole":
        return replace(draft, zoom=1, middle_x=0.5, middle_y=0.5)
    if do in {"closer", "wider"}:
        at = ZOOMS.index(draft.zoom) + (1 if do == "closer" else -1)
        x, y = draft.middle_x, draft.middle_y
        return replace(draft, zoom=ZOOMS[min(max(at, 0), 3)], middle_x=x, middle_y=y)
    step = 0.5 / draft.zoom
    right, down = {"west": (-1, 0), "east": (1, 0), "north": (0, -1), "south": (0, 1)}[do]
    edge = 0.5 / draft.zoom
    return replace(
        draft,
        middle_x=min(max(draft.middle_x + right * step, edge), 1.0 - edge),
        middle_y=min(max(draft.middle_y + down * step, edge), 1.0 - edge),
    )


def with_trunk(draft: MarksDraft) -> MarksDraft:
    """Write the trunk that is being marked down as a line, and begin the next.

    Raises
    ------
    BadInputError
        If its name or an edge is missing.
    """
    name = " ".join(draft.name.split())
    if not name or ":" in name:
        raise BadInputError("The trunk needs a name, without a colon.")
    if any(mark.name.casefold() == name.casefold() for mark in read_marks(draft.marks)):
        raise BadInputError(f"{name} is marked already; take its line away first.")
    line = [f"{name}: edges {_line_edges(draft)}"]
    if draft.foot:
        x, y = pixel_place(draft.foot, "foot")
        line.append(f"foot {x:.1f} {y:.1f}")
    if draft.width:
        line.append(f"width {draft.width}")
    if draft.role:
        line.append(draft.role)
    made = ", ".join(line)
    read_marks(made)  # refuses what would be refused later
    marks = "\n".join([*mark_lines(draft.marks), made])
    return replace(
        draft, marks=marks, name="", width="", role="", left="", right="", foot="", sets="left",
        reading=f"{name} is marked. The next trunk: its name, then its edges and its foot.",
    )  # fmt: skip


def _line_edges(draft: MarksDraft) -> str:
    if not draft.left or not draft.right:
        raise BadInputError(
            "A trunk needs its left and its right edge, about as high as a chest; tap the two, "
            "or type them as 'column row'."
        )
    left, right = pixel_place(draft.left, "left edge"), pixel_place(draft.right, "right edge")
    return f"{left[0]:.1f} {right[0]:.1f} at {(left[1] + right[1]) / 2.0:.1f}"


def _share(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        return 0.5
    return min(max(value, 0.0), 1.0) if math.isfinite(value) else 0.5
