"""A spot's past as its page says it: what was said, what was found, who went."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from shivelight.basis.chances import Count, chance_in_words
from shivelight.drawing.words import counted, date_words, window
from shivelight.outing.history import PastMorning, SpotHistory, SpotSaid
from shivelight.web.contexts.spots import found_words

MOST_ROWS = 60
HEADERS = ("morning", "said the evening before", "found", "went")


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """What became of a spot.

    Attributes
    ----------
    answer : str
        Mist found on how many of how many mornings.
    lines : tuple of str
        The other counts.
    filled : tuple of bool
        A mark for each logged morning, the oldest first: whether mist was found.
    headers, rows : tuple
        Morning by morning, the newest first.
    left_out : int
        Older mornings that are not in the table.
    """

    answer: str
    lines: tuple[str, ...]
    filled: tuple[bool, ...]
    headers: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    left_out: int


def record(one: SpotHistory) -> Record:
    """Write a spot's past."""
    logged = [past.found for past in reversed(one.mornings) if past.found is not None]
    return Record(
        answer=_answer(one),
        lines=tuple(_lines(one)),
        filled=tuple(log.was_misty for log in logged),
        headers=HEADERS,
        rows=tuple(_row(past, one.zone_name) for past in one.mornings[:MOST_ROWS]),
        left_out=max(len(one.mornings) - MOST_ROWS, 0),
    )


def _answer(one: SpotHistory) -> str:
    if not one.mornings:
        return "Nothing said and nothing found yet"
    if not one.logged:
        return "Nothing found yet"
    return f"Found mist: {Count(found=one.misty, mornings=one.logged).words}"


def _lines(one: SpotHistory) -> Iterator[str]:
    if one.said:
        first = (
            f"the first choice on {one.first} of them" if one.first else "never the first choice"
        )
        yield f"Judged for {counted(one.said, 'morning')}; {first}."
        yield f"On the evenings before: {one.counts.words}."
    if one.visited:
        yield f"Visited on {counted(one.visited, 'morning')}."


def _row(past: PastMorning, zone_name: str) -> tuple[str, ...]:
    found = "not logged" if past.found is None else found_words(past.found)
    where = " (the wood)" if past.found_at == "wood" else ""
    note = f"; {past.found.note}" if past.found is not None and past.found.note else ""
    return (
        date_words(past.day),
        "nothing" if past.said is None else _said(past.said, zone_name),
        f"{found}{where}{note}",
        "" if past.outing is None else "yes",
    )


def _said(said: SpotSaid, zone_name: str) -> str:
    parts = []
    if not math.isnan(said.chance_frac):
        parts.append(f"all wishes {chance_in_words(said.chance_frac)}")
    if not math.isnan(said.morning_mist_frac):
        parts.append(f"mist {chance_in_words(said.morning_mist_frac)}")
    if said.best is not None:
        parts.append(window(said.best.start_utc, said.best.end_utc, zone_name))
    if said.was_first:
        parts.append("the first choice")
    return ", ".join(parts) or "not known"
