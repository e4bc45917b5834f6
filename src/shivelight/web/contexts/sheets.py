"""The morning sheet and the leave-word card as their pages say them."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from shivelight.basis.instants import clock, day_words, to_local, to_utc, zone_label
from shivelight.drawing.leave_word import NOT_SAID
from shivelight.drawing.strip_words import window_words
from shivelight.drawing.words import day_and_clock
from shivelight.outing.judgement import Morning
from shivelight.outing.outings import LeaveWord, Outing
from shivelight.outing.sheet import LeaveWordCard, SheetContext
from shivelight.web.boxes import Box
from shivelight.web.forms import Form
from shivelight.web.show import link
from shivelight.workbench.fields.words import WORD
from shivelight.workbench.sheet import WordAsked

SAID = ("who", "car", "contact")


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPage:
    """The morning sheet in short, and what can be done with it.

    Attributes
    ----------
    day, day_iso, zone : str
        The morning, and the clock of its times.
    judge, judge_href : str
        Why there is no sheet yet, and where that is mended; empty when there is one.
    answer : str
        The choice in a sentence.
    first : str
        The spot gone to, and its window.
    times : tuple of (str, str)
        What happens when.
    made : str
        When it was judged.
    sources : tuple of str
        From which forecasts.
    stale : str
        Why it should be judged again; empty when it still stands.
    state : str
        Whether the sheet was made and the morning is taken.
    is_given : bool
        Whether the sheet was made.
    kept_off : str
        That spots are kept off it.
    word, word_href : str
        What word was left, and where it is left.
    has_word : bool
        Whether word was left.
    page_href, save_href : str
        The page for the phone: to open, to save.
    paper_href, paper_save_href : str
        The A4: to open, to save; empty before it was made.
    """

    day: str
    day_iso: str
    zone: str
    judge: str
    judge_href: str
    answer: str
    first: str
    times: tuple[tuple[str, str], ...]
    made: str
    sources: tuple[str, ...]
    stale: str
    state: str
    is_given: bool
    kept_off: str
    word: str
    word_href: str
    has_word: bool
    page_href: str
    save_href: str
    paper_href: str
    paper_save_href: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WordPage:
    """The leave-word card.

    Attributes
    ----------
    day, day_iso, zone : str
        The morning, and the clock of its times.
    judge, judge_href : str
        Why there is no card yet, and where that is mended.
    form : Form or None
        Who, car, contact, times.
    lede : str
        What is filled in.
    text : str
        The card; empty before word was left.
    text_lines : int
        How many lines the card has.
    lacks : str
        What it does not say.
    early : str
        That the time to be back comes before the morning is over; empty when it does not.
    kept_off : str
        That a place of the day is kept off, and how it is let out.
    asks_let_out : bool
        Whether the box for that is shown.
    page_href, text_href, paper_href : str
        To save it as a page, as text, on A5; the last empty before it was made.
    let_out : str
        Names let out on this card, one a line.
    """

    day: str
    day_iso: str
    zone: str
    judge: str
    judge_href: str
    form: Form | None
    lede: str
    text: str
    text_lines: int
    lacks: str
    early: str
    kept_off: str
    asks_let_out: bool
    page_href: str
    text_href: str
    paper_href: str
    let_out: str


def unjudged_sheet(day: dt.date, why: str) -> SheetPage:
    """Say what is to be done before there is a sheet."""
    return SheetPage(
        day=day_words(day), day_iso=day.isoformat(), zone="", judge=why,
        judge_href=link("/evening", day=day), answer="", first="", times=(), made="", sources=(),
        stale="", state="", is_given=False, kept_off="", word="", word_href="", has_word=False,
        page_href="", save_href="", paper_href="", paper_save_href="",
    )  # fmt: skip


def sheet_page(
    context: SheetContext, *, outing: Outing | None, stale: str, paper: bool
) -> SheetPage:
    """Write the sheet in short.

    Parameters
    ----------
    context : SheetContext
        All that the sheet says.
    outing : Outing or None
        Of that day.
    stale : str
        Why it should be judged again.
    paper : bool
        Whether the A4 is made and says the same.
    """
    day, zone_name = context.day, context.zone_name
    first = context.first.outlook if context.first is not None else None
    given = outing is not None and outing.sheet_given
    word = outing.word if outing is not None else None
    return SheetPage(
        day=day_words(day),
        day_iso=day.isoformat(),
        zone=zone_words(context.almanac.sunrise_utc, zone_name),
        judge="",
        judge_href=link("/evening", day=day),
        answer=context.answer,
        first=""
        if first is None or not context.go
        else f"{first.spot}: {window_words(first, zone_name=zone_name)}",
        times=tuple((clock(one.utc, zone_name), one.words) for one in context.times),
        made=f"judged {day_and_clock(context.made_utc, zone_name)}",
        sources=context.forecasts,
        stale=stale,
        state=_state(outing, given=given),
        is_given=given,
        kept_off=_kept_off(context.kept_off, "sheet"),
        word=_word_state(word, zone_name),
        word_href=link("/word", day=day),
        has_word=word is not None,
        page_href=link("/sheet/page", day=day),
        save_href=link("/sheet/page", day=day, save="yes"),
        paper_href=link("/sheet/print", day=day) if paper else "",
        paper_save_href=link("/sheet/print", day=day, save="yes") if paper else "",
    )


def unjudged_word(day: dt.date, why: str) -> WordPage:
    """Say what is to be done before there is a card."""
    return WordPage(
        day=day_words(day), day_iso=day.isoformat(), zone="", judge=why,
        judge_href=link("/evening", day=day), form=None, lede="", text="", text_lines=0,
        lacks="", early="", kept_off="",
        asks_let_out=False, page_href="", text_href="", paper_href="", let_out="",
    )  # fmt: skip


def early_words(morning: Morning, outing: Outing | None, back_by: dt.time) -> str:
    """Say so where the time to be back comes before the spot is reached, or its window is over.

    Parameters
    ----------
    morning : Morning
        As judged.
    outing : Outing or None
        What was taken of it.
    back_by : time
        On the wood's clock.
    """
    taken = outing.visits[0] if outing is not None and outing.visits else ""
    first = next((one for one in morning.spots if one.spot == taken), morning.first)
    if first is None or first.best is None:
        return ""
    back_utc = to_utc(dt.datetime.combine(morning.day, back_by), morning.zone_name)
    said, zone_name = f"{back_by:%H:%M}", morning.zone_name
    if first.in_place_utc is not None and back_utc <= first.in_place_utc:
        there = clock(first.in_place_utc, zone_name)
        return f"Back by {said} is before you are in place at {first.spot}, {there}."
    if back_utc < first.best.end_utc:
        end = clock(first.best.end_utc, zone_name)
        return f"The window at {first.spot} runs to {end}, later than back by {said}."
    return ""


def word_values(
    word: LeaveWord,
    zone_name: str,
    let_out: tuple[str, ...],
    *,
    alarm_after_h: float | None = None,
) -> dict[str, Any]:
    """Values of a word by the keys of its boxes.

    Parameters
    ----------
    word : LeaveWord
        As it was left.
    zone_name : str
        Of the wood's clock.
    let_out : tuple of str
        Names let out.
    alarm_after_h : float, optional
        The settings' time from the return to the alarm; an alarm that comes of it leaves its
        box empty, so that it moves with the time to be back. [h]
    """
    late = to_local(word.alarm_utc, zone_name) - to_local(word.back_by_utc, zone_name)
    follows = alarm_after_h is not None and late == dt.timedelta(hours=alarm_after_h)
    return {
        **{key: "" if getattr(word, key) == NOT_SAID else getattr(word, key) for key in SAID},
        "back_by": _time(word.back_by_utc, zone_name),
        "alarm_at": None if follows else _time(word.alarm_utc, zone_name),
        "note": word.note,
        "let_out": let_out,
    }


def asked_values(asked: WordAsked) -> dict[str, Any]:
    """Values of what was said last time by the keys of its boxes."""
    return {field.key: getattr(asked, field.key) for field in WORD}


def as_last_time(filled: tuple[Box, ...], last: WordAsked, *, is_left: bool) -> tuple[Box, ...]:
    """Say beneath the remembered boxes what they hold, or what comes of leaving them empty.

    Parameters
    ----------
    filled : tuple of Box
        Of the form.
    last : WordAsked
        What was said last time.
    is_left : bool
        Whether word is left for this morning already, so that last time is this time.
    """
    return tuple(replace(box, hint=_hint(box, last, is_left=is_left)) for box in filled)


def _hint(box: Box, last: WordAsked, *, is_left: bool) -> str:
    if box.key not in SAID:
        return "" if box.key == "note" else box.hint
    before = getattr(last, box.key)
    if not before:
        return ""
    if box.text == before:
        return "" if is_left else "As last time."
    return f"Left empty, it is as last time: {before}."


def word_page(
    day: dt.date,
    zone: str,
    form: Form,
    *,
    card: LeaveWordCard | None,
    text: str,
    let_out: tuple[str, ...],
    paper: bool,
    early: str = "",
) -> WordPage:
    """Put the card's page together.

    Parameters
    ----------
    day : date
        The morning.
    zone : str
        Its clock's short name.
    form : Form
        The boxes.
    card : LeaveWordCard or None
        None before word was left.
    text : str
        The card as text.
    let_out : tuple of str
        Spots of class *never* let out on it.
    paper : bool
        Whether the A5 is made and says the same.
    early : str
        That the time to be back comes before the morning is over.
    """
    names = "\n".join(let_out)
    query: Mapping[str, object] = {"day": day, "let_out": names, "save": "yes"}
    kept = 0 if card is None else card.kept_off
    return WordPage(
        day=day_words(day),
        day_iso=day.isoformat(),
        zone=zone,
        judge="",
        judge_href=link("/evening", day=day),
        form=form,
        lede=(
            "Word is left as below; give the card to somebody who will read it."
            if card is not None
            else "Who you are, the car, whom to ring, and when to be back. What you say here is "
            "filled in the next time."
        ),
        text=text,
        text_lines=len(text.splitlines()),
        lacks=_lacks(card),
        early=early,
        kept_off=_kept_off(kept, "card")
        + (" Type its full name below to let it stand on this card alone." if kept else ""),
        asks_let_out=bool(kept or let_out),
        page_href=link("/word/page", **query) if card is not None else "",
        text_href=link("/word/text", **query) if card is not None else "",
        paper_href=link("/word/print", **query) if paper else "",
        let_out=names,
    )


def zone_words(sunrise_utc: Any, zone_name: str) -> str:
    """Short name of the clock at sunrise; the zone's own name where there is none."""
    return zone_name if sunrise_utc is None else zone_label(sunrise_utc, zone_name)


