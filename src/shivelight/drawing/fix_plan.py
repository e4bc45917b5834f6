"""Where one stands from a mark, seen from above: the mark, the place found, its error oval."""

import math
from dataclasses import dataclass

from shivelight.drawing.figure import Figure
from shivelight.drawing.plan_sheet import Field, Place
from shivelight.drawing.svg import Letters, Pen

__all__ = ["FixPlan", "fix_plan_figure"]

PAGE_PX, PHONE_PX, TALL_PX = 420.0, 358.0, 320.0
LEAST_HALF_M = 0.25
"""Half of what is shown at least. [m]"""
_STEPS = 48


@dataclass(frozen=True, slots=True, kw_only=True)
class FixPlan:
    """A place that was found and how sure that is.

    Attributes
    ----------
    right_m, forward_m : float
        From the mark. [m]
    long_m, short_m : float
        Half axes of the error oval. [m]
    turn_deg : float
        Direction of its long axis, from straight ahead to the right. [°]
    words : str
        The answer.
    elsewhere_m : tuple of (float, float)
        Other places that fit about as well. [m]
    """

    right_m: float
    forward_m: float
    long_m: float
    short_m: float
    turn_deg: float
    words: str
    elsewhere_m: tuple[Place, ...] = ()


def fix_plan_figure(plan: FixPlan) -> Figure:
    """Draw the plan for a page and a phone, with its table.

    Parameters
    ----------
    plan : FixPlan
        What was found.
    """
    cm = 100.0
    return Figure(
        page=_drawn(plan, "page"),
        phone=_drawn(plan, "narrow"),
        sentence=f"From above, ahead is up. {plan.words}",
        headers=("what", "right of the mark", "ahead of it"),
        rows=(
            ("the mark", "0 cm", "0 cm"),
            ("you", f"{plan.right_m * cm:.0f} cm", f"{plan.forward_m * cm:.0f} cm"),
            *(
                ("would fit as well", f"{x * cm:.0f} cm", f"{y * cm:.0f} cm")
                for x, y in plan.elsewhere_m
            ),
            ("error oval, half axes", f"{plan.long_m * cm:.0f} cm", f"{plan.short_m * cm:.0f} cm"),
        ),
    )


def _drawn(plan: FixPlan, style: str) -> str:
    pen = Pen(style)
    width = PHONE_PX if style == "narrow" else PAGE_PX
    you = (plan.right_m, plan.forward_m)
    low, high = _bounds(plan)
    field = Field(pen, (2.0, 2.0), (width - 4.0, TALL_PX), low=low, high=high)
    pen.box(field.corner, field.size, token="sheet")
    field.ring(_ellipse(plan), token="light", width=1.6, dash="5 4")
    here, mark = field.xy(you), field.xy((0.0, 0.0))
    field.line(here, mark, token="light", width=2.6)
    for x, y in ((-9.0, 0.0), (0.0, -9.0)):
        pen.line((mark[0] - x, mark[1] - y), (mark[0] + x, mark[1] + y), width=2.4)
    pen.ring(here, 5.0, token="light")
    for other in plan.elsewhere_m:
        if field.holds(field.xy(other), 6.0):
            pen.ring(field.xy(other), 5.0, token="ink2", filled=False)
    above = plan.forward_m >= 0.0
    _name(pen, here, "you", above=above, field=field)
    _name(pen, mark, "your mark", above=not above, field=field)
    field.scale()
    return pen.figure((width, TALL_PX + 34.0), title="Where you stand", sentence=plan.words)


def _name(pen: Pen, at: Place, words: str, *, above: bool, field: Field) -> None:
    x = min(max(at[0], field.corner[0] + 40.0), field.end[0] - 40.0)
    y = at[1] + (-16.0 if above else 26.0)
    pen.text((x, y), words, Letters(size=15.5, anchor="middle", bold=True, plate="sheet"))


def _bounds(plan: FixPlan) -> tuple[Place, Place]:
    reach = max(plan.long_m, LEAST_HALF_M / 2.0) * 1.25
    xs = [0.0, plan.right_m - reach, plan.right_m + reach]
    ys = [0.0, plan.forward_m - reach, plan.forward_m + reach]
    room = 0.1 * max(max(xs) - min(xs), max(ys) - min(ys), 2.0 * LEAST_HALF_M)
    return (min(xs) - room, min(ys) - room), (max(xs) + room, max(ys) + room)


def _ellipse(plan: FixPlan) -> list[Place]:
    turn = math.radians(plan.turn_deg)
    points = []
    for step in range(_STEPS):
        along = plan.long_m * math.cos(2.0 * math.pi * step / _STEPS)
        aside = plan.short_m * math.sin(2.0 * math.pi * step / _STEPS)
        points.append(
            (
                plan.right_m + along * math.sin(turn) + aside * math.cos(turn),
                plan.forward_m + along * math.cos(turn) - aside * math.sin(turn),
            )
        )
    return points
