"""The log as the page says it: the form with its presets, the counts, the mornings before."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from shivelight.basis.chances import FEWEST_FOR_A_RATE, Count
from shivelight.basis.instants import clock, day_words, to_local, zone_label
from shivelight.drawing.words import short_day
from shivelight.outing.found import Found
from shivelight.outing.outings import Outing
from shivelight.web.forms import Form
from shivelight.web.show import link
from shivelight.workbench.fields.field import Field
from shivelight.workbench.fields.logs import FOUND
from shivelight.workbench.results import WoodPage

TAPPED = ("mist", "air", "light", "leaf", "wood")
LATEST = 12
"""Mornings shown at once; the earlier ones unfold."""
ASKED = frozenset({"mist", "wood", "why_looked"})
WAS = ("was_day", "was_wood", "was_spot")
"""Of a log that is being changed: which it was."""
WOOD = Field(flag="WOOD", key="wood", metavar="WOOD", help="Which wood.", label="Which wood")


@dataclass(frozen=True, slots=True, kw_only=True)
class CountLine:
    """One count in words and as uprights, a morning each, filled where mist was found."""

    words: str
    mornings: tuple[bool, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodCounts:
    """What the log of one wood has come to.

    Attributes
    ----------
    wood, href : str
        Which, and its page.
    lines : tuple of CountLine
        Mornings on which mist was said, and those on which it was not.
    few : str
        That they are too few to say more; empty when they are not.
    """

    wood: str
    href: str
    lines: tuple[CountLine, ...]
    few: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LogLine:
    """One morning that was logged.

    Attributes
    ----------
    cells : tuple of str
        Day, place, mist, what else, in the order of the page's headers.
    href : str
        Where it is changed.
    """

    cells: tuple[str, ...]
    href: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LogPage:
    """Five taps, what they have come to, and the mornings before.

    Attributes
    ----------
    lede : str
        Which morning and wood are filled in already, and why.
    form : Form or None
        None while the book has no wood.
    counts : WoodCounts or None
        Of the wood that was logged last, or is filled in.
    is_kept : bool
        Whether the counts are the answer to what was just sent.
    is_change : bool
        Whether an earlier log is being changed.
    more_open : bool
        Whether the boxes beside the five taps are shown at once.
    headers : tuple of str
        Of the table.
    rows, earlier : tuple of LogLine
        Every log, the latest first; the latest dozen, and the rest.
    """

    lede: str
    form: Form | None
    counts: WoodCounts | None
    is_kept: bool
    is_change: bool
    more_open: bool
    headers: tuple[str, ...]
    rows: tuple[LogLine, ...]
    earlier: tuple[LogLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Preset:
    """What is filled in before anybody types.

    Attributes
    ----------
    values : mapping
        By the keys of the boxes.
    lede : str
        Says what, and why.
    was : Found or None
        The log that is being changed.
    """

    values: Mapping[str, Any]
    lede: str
    was: Found | None = None


def preset_of_outing(
    outing: Outing | None, today: dt.date, *, woods: tuple[str, ...] = ()
) -> Preset:
    """Fill in the wood, spot and day of the last outing; today, and an only wood, without one."""
    if outing is None or not outing.woods:
        values = {"day": today.isoformat(), "why_looked": "planned"}
        place = ""
        if len(woods) == 1:
            values["wood"] = woods[0]
            place = f"{woods[0]}, "
        return Preset(values=values, lede=f"Filled in: {place}today, {day_words(today)}.")
    spot = outing.visits[0] if outing.visits else ""
    when = "today" if outing.day == today else "the last one"
    place = f"{spot}, {outing.woods[0]}" if spot else outing.woods[0]
    return Preset(
        values={
            "day": outing.day.isoformat(), "wood": outing.woods[0], "spot": spot,
            "why_looked": "planned",
        },
        lede=f"Filled in from the outing you took, {when}: {place}, {day_words(outing.day)}.",
    )  # fmt: skip


def preset_of_log(log: Found, zone_name: str) -> Preset:
    """Fill in what was logged, to change it."""
    return Preset(
        values=log_values(log, zone_name),
        lede=f"Changing what was logged for {log.spot or log.wood} on {day_words(log.day)}. "
        "The former is put aside, never away.",
        was=log,
    )


def log_values(log: Found, zone_name: str) -> dict[str, Any]:
    """Values of a log by the keys of its boxes."""
    lifted = log.lifted_utc
    local = None if lifted is None else to_local(lifted, zone_name)
    values: dict[str, Any] = {
        field.key: getattr(log, field.key) for field in FOUND if field.key not in {"lifted", "day"}
    }
    time = None if local is None else local.time().replace(second=0, microsecond=0)
    return values | {"day": log.day.isoformat(), "wood": log.wood, "lifted": time}


def log_fields(woods: tuple[str, ...], spots: tuple[str, ...]) -> tuple[Field, ...]:
    """Boxes of the page in its order, with the book's own woods and spots to choose from."""
    by_key = {field.key: field for field in FOUND}
    spot = replace(by_key["spot"], words=spots, hint="Leave out if you looked at the wood alone.")
    taps = [by_key[key] for key in TAPPED if key != "wood"]
    taps[0] = replace(taps[0], label="Mist at its best", hint="")
    rest = [one for one in FOUND if one.key not in {*TAPPED, "spot"}]
    day = next(one for one in rest if one.key == "day")
    rest.remove(day)
    return (*taps, replace(WOOD, words=woods), day, spot, *rest)


