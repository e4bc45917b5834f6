"""One wood as the page says it."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from shivelight.drawing.words import date_words
from shivelight.outing.found import Found
from shivelight.outing.leaf_year import YEARLY_SPREAD_DAYS, typical_stages
from shivelight.outing.season_notes import SeasonNote
from shivelight.outing.spots import Spot
from shivelight.outing.woods import AccessFact, Wood
from shivelight.web.contexts.woods import (
    Tally,
    facts_words,
    noted_words,
    sentence,
    stale_words,
    tallies,
)
from shivelight.web.contexts.woods_ground import GroundFigure, place_words
from shivelight.web.forms import Form
from shivelight.workbench.results import WoodPage

CLASS_WORDS = {
    "open": "open: all of it may leave the book",
    "district": "district: only its neighbourhood may leave the book",
    "never": "never: no place of it leaves the book",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class FactShown:
    """One thing about getting in; ``change`` is the form that changes it."""

    number: int
    what: str
    span: str
    contact: str
    noted: str
    stale: str
    against: str
    change: Form


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotShown:
    """One spot of the wood."""

    name: str
    state: str
    musts: str
    likes: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonShown:
    """One note of the diary, as words and as it is sent to be dropped."""

    day: str
    words: str
    sent: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RasterShown:
    """One raster that lies under the wood."""

    name: str
    kind: str
    size: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodShown:
    """One wood.

    Attributes
    ----------
    name, lede, last, why : str
        What it is, when last there, and why one goes.
    margin : tuple of str
        Class and clock.
    ground : GroundFigure
        Its ground.
    facts, access : tuple of FactShown, Form
        Getting in.
    mist, hazards : str
        How mist behaves; words that choose cautions.
    spots : tuple of SpotShown
        In it.
    stages, stages_words : tuple of rows, str
        Typical dates beside those noted, and what they are.
    diary, season : tuple of SeasonShown, Form
        The diary.
    tallies, logs : tuple
        Said against found, and every log.
    rasters : tuple of RasterShown
        Under it.
    wrong_at : str
        Which form was refused: "access", "season", "out", or a fact's number; empty for none.
    wrong_out : str
        Why it cannot go out of the book.
    """

    name: str
    lede: str
    last: str
    why: str
    margin: tuple[str, ...]
    parking: str
    ground: GroundFigure
    facts: tuple[FactShown, ...]
    access: Form
    mist: tuple[str, ...]
    hazards: str
    spots: tuple[SpotShown, ...]
    stages: tuple[tuple[str, ...], ...]
    stages_words: str
    diary: tuple[SeasonShown, ...]
    season: Form
    tallies: tuple[Tally, ...]
    counts: str
    logs: tuple[tuple[str, ...], ...]
    rasters: tuple[RasterShown, ...]
    wrong_at: str
    wrong_out: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodForms:
    """The forms of the page; ``change`` holds one for each fact."""

    access: Form
    season: Form
    change: tuple[Form, ...]
    wrong_at: str = ""
    wrong_out: str = ""


def wood_shown(
    page: WoodPage,
    *,
    ground: GroundFigure,
    notes: Sequence[SeasonNote],
    forms: WoodForms,
    rasters: Sequence[RasterShown],
    today: dt.date,
) -> WoodShown:
    """Write a wood out."""
    wood = page.wood
    logs = sorted(page.logs, key=lambda log: log.day, reverse=True)
    return WoodShown(
        name=wood.name,
        lede=sentence(facts_words(wood)),
        last=last_words(logs),
        why=sentence(wood.note),
        margin=(CLASS_WORDS[wood.privacy], f"clock: {wood.zone_name}"),
        parking=place_words(wood.parking.latitude_deg, wood.parking.longitude_deg),
        ground=ground,
        facts=tuple(
            _fact(number, fact, today, change=forms.change[number])
            for number, fact in enumerate(wood.access)
        ),
        access=forms.access,
        mist=_mist(wood),
        hazards=", ".join(wood.hazards),
        spots=tuple(_spot(one) for one in page.spots),
        stages=_stages(wood, notes, today.year),
        stages_words=_stages_words(wood),
        diary=tuple(_noted(one) for one in sorted(notes, key=lambda one: one.day, reverse=True)),
        season=forms.season,
        tallies=tallies(page.counts),
        counts=page.counts.words,
        logs=tuple(_log(one) for one in logs),
        rasters=tuple(rasters),
        wrong_at=forms.wrong_at,
        wrong_out=forms.wrong_out,
    )


def last_words(logs: Sequence[Found]) -> str:
    """Say when one was last there and what was found; ``logs`` newest first."""
    if not logs:
        return "No morning here is in the log yet."
    last = logs[0]
    mist = {"none": "no mist", "wisps": "wisps of mist"}.get(last.mist, f"{last.mist} mist")
    return f"Last looked at on {date_words(last.day)}: {mist}."


def size_words(size_bytes: int | None) -> str:
    """Say how large a file is, or that it has gone."""
    if size_bytes is None:
        return "the file is not where it was"
    return f"{size_bytes / 1e6:.1f} MB" if size_bytes >= 50_000 else f"{size_bytes / 1e3:.0f} kB"


def _fact(number: int, fact: AccessFact, today: dt.date, *, change: Form) -> FactShown:
    ends = (
        f"from {date_words(fact.from_day)}" if fact.from_day else "",
        f"to {date_words(fact.to_day)}" if fact.to_day else "",
    )
    span = " ".join(end for end in ends if end)
    return FactShown(
        number=number,
        what=fact.what,
        span=f"holds {span}" if span else "",
        contact=f"ask {fact.contact}" if fact.contact else "",
        noted=noted_words(fact),
        stale=stale_words(fact, today),
        against=_against(fact, today),
        change=change,
    )


def _against(fact: AccessFact, today: dt.date) -> str:
    if not fact.closes:
        return ""
    if fact.holds_on(today):
        return "speaks against going today"
    return "speaks against going while it holds"


def _mist(wood: Wood) -> tuple[str, ...]:
    habit = wood.habit
    floor = (
        f"Its floor lies {habit.hollow_depth_m:g} m below its surroundings."
        if habit.hollow_depth_m
        else "No hollow is noted."
    )
    water = "Open water, pools or a carr are in or beside it." if habit.near_water else ""
    top = (
        ""
        if habit.fog_top_m is None
        else f"Valley fog usually reaches {habit.fog_top_m:g} m above the sea, where the ground "
        f"is {wood.ground_height_m:.0f} m."
    )
    depth = f"Mist is taken to lie {habit.depth_m:g} m deep where light comes through it."
    said = f"In your words: {habit.note.rstrip('.')}." if habit.note else ""
    return tuple(line for line in (said, floor, water, top, depth) if line)


def _spot(spot: Spot) -> SpotShown:
    return SpotShown(
        name=spot.name,
        state=str(spot.state),
        musts="; ".join(wish.words for wish in spot.musts) or "nothing yet",
        likes="; ".join(wish.words for wish in spot.wishes if wish not in spot.musts),
    )


def _stages(wood: Wood, notes: Sequence[SeasonNote], year: int) -> tuple[tuple[str, ...], ...]:
    usual = typical_stages(wood.stand, year=year, latitude_deg=wood.parking.latitude_deg)
    return tuple(
        (
            stage,
            f"about {day.day} {day:%B}",
            "; ".join(date_words(one.day) for one in notes if one.stage == stage) or "not noted",
        )
        for stage, day in usual
    )


def _stages_words(wood: Wood) -> str:
    stand = wood.stand.replace("-", " ")
    if not typical_stages(wood.stand, year=2027, latitude_deg=wood.parking.latitude_deg):
        return f"A stand of the type {stand} sheds no leaves, so there are no dates to expect."
    return (
        f"Usual first days of each stage for {stand}; a year lies about "
        f"{YEARLY_SPREAD_DAYS:g} days to either side, a wood up to three weeks."
    )


def _noted(note: SeasonNote) -> SeasonShown:
    words = ": ".join(part for part in (note.stage, note.words) if part)
    sent = (("day", note.day.isoformat()), ("stage", note.stage), ("words", note.words))
    return SeasonShown(day=date_words(note.day), words=words, sent=sent)


def _log(log: Found) -> tuple[str, ...]:
    paced = "" if log.optical_range_m is None else f"{log.optical_range_m:.0f} m"
    return (
        date_words(log.day), log.spot or "the wood", log.mist, paced or "not paced",
        log.air or "not noted", log.light or "not noted", log.note,
    )  # fmt: skip
