"""What is kept of a spot's elements: the survey and how each was measured, and stands chosen."""

from dataclasses import dataclass, field

import numpy as np

from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.scene.elements import ClosedGround, Segment, SkyHole, Survey, Trunk
from shivelight.scene.framing import Framing, Reach

Element = Trunk | Segment | SkyHole | ClosedGround


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptSurvey:
    """The elements of a spot.

    Attributes
    ----------
    spot : str
        Whose.
    survey : Survey
        The elements, in metres of the spot's own frame.
    how : dict of str to str
        By the name of an element, how it was measured, in words ("10 paces, 1 fist right").
    """

    spot: str
    survey: Survey = field(default_factory=Survey)
    how: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        known = set(self.survey.names)
        for name, words in self.how.items():
            if name not in known:
                raise BadInputError(f"The survey of {self.spot} has no {name}.")
            if "\n" in words:
                raise BadInputError(f"How {name} was measured goes on one line.")


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptFraming:
    """What is wished of a spot's picture, and how far one will go for it."""

    spot: str
    framing: Framing = field(default_factory=Framing)
    reach: Reach = field(default_factory=Reach)


@dataclass(frozen=True, slots=True, kw_only=True, eq=True)
class KeptStand:
    """A stand that was chosen at a spot.

    Attributes
    ----------
    spot : str
        Whose.
    kept_utc : datetime64
        When.
    x_m, y_m, z_m : float
        Where the lens is: right and forward of the mark, above its ground. [m]
    focal_length_mm, yaw_deg, pitch_deg : float
        The lens, and how the camera is turned from the bearing of view. [mm, °]
    smallest_gap_deg : float or None
        The smallest gap there; None where no pair was to part. [°]
    pair_left, pair_right : str
        Between which two.
    words : str
        The answer as it was given.
    """

    spot: str
    kept_utc: np.datetime64
    x_m: float
    y_m: float
    z_m: float
    focal_length_mm: float
    yaw_deg: float = 0.0
    pitch_deg: float = 0.0
    smallest_gap_deg: float | None = None
    pair_left: str = ""
    pair_right: str = ""
    words: str = ""


def element_of(survey: Survey, name: str) -> Element:
    """Element of a name, capitals apart.

    Parameters
    ----------
    survey : Survey
        Where it should be.
    name : str
        As typed.

    Raises
    ------
    NotFoundError
        If there is none.
    """
    every: tuple[Element, ...] = (
        *survey.trunks, *survey.segments, *survey.holes, *survey.closed,
    )  # fmt: skip
    for one in every:
        if one.name.casefold() == " ".join(name.split()).casefold():
            return one
    held = ", ".join(survey.names) or "nothing yet"
    raise NotFoundError(f"Nothing here is called {name!r}; the survey holds {held}.")


def with_element(survey: Survey, made: Element, *, instead_of: str = "") -> Survey:
    """Put an element into a survey: at the end of its kind, or in place of another.

    Parameters
    ----------
    survey : Survey
        As it is.
    made : Trunk, Segment, SkyHole or ClosedGround
        The new one.
    instead_of : str
        Name of the one that goes.

    Raises
    ------
    NotFoundError
        If there is none of that name.
    BadInputError
        If the name is taken, or trunks would stand in each other.
    """
    kinds: list[list[Element]] = [
        list(survey.trunks), list(survey.segments), list(survey.holes), list(survey.closed),
    ]  # fmt: skip
    row = kinds[(Trunk, Segment, SkyHole, ClosedGround).index(type(made))]
    if instead_of:
        gone = element_of(survey, instead_of)
        for kind in kinds:
            if gone in kind and kind is not row:
                kind.remove(gone)
        row[:] = [made if one is gone else one for one in row]
        if made not in row:
            row.append(made)
    else:
        row.append(made)
    return _survey(kinds, survey)


def without_element(survey: Survey, name: str) -> Survey:
    """Take an element out of a survey.

    Parameters
    ----------
    survey : Survey
        As it is.
    name : str
        Which.

    Raises
    ------
    NotFoundError
        If there is none of that name.
    """
    gone = element_of(survey, name)
    kinds: list[list[Element]] = [
        [one for one in kind if one is not gone]
        for kind in (survey.trunks, survey.segments, survey.holes, survey.closed)
    ]
    return _survey(kinds, survey)


def _survey(kinds: list[list[Element]], old: Survey) -> Survey:
    trunks, segments, holes, closed = kinds
    return Survey(
        trunks=tuple(one for one in trunks if isinstance(one, Trunk)),
        segments=tuple(one for one in segments if isinstance(one, Segment)),
        holes=tuple(one for one in holes if isinstance(one, SkyHole)),
        closed=tuple(one for one in closed if isinstance(one, ClosedGround)),
        slope=old.slope,
        scale_doubt_frac=old.scale_doubt_frac,
    )
