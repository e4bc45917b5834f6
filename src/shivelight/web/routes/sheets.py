"""Morning sheet and leave-word: made, opened on the phone, printed, left with somebody."""

import datetime as dt
from collections.abc import Callable, Mapping

from fastapi import APIRouter, Request, Response

from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.web.boxes import boxes, read_boxes
from shivelight.web.contexts.sheets import (
    SheetPage,
    WordPage,
    as_last_time,
    asked_values,
    early_words,
    sheet_page,
    unjudged_sheet,
    unjudged_word,
    word_left_words,
    word_page,
    word_values,
    zone_words,
)
from shivelight.web.errors import status_of
from shivelight.web.files import file_answer, paper_key, paper_made, whole_page
from shivelight.web.forms import REFUSALS, Form, Typed, go, writes, wrong_of
from shivelight.web.house import Undo
from shivelight.web.jobs import Progress
from shivelight.web.show import house_of, link, show
from shivelight.workbench import read
from shivelight.workbench.bench import Workbench
from shivelight.workbench.fields.words import WORD
from shivelight.workbench.sheet import WordAsked

router = APIRouter()
PDF = "application/pdf"
SHEET = "Morning sheet"
CARD = "Leave word"


@router.get("/sheet")
def sheet(request: Request, day: str = "") -> Response:
    """Show the sheet of a morning in short, and what can be done with it."""
    with house_of(request).bench() as bench:
        page = _sheet(request, bench, _day(bench, day))
    return show(request, "sheet.html.j2", page, title=SHEET)


@router.post("/sheet/make", **writes(more=("day",)))
def make(request: Request, typed: Typed) -> Response:
    """Mark the sheet as made; a morning that was not taken is taken."""
    with house_of(request).bench() as bench:
        day = _day(bench, typed.get("day", ""))
        was_taken = bench.outing(day) is not None
        bench.give_sheet(day)
    back = {"day": day.isoformat(), "stay": "" if was_taken else "yes"}
    undo = Undo(path="/sheet/unmake", boxes=back)
    words = f"The sheet of {day:%A} is made: open it on the phone, or print it."
    return go(request, link("/sheet", day=day), words, undo=undo)


@router.post("/sheet/unmake", **writes(more=("day", "stay")))
def unmake(request: Request, typed: Typed) -> Response:
    """Take the mark away again, and the outing where making the sheet had taken it."""
    with house_of(request).bench() as bench:
        day = _day(bench, typed.get("day", ""))
        if typed.get("stay") == "yes":
            bench.stay(day)
        else:
            bench.give_sheet(day, given=False)
    words = f"The sheet of {day:%A} is no longer marked as made."
    undo = Undo(path="/sheet/make", boxes={"day": day.isoformat()})
    return go(request, link("/sheet", day=day), words, undo=undo)


@router.get("/sheet/page")
def page(request: Request, day: str = "", save: str = "") -> Response:
    """Give the sheet as one page that needs no network."""
    with house_of(request).bench() as bench:
        at = _day(bench, day)
        html = bench.sheet_page(at)
    return whole_page(request, html, f"morning-sheet-{at}.html", save=bool(save))


@router.post("/sheet/paper", **writes(more=("day",)))
def paper(request: Request, typed: Typed) -> Response:
    """Make the A4 beside the page, since it takes more than half a second."""
    with house_of(request).bench() as bench:
        day = _day(bench, typed.get("day", ""))
        key = paper_key(bench.sheet_page(day))
    then = link("/sheet", day=day)
    return _print(request, "making the A4 sheet", key, lambda one: one.sheet_paper(day), then=then)


@router.get("/sheet/print")
def printed(request: Request, day: str = "", save: str = "") -> Response:
    """Give the A4 that was made."""
    with house_of(request).bench() as bench:
        at = _day(bench, day)
        data = paper_made(request, paper_key(bench.sheet_page(at)))
    return file_answer(data, PDF, f"morning-sheet-{at}.pdf", save=bool(save))


