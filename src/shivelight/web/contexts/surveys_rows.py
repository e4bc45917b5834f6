"""One element of a survey in a line: where it stands, how wide, how sure, how measured."""

import math
from dataclasses import dataclass

from shivelight.outing.surveys import Element
from shivelight.scene.elements import ClosedGround, Segment, SkyHole, Survey, Trunk
from shivelight.web.contexts.surveys_photo import error_words
from shivelight.web.show import link


@dataclass(frozen=True, slots=True, kw_only=True)
class ElementRow:
    """One element: its name, what it is, its facts, how it was measured, where it is changed."""

    name: str
    what: str
    where: str
    width: str
    doubt: str
    how: str
    change: str


def kind_of(one: Element) -> str:
    """Kind of an element, as its form is called."""
    if isinstance(one, Trunk):
        return "trunk"
    if isinstance(one, Segment):
        return "branch"
    if isinstance(one, SkyHole):
        return "hole"
    return "closed" if one.corners_m else "ring"


def every(survey: Survey) -> tuple[Element, ...]:
    """Give all elements of a survey."""
    return (*survey.trunks, *survey.segments, *survey.holes, *survey.closed)


def element_row(spot: str, one: Element, how: str) -> ElementRow:
    """Write one element for the list."""
    where, width, doubt = _facts(one)
    role = one.role.value if isinstance(one, (Trunk, Segment)) else ""
    return ElementRow(
        name=one.name,
        what=f"{_WHAT[kind_of(one)]}{', ' + role if role else ''}",
        where=where,
        width=width,
        doubt=doubt,
        how=how or "not said",
        change=link("/survey", spot=spot, change=one.name) + "#h-change",
    )


_WHAT = {
    "trunk": "trunk",
    "branch": "branch or log",
    "hole": "sky hole",
    "closed": "closed ground",
    "ring": "ring",
}


def _facts(one: Element) -> tuple[str, str, str]:
    """Write where an element stands, how wide it is, how wrong that may be."""
    if isinstance(one, Trunk):
        doubt = one.doubt
        return (
            f"{one.distance_m:.1f} m, {side_words(one.angle_deg)}",
            f"{one.width_m * 100.0:.0f} cm",
            f"{error_words(doubt.distance_m)} along, {doubt.angle_deg:.1f}° aside, "
            f"{error_words(doubt.width_m)} in width",
        )
    if isinstance(one, Segment):
        ends = " to ".join(_point_words(point) for point in (one.start_m, one.end_m))
        return (
            ends,
            f"{one.width_m * 100.0:.0f} cm",
            f"{error_words(one.doubt.distance_m)} along, {one.doubt.angle_deg:.1f}° aside",
        )
    if isinstance(one, SkyHole):
        where = f"{side_words(one.angle_deg)}, {one.altitude_deg:.0f}° up"
        return where, f"{one.width_deg:g} by {one.height_deg:g}°", "not asked"
    if one.corners_m:
        return f"{len(one.corners_m)} corners", "not asked", "not asked"
    return f"round {_flat_words(one)}", f"{one.radius_m:.1f} m in radius", "not asked"


def side_words(angle_deg: float) -> str:
    """Write an angle off the lens axis: "10.5° left", "ahead"."""
    if abs(angle_deg) < 0.05:
        return "straight ahead"
    return f"{abs(angle_deg):.1f}° {'right' if angle_deg > 0.0 else 'left'}"


def _point_words(point: tuple[float, float, float]) -> str:
    x_m, y_m, z_m = point
    angle = side_words(math.degrees(math.atan2(x_m, y_m)))
    return f"{math.hypot(x_m, y_m):.1f} m, {angle}, {z_m:.1f} m up"


def _flat_words(one: ClosedGround) -> str:
    x_m, y_m = one.centre_m
    return f"{math.hypot(x_m, y_m):.1f} m, {side_words(math.degrees(math.atan2(x_m, y_m)))}"
