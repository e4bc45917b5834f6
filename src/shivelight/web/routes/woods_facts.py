"""Getting into a wood, and its seasons: one fact or note put in, changed, dropped."""

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import replace

from fastapi import APIRouter, Request, Response

from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.drawing.words import date_words
from shivelight.outing.season_notes import SeasonNote
from shivelight.outing.woods import AccessFact, Wood
from shivelight.web.boxes import RefusedError, read_boxes
from shivelight.web.contexts.woods_fields import FACT, NAME, SEASON
from shivelight.web.errors import status_of
from shivelight.web.forms import REFUSALS, Typed, go, writes, wrong_of
from shivelight.web.routes.undo import undo_by
from shivelight.web.routes.woods_page import Sent, show_wood
from shivelight.web.routes.woods_undo import put_back
from shivelight.web.show import house_of, link
from shivelight.workbench.bench import Workbench

router = APIRouter()
Facts = tuple[AccessFact, ...]


@router.post("/wood/access", **writes(NAME, FACT))
def note_fact(request: Request, typed: Typed) -> Response:
    """Note one more thing about getting in."""
    return _facts(request, typed, "access", _with_one_more, "Noted: {what}.")


@router.post("/wood/access/change", **writes(NAME, FACT, more=("number", "was")))
def change_fact(request: Request, typed: Typed) -> Response:
    """Change a fact."""
    return _facts(request, typed, typed.get("number", ""), _with_one_changed, "Changed: {what}.")


@router.post("/wood/access/checked", **writes(NAME, more=("number", "was")))
def checked(request: Request, typed: Typed) -> Response:
    """Say that a fact was looked at today and still holds."""
    return _facts(request, typed, "", _with_one_checked, "Checked today: {what}.")


@router.post("/wood/access/drop", **writes(NAME, more=("number", "was")))
def drop_fact(request: Request, typed: Typed) -> Response:
    """Drop a fact."""
    return _facts(request, typed, "", _with_one_less, "Dropped: {what}.")


def _facts(
    request: Request,
    typed: Mapping[str, str],
    form: str,
    change: Callable[[Facts, Mapping[str, str], dt.date], tuple[Facts, str]],
    words: str,
) -> Response:
    """Change a wood's facts, and say so with a way back; or show what was refused."""
    name = typed.get("name", "")
    try:
        with house_of(request).bench() as bench:
            before = bench.wood(name).wood
            facts, what = change(before.access, typed, bench.today(before))
            after = bench.change_wood(before.name, access=facts).wood
    except NotFoundError:
        raise
    except REFUSALS as why:
        return show_wood(
            request, name, Sent(form=form, typed=typed, wrong=wrong_of(why)), status=status_of(why)
        )
    undo = put_back(request, before, after)
    return go(request, link("/wood", name=before.name), words.format(what=what), undo=undo)


def _with_one_more(facts: Facts, typed: Mapping[str, str], today: dt.date) -> tuple[Facts, str]:
    fact = _read_fact(typed, today)
    return (*facts, fact), fact.what


def _with_one_changed(facts: Facts, typed: Mapping[str, str], today: dt.date) -> tuple[Facts, str]:
    number = _number(facts, typed)
    fact = _read_fact(typed, today)
    return (*facts[:number], fact, *facts[number + 1 :]), fact.what


def _with_one_checked(facts: Facts, typed: Mapping[str, str], today: dt.date) -> tuple[Facts, str]:
    number = _number(facts, typed)
    fact = replace(facts[number], noted_on=today)
    return (*facts[:number], fact, *facts[number + 1 :]), fact.what


def _with_one_less(facts: Facts, typed: Mapping[str, str], today: dt.date) -> tuple[Facts, str]:
    del today
    number = _number(facts, typed)
    return (*facts[:number], *facts[number + 1 :]), facts[number].what


def _read_fact(typed: Mapping[str, str], today: dt.date) -> AccessFact:
    said = read_boxes(FACT, typed, asked=frozenset({"what"}))
    said.setdefault("noted_on", today)
    if said["noted_on"] > today:
        raise RefusedError(
            {
                "noted_on": f"{date_words(said['noted_on'])} has not come yet; give the day on "
                "which it was learned."
            }
        )
    try:
        return AccessFact(**said)
    except BadInputError as why:
        raise RefusedError({"to_day" if "first day" in str(why) else "what": str(why)}) from why


def _number(facts: Facts, typed: Mapping[str, str]) -> int:
    """Find the fact that a form means, if it is still the same."""
    said = typed.get("number", "")
    number = int(said) if said.isascii() and said.isdigit() and len(said) < 5 else len(facts)
    if number >= len(facts) or facts[number].what != typed.get("was", ""):
        raise NotFoundError(
            "That fact is no longer as the page showed it; load the wood's page again."
        )
    return number


@router.post("/wood/season", **writes(NAME, SEASON))
def note_season(request: Request, typed: Typed) -> Response:
    """Note what the season did."""
    name = typed.get("name", "")
    try:
        with house_of(request).bench() as bench:
            wood = bench.wood(name).wood
            note = _read_note(typed, bench.today(wood))
            is_new = note not in bench.season_notes(wood.name)
            bench.note_season(wood.name, note)
    except NotFoundError:
        raise
    except REFUSALS as why:
        sent = Sent(form="season", typed=typed, wrong=wrong_of(why))
        return show_wood(request, name, sent, status=status_of(why))
    words = f"Noted for {date_words(note.day)}."
    undo = undo_by(request, _forget(wood, note), link("/wood", name=wood.name))
    return go(request, link("/wood", name=wood.name), words, undo=undo if is_new else None)


@router.post("/wood/season/drop", **writes(NAME, SEASON))
def drop_season(request: Request, typed: Typed) -> Response:
    """Drop a note of the season."""
    name = typed.get("name", "")
    note = SeasonNote(**read_boxes(SEASON, typed, asked=frozenset({"day"})))
    with house_of(request).bench() as bench:
        wood = bench.wood(name).wood
        bench.drop_season_note(wood.name, note)
    there = link("/wood", name=wood.name)
    undo = undo_by(request, _note_again(wood, note), there)
    return go(request, there, f"The note of {date_words(note.day)} is dropped.", undo=undo)


def _read_note(typed: Mapping[str, str], today: dt.date) -> SeasonNote:
    said = read_boxes(SEASON, typed)
    said.setdefault("day", today)
    if said["day"] > today:
        raise RefusedError(
            {"day": f"{date_words(said['day'])} has not come yet; give the day it was seen."}
        )
    return SeasonNote(**said)


def _forget(wood: Wood, note: SeasonNote) -> Callable[[Workbench], str]:
    def back(bench: Workbench) -> str:
        bench.drop_season_note(wood.name, note)
        return f"The note of {date_words(note.day)} is taken back."

    return back


def _note_again(wood: Wood, note: SeasonNote) -> Callable[[Workbench], str]:
    def back(bench: Workbench) -> str:
        bench.note_season(wood.name, note)
        return f"The note of {date_words(note.day)} is there again."

    return back
