"""One element of a survey from words: a trunk, branch, log, sky hole, closed ground or ring."""

import math
import re
from collections.abc import Callable, Mapping, Sequence
from typing import TypeAlias

from shivelight.basis.errors import BadInputError
from shivelight.intake.measures import (
    Hands,
    Length,
    read_altitude,
    read_angle,
    read_length,
    read_width,
)
from shivelight.scene.elements import (
    ClosedGround,
    Doubt,
    Role,
    Segment,
    SkyHole,
    Trunk,
    trunk_at,
)

KINDS = ("trunk", "branch", "log", "hole", "closed", "ring")
KEYS = (
    "kind", "name", "angle", "distance", "width", "height", "lean", "lean away", "role",
    "altitude", "size", "from", "to", "corners", "radius", "doubt distance", "doubt angle",
    "doubt width", "how",
)  # fmt: skip
"""What may be said about an element; the headings of a table."""
RING_WIDTHS = 15.0
"""A courtesy ring round an old tree reaches to 15 times its width: a planning figure of public
advice on ancient trees, no rule."""
Element: TypeAlias = Trunk | Segment | SkyHole | ClosedGround


def element_from(
    said: Mapping[str, str], *, hands: Hands, trunks: Sequence[Trunk] = ()
) -> tuple[Element, str]:
    """Make one element from words.

    Parameters
    ----------
    said : mapping of str to str
        By the names of ``KEYS``; what is empty was not said.
    hands : Hands
        Pace, hand and bearing of view of who measured.
    trunks : sequence of Trunk
        Those that are there already, for a ring round one of them.

    Returns
    -------
    element, how : Trunk, Segment, SkyHole or ClosedGround, str
        The element, and how it was measured, in words.

    Raises
    ------
    BadInputError, OutOfRangeError
        With what is missing, not read or makes no sense.
    """
    told = {key: words.strip() for key, words in said.items() if words and words.strip()}
    kind = told.get("kind", "trunk").lower()
    if kind not in KINDS:
        raise BadInputError(f"{kind!r} is not one of: {', '.join(KINDS)}.")
    return _MAKERS[kind](told, hands, trunks), told.get("how") or _how(told)


def _trunk(told: Mapping[str, str], hands: Hands, _: Sequence[Trunk]) -> Trunk:
    name = _need(told, "name", "a name")
    angle = read_angle(_need(told, "angle", f"the angle of {name}"), hands=hands)
    far = read_length(_need(told, "distance", f"the distance of {name}"), hands=hands)
    width = read_width(
        _need(told, "width", f"the width of {name}"), distance_m=far.length_m, hands=hands
    )
    distance_m = far.length_m + (width.length_m / 2.0 if far.to_bark else 0.0)
    more = {}
    if "height" in told:
        more["height_m"] = read_length(told["height"], what="height", hands=hands).length_m
    if "lean" in told:
        more["lean_right_deg"] = read_angle(told["lean"], hands=hands, what="lean").angle_deg
    if "lean away" in told:
        more["lean_away_deg"] = _away_deg(told["lean away"], hands)
    return trunk_at(
        name,
        angle.angle_deg,
        distance_m=distance_m,
        width_m=width.length_m,
        role=_role(told, Role.COMPANION),
        doubt=_doubt(told, far, angle_deg=angle.doubt_deg, width_m=width.doubt_m),
        **more,
    )


def _segment(told: Mapping[str, str], hands: Hands, _: Sequence[Trunk]) -> Segment:
    name = _need(told, "name", "a name")
    usual = "angle / distance / height, such as '5 left / 6 m / 2.4 m'"
    start, far = _point(_need(told, "from", f"where {name} begins: {usual}"), hands)
    end, _end = _point(_need(told, "to", f"where {name} ends: {usual}"), hands)
    width = read_width(
        _need(told, "width", f"the thickness of {name}"), distance_m=far.length_m, hands=hands
    )
    angle = read_angle(_parts(told["from"])[0], hands=hands)
    return Segment(
        name=name,
        start_m=start,
        end_m=end,
        width_m=width.length_m,
        role=_role(told, Role.INTRUDER),
        doubt=_doubt(told, far, angle_deg=angle.doubt_deg, width_m=width.doubt_m),
    )


def _hole(told: Mapping[str, str], hands: Hands, _: Sequence[Trunk]) -> SkyHole:
    name = _need(told, "name", "a name")
    angle = read_angle(_need(told, "angle", f"the angle of {name}"), hands=hands)
    high = read_altitude(_need(told, "altitude", f"how high {name} is"), hands=hands)
    size = _need(told, "size", f"the size of {name}, such as '2 x 3' degrees")
    sides = re.split(r"\s*(?:x|×|by)\s*", size.lower())
    if len(sides) > 2:
        raise BadInputError(f"The size {size!r} is not read; write it like '2 x 3'.")
    wide, tall = (read_altitude(one, hands=hands, what="size").angle_deg for one in (
        sides[0], sides[-1]
    ))  # fmt: skip
    more = {}
    if "distance" in told:
        more["distance_m"] = read_length(told["distance"], hands=hands).length_m
    return SkyHole(
        name=name,
        angle_deg=angle.angle_deg,
        altitude_deg=high.angle_deg,
        width_deg=wide,
        height_deg=tall,
        **more,
    )


