"""The list of woods as the page says it."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from shivelight.basis.chances import Count
from shivelight.drawing.words import counted, date_words
from shivelight.outing.found import SaidFound
from shivelight.outing.woods import AccessFact, Wood
from shivelight.workbench.results import WoodPage
from shivelight.workbench.woods import LOOK_AGAIN_DAYS

MOST_UPRIGHTS = 24
"""More mornings than this are a number, not a fence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """Counted mornings of one kind.

    Attributes
    ----------
    head : str
        Which kind.
    words : str
        How many of how many.
    filled : tuple of bool
        One upright a morning; empty where there are none or too many to draw.
    """

    head: str
    words: str
    filled: tuple[bool, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodRow:
    """One wood of the list.

    Attributes
    ----------
    name, facts, why : str
        Its name, its stand, height and road, and why one goes.
    spots : str
        How many.
    tallies : tuple of Tally
        Said and not said against found.
    stale : tuple of str
        What about getting in is to be looked at again.
    against : tuple of str
        What speaks against going today.
    """

    name: str
    facts: str
    why: str
    spots: str
    tallies: tuple[Tally, ...]
    stale: tuple[str, ...]
    against: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodsPage:
    """Every wood of the book, with the sentence above them."""

    lede: str
    woods: tuple[WoodRow, ...]


def woods_page(pages: Sequence[WoodPage], today: dt.date) -> WoodsPage:
    """Write the woods out."""
    rows = tuple(
        WoodRow(
            name=page.wood.name,
            facts=sentence(facts_words(page.wood)),
            why=sentence(page.wood.note),
            spots=counted(len(page.spots), "spot") if page.spots else "no spot yet",
            tallies=tallies(page.counts),
            stale=tuple(
                f"{fact.what} ({stale_words(fact, today)})"
                for fact in page.wood.access
                if stale_words(fact, today)
            ),
            against=tuple(
                fact.what for fact in page.wood.access if fact.closes and fact.holds_on(today)
            ),
        )
        for page in pages
    )
    old = sum(bool(row.stale) for row in rows)
    lede = f"{counted(len(rows), 'wood')} in the book"
    if old:
        lede += f"; in {old} of them something about getting in is to be looked at again"
    return WoodsPage(lede=f"{lede}." if rows else "", woods=rows)


def sentence(words: str) -> str:
    """Begin with a capital and end with a stop; nothing stays nothing."""
    plain = words.strip()
    if not plain:
        return ""
    return f"{plain[:1].upper()}{plain[1:]}{'' if plain[-1] in '.!?' else '.'}"


def facts_words(wood: Wood) -> str:
    """Say what stands there, how high, how far by road."""
    road = "road not timed" if wood.road_min is None else f"{wood.road_min:g} min by road"
    stand = wood.stand.replace("-", " ")
    return f"{stand}, {wood.ground_height_m:.0f} m above the sea, {road}"


def stale_words(fact: AccessFact, today: dt.date) -> str:
    """Say that a fact is to be looked at again; nothing where it is fresh enough."""
    if (today - fact.noted_on).days <= LOOK_AGAIN_DAYS:
        return ""
    year = "" if fact.noted_on.year == today.year else f" {fact.noted_on.year}"
    return f"checked {fact.noted_on.day} {fact.noted_on:%B}{year}: look again"


def tallies(counts: SaidFound) -> tuple[Tally, ...]:
    """Write counts of said against found; nothing where no morning was looked at."""
    return tuple(
        _tally(head, count)
        for head, count in (
            ("Mist said, and found", counts.said),
            ("Not said, and found all the same", counts.unsaid),
        )
        if count.mornings
    )


def _tally(head: str, count: Count) -> Tally:
    few = count.mornings <= MOST_UPRIGHTS
    filled = tuple(place < count.found for place in range(count.mornings)) if few else ()
    return Tally(head=head, words=count.words, filled=filled)


def noted_words(fact: AccessFact) -> str:
    """Say when a fact was learned or looked at last."""
    return f"noted {date_words(fact.noted_on)}"
