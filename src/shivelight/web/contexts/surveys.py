"""The survey of a spot as its page says it: what stands there, how sure, and what to ask next."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from shivelight.drawing.words import counted
from shivelight.outing.pictures import Picture
from shivelight.outing.surveys import KeptSurvey
from shivelight.scene.elements import Role, Segment, Survey, Trunk
from shivelight.web.contexts.surveys_rows import ElementRow, element_row, every
from shivelight.web.forms import Form
from shivelight.web.show import link
from shivelight.workbench.fields.elements import ELEMENT
from shivelight.workbench.fields.field import Field, by_key

NAME = Field(
    flag="NAME", key="name", metavar="NAME", help="What you call it.", label="What you call it"
)
_BY_KEY = by_key(ELEMENT)


def _fields(*keys: str) -> tuple[Field, ...]:
    return (NAME, *(_BY_KEY[key] for key in keys))


KINDS: Mapping[str, tuple[str, tuple[Field, ...]]] = {
    "trunk": (
        "a trunk",
        _fields("angle", "distance", "width", "role", "height", "lean", "lean_away"),
    ),
    "branch": ("a branch or a log", _fields("from", "to", "width", "role")),
    "hole": (
        "a bright hole in the leaves",
        _fields("angle", "altitude", "size"),
    ),
    "closed": ("closed ground", _fields("corners")),
    "ring": ("a ring nobody steps into", _fields("angle", "distance", "radius")),
}
"""What can be surveyed: in words, and its boxes."""
ASKED = {
    "trunk": frozenset({"name", "angle", "distance", "width"}),
    "branch": frozenset({"name", "from", "to", "width"}),
    "hole": frozenset({"name", "angle", "altitude", "size"}),
    "closed": frozenset({"name", "corners"}),
    "ring": frozenset({"name"}),
}
RINGED = "A ring round a trunk that is there needs its name alone."
SLOPE = (
    Field(
        flag="--right",
        key="right",
        metavar="RISE",
        help="How the ground rises to the right: '1 in 8', '7', '5 down', 'level'.",
        label="Rise to the right",
        hint="1 in 8, 7 degrees, 5 down, or level.",
    ),
    Field(
        flag="--forward",
        key="forward",
        metavar="RISE",
        help="How it rises forward.",
        label="Rise forward",
        hint="In the same way.",
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureRow:
    """A kept picture of the spot, and the page on which trunks are marked on it."""

    words: str
    small: str
    alt: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyPage:
    """The survey of a spot.

    Attributes
    ----------
    spot : str
        Whose.
    answer : str
        What there is, and what to ask next, in a sentence.
    order : tuple of (str, str)
        The two minutes of asking: "done", "next" or "later", and the step.
    rows : tuple of ElementRow
        Every element.
    add : Form
        To put a trunk in.
    others : tuple of (str, Form)
        To put something else in, with its words.
    change : Form or None
        To change one element, where that was asked for.
    changed : str
        Its name.
    slope_words : str
        How the ground rises.
    slope : Form
        To change that.
    table : Form
        To take a table in.
    pictures : tuple of PictureRow
        Kept pictures of the spot.
    hrefs : dict of str to str
        Addresses of the pages that hang on it.
    """

    spot: str
    answer: str
    order: tuple[tuple[str, str], ...]
    rows: tuple[ElementRow, ...]
    add: Form
    others: tuple[tuple[str, Form], ...]
    change: Form | None
    changed: str
    slope_words: str
    slope: Form
    table: Form
    pictures: tuple[PictureRow, ...]
    hrefs: Mapping[str, str]


def survey_page(
    kept: KeptSurvey, pictures: tuple[Picture, ...], forms: Mapping[str, Form], changed: str
) -> SurveyPage:
    """Put the page together.

    Parameters
    ----------
    kept : KeptSurvey
        The elements.
    pictures : tuple of Picture
        Of the spot.
    forms : mapping of str to Form
        By the kinds of element, and "slope", "table" and, where one is changed, "change".
    changed : str
        The element that is changed; empty for none.
    """
    spot = kept.spot
    return SurveyPage(
        spot=spot,
        answer=_answer(kept.survey),
        order=tuple(_order(kept.survey)),
        rows=tuple(
            element_row(spot, one, kept.how.get(one.name, "")) for one in every(kept.survey)
        ),
        add=forms["trunk"],
        others=tuple((KINDS[kind][0], forms[kind]) for kind in KINDS if kind != "trunk"),
        change=forms.get("change"),
        changed=changed,
        slope_words=_slope_words(kept.survey),
        slope=forms["slope"],
        table=forms["table"],
        pictures=tuple(_picture(spot, one) for one in pictures),
        hrefs={
            "spot": link("/spot", name=spot),
            "stand": link("/stand", spot=spot),
            "marks": link("/marks", spot=spot),
            "layers": link("/layers", spot=spot),
            "pair": link("/survey/pair", spot=spot),
            "table": link("/survey/table", spot=spot),
            "here": link("/survey", spot=spot),
        },
    )


def with_hint(form: Form, key: str, hint: str) -> Form:
    """Say something else beneath one box of a form."""
    boxes = tuple(replace(one, hint=hint) if one.key == key else one for one in form.boxes)
    return replace(form, boxes=boxes)


def _answer(survey: Survey) -> str:
    said = [
        counted(len(things), word)
        for things, word in (
            (survey.trunks, "trunk"),
            (survey.segments, "branch or log"),
            (survey.holes, "sky hole"),
            (survey.closed, "closed place"),
        )
        if things
    ]
    if not said:
        return "No trunks yet. Type two, near one first."
    told = f"{', '.join(said)}."
    if len(survey.trunks) < 2:
        return f"{told} One more trunk, and gaps can be told."
    return told if survey.subject else f"{told} None is the subject yet."


def _order(survey: Survey) -> Iterator[tuple[str, str]]:
    """Say what to ask in two minutes, and how far that has come."""
    subject = survey.subject
    beside = [one for one in survey.trunks if one is not subject and one.role is not Role.INTRUDER]
    pieces: tuple[Trunk | Segment, ...] = (*survey.trunks, *survey.segments)
    intruders = [one for one in pieces if one.role is Role.INTRUDER]
    done = (subject is not None, len(beside) >= 2, bool(intruders) or bool(survey.holes))
    steps = (
        "The subject: its angle, its distance, its width.",
        "Its two neighbours, left and right, the nearer one first.",
        "What intrudes: a branch, a stem at the border, a bright hole. Where nothing does, leave "
        "this out.",
    )
    is_next = True
    for step, is_done in zip(steps, done, strict=True):
        yield ("done" if is_done else "next" if is_next else "later"), step
        is_next = is_next and is_done


def _slope_words(survey: Survey) -> str:
    said = [
        f"{abs(rise) * 100.0:.0f} cm a metre {'up' if rise > 0.0 else 'down'} {way}"
        for rise, way in (
            (survey.slope.rise_right_frac, "to the right"),
            (survey.slope.rise_forward_frac, "forward"),
        )
        if abs(rise) >= 0.005
    ]
    return f"The ground goes {' and '.join(said)}." if said else "The ground is taken for level."


def _picture(spot: str, one: Picture) -> PictureRow:
    taken = "" if one.taken is None else f", {one.taken.day} {one.taken:%B %Y}"
    return PictureRow(
        words=f"picture {one.id}{taken}",
        small=link("/picture", number=one.id, side=320),
        alt=one.caption or f"Picture {one.id} of {spot}",
        mark=link("/survey/photo", spot=spot, picture=one.id),
    )
