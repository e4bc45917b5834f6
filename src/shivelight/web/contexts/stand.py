"""Where to stand, as the page says it: the answer, what is seen, the gaps, what else there is."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from shivelight.drawing.figure import Figure
from shivelight.drawing.words import counted
from shivelight.outing.stand_words import aim_words
from shivelight.outing.surveys import KeptStand
from shivelight.scene.drift import Drift
from shivelight.scene.elements import Survey
from shivelight.scene.framing import Pair
from shivelight.scene.stands import Stand, length_words
from shivelight.web.contexts.stand_frame import FrameShown
from shivelight.web.forms import Form
from shivelight.web.show import link
from shivelight.workbench.stand_found import StandFound

WAYS = (
    ("left", "to the left"), ("right", "to the right"), ("forward", "forward"), ("back", "back"),
    ("up", "up"), ("down", "down"),
)  # fmt: skip
DRIFT_HEADERS = ("going", "every gap stays comfortable for", "the first two touch after", "which")
FARTHEST = "more than 2 m"
MAY_DRIFT = "You may drift"
Column: TypeAlias = tuple[tuple[str, str], ...]
"""Lines of one column under the answer: what is set strong, and the rest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StandRow:
    """Another place to stand: what it is, its facts, its prices, where it is looked at."""

    number: int
    go: str
    gap: str
    prices: tuple[str, ...]
    href: str
    is_shown: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptRow:
    """A stand that was kept, and where it is looked at."""

    key: str
    words: str
    when: str
    href: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RulerShown:
    """The gap ruler, and how a tap on it becomes a place. [m]."""

    figure: Figure
    low_m: float
    high_m: float
    step_m: float
    title: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerShown:
    """What was found.

    Attributes
    ----------
    answer : str
        The answer, as large as any.
    columns : tuple of Column
        Three columns beneath.
    number : int
        Which stand is shown, from 1; 0 for a compromise.
    clears : bool
        Whether it clears.
    aim : str
        The lens, its height and how the camera is turned.
    drift : tuple
        Rows of the table of drift; none where no pair should part.
    others : tuple of StandRow
        Every stand that clears.
    at_mark, moving : FrameShown
        The frame on the mark and the one that moves.
    ruler : RulerShown or None
        None where no pair should part.
    plan : Figure
        The ground from above.
    here : str
        What is seen on the mark.
    """

    answer: str
    columns: tuple[Column, ...]
    number: int
    clears: bool
    aim: str
    drift: tuple[tuple[str, ...], ...]
    others: tuple[StandRow, ...]
    at_mark: FrameShown
    moving: FrameShown
    ruler: RulerShown | None
    plan: Figure
    here: str
    drift_headers: tuple[str, ...] = DRIFT_HEADERS


@dataclass(frozen=True, slots=True, kw_only=True)
class StandPage:
    """The page of where to stand at a spot.

    Attributes
    ----------
    spot, wood : str
        Which.
    lede : str
        Lens, height and how much is surveyed.
    shown : AnswerShown or None
        What was found; None where nothing could be looked for.
    wanting : str
        Why nothing could be.
    wishes : Form
        What is wished, and how far one will go.
    first : tuple of str
        Keys of the wishes that stand open.
    names : tuple of str
        Trunks by name, to choose pairs from.
    kept : tuple of KeptRow
        Stands that were kept.
    hrefs : dict of str to str
        Pages that belong to it.
    """

    spot: str
    wood: str
    lede: str
    shown: AnswerShown | None
    wanting: str
    wishes: Form
    first: tuple[str, ...]
    names: tuple[str, ...]
    kept: tuple[KeptRow, ...]
    hrefs: Mapping[str, str]


def hrefs_of(spot: str) -> dict[str, str]:
    """Pages that belong to a spot's stand point."""
    return {
        "spot": link("/spot", name=spot),
        "survey": link("/survey", spot=spot),
        "marks": link("/marks", spot=spot),
        "layers": link("/layers", spot=spot),
        "here": link("/stand", spot=spot),
    }


def lede(survey: Survey, *, focal_mm: float, height_m: float) -> str:
    """Write lens, height and how much is surveyed."""
    ground = "the ground level" if survey.slope == type(survey.slope)() else "on a slope"
    trunks = counted(len(survey.trunks), "trunk")
    return f"{focal_mm:g} mm, lens at {height_m:g} m, {trunks}, {ground}."


def chosen(found: StandFound, number: int) -> tuple[Stand | None, int]:
    """Give the stand that is shown and its number; the compromise is number 0."""
    answers = found.answer.answers
    if answers:
        at = number if 1 <= number <= len(answers) else 1
        return answers[at - 1], at
    return found.answer.compromise, 0


