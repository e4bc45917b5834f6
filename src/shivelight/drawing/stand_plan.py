"""The plan of the ground: the wood from above; close by, reach, closed ground, places to stand."""

from collections.abc import Sequence

from shivelight.drawing.figure import Figure
from shivelight.drawing.fit import width_px
from shivelight.drawing.plan_sheet import Field, Place, oval
from shivelight.drawing.stand_plan_words import (
    PLAN_HEADERS,
    PlanStand,
    plan_rows,
    plan_sentence,
)
from shivelight.drawing.svg import Letters, Pen
from shivelight.scene.elements import Role, Survey
from shivelight.scene.framing import Reach

__all__ = ["PlanStand", "stand_plan_figure", "stand_plan_svg"]

PAGE_PX, PHONE_PX, PRINT_PX = 928.0, 358.0, 690.0
_TALL_PX, _HEAD_PX, _FOOT_PX, _BETWEEN_PX = 400.0, 30.0, 30.0, 28.0


def stand_plan_figure(survey: Survey, reach: Reach, stands: Sequence[PlanStand]) -> Figure:
    """Draw the plan for a page and a phone, with its table.

    Parameters
    ----------
    survey : Survey
        What stands there, closed ground and courtesy rings among it.
    reach : Reach
        How far one will go from the mark.
    stands : sequence of PlanStand
        Places to stand, the best first.
    """
    return Figure(
        page=stand_plan_svg(survey, reach, stands, style="page"),
        phone=stand_plan_svg(survey, reach, stands, style="narrow"),
        sentence=plan_sentence(survey, reach, stands),
        headers=PLAN_HEADERS,
        rows=plan_rows(survey, stands),
    )


def stand_plan_svg(
    survey: Survey, reach: Reach, stands: Sequence[PlanStand], *, style: str = "paper"
) -> str:
    """Draw two fields: the whole wood with lines of sight, and the ground close by the mark.

    Parameters
    ----------
    survey : Survey
        What stands there, closed ground and courtesy rings among it.
    reach : Reach
        How far one will go from the mark.
    stands : sequence of PlanStand
        Places to stand, the best first.
    style : {"paper", "dim", "print", "page", "narrow"}
        Colours; "narrow" is for a phone, one field below the other.
    """
    pen = Pen(style)
    narrow = style == "narrow"
    width = PHONE_PX if narrow else PRINT_PX if style == "print" else PAGE_PX
    wide = width - 4.0 if narrow else (width - _BETWEEN_PX) / 2.0 - 2.0
    tall = 300.0 if narrow else _TALL_PX
    second = (2.0, _HEAD_PX * 2.0 + _FOOT_PX + tall) if narrow else (wide + _BETWEEN_PX, _HEAD_PX)
    size = (wide, tall)
    _whole(pen, survey, reach, stands=stands, corner=(2.0, _HEAD_PX), size=size)
    _close(pen, survey, reach, stands=stands, corner=second, size=size)
    full = (width, second[1] + tall + _FOOT_PX)
    sentence = plan_sentence(survey, reach, stands)
    return pen.figure(full, title="Plan of the ground", sentence=sentence)


def _whole(
    pen: Pen,
    survey: Survey,
    reach: Reach,
    *,
    stands: Sequence[PlanStand],
    corner: Place,
    size: Place,
) -> None:
    """Draw the wood from above with lines of sight from the mark and from the best stand."""
    places = [(0.0, 0.0), *((one.x_m, one.y_m) for one in survey.trunks)]
    places += [(x, y) for one in survey.segments for x, y, _ in (one.start_m, one.end_m)]
    places += [(one.x_m, one.y_m) for one in stands]
    low, high = _bounds(places, share=0.1)
    field = Field(pen, corner, size, low=low, high=high)
    _ground(field, "the wood", survey)
    field.ring(_reach_corners(reach), token="ink2", dash="4 3")
    mark = field.xy((0.0, 0.0))
    best = next((field.xy((one.x_m, one.y_m)) for one in stands if one.number == 1), None)
    for trunk in survey.trunks:
        at = field.xy((trunk.x_m, trunk.y_m))
        field.line(mark, at, token="ink2", width=1.0, dash="2 4")
        if best is not None:
            field.line(best, at, token="light", width=1.2)
    _elements(field, survey)
    _cross(field)
    for one in stands:
        if one.number == 1:
            pen.ring(field.xy((one.x_m, one.y_m)), 4.5, token="light")
    field.scale()


def _close(
    pen: Pen,
    survey: Survey,
    reach: Reach,
    *,
    stands: Sequence[PlanStand],
    corner: Place,
    size: Place,
) -> None:
    """Draw the ground close by: reach, closed ground, numbered stands, how far one may drift."""
    places = [*_reach_corners(reach), *((one.x_m, one.y_m) for one in stands)]
    low, high = _bounds(places, share=0.18)
    field = Field(pen, corner, size, low=low, high=high)
    _ground(field, "close by your mark", survey)
    field.ring(_reach_corners(reach), token="ink", width=1.5, dash="6 4")
    best = next((one for one in stands if one.number == 1), None)
    if best is not None:
        for trunk in survey.trunks:
            end = field.xy((trunk.x_m, trunk.y_m))
            field.line(field.xy((best.x_m, best.y_m)), end, token="light", width=1.0)
    _elements(field, survey)
    _cross(field, words="your mark")
    for one in sorted(stands, key=lambda stand: -stand.number):
        _stand(field, one)
    field.scale()


