"""The judgement in words: the answer, the coming mornings, every spot, the reasons, what else."""

from collections.abc import Sequence

from shivelight.basis.chances import chance_in_words
from shivelight.basis.instants import day_words, zone_label
from shivelight.cli.say.words import blocks, item, lines, para
from shivelight.drawing.morning_words import (
    backward_words,
    plan_words,
    record_lines,
    source_words,
    times_words,
)
from shivelight.drawing.tables import table
from shivelight.drawing.words import clock_or, day_and_clock, short_day, window
from shivelight.outing.judgement import Morning, SpotOutlook
from shivelight.outing.outings import Outing

NO_SUNRISE = (
    "The sun does not rise that day: it stays down or stays up, and 06:30 to 13:00 is judged."
)
REASONS_FOR = 3
"""Reasons are printed for so many spots unless all are asked for."""


def judgement(
    mornings: Sequence[Morning], width: int, *, all_spots: bool = False, asked: int = 1
) -> str:
    """Say which spot suits the first of the mornings, why, and what the others look like.

    Parameters
    ----------
    mornings : sequence of Morning
        In order.
    width : int
        Columns of the terminal.
    all_spots : bool
        Reasons for every spot, not for the first three.
    asked : int
        How many mornings were asked for; fewer are said to lie beyond the forecast.
    """
    chosen = mornings[0]
    reasons = chosen.spots if all_spots else chosen.spots[:REASONS_FOR]
    return blocks(
        _head(chosen, width),
        lines(para(chosen.answer, width), _start(chosen, width)),
        _coming(mornings, width) if len(mornings) > 1 else "",
        _beyond(mornings, asked, width),
        _every_spot(chosen, width),
        _left_out(chosen, width),
        *(_reasons(place, one, chosen, width) for place, one in enumerate(reasons, start=1)),
        _others_left(chosen, len(reasons), width),
        _walk(chosen, width),
        _what_else(chosen, width),
        _cautions(chosen, width),
        _sources(chosen, width),
    )


def _head(one: Morning, width: int) -> str:
    label = _label(one)
    clock = f"clock of {one.zone_name}" + (f" ({label})" if label else "")
    note = f" {one.clock_note[0].upper()}{one.clock_note[1:]}." if one.clock_note else ""
    return lines(
        para(f"{day_words(one.day)}, {clock}.{note.replace('..', '.')}", width),
        para(NO_SUNRISE, width) if one.almanac.sunrise_utc is None else "",
    )


def _start(one: Morning, width: int) -> str:
    """When to get up and set out, where the answer is to go."""
    if not one.go or one.first is None or one.first.in_place_utc is None:
        return ""
    told = backward_words(one.first, one.zone_name)
    road = ""
    if one.first.set_out_utc is None:
        road = f" No time by road is noted: wood change '{one.first.wood}' --road MINUTES."
    return para(f"{told[0].upper()}{told[1:]}.{road}", width)


def _label(one: Morning) -> str:
    """Short name of the clock in force on that morning."""
    anchors = (one.almanac.sunrise_utc, one.almanac.civil_dawn_utc, one.made_utc)
    return zone_label(next(utc for utc in anchors if utc is not None), one.zone_name)


def _coming(mornings: Sequence[Morning], width: int) -> str:
    many = len({_label(one) for one in mornings}) > 1
    rows = [
        (
            short_day(one.day) + (f" {_label(one)}" if many else ""),
            one.first.spot if one.first else "no spot",
            chance_in_words(one.first.chance_frac) if one.first else "",
            _best(one.first, one.zone_name) if one.first else "",
            "go" if one.go else "stay",
        )
        for one in mornings
    ]
    headers = ("morning", "best spot", "wishes meet", "window", "")
    return lines("The coming mornings", table(rows, headers, width=width))


def _beyond(mornings: Sequence[Morning], asked: int, width: int) -> str:
    if len(mornings) >= asked:
        return ""
    last = short_day(mornings[-1].day)
    return para(f"Mornings after {last} are not judged: the forecast does not reach them.", width)


