"""The forms that add or change a spot, and that of its wishes."""

from collections.abc import Mapping, Sequence
from dataclasses import MISSING, dataclass, fields, replace
from typing import Any

from shivelight.basis.errors import BadInputError
from shivelight.outing.pictures import SpotDraft
from shivelight.outing.spots import Spot
from shivelight.outing.wishes import EXAMPLES, Wish
from shivelight.web.boxes import MOST_LETTERS, Box, RefusedError, as_shown, boxes
from shivelight.web.contexts.spot import Shown
from shivelight.web.forms import Form, Part
from shivelight.web.show import link
from shivelight.workbench.fields import plainly
from shivelight.workbench.fields.field import Field
from shivelight.workbench.fields.spots import SPOT, WISHES, gathered

ASKED = frozenset({"name", "wood", "position", "view_azimuth_deg"})
NAME = (
    Field(
        flag="",
        key="name",
        metavar="SPOT",
        help="The spot's name.",
        label="Name",
        hint="What you call it, such as White Post Gap.",
    ),
)
FIRST = ("name", "wood", "position", "view_azimuth_deg", "musts")
PARTS = (
    (
        "The camera",
        ("focal_length_mm", "sensor_width_mm", "lens_height_m"),
    ),
    (
        "The subject, and what else it would like",
        ("subject", "subject_position", "likes", "if_not"),
    ),
    (
        "The ground and the way",
        ("ground_height_m", "walk_min", "under_canopy", "hazards"),
    ),
    (
        "Finding it again",
        ("mark.transits", "mark.last_confirmed"),
    ),
    ("The rest", ("privacy", "note")),
)
FROM_PICTURE = "From the picture."


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotEdit:
    """The form of a spot.

    Attributes
    ----------
    name : str
        Whose; empty for a new one.
    form : Form
        All boxes.
    first : tuple of Box
        Those that are asked.
    parts : tuple of Part
        The others, by heading.
    picture : Shown or None
        The photograph that it is made from.
    sentences : tuple of str
        What the photograph could not tell, and how far out the rest may be.
    most_mb : int
        Largest photograph that can be sent.
    has_wood : bool
        Whether there is a wood to put it in.
    back : str
        Address to go to instead.
    """

    name: str
    form: Form
    first: tuple[Box, ...]
    parts: tuple[Part, ...]
    picture: Shown | None = None
    sentences: tuple[str, ...] = ()
    most_mb: int = 60
    has_wood: bool = True
    back: str = "/spots"


@dataclass(frozen=True, slots=True, kw_only=True)
class WishesPage:
    """The wishes of a spot as two boxes, one a line.

    Attributes
    ----------
    name : str
        Whose.
    form : Form
        Musts and would-likes.
    examples : tuple of str
        Wishes that can be added by one tap.
    back : str
        Its page.
    """

    name: str
    form: Form
    examples: tuple[str, ...]
    back: str


def wood_field(woods: Sequence[str]) -> tuple[Field, ...]:
    """Box that says which wood a spot is in."""
    return (
        Field(
            flag="--wood",
            key="wood",
            metavar="WOOD",
            help="The wood it is in.",
            label="Wood",
            words=tuple(woods),
        ),
    )


def new_fields(woods: Sequence[str]) -> tuple[Field, ...]:
    """Fields of a new spot."""
    return NAME + wood_field(woods) + SPOT + WISHES


def new_spot(
    woods: Sequence[str],
    *,
    wood: str = "",
    draft: SpotDraft | None = None,
    picture: Shown | None = None,
    typed: Mapping[str, str] | None = None,
    wrong: Mapping[str, str] | None = None,
) -> SpotEdit:
    """Write the form of a new spot, filled from a photograph where there is one."""
    known = {} if draft is None else _told(draft)
    values: dict[str, Any] = {"wood": wood or (woods[0] if len(woods) == 1 else None), **known}
    filled = boxes(new_fields(woods), values, typed=typed, wrong=wrong, asked=ASKED)
    filled = tuple(_worded(_from_picture(box, known)) for box in filled)
    form = Form(
        action="/spot/new",
        button="Add this spot",
        boxes=filled,
        hidden=() if draft is None else (("picture", str(draft.picture.id)),),
        wrong=(wrong or {}).get("", ""),
    )
    first, parts = _arranged(filled)
    return SpotEdit(
        name="",
        form=form,
        first=first,
        parts=parts,
        picture=picture,
        sentences=() if draft is None else draft.sentences,
        has_wood=bool(woods),
    )


def change_spot(
    spot: Spot,
    woods: Sequence[str],
    *,
    typed: Mapping[str, str] | None = None,
    wrong: Mapping[str, str] | None = None,
) -> SpotEdit:
    """Write the form that changes a spot, as it stands."""
    filled = boxes(
        wood_field(woods) + SPOT, spot_values(spot), typed=typed, wrong=wrong, asked=ASKED
    )
    form = Form(
        action="/spot/edit",
        button="Keep it so",
        boxes=filled,
        hidden=(("name", spot.name), ("was", (typed or {}).get("was") or as_shown(filled))),
        wrong=(wrong or {}).get("", ""),
    )
    first, parts = _arranged(filled, is_open=True)
    return SpotEdit(
        name=spot.name, form=form, first=first, parts=parts, back=link("/spot", name=spot.name)
    )


