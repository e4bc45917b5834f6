"""The four printed faces of a sheet: times, first spot, if not, what I found."""

import re

from shivelight.basis.instants import clock
from shivelight.drawing import faces as face
from shivelight.drawing.sheet_stand import mark_drawing, stand_drawing, stand_lines
from shivelight.drawing.strip import morning_strip_svg
from shivelight.outing.sheet import SheetContext

EDGE_WALK = (
    "top", "right", "bottom", "left", "level", "four corners", "no kiss", "highlights",
    "near sharp", "far sharp", "leaf still",
)  # fmt: skip
PRINT_FIGURE_PX = 340.0
_WITH_DRAWINGS = ((True, True), (True, False), (False, True))
"""Frame from the stand and find-it-again strip: what is tried first, most first."""


def sheet_faces(context: SheetContext, *, zone: str) -> tuple[face.Face, ...]:
    """Set out the four faces, however long; ``faces.paged`` lays them on pages.

    Cautions stand under the times. Whole ones for which that face has no room go to the foot
    of another that has room for them all; where none has, the first face runs on. The frame from
    the stand and the find-it-again strip are drawn under the rest where that takes no page more.
    """
    plain = _laid(context, zone)
    first = context.first
    if first is None or (first.stand is None and first.mark is None):
        return plain
    pages = len(face.paged(plain))
    for frame, strip in _WITH_DRAWINGS:
        tried = _laid(context, zone, frame=frame, strip=strip)
        if len(face.paged(tried)) <= pages:
            return tried
    return plain


def _laid(
    context: SheetContext, zone: str, *, frame: bool = False, strip: bool = False
) -> tuple[face.Face, ...]:
    found: dict[str, tuple[face.Block, ...]] = {
        "times": _times_face(context, zone),
        "first": _first_face(context, frame=frame, strip=strip),
        "ifnot": _if_not_face(context),
        "found": _found_face(),
    }
    here = len(context.cautions)
    while here and not _fits(_mind(context.cautions[:here]), found["times"]):
        here -= 1
    rest = _mind(context.cautions[here:])
    homes = [place for place in ("ifnot", "first", "found") if _fits(rest, found[place])]
    if homes or not rest:
        found["times"] += _mind(context.cautions[:here])
        found[homes[0] if homes else "times"] += rest
    else:
        found["times"] += _mind(context.cautions)
    return tuple(face.Face(place=place, blocks=blocks) for place, blocks in found.items())


def _mind(lines: tuple[str, ...]) -> tuple[face.Block, ...]:
    return (face.rule(), *face.fine_lines(" ".join(lines))) if lines else ()


def _fits(blocks: tuple[face.Block, ...], onto: tuple[face.Block, ...]) -> bool:
    return sum(block.height_px for block in blocks) <= face.room_px(onto)


def _times_face(context: SheetContext, zone: str) -> tuple[face.Block, ...]:
    day = f"{context.day:%A} {context.day.day} {context.day:%B}"
    note = f"; {context.clock_note[:1].lower()}{context.clock_note[1:].rstrip('.')}"
    kicker = f"{context.day:%Y}, times in {zone}{note if context.clock_note else ''}"
    blocks = [face.title(kicker, day)]
    if not context.go:
        blocks += [face.head(line) for line in face.lines_of(context.answer)]
    blocks += [
        face.time_row(clock(one.utc, context.zone_name), one.words, heavy=one.kind == "sun")
        for one in context.times
        if one.kind != "home"
    ]
    blocks += face.fine_lines(f"{context.emergency} Grid reference: leave-word card.")
    return tuple(blocks)


def _first_face(context: SheetContext, *, frame: bool, strip: bool) -> tuple[face.Block, ...]:
    first = context.first
    kept_off = face.fine_lines(kept_off_words(context.kept_off))
    if first is None:
        return (face.title("no spot to show", "No spot"), *kept_off)
    outlook = first.outlook
    svg = morning_strip_svg(
        (outlook,),
        zone_name=context.zone_name,
        width_px=PRINT_FIGURE_PX,
        style="print",
        key=False,
        almanac=context.almanac,
    )
    tall = re.search(r'height="([\d.]+)"', svg)
    height_px = float(tall[1]) if tall else 0.0
    blocks = [
        face.title(f"{context.first_is}, {outlook.wood}", outlook.spot),
        face.figure(svg, height_px=height_px),
    ]
    blocks += stand_lines(first.stand)
    if first.find_it_again:
        blocks.append(face.head("Find it again"))
        blocks += [face.bullet(line) for line in first.find_it_again]
    if first.set_lines:
        blocks.append(face.head("Set"))
        blocks += [face.pair(word, words) for word, words in first.set_lines]
    blocks += [face.blanks("f", "s", "ISO"), *kept_off]
    blocks += stand_drawing(first.stand) if frame else ()
    return (*blocks, *(mark_drawing(first.mark) if strip else ()))


def _if_not_face(context: SheetContext) -> tuple[face.Block, ...]:
    blocks = [face.title("if not", "When you arrive, and it is")]
    lines = context.found_lines
    if not lines and context.first is not None and context.first.outlook.if_not:
        lines = (("not as hoped", context.first.outlook.if_not),)
    blocks += [face.state_row(word, words) for word, words in lines]
    blocks += [face.head("Edge walk, before you strike"), face.boxes(*EDGE_WALK)]
    if context.layers:
        blocks.append(face.head("Layers, for the last trunk you can see; rough"))
        blocks += [face.pair(word, words) for word, words in context.layers]
    for one in context.others:
        if one.stand is not None:
            blocks += [face.rule(), *face.fine_lines(f"{one.outlook.spot}: {one.stand.line}")]
    return tuple(blocks)


def _found_face() -> tuple[face.Block, ...]:
    return (
        face.title("in pencil, at the tailgate; key it in later", "What I found"),
        face.head("Mist"),
        face.boxes("none", "wisps", "thin", "good", "thick"),
        face.blanks("seen to", "m, lifted at"),
        face.head("Air at the leaf"),
        face.boxes("still", "stirring", "moving"),
        face.head("Light on the spot"),
        face.boxes("none", "shaft", "back", "side", "front", "flat"),
        face.head("Leaf"),
        face.boxes("bare", "flush", "full", "turning", "peak", "drop"),
        face.head("Mark"),
        face.boxes("found it", "one lost", "moved"),
        face.blanks("frames from", "to"),
        face.head("Next time"),
        face.rule_lines(3),
    )


def kept_off_words(count: int) -> str:
    """Say how many spots are kept off; nothing when none is."""
    if not count:
        return ""
    return (
        "One spot is kept off this sheet."
        if count == 1
        else f"{count} spots are kept off this sheet."
    )