def _closed(told: Mapping[str, str], hands: Hands, trunks: Sequence[Trunk]) -> ClosedGround:
    if "radius" in told and "corners" not in told:
        return _ring(told, hands, trunks)
    name = _need(told, "name", "a name")
    words = _need(
        told, "corners", f"the corners of {name}, such as '10 left / 3 m | 20 right / 3 m'"
    )
    corners = tuple(
        _point(one, hands, flat=True)[0][:2]
        for one in re.split(r"\s*[|\n]\s*", words)
        if one.strip()
    )
    if len(corners) < 3:
        raise BadInputError(f"{name} has {len(corners)} corners; give three or more.")
    return ClosedGround(name=name, corners_m=corners)


def _ring(told: Mapping[str, str], hands: Hands, trunks: Sequence[Trunk]) -> ClosedGround:
    """Read a ring: round a trunk that is there, or round a place."""
    name = _need(told, "name", "a name")
    around = next((one for one in trunks if one.name.casefold() == name.casefold()), None)
    if around is not None and "angle" not in told:
        centre, radius_m = (around.x_m, around.y_m), RING_WIDTHS * around.width_m
        name = f"ring of {around.name}"
    else:
        far = _need(
            told, "distance", f"the distance of {name}, or the name of a trunk that is there"
        )
        point = f"{_need(told, 'angle', f'the angle of {name}')} / {far}"
        centre, radius_m = _point(point, hands, flat=True)[0][:2], math.nan
    if "radius" in told:
        radius_m = read_length(told["radius"], what="radius", hands=hands).length_m
    if math.isnan(radius_m):
        raise BadInputError(f"{name} needs a radius, such as 18 m.")
    return ClosedGround(name=name, centre_m=centre, radius_m=radius_m)


def _point(
    words: str, hands: Hands, *, flat: bool = False
) -> tuple[tuple[float, float, float], Length]:
    """Read a place: angle, distance and, unless flat, height."""
    parts = _parts(words)
    if len(parts) != (2 if flat else 3):
        form = "angle / distance, such as 5 left / 6 m"
        if not flat:
            form = "angle / distance / height, such as 5 left / 6 m / 2.4 m"
        raise BadInputError(f"The place {words!r} is not read; write {form}.")
    turn = math.radians(read_angle(parts[0], hands=hands).angle_deg)
    far = read_length(parts[1], hands=hands)
    up_m = 0.0 if flat else read_length(parts[2], what="height", hands=hands).length_m
    return (far.length_m * math.sin(turn), far.length_m * math.cos(turn), up_m), far


def _parts(words: str) -> list[str]:
    return [one.strip() for one in re.split(r"[/;]|,\s", words)]


def _doubt(told: Mapping[str, str], far: Length, *, angle_deg: float, width_m: float) -> Doubt:
    """Take the doubts as typed, else those of how it was measured."""
    distance_m = far.doubt_m
    if "doubt distance" in told:
        distance_m = read_length(told["doubt distance"], what="doubt").length_m
    if "doubt angle" in told:
        angle_deg = read_altitude(told["doubt angle"], what="doubt").angle_deg
    if "doubt width" in told:
        width_m = read_length(told["doubt width"], what="doubt").length_m
    return Doubt(distance_m=distance_m, angle_deg=angle_deg, width_m=width_m)


def _away_deg(words: str, hands: Hands) -> float:
    said = re.sub(r"\s*\baway\b", "", words.lower())
    toward = re.sub(r"\s*\btowards?\b(?:\s+me)?", "", said)
    size_deg = read_altitude(toward, hands=hands, what="lean").angle_deg
    return -size_deg if toward != said else size_deg


def _role(told: Mapping[str, str], usual: Role) -> Role:
    words = told.get("role", usual.value).lower()
    known = [one.value for one in Role]
    if words not in known:
        raise BadInputError(f"The role {words!r} is not one of: {', '.join(known)}.")
    return Role(words)


def _need(told: Mapping[str, str], key: str, what: str) -> str:
    if key not in told:
        raise BadInputError(f"{what[:1].upper()}{what[1:]} is missing.")
    return told[key]


def _how(told: Mapping[str, str]) -> str:
    """Say how it was measured: what was typed, in its own words."""
    keys = ("angle", "distance", "width", "from", "to", "altitude", "size", "radius")
    return ", ".join(f"{key} {told[key]}" for key in keys if key in told).replace("\n", " ")


_MAKERS: Mapping[str, Callable[[Mapping[str, str], Hands, Sequence[Trunk]], Element]] = {
    "trunk": _trunk,
    "branch": _segment,
    "log": _segment,
    "hole": _hole,
    "closed": _closed,
    "ring": _ring,
}
