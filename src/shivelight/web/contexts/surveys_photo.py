"""The page on which trunks are marked on a picture, and what the marks measure."""

from collections.abc import Sequence
from dataclasses import dataclass

from shivelight.outing.pictures import Picture
from shivelight.scene.elements import Role
from shivelight.scene.from_photos import MeasuredTrunk
from shivelight.scene.photo_marks import TrunkMark
from shivelight.web.contexts.surveys_marks import (
    PLACES,
    SAID,
    SIDES_TALL,
    SIDES_WIDE,
    MarksDraft,
    part_of,
)
from shivelight.web.show import link
from shivelight.workbench.picture_marks import Part
from shivelight.workbench.survey_pairs import PairSurvey, PhotoSurvey
from shivelight.workbench.typed_marks import drawn_marks, place_of

ROLES = tuple(one.value for one in Role)
HEADERS = ("trunk", "distance", "off the axis", "width", "measured by", "what is odd")


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """The picture at one width: its address, its size [px], and letters that are read on it."""

    side: int
    height: int
    address: str
    letters: float
    ring: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnMark:
    """A mark on the picture, in pixels of the whole picture."""

    name: str
    left: float
    right: float
    top: float
    bottom: float
    row: float
    foot: tuple[float, float] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What was measured, ready to be shown.

    Attributes
    ----------
    answer : str
        How many, in a sentence.
    rows : tuple
        One for each trunk.
    refusals : tuple of str
        Trunks that were not measured, and why.
    notes : tuple of str
        What was assumed, and what is doubtful.
    headers : tuple of str
        Of the columns.
    """

    answer: str
    rows: tuple[tuple[str, ...], ...] = ()
    refusals: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    headers: tuple[str, ...] = HEADERS


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoPage:
    """Marking trunks on a picture.

    Attributes
    ----------
    spot, survey_href, pair_href : str
        Whose; its survey; the page of two pictures, with these marks.
    number, words : str
        The picture and what is known of it.
    draft : MarksDraft
        What the form holds.
    roles : tuple of str
        What a trunk can be.
    places : tuple of (str, str, str)
        Key, words and text of the three places of a trunk.
    shown : tuple of Shown
        The picture at each width.
    view_box : str
        The part that is shown, as an SVG's viewBox.
    box : tuple of float
        The same four numbers.
    marks : tuple of DrawnMark
        Trunks that are marked.
    now : tuple of (str, float, float)
        Places of the trunk that is being marked.
    answer : str
        How many are marked.
    fine : str
        How fine a tap is.
    measured : Measured or None
        Where it was asked for.
    wrong : str
        Why the whole was not taken.
    """

    spot: str
    survey_href: str
    pair_href: str
    number: str
    words: str
    draft: MarksDraft
    roles: tuple[str, ...]
    places: tuple[tuple[str, str, str], ...]
    shown: tuple[Shown, ...]
    view_box: str
    box: tuple[float, ...]
    marks: tuple[DrawnMark, ...]
    now: tuple[tuple[str, float, float], ...]
    answer: str
    fine: str
    measured: Measured | None
    wrong: str


def sides_of(picture: Picture) -> tuple[int, ...]:
    """Widths at which a picture is shown. [px]."""
    return SIDES_TALL if picture.height_px > picture.width_px else SIDES_WIDE


def photo_page(
    spot: str, picture: Picture, draft: MarksDraft, *, measured: Measured | None = None
) -> PhotoPage:
    """Put the page together."""
    part = part_of(draft, picture.width_px, picture.height_px)
    texts = {"left": draft.left, "right": draft.right, "foot": draft.foot}
    count = len(drawn_marks(draft.marks))
    trunks = "1 trunk" if count == 1 else f"{count} trunks"
    return PhotoPage(
        spot=spot,
        survey_href=link("/survey", spot=spot),
        pair_href=link("/survey/pair", spot=spot, first=picture.id, marks=draft.marks),
        number=str(picture.id),
        words=f"picture {picture.id}, {picture.width_px} by {picture.height_px} px",
        draft=draft,
        roles=ROLES,
        places=tuple((key, SAID[key], texts[key]) for key in PLACES),
        shown=tuple(_shown(picture, draft, part, side) for side in sides_of(picture)),
        view_box=" ".join(f"{one:.1f}" for one in _box(part)),
        box=tuple(round(one, 2) for one in _box(part)),
        marks=tuple(_drawn(one, part) for one in drawn_marks(draft.marks)),
        now=tuple((key, *place) for key in PLACES if (place := place_of(texts[key])) is not None),
        answer=f"{trunks} marked." if count else "No trunk marked yet. Begin with the subject.",
        fine=_fine(picture, part),
        measured=measured,
        wrong=draft.wrong.get("", ""),
    )


def measured_words(found: PhotoSurvey | PairSurvey) -> Measured:
    """Write what was measured."""
    count = len(found.trunks)
    trunks = "1 trunk is measured" if count == 1 else f"{count} trunks are measured"
    left = len(found.not_measured)
    more = f"; {left} not, and why stands below" if left else ""
    notes = list(found.sentences)
    if isinstance(found, PairSurvey):
        notes.append(f"Both pictures agree on {found.matches} points.")
    return Measured(
        answer=f"{trunks}{more}." if count else "No trunk could be measured.",
        rows=tuple(_row(one) for one in found.trunks),
        refusals=tuple(why for _, why in found.not_measured),
        notes=tuple(notes),
    )


def tap_error_px(picture: Picture, draft: MarksDraft) -> float:
    """Give the standard error of a tap: a pixel and a half of the part as it was shown."""
    return 1.5 * picture.width_px / draft.zoom / sides_of(picture)[0]


def _row(one: MeasuredTrunk) -> tuple[str, ...]:
    trunk = one.trunk
    side = "right" if trunk.angle_deg >= 0.0 else "left"
    return (
        trunk.name,
        f"{trunk.distance_m:.1f} m, give or take {error_words(trunk.doubt.distance_m)}",
        f"{abs(trunk.angle_deg):.1f}° {side}",
        f"{trunk.width_m * 100.0:.0f} cm, give or take {error_words(trunk.doubt.width_m)}",
        " and ".join(one.ways),
        " ".join(one.sentences) or "nothing",
    )


def error_words(error_m: float) -> str:
    """Write a standard error of a length: centimetres to a metre, else metres."""
    return f"{max(error_m, 0.005) * 100.0:.0f} cm" if error_m < 0.995 else f"{error_m:.1f} m"


def _shown(picture: Picture, draft: MarksDraft, part: Part, side: int) -> Shown:
    each = part.width_px / side
    return Shown(
        side=side,
        height=round(side * picture.height_px / picture.width_px),
        address=link(
            "/survey/photo/part",
            picture=picture.id,
            x=f"{draft.middle_x:.5f}",
            y=f"{draft.middle_y:.5f}",
            zoom=draft.zoom,
            side=side,
        ),
        letters=round(17.0 * each, 1),
        ring=round(7.0 * each, 1),
    )


def _box(part: Part) -> Sequence[float]:
    return part.left_px - 0.5, part.top_px - 0.5, part.width_px, part.height_px


def _drawn(mark: TrunkMark, part: Part) -> DrawnMark:
    foot_row = mark.row_px if mark.foot_px is None else mark.foot_px[1]
    return DrawnMark(
        name=mark.name,
        left=mark.left_px,
        right=mark.right_px,
        top=mark.row_px - part.height_px / 12.0,
        bottom=max(foot_row, mark.row_px + part.height_px / 24.0),
        row=mark.row_px,
        foot=mark.foot_px,
    )


def _fine(picture: Picture, part: Part) -> str:
    each = part.width_px / sides_of(picture)[0]
    times = picture.width_px / part.width_px
    near = "whole" if times < 1.01 else f"{times:g} times nearer"
    return f"shown {near}; a pixel here is {each:.1f} of the picture's"