def _left_out(one: Morning, width: int) -> str:
    told = [f"{wood}: {why}" for wood, why in one.left_out]
    return lines("Not judged", item("", told, width, gutter=2)) if told else ""


def _best(one: SpotOutlook, zone_name: str) -> str:
    if one.best is None:
        return "none"
    return window(one.best.start_utc, one.best.end_utc, zone_name)


def _every_spot(one: Morning, width: int) -> str:
    rows = [
        (
            str(place),
            spot.spot,
            spot.wood,
            chance_in_words(spot.chance_frac),
            _best(spot, one.zone_name),
            f"{spot.minutes:.0f}" if spot.best is not None else "",
            clock_or(spot.clears_utc, one.zone_name, "up" if spot.light else "none"),
        )
        for place, spot in enumerate(one.spots, start=1)
    ]
    headers = ("", "spot", "wood", "wishes meet", "window", "min", "sun")
    title = (
        f"Every spot on {short_day(one.day)} (min: how long together; sun: when it clears that "
        "skyline)"
    )
    return lines(para(title, width), table(rows, headers, width=width))


def _reasons(place: int, spot: SpotOutlook, one: Morning, width: int) -> str:
    signs = spot.signs
    return lines(
        para(f"{place}. {spot.spot}, {spot.wood}: {chance_in_words(spot.chance_frac)}", width),
        item("For", signs.for_it, width),
        item("Against", signs.against_it, width),
        item("Not known", signs.not_known, width),
        item("Would change it", signs.would_change, width),
        item("Rests on", [spot.rests_on, *record_lines(spot)], width),
        item("Times", [times_words(spot, one.zone_name, one.almanac.civil_dawn_utc)], width),
        item("If not", [spot.if_not], width) if spot.if_not else "",
    )


def _others_left(one: Morning, told: int, width: int) -> str:
    left = len(one.spots) - told
    if left <= 0:
        return ""
    others = "other spot" if left == 1 else f"other {left} spots"
    return para(f"Reasons for the {others}: add --all.", width)


def _walk(one: Morning, width: int) -> str:
    if len(one.visits) < 2:
        return ""
    told = [
        f"{visit.spot}, {window(visit.arrive_utc, visit.leave_utc, one.zone_name)}, after "
        f"{visit.walk_min:.0f} min on foot"
        for visit in one.visits
    ]
    return lines("The walk", item("in order", told, width))


def _what_else(one: Morning, width: int) -> str:
    if not one.go:
        return ""
    return lines(
        "If it fails",
        item("Plan B", [plan_words(one.plan_b) or "nothing within a walk makes up for it"], width),
        item("Plan C", [plan_words(one.plan_c) or "none"], width),
    )


def _cautions(one: Morning, width: int) -> str:
    return lines("Take care", item("", one.cautions, width, gutter=2)) if one.cautions else ""


def _sources(one: Morning, width: int) -> str:
    told: dict[str, list[str]] = {}
    for wood, note in one.forecasts:
        told.setdefault(source_words(note), []).append(wood)
    rows = [
        text if len(told) == 1 else f"{', '.join(woods)}: {text}" for text, woods in told.items()
    ]
    made = f"judged {day_and_clock(one.made_utc, one.zone_name)}"
    return lines("Made from", item("", [*rows, made], width, gutter=2))


def outing(one: Outing, width: int, *, against: str = "") -> str:
    """Say what was taken, and the answer that spoke against going."""
    walk = ", then ".join(one.visits) or "no spot named"
    return lines(
        f"Taken: {day_words(one.day)}, {', '.join(one.woods)}.",
        item("visits", [walk], width),
        item("judged", [against], width) if against else "",
        para("Now print the sheet (shivelight sheet print) and leave word "
             "(shivelight word leave).", width),
    )  # fmt: skip
