"""Anchors of a mark from words: two things in line, distances, angles and bearings."""

import re
from dataclasses import dataclass

from shivelight.basis.errors import BadInputError
from shivelight.intake.measures import Angle, Hands, Length, read_angle, read_length
from shivelight.outing.marks import NotedTransit
from shivelight.scene.anchors import Side

_SIDES = "|".join(one.value for one in Side)
_EDGE = re.compile(
    rf"(?:the\s+)?(?:(?P<first>{_SIDES})\s+(?:edge\s+)?of\s+)?(?P<name>.+?)"
    rf"(?:(?:'s?|’s?)?\s+(?P<side>{_SIDES})(?:\s+edge)?)?",
    re.IGNORECASE,
)
_BETWEEN = re.compile(
    r"\s+(?:is\s+|are\s+)?(?:just\s+)?"
    r"(?:in line with|touches|touching|meets|under|below|behind|before|over|against)\s+|\s*/\s*"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TransitRead:
    """A transit as typed.

    Attributes
    ----------
    transit : NotedTransit
        The two edges.
    opened : Angle or None
        How far the far edge stands to the right of the near one now; None where they are in line.
    """

    transit: NotedTransit
    opened: Angle | None = None


def read_transit(text: str, *, hands: Hands | None = None) -> TransitRead:
    """Read two things in line, the near one first.

    Parameters
    ----------
    text : str
        "Plumb left / Lean right", "Plumb's left edge in line with Lean's right edge",
        "post / split birch = 0.3 right" where they no longer stand in line.
    hands : Hands, optional
        One's own hand.

    Raises
    ------
    BadInputError
        For words that do not name two things.
    """
    line, mark, opened = text.partition("=")
    parts = [one.strip() for one in _BETWEEN.split(line.strip()) if one.strip()]
    if len(parts) != 2:
        raise BadInputError(
            f"The transit {text!r} is not read; write the near thing, a stroke and the far one, "
            "each with its edge, like 'Plumb left / Lean right'."
        )
    (near, near_side), (far, far_side) = (_edge(one) for one in parts)
    transit = NotedTransit(near=near, near_side=near_side, far=far, far_side=far_side)
    if not mark:
        return TransitRead(transit=transit)
    return TransitRead(
        transit=transit, opened=read_angle(opened, hands=hands, what="opening of a transit")
    )


def read_distance_to(text: str, *, hands: Hands | None = None) -> tuple[str, Length]:
    """Read a distance to a named thing: "Plumb=7.12", "gate = 9 paces", "Crook=9.5 m to bark".

    Parameters
    ----------
    text : str
        As typed.
    hands : Hands, optional
        How long a pace is.

    Raises
    ------
    BadInputError
        For words without a name, or without a length.
    """
    name, said = _named(text, "distance", "Plumb=7.12")
    return name, read_length(said, what=f"distance to {name}", hands=hands)


def read_bearing_to(text: str, *, hands: Hands) -> tuple[str, Angle]:
    """Read where a named thing is seen: "Plumb=at 205", "gate=2 fists right".

    Parameters
    ----------
    text : str
        As typed; a bare number is a true bearing.
    hands : Hands
        One's own hand and the bearing of view.
    """
    name, said = _named(text, "bearing", "Plumb=205")
    bare = re.fullmatch(r"\d+(?:[.,]\d+)?\s*°?", said)
    return name, read_angle(f"at {said}" if bare else said, hands=hands, what=f"bearing of {name}")


def read_angle_between(text: str, *, hands: Hands) -> tuple[str, str, Angle]:
    """Read the angle from one thing to another, to the right: "Crook to Plumb=6".

    Parameters
    ----------
    text : str
        As typed, degrees or hands.
    hands : Hands
        One's own hand.
    """
    names, said = _named(text, "angle", "'Crook to Plumb=6'")
    parts = re.split(r"\s+to\s+|\s*/\s*", names)
    if len(parts) != 2 or not all(parts):
        raise BadInputError(f"The angle {text!r} names no two things; write 'Crook to Plumb=6'.")
    sided = said if re.search(r"left|right|^[-+−]?[\d.,]+\s*°?$", said) else f"{said} right"
    return parts[0], parts[1], read_angle(sided, hands=hands, what="angle between two things")


def _named(text: str, what: str, example: str) -> tuple[str, str]:
    name, mark, said = text.partition("=")
    if not mark or not name.strip() or not said.strip():
        raise BadInputError(
            f"The {what} {text!r} is not read; write a name, = and the {what}, like {example}."
        )
    return name.strip(), said.strip()


def _edge(words: str) -> tuple[str, Side]:
    found = _EDGE.fullmatch(words.strip())
    if found is None or not found["name"].strip():
        raise BadInputError(f"{words!r} names no edge; write a name and left, right or middle.")
    side = found["first"] or found["side"] or Side.MIDDLE.value
    return found["name"].strip(), Side(side.lower())
