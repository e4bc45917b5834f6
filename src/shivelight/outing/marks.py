"""The anchors of a spot's mark as they are kept, and where one stands, in words."""

import datetime as dt
import math
from dataclasses import dataclass

from shivelight.basis.errors import BadInputError, require_range
from shivelight.scene.anchors import Anchor, Measurement, Side, Taped, Transit
from shivelight.scene.elements import FARTHEST_M, Survey, Trunk
from shivelight.scene.resection import Fix

LEAST_DOUBT_M = 0.005
"""No tape round bark is better than this. [m] A judgement."""
TOO_WIDE_M = 0.5
"""A likely error above this finds nothing again. [m] A judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NotedTransit:
    """Two edges that stand in line, seen from the mark.

    Attributes
    ----------
    near, far : str
        The two things.
    near_side, far_side : Side
        Which edge of each.
    """

    near: str
    far: str
    near_side: Side = Side.MIDDLE
    far_side: Side = Side.MIDDLE

    def __post_init__(self) -> None:
        if not self.near.strip() or not self.far.strip():
            raise BadInputError("A transit names two things.")
        if self.near.casefold() == self.far.casefold():
            raise BadInputError(f"A transit wants two things in line, not {self.near} twice.")

    @property
    def words(self) -> str:
        """Say it: "Plumb's left edge in line with Lean's right edge"."""
        return f"{_edge(self.near, self.near_side)} in line with {_edge(self.far, self.far_side)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class NotedDistance:
    """A distance from the mark to the middle of a thing, along the level.

    Attributes
    ----------
    to : str
        The thing.
    distance_m, doubt_m : float
        Measured, and its standard error. [m]
    how : str
        As it was typed.
    """

    to: str
    distance_m: float
    doubt_m: float = LEAST_DOUBT_M
    how: str = ""

    def __post_init__(self) -> None:
        require_range(f"distance to {self.to}", self.distance_m, 0.05, FARTHEST_M, "m")
        require_range(f"doubt of the distance to {self.to}", self.doubt_m, 0.0, FARTHEST_M, "m")

    @property
    def words(self) -> str:
        """Say it: "7.12 m to the middle of Plumb"."""
        return f"{self.distance_m:.2f} m to the middle of {self.to}"


@dataclass(frozen=True, slots=True, kw_only=True)
class LostAnchor:
    """A thing that is gone: fallen, felled, moved."""

    name: str
    noted_on: dt.date


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkAnchors:
    """What finds the mark of a spot again.

    Attributes
    ----------
    spot : str
        Whose.
    transits : tuple of NotedTransit
        Two things in line.
    distances : tuple of NotedDistance
        From the mark.
    lost : tuple of LostAnchor
        Things that are gone; their transits and distances stay on record and are left out.
    """

    spot: str
    transits: tuple[NotedTransit, ...] = ()
    distances: tuple[NotedDistance, ...] = ()
    lost: tuple[LostAnchor, ...] = ()

    def __post_init__(self) -> None:
        seen: set[str] = set()
        for one in self.distances:
            if one.to.casefold() in seen:
                raise BadInputError(f"Two distances to {one.to}; keep one.")
            seen.add(one.to.casefold())

    def is_lost(self, *names: str) -> bool:
        """Whether one of some things is gone."""
        gone = {one.name.casefold() for one in self.lost}
        return any(name.casefold() in gone for name in names)

    @property
    def held_transits(self) -> tuple[NotedTransit, ...]:
        """Transits of which both things still stand."""
        return tuple(one for one in self.transits if not self.is_lost(one.near, one.far))

    @property
    def held_distances(self) -> tuple[NotedDistance, ...]:
        """Distances to things that still stand."""
        return tuple(one for one in self.distances if not self.is_lost(one.to))

    @property
    def lines(self) -> tuple[str, ...]:
        """Each anchor that still stands, in words, and which are gone."""
        gone = tuple(
            f"{one.name} is gone since {one.noted_on.day} {one.noted_on:%B %Y}"
            for one in self.lost
        )
        held = [one.words for one in self.held_transits]
        held += [one.words for one in self.held_distances]
        return (*(_capital(words) for words in held), *gone)


def sheet_lines(anchors: MarkAnchors, typed: tuple[str, ...]) -> tuple[str, ...]:
    """Lines for the sheet that the typed words of a mark do not say already.

    Parameters
    ----------
    anchors : MarkAnchors
        As kept.
    typed : tuple of str
        Transits in the photographer's own words.
    """
    said = " | ".join(typed).casefold()
    lines = [
        _capital(one.words)
        for one in anchors.held_transits
        if not (one.near.casefold() in said and one.far.casefold() in said)
    ]
    taped = ", ".join(f"{one.to} {one.distance_m:.2f} m" for one in anchors.held_distances)
    if taped:
        lines.append(f"To the middle of: {taped}")
    lines += [f"{one.name} is gone" for one in anchors.lost]
    return tuple(lines)


def anchors_from(survey: Survey, *, lens_height_m: float) -> tuple[Anchor, ...]:
    """Trunks of a survey as anchors: where their axes stand at the height of the lens.

    Parameters
    ----------
    survey : Survey
        The elements.
    lens_height_m : float
        Lens above the ground at the mark. [m]
    """
    return tuple(_anchor(one, survey, lens_height_m) for one in survey.trunks)


def again(anchors: MarkAnchors) -> tuple[Measurement, ...]:
    """Anchors that still stand as they would be measured again on the mark itself.

    Parameters
    ----------
    anchors : MarkAnchors
        As kept.
    """
    taped = tuple(
        Taped(
            to=one.to,
            distance_m=one.distance_m,
            doubt_m=max(one.doubt_m, LEAST_DOUBT_M),
            noted_m=one.distance_m,
            noted_doubt_m=one.doubt_m,
        )
        for one in anchors.held_distances
    )
    return (*(transit_again(one) for one in anchors.held_transits), *taped)


def transit_again(noted: NotedTransit, open_deg: float = 0.0) -> Transit:
    """Take a noted transit as seen now.

    Parameters
    ----------
    noted : NotedTransit
        As kept: in line at the mark.
    open_deg : float
        How far the far edge stands to the right of the near one now. [°]
    """
    return Transit(
        near=noted.near,
        far=noted.far,
        near_side=noted.near_side,
        far_side=noted.far_side,
        open_deg=open_deg,
    )


def fix_words(fix: Fix) -> str:
    """Say where one stands and which way to step.

    Parameters
    ----------
    fix : Fix
        As found.
    """
    if fix.disagree:
        return (
            "These measurements contradict each other, and which is wrong cannot be told; measure "
            "one more, or all again. " + _stand_words(fix)
        )
    left_out = ""
    if fix.outlier is not None:
        odd, off = fix.outlier, abs(fix.outlier.off)
        size = f"{off * 100.0:.0f} cm" if odd.unit == "m" else f"{off:.1f}°"
        sure = "does not fit" if fix.outlier_sure else "is likely the one that does not fit"
        left_out = f" {_capital(odd.what)} {sure} the others, by {size}, and was left out."
    elsewhere = "".join(
        f" A place {place_words(*one) or 'on the mark'} of it would fit as well; you will know "
        "which side you stand."
        for one in fix.elsewhere_m
        if fix.likely_error_m <= TOO_WIDE_M
    )
    return f"{_stand_words(fix)}{left_out}{elsewhere}"


def place_words(right_m: float, forward_m: float, *, sides: tuple[str, ...] = ()) -> str:
    """Say an offset on the ground: "30 cm left and 10 cm back".

    Parameters
    ----------
    right_m, forward_m : float
        The offset. [m]
    sides : tuple of str
        Words for right, left, forward and back, where others are wanted.
    """
    right, left, forward, back = sides or ("right", "left", "forward", "back")
    said = []
    for size_m, more, less in ((right_m, right, left), (forward_m, forward, back)):
        if abs(size_m) >= 0.005:
            said.append(f"{length_words(abs(size_m))} {more if size_m > 0.0 else less}")
    return " and ".join(said)


def length_words(length_m: float) -> str:
    """Write a length in centimetres up to a metre, else in metres with one or two decimals."""
    if length_m < 0.995:
        return f"{length_m * 100.0:.0f} cm"
    return f"{length_m:.2f} m" if length_m < 9.995 else f"{length_m:.1f} m"


def _stand_words(fix: Fix) -> str:
    error = f"likely error {length_words(max(fix.likely_error_m, 0.01))}"
    away_m = math.hypot(fix.right_m, fix.forward_m)
    if fix.likely_error_m > TOO_WIDE_M:
        return (
            f"These cannot tell where you stand, {error}: they all draw nearly the same line. "
            "Measure something well to the side as well."
        )
    if away_m <= max(fix.likely_error_m, 0.005):
        return f"You are on the mark, as far as this can tell; {error}."
    step = place_words(-fix.right_m, -fix.forward_m)
    return f"You are {place_words(fix.right_m, fix.forward_m)} of the mark; {error}. Step {step}."


def _anchor(trunk: Trunk, survey: Survey, lens_height_m: float) -> Anchor:
    (foot_x, foot_y, foot_z), (top_x, top_y, top_z) = trunk.ends_m(survey.slope)
    share = min(1.0, max(0.0, (lens_height_m - foot_z) / (top_z - foot_z)))
    return Anchor(
        name=trunk.name,
        x_m=foot_x + share * (top_x - foot_x),
        y_m=foot_y + share * (top_y - foot_y),
        width_m=trunk.width_m,
        doubt_along_m=math.hypot(
            trunk.doubt.distance_m, trunk.distance_m * survey.scale_doubt_frac
        ),
        doubt_across_m=trunk.distance_m * math.radians(trunk.doubt.angle_deg),
    )


def _edge(name: str, side: Side) -> str:
    if side is Side.MIDDLE:
        return f"the middle of {name}"
    return f"{name}'s {side} edge" if not name.endswith("s") else f"{name}' {side} edge"


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