def spot_values(spot: Spot) -> dict[str, Any]:
    """Values of a spot by the keys of its boxes."""
    return {one.name: getattr(spot, one.name) for one in fields(spot)} | {
        "ground_height_m": spot.position.ground_height_m,
        "mark.transits": spot.mark.transits,
        "mark.last_confirmed": spot.mark.last_confirmed,
    }


def spot_changes(said: Mapping[str, Any], old: Spot | None) -> dict[str, Any]:
    """Turn what the boxes say, the emptied ones included, into values of a spot."""
    usual = {
        one.name: one.default
        for one in fields(Spot)
        if one.default is not MISSING and one.default is not None
    }
    whole = {
        key: usual[key] if value is None and key in usual else value for key, value in said.items()
    }
    height_m = whole.get("ground_height_m")
    made = gathered(dict(whole), old)
    if height_m is None and "position" in made:
        made["position"] = replace(made["position"], ground_height_m=None)
    return made


def wishes_page(
    spot: Spot,
    *,
    typed: Mapping[str, str] | None = None,
    wrong: Mapping[str, str] | None = None,
) -> WishesPage:
    """Write the page of a spot's wishes."""
    values = {"musts": spot.musts, "likes": spot.would_likes}
    filled = boxes(WISHES, values, typed=typed, wrong=wrong)
    form = Form(
        action="/spot/wishes",
        button="Keep these wishes",
        boxes=filled,
        hidden=(("name", spot.name),),
        wrong=(wrong or {}).get("", ""),
    )
    return WishesPage(
        name=spot.name, form=form, examples=EXAMPLES, back=link("/spot", name=spot.name)
    )


def read_wishes(typed: Mapping[str, str]) -> tuple[Wish, ...]:
    """Read the two boxes of wishes, one a line.

    Raises
    ------
    RefusedError
        If a line is no wish, or stands in both; each is told with its number.
    """
    wrong: dict[str, str] = {}
    kept: dict[str, Wish] = {}
    for key, must in (("musts", True), ("likes", False)):
        refused = []
        for number, line in enumerate(typed.get(key, "")[:MOST_LETTERS].splitlines(), start=1):
            if not line.strip():
                continue
            try:
                wish = plainly.wish(line, must=must)
            except BadInputError as why:
                refused.append(f"Line {number}: {why}")
                continue
            if wish.words in kept and kept[wish.words].must is not must:
                refused.append(f"Line {number}: {wish.words!r} is a must already; keep one.")
                continue
            kept[wish.words] = wish
        if refused:
            wrong[key] = " ".join(refused)
    if wrong:
        raise RefusedError(wrong)
    return tuple(kept.values())


def with_example(typed: Mapping[str, str]) -> dict[str, str]:
    """Put the example that was tapped under the lines of its box ("musts:still air")."""
    key, _, words = typed.get("add", "").partition(":")
    more = dict(typed)
    if key in {"musts", "likes"} and words in EXAMPLES:
        lines = more.get(key, "").rstrip()
        more[key] = f"{lines}\n{words}" if lines else words
    return more


def _told(draft: SpotDraft) -> dict[str, Any]:
    told = {
        "wood": draft.wood or None,
        "position": draft.position,
        "view_azimuth_deg": _rounded(draft.view_azimuth_deg, 0),
        "focal_length_mm": _rounded(draft.focal_length_mm, 2),
        "sensor_width_mm": _rounded(draft.sensor_width_mm, 1),
    }
    return {key: value for key, value in told.items() if value is not None}


def _rounded(value: float | None, places: int) -> float | None:
    """Round to what a phone can know."""
    return None if value is None else round(value, places)


def _from_picture(box: Box, told: Mapping[str, Any]) -> Box:
    if box.key not in told or box.wrong:
        return box
    return replace(box, hint=f"{FROM_PICTURE} {box.hint}".strip())


def _worded(box: Box) -> Box:
    """Say in full what must hold."""
    if box.key == "musts":
        return replace(box, label="What must hold there, all at once")
    return box


def _arranged(
    filled: Sequence[Box], *, is_open: bool = False
) -> tuple[tuple[Box, ...], tuple[Part, ...]]:
    by_key = {box.key: box for box in filled}
    first = tuple(by_key[key] for key in FIRST if key in by_key)
    parts = []
    for head, keys in PARTS:
        held = tuple(by_key[key] for key in keys if key in by_key)
        parts.append(
            Part(head=head, boxes=held, is_open=is_open or any(box.wrong for box in held))
        )
    return first, tuple(parts)