def wood_counts(page: WoodPage) -> WoodCounts:
    """Write the counts of a wood."""
    said, unsaid = page.counts.said, page.counts.unsaid
    logged = said.mornings + unsaid.mornings
    few = 0 < logged < FEWEST_FOR_A_RATE
    return WoodCounts(
        wood=page.wood.name,
        href=link("/wood", name=page.wood.name),
        lines=(
            _count_line(said, "mist was said", "Said"),
            _count_line(unsaid, "it was not said", "Not said"),
        )
        if logged
        else (
            CountLine(
                words="No morning that was judged beforehand is logged here yet.", mornings=()
            ),
        ),
        few="Too few mornings to say more." if few else "",
    )


def log_page(
    woods: tuple[WoodPage, ...],
    logs: tuple[Found, ...],
    *,
    lede: str,
    form: Form | None,
    counted: str,
    kept: bool,
    change: bool,
) -> LogPage:
    """Put the page together.

    Parameters
    ----------
    woods : tuple of WoodPage
        The book's.
    logs : tuple of Found
        The latest first.
    lede : str
        What is filled in.
    form : Form or None
        The boxes.
    counted : str
        Whose counts are shown; none when empty.
    kept, change : bool
        Whether something was just kept, or is being changed.
    """
    zones = {one.wood.name: one.wood.zone_name for one in woods}
    shown = next((one for one in woods if one.wood.name.casefold() == counted.casefold()), None)
    more = form is not None and any(
        box.wrong for box in form.boxes if box.key not in {*TAPPED, "why_looked"}
    )
    lines = tuple(_line(one, zones[one.wood]) for one in logs)
    return LogPage(
        lede=lede,
        form=form,
        counts=wood_counts(shown) if shown is not None else None,
        is_kept=kept,
        is_change=change,
        more_open=more or change,
        headers=("morning", "where", "mist", "what else", ""),
        rows=lines[:LATEST],
        earlier=lines[LATEST:],
    )


def logged_words(log: Found) -> str:
    """Say what was kept, and that a former log is put aside."""
    return f"{log.spot or log.wood}, {day_words(log.day)}: mist {log.mist}. Kept in the log."


def _count_line(count: Count, when: str, head: str) -> CountLine:
    filled = (True,) * count.found + (False,) * (count.mornings - count.found)
    if not count.mornings:
        return CountLine(words=f"{head}: on no morning yet.", mornings=())
    return CountLine(words=f"{head}: mist found on {count.words} when {when}.", mornings=filled)


def _line(log: Found, zone_name: str) -> LogLine:
    facts = [
        f"air {log.air}" if log.air else "",
        f"light {log.light}" if log.light else "",
        f"leaf {log.leaf}" if log.leaf else "",
        f"last trunk at {log.optical_range_m:g} m" if log.optical_range_m is not None else "",
        _gone(log, zone_name),
        "a look because mist was seen" if log.why_looked == "mist seen" else "",
        log.note,
    ]
    where = f"{log.spot}, {log.wood}" if log.spot else log.wood
    return LogLine(
        cells=(
            f"{short_day(log.day)} {log.day.year}",
            where,
            log.mist,
            "; ".join(filter(None, facts)) or "nothing else",
        ),
        href=link("/log", day=log.day, wood=log.wood, spot=log.spot, change="yes"),
    )


def _gone(log: Found, zone_name: str) -> str:
    utc = log.lifted_utc
    return "" if utc is None else f"gone by {clock(utc, zone_name)} {zone_label(utc, zone_name)}"