@router.get("/word")
def word(request: Request, day: str = "", let_out: str = "") -> Response:
    """Show the leave-word card with what is typed for it."""
    with house_of(request).bench() as bench:
        page = _word(request, bench, _day(bench, day), _names(let_out))
    return show(request, "word.html.j2", page, title=CARD)


@router.post("/word", **writes(WORD, more=("day",)))
def leave(request: Request, typed: Typed) -> Response:
    """Keep what is left with somebody at home."""
    with house_of(request).bench() as bench:
        day = _day(bench, typed.get("day", ""))
        try:
            undo, words, let_out = _leave(bench, day, typed)
        except REFUSALS as why:
            wrong = _by_box(wrong_of(why), why)
            page = _word(request, bench, day, (), typed=typed, wrong=wrong)
            return show(request, "word.html.j2", page, title=CARD, status=status_of(why))
    there = link("/word", day=day, let_out="\n".join(let_out))
    return go(request, there, words, undo=undo)


@router.post("/word/drop", **writes(more=("day", "stay")))
def drop(request: Request, typed: Typed) -> Response:
    """Take the word back, and the outing where leaving word had taken it."""
    with house_of(request).bench() as bench:
        day = _day(bench, typed.get("day", ""))
        before = bench.word_left(day)
        if before is None:
            raise NotFoundError(f"No word was left for {day}.")
        zone_name = bench.judged(day).zone_name
        bench.put_word_back(day, None)
        if typed.get("stay") == "yes":
            bench.stay(day)
    undo = Undo(path="/word", boxes=_filled(day, word_values(before, zone_name, ())))
    return go(request, link("/word", day=day), "The word is taken back.", undo=undo)


@router.get("/word/page")
def card_page(request: Request, day: str = "", let_out: str = "", save: str = "") -> Response:
    """Give the card as one page that prints on A5."""
    with house_of(request).bench() as bench:
        at = _day(bench, day)
        html = bench.word_page(at, let_out=_names(let_out))
    return whole_page(request, html, f"leave-word-{at}.html", save=bool(save))


@router.get("/word/text")
def card_text(request: Request, day: str = "", let_out: str = "", save: str = "") -> Response:
    """Give the card as plain text."""
    with house_of(request).bench() as bench:
        at = _day(bench, day)
        text = bench.word_text(at, let_out=_names(let_out))
    kind = "text/plain; charset=utf-8"
    return file_answer(text, kind, f"leave-word-{at}.txt", save=bool(save))


@router.post("/word/paper", **writes(more=("day", "let_out")))
def card_paper(request: Request, typed: Typed) -> Response:
    """Make the A5 beside the page."""
    let_out = _names(typed.get("let_out", ""))
    with house_of(request).bench() as bench:
        day = _day(bench, typed.get("day", ""))
        key = paper_key(bench.word_page(day, let_out=let_out))
    then = link("/word", day=day, let_out="\n".join(let_out))
    return _print(
        request, "making the A5 card", key, lambda one: one.word_paper(day, let_out=let_out),
        then=then,
    )  # fmt: skip


@router.get("/word/print")
def card_printed(request: Request, day: str = "", let_out: str = "", save: str = "") -> Response:
    """Give the A5 that was made."""
    with house_of(request).bench() as bench:
        at = _day(bench, day)
        key = paper_key(bench.word_page(at, let_out=_names(let_out)))
    data = paper_made(request, key)
    return file_answer(data, PDF, f"leave-word-{at}.pdf", save=bool(save))


def _day(bench: Workbench, text: str) -> dt.date:
    """Day that was asked for; the next one taken, else the coming morning."""
    return read.day(text, bench.today()) if text else bench.taken_morning()


def _names(text: str) -> tuple[str, ...]:
    return tuple(line.strip() for line in text.splitlines() if line.strip())


def _why(bench: Workbench, day: dt.date) -> str:
    if not bench.spots():
        return "There is no spot in the book yet, and so nothing to judge."
    return f"{day:%A} {day.day} {day:%B} is not judged yet."