def _ground(field: Field, title: str, survey: Survey) -> None:
    pen = field.pen
    pen.text((field.corner[0], field.corner[1] - 10.0), title, Letters(size=15.5, bold=True))
    pen.box(field.corner, field.size, token="sheet")
    for one in survey.closed:
        field.closed(one)


def _elements(field: Field, survey: Survey) -> None:
    """Draw trunks and branches at their true width, and names where there is room."""
    pen = field.pen
    for piece in survey.segments:
        ends = [field.xy((x, y)) for x, y, _ in (piece.start_m, piece.end_m)]
        wide = max(piece.width_m * field.px_per_m, 1.6)
        dash = "5 3" if piece.role is Role.INTRUDER else ""
        field.line(*ends, token="ink", width=round(wide, 1), dash=dash)
    taken: list[tuple[float, float, float]] = []
    for trunk in survey.trunks:
        at = field.xy((trunk.x_m, trunk.y_m))
        radius = max(trunk.width_m / 2.0 * field.px_per_m, 2.2)
        if not field.holds(at, min(radius, field.size[0] / 4.0)):
            continue
        pen.ring(at, radius, token="bark", filled=trunk.role is not Role.INTRUDER)
        if trunk.role is Role.SUBJECT:
            pen.path([(x, y) for x, y in _circle(at, radius + 4.0)], width=1.6)
        _name(field, trunk.name, (at[0] + radius + 7.0, at[1] + 5.0), taken)
    for ground in survey.closed:
        place = field.named(ground)
        if place is not None:
            half = width_px(ground.name, size_px=14.5) / 2.0
            at = (max(place[0] - half, field.corner[0] + 4.0), place[1] + 5.0)
            for down in (0.0, 18.0, 36.0, -18.0, -36.0):
                if _name(field, ground.name, (at[0], at[1] + down), taken):
                    break


def _name(field: Field, words: str, at: Place, taken: list[tuple[float, float, float]]) -> bool:
    """Write a name where no other stands, and say whether it was written."""
    wide = width_px(words, size_px=14.5)
    x = min(at[0], field.end[0] - wide - 4.0)
    clash = any(abs(y - at[1]) < 15.0 and x < end and x + wide > left for left, end, y in taken)
    if clash or not field.holds((x, at[1])):
        return False
    taken.append((x, x + wide, at[1]))
    field.pen.text((x, at[1]), words, Letters(size=14.5, plate="sheet"))
    return True


def _stand(field: Field, one: PlanStand) -> None:
    """Draw a numbered stand, and the oval within which nothing touches."""
    at = field.xy((one.x_m, one.y_m))
    is_best = one.number == 1
    token = "light" if is_best else "ink"
    if one.drift_m is not None:
        ring = oval((one.x_m, one.y_m), one.drift_m)
        field.ring(ring, token=token, width=2.0 if is_best else 1.2)
    field.pen.ring(at, 11.0, token=token, filled=False)
    look = Letters(size=14.5, bold=True, anchor="middle", token="light-ink" if is_best else "ink")
    field.pen.text((at[0], at[1] + 5.0), str(one.number), look)


def _cross(field: Field, words: str = "") -> None:
    """Draw the mark, an upright cross."""
    x, y = field.xy((0.0, 0.0))
    field.pen.line((x - 8.0, y), (x + 8.0, y), width=2.4)
    field.pen.line((x, y - 8.0), (x, y + 8.0), width=2.4)
    if words:
        look = Letters(size=14.5, bold=True, anchor="middle", plate="sheet")
        field.pen.text((x, y + 25.0), words, look)


def _circle(at: Place, radius: float) -> list[Place]:
    points = oval((0.0, 0.0), (radius,) * 4, 24)
    return [(at[0] + x, at[1] + y) for x, y in (*points, points[0])]


def _reach_corners(reach: Reach) -> list[Place]:
    """Corners of the ground that one will step on, a hand's width at least."""
    left, right = -max(reach.left_m, 0.05), max(reach.right_m, 0.05)
    back, forward = -max(reach.back_m, 0.05), max(reach.forward_m, 0.05)
    return [(left, back), (right, back), (right, forward), (left, forward)]


def _bounds(places: Sequence[Place], *, share: float) -> tuple[Place, Place]:
    """Ground that takes in all places, with a share more on every side."""
    xs, ys = zip(*places, strict=True)
    room = max(max(xs) - min(xs), max(ys) - min(ys), 0.5) * share
    return (min(xs) - room, min(ys) - room), (max(xs) + room, max(ys) + room)