def answer_words(stand: Stand | None, number: int) -> str:
    """Write the answer, as large as any other."""
    if number:
        strides = "" if stand is None or stand.step == "Inches will do." else f" {stand.step}"
        return f"{stand.go if stand else ''}{strides}"
    return "No place here clears it."


def columns(found: StandFound, stand: Stand | None, number: int) -> tuple[Column, ...]:
    """Write three columns beneath the answer."""
    answer = found.answer
    if stand is None or not number:
        best = (
            () if stand is None else (("The best there is:", stand.go), ("", _gap(found, stand)))
        )
        return ((("", answer.no_position),), best, (("", answer.lens),))
    closes = (("Next:", stand.closes),) if stand.closes else ()
    exact = stand.reasons[1:] if stand.pair else stand.reasons
    return (
        ((stand.step, _gap(found, stand)), *closes),
        tuple(_strong(one) for one in exact),
        (*(_strong(one) for one in answer.sides), ("", answer.lens)),
    )


def drift_rows(stand: Stand, pairs: Sequence[Pair]) -> tuple[tuple[str, ...], ...]:
    """Lay drift out in six directions."""
    if stand.touch is None or stand.comfort is None or stand.smallest_gap_deg <= 0.0:
        return ()
    rows = []
    for way, words in WAYS:
        row = stand.touch.pair_of(way)
        which = " and ".join(pairs[row]) if row is not None and row < len(pairs) else "none"
        rows.append((words, _far(stand.comfort, way), _far(stand.touch, way), which))
    return tuple(rows)


def stand_rows(found: StandFound, number: int) -> Iterator[StandRow]:
    """Write every stand that clears, the best first."""
    for at, one in enumerate(found.answer.answers, start=1):
        yield StandRow(
            number=at,
            go=one.go,
            gap=f"{_gap(found, one)} {aim_words(one)[:1].upper()}{aim_words(one)[1:]}.",
            prices=one.prices,
            href=link("/stand", spot=found.spot, number=at),
            is_shown=at == number,
        )


def kept_rows(spot: str, stands: Sequence[KeptStand]) -> tuple[KeptRow, ...]:
    """Write the stands that were kept, the last one first."""
    return tuple(
        KeptRow(
            key=key_of(one),
            words=one.words,
            when=f"kept {str(one.kept_utc)[:10]}",
            href=link(
                "/stand",
                spot=spot,
                x=f"{one.x_m:.3f}",
                y=f"{one.y_m:.3f}",
                z=f"{one.z_m:.3f}",
                focal=f"{one.focal_length_mm:g}",
            )
            + "#h-seen",
        )
        for one in reversed(stands)
    )


def key_of(kept: KeptStand) -> str:
    """Name a kept stand for a form."""
    return f"{kept.kept_utc} {kept.x_m!r} {kept.y_m!r} {kept.z_m!r}"


def gap_share(frac: float) -> str:
    """Write a share of the frame's width: "1 part in 110 of the frame's width"."""
    return f"1 part in {round(1.0 / frac)} of the frame's width" if frac > 0.0 else "no share"


def _gap(found: StandFound, stand: Stand) -> str:
    if stand.pair is None:
        return "No two were to part."
    names = " and ".join(stand.pair)
    if stand.smallest_gap_deg <= 0.0:
        return f"{names} overlap by {-stand.smallest_gap_deg:.2f}°."
    share = gap_share(stand.smallest_gap_frac)
    wide = length_words(found.framing.print_width_m)
    return (
        f"The smallest gap becomes {stand.smallest_gap_deg:.2f}° ({names}): {share}, "
        f"{stand.smallest_gap_print_mm:.0f} mm on your {wide} print."
    )


def _strong(sentence: str) -> tuple[str, str]:
    """Part a sentence into what is set strong and the rest."""
    if sentence.startswith(MAY_DRIFT):
        return MAY_DRIFT, sentence.removeprefix(MAY_DRIFT).strip()
    head, mark, rest = sentence.partition(" use:")
    return (f"{head}{mark}", rest.strip()) if mark else ("", sentence)


def _far(drift: Drift, way: str) -> str:
    metres = drift.way_m(way)
    if math.isinf(metres):
        return "down to the ground" if way == "down" else FARTHEST
    return length_words(metres)


def names_of(survey: Survey) -> tuple[str, ...]:
    """Names that pairs can be made of."""
    return (*(one.name for one in survey.trunks), *(one.name for one in survey.segments))