def _sheet(request: Request, bench: Workbench, day: dt.date) -> SheetPage:
    try:
        context = bench.sheet_of(day)
    except NotFoundError as why:
        said = _why(bench, day) if bench.outing(day) is None else str(why)
        return unjudged_sheet(day, said)
    stale = next((one.stale for one in bench.week().mornings if one.day == day), "")
    key = paper_key(bench.sheet_page(day))
    return sheet_page(context, outing=bench.outing(day), stale=stale, paper=_is_made(request, key))


def _word(
    request: Request,
    bench: Workbench,
    day: dt.date,
    let_out: tuple[str, ...],
    *,
    typed: Mapping[str, str] | None = None,
    wrong: Mapping[str, str] | None = None,
) -> WordPage:
    """Show the card and its form, filled with what was left, or with last time's words."""
    try:
        morning = bench.judged(day)
    except NotFoundError:
        return unjudged_word(day, _why(bench, day))
    left, last = bench.word_left(day), bench.word_of_last_time()
    zone_name = morning.zone_name
    values = asked_values(last)
    if left is not None:
        values = word_values(left, zone_name, let_out, alarm_after_h=bench.settings.alarm_after_h)
    filled = boxes(WORD, values, typed=typed, wrong=wrong)
    filled = as_last_time(filled, last, is_left=left is not None)
    form = Form(
        action="/word", button="Leave this word", boxes=filled,
        hidden=(("day", day.isoformat()),), wrong=(wrong or {}).get("", ""),
    )  # fmt: skip
    zone = zone_words(morning.almanac.sunrise_utc, zone_name)
    early = early_words(morning, bench.outing(day), values["back_by"])
    if left is None:
        return word_page(
            day, zone, form, card=None, text="", let_out=let_out, paper=False,
            early=early,
        )  # fmt: skip
    key = paper_key(bench.word_page(day, let_out=let_out))
    return word_page(
        day, zone, form, card=bench.word_card(day, let_out=let_out),
        text=bench.word_text(day, let_out=let_out), let_out=let_out,
        paper=_is_made(request, key), early=early,
    )  # fmt: skip


def _leave(
    bench: Workbench, day: dt.date, typed: Mapping[str, str]
) -> tuple[Undo, str, tuple[str, ...]]:
    """Keep the word; say how it is taken back, what was kept, and what is let out."""
    asked = WordAsked(**read_boxes(WORD, typed))
    before = bench.outing(day)
    zone_name = bench.judged(day).zone_name
    word = bench.keep_word(day, asked).word
    assert word is not None
    undo = Undo(
        path="/word/drop",
        boxes={"day": day.isoformat(), "stay": "" if before is not None else "yes"},
    )
    if before is not None and before.word is not None:
        values = word_values(before.word, zone_name, ())
        undo = Undo(path="/word", boxes=_filled(day, values))
    return undo, word_left_words(word, zone_name), asked.let_out


def _by_box(wrong: Mapping[str, str], why: Exception) -> Mapping[str, str]:
    """Put a refusal of the whole beside the box that it speaks of."""
    if isinstance(why, NotFoundError):
        return {"let_out": str(why)}
    if isinstance(why, BadInputError) and "alarm" in str(why):
        return {"alarm_at": str(why)}
    return wrong


def _filled(day: dt.date, values: Mapping[str, object]) -> dict[str, str]:
    """Write a word as its form would send it."""
    made = {box.key: box.text for box in boxes(WORD, values) if box.text}
    return made | {"day": day.isoformat()}


def _print(
    request: Request, what: str, key: str, make: Callable[[Workbench], bytes], *, then: str
) -> Response:
    """Start making a PDF, and go to the page of that job."""
    house = house_of(request)
    papers = house.papers
    if papers.get(key) is not None:
        return go(request, then)

    def work(progress: Progress) -> str:
        progress(what, 0, 1)
        with house.bench() as bench:
            papers.keep(key, make(bench))
        progress(what, 1, 1)
        return "The paper is made."

    state = house.jobs.start(what, work, then=then, key=f"paper-{key[:12]}")
    return go(request, link("/job", name=state.name))


def _is_made(request: Request, key: str) -> bool:
    return house_of(request).papers.get(key) is not None