def word_left_words(word: LeaveWord, zone_name: str) -> str:
    """Say what was left, in a sentence."""
    return (
        f"Word is left: back by {clock(word.back_by_utc, zone_name)}, alarm at "
        f"{clock(word.alarm_utc, zone_name)}."
    )


def _time(utc: Any, zone_name: str) -> dt.time:
    return to_local(utc, zone_name).time().replace(second=0, microsecond=0)


def _state(outing: Outing | None, *, given: bool) -> str:
    if outing is None:
        return "This morning is not taken yet; making the sheet takes it."
    first = outing.visits[0] if outing.visits else outing.woods[0]
    taken = f"Taken: {first}."
    return f"{taken} The sheet is made." if given else f"{taken} The sheet is not made yet."


def _word_state(word: LeaveWord | None, zone_name: str) -> str:
    if word is None:
        return "Nobody at home has word of this morning yet."
    return word_left_words(word, zone_name)


def _kept_off(count: int, paper: str) -> str:
    if not count:
        return ""
    if count == 1:
        return f"One place is kept off this {paper}."
    return f"{count} places are kept off this {paper}."


def _lacks(card: LeaveWordCard | None) -> str:
    if card is None:
        return ""
    words = (("who you are", card.who), ("the car", card.car), ("whom to ring", card.contact))
    lacks = [name for name, said in words if said == NOT_SAID]
    return f"The card does not say {', '.join(lacks)}." if lacks else ""
