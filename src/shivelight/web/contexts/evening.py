"""The evening as the page says it: the choice, its reasons, its forecasts, the week."""

import datetime as dt
from dataclasses import dataclass

from shivelight.basis.chances import chance_in_words
from shivelight.basis.instants import day_words, to_local, zone_label
from shivelight.drawing.figure import Figure
from shivelight.drawing.morning_words import (
    backward_words,
    plan_words,
    record_lines,
    source_words,
    times_words,
)
from shivelight.drawing.sheet_view import sentence, signs_lines
from shivelight.drawing.strip import MOST_STRIPS
from shivelight.drawing.strip_figure import strips_figure, week_strip_svg
from shivelight.drawing.strip_words import window_words
from shivelight.drawing.words import day_and_clock, short_day, window
from shivelight.outing.judgement import Morning, SpotOutlook
from shivelight.outing.outings import Outing
from shivelight.web.contexts.forecasts import ForecastLine, forecast_lines
from shivelight.web.forms import Form
from shivelight.web.show import link
from shivelight.workbench.week import Week, WeekMorning

WORTH_NAMING_FRAC = 0.05
"""A spot whose wishes meet less often than this is named among the others, with why not."""
MOST_TAKEN = 3
"""So many spots have a button to take them; more would be no choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotLines:
    """One spot with what speaks for and against it.

    Attributes
    ----------
    name, wood, href : str
        Which, and its page.
    rank : str
        In words.
    window, chance, times, rests_on : str
        The span, all musts together, times backward from it, what that rests on.
    signs : tuple of (kind, word, line)
        For, against, not known, would change it.
    wishes : tuple of (words, weight, chance)
        Each by itself.
    """

    name: str
    wood: str
    href: str
    rank: str
    window: str
    chance: str
    times: str
    rests_on: str
    signs: tuple[tuple[str, str, str], ...]
    wishes: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekLine:
    """One coming morning in a line.

    Attributes
    ----------
    day, href : str
        In words, and its page.
    words : str
        The answer, or that it is not judged.
    under : str
        Spot, window and chance, or why there is nothing.
    strip : str
        SVG of the first spot's morning; empty where there is none.
    is_here, go : bool
        Whether it is the one shown, and whether it says go.
    """

    day: str
    href: str
    words: str
    under: str
    strip: str
    is_here: bool
    go: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MorningLines:
    """What was said of one morning.

    Attributes
    ----------
    made : str
        When it was judged.
    answer : str
        The choice in a sentence.
    start : str
        When to get up and set out, where it says go.
    clock_note : str
        That the clocks changed.
    figure : Figure or None
        Strips of the spots worth naming, on one axis.
    spots : tuple of SpotLines
        Those spots with their reasons.
    others : tuple of (name, href, why not)
        The rest.
    walk : tuple of str
        Stops in order, where there are several.
    plan_b, plan_c : str
        What else.
    cautions, left_out, sources : tuple of str
        Always said; woods not judged; what the judgement was made from.
    takes : tuple of str
        Spots that can be taken by a button.
    """

    made: str
    answer: str
    start: str
    clock_note: str
    figure: Figure | None
    spots: tuple[SpotLines, ...]
    others: tuple[tuple[str, str, str], ...]
    walk: tuple[str, ...]
    plan_b: str
    plan_c: str
    cautions: tuple[str, ...]
    left_out: tuple[str, ...]
    sources: tuple[str, ...]
    takes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class EveningPage:
    """All that the evening says.

    Attributes
    ----------
    day, day_iso, zone : str
        The morning shown, and the clock of its times.
    morning : MorningLines or None
        What was said of it; None when nothing was.
    stale : str
        Why it should be judged again; empty when it still stands.
    taken : str
        The outing of that morning, when one was taken.
    week : tuple of WeekLine
        The coming mornings.
    forecasts : tuple of ForecastLine
        What is kept, how old, from where.
    typed, file : Form
        To type the evening; to read a forecast's file.
    service : str
        Where a fetch would ask; empty when switched off.
    asks_contact : bool
        Whether it wants to know first whom it answers.
    problem : str
        Why nothing can be judged; empty when it can.
    is_new : bool
        Whether nothing was ever judged, so that a newcomer is led on.
    """

    day: str
    day_iso: str
    zone: str
    morning: MorningLines | None
    stale: str
    taken: str
    week: tuple[WeekLine, ...]
    forecasts: tuple[ForecastLine, ...]
    typed: Form
    file: Form
    service: str
    asks_contact: bool
    problem: str
    is_new: bool


def evening_page(
    week: Week,
    day: dt.date,
    morning: Morning | None,
    *,
    outing: Outing | None,
    forms: tuple[Form, Form],
    service: str,
    asks_contact: bool,
    has_spots: bool,
) -> EveningPage:
    """Write the evening out.

    Parameters
    ----------
    week : Week
        The coming mornings and the forecasts.
    day : date
        The morning shown.
    morning : Morning or None
        What was said of it.
    outing : Outing or None
        What was taken for it.
    forms : (Form, Form)
        To type the evening, and to read a file.
    service : str
        Where a fetch would ask.
    asks_contact : bool
        Whether it wants a contact, and none is set.
    has_spots : bool
        Whether the book holds any.
    """
    return EveningPage(
        day=day_words(day),
        day_iso=day.isoformat(),
        zone=_zone(week, morning),
        morning=None if morning is None else _morning_lines(morning),
        stale=next((one.stale for one in week.mornings if one.day == day), ""),
        taken="" if outing is None else ", then ".join(outing.visits) or ", ".join(outing.woods),
        week=_week_lines(week, here=day),
        forecasts=forecast_lines(week.forecasts),
        typed=forms[0],
        file=forms[1],
        service=service,
        asks_contact=asks_contact,
        problem=_problem(week, has_spots=has_spots),
        is_new=morning is None and all(one.morning is None for one in week.mornings),
    )


def _morning_lines(morning: Morning) -> MorningLines:
    worth = _worth_naming(morning)
    return MorningLines(
        made=day_and_clock(morning.made_utc, morning.zone_name),
        answer=sentence(morning.answer),
        start=_start(morning),
        clock_note=sentence(morning.clock_note),
        figure=strips_figure(worth, morning) if worth else None,
        spots=tuple(_spot_lines(one, rank, morning) for rank, one in enumerate(worth)),
        others=tuple(
            (one.spot, link("/spot", name=one.spot), f"{one.wood}: {_why_not(one)}")
            for one in morning.spots
            if one not in worth
        ),
        walk=_walk(morning),
        plan_b=plan_words(morning.plan_b) if morning.go else "",
        plan_c=plan_words(morning.plan_c) if morning.go else "",
        cautions=morning.cautions,
        left_out=tuple(f"{wood}: {why}" for wood, why in morning.left_out),
        sources=_sources(morning),
        takes=tuple(one.spot for one in worth[:MOST_TAKEN] if one.best is not None),
    )


def _worth_naming(morning: Morning) -> tuple[SpotOutlook, ...]:
    """Spots whose wishes may meet, best first, five at most; the first one in any case."""
    fit = [one for one in morning.spots if one.chance_frac >= WORTH_NAMING_FRAC]
    return tuple((fit or list(morning.spots[:1]))[:MOST_STRIPS])


def _zone(week: Week, morning: Morning | None) -> str:
    if morning is None:
        return zone_label(week.made_utc, week.zone_name)
    almanac = morning.almanac
    anchor = almanac.sunrise_utc if almanac.sunrise_utc is not None else almanac.civil_dawn_utc
    return zone_label(morning.made_utc if anchor is None else anchor, morning.zone_name)


def _problem(week: Week, *, has_spots: bool) -> str:
    if not has_spots:
        return "There is no spot in the book yet; with one there is something to judge."
    if all(one.used is None for one in week.forecasts):
        return "No forecast reaches the coming morning: fetch one, or type what you see outside."
    return ""


def _start(morning: Morning) -> str:
    first = morning.first
    if not morning.go or first is None or first.in_place_utc is None:
        return ""
    told = backward_words(first, morning.zone_name)
    road = "" if first.set_out_utc is not None else f" No time by road is noted for {first.wood}."
    return f"{told[0].upper()}{told[1:]}.{road}"


def _spot_lines(one: SpotOutlook, rank: int, morning: Morning) -> SpotLines:
    ranks = ("first", "second", "third", "fourth", "fifth")
    extra = tuple(("for", "Your log", line) for line in record_lines(one))
    return SpotLines(
        name=one.spot,
        wood=one.wood,
        href=link("/spot", name=one.spot, day=morning.day),
        rank=ranks[rank],
        window=window_words(one, zone_name=morning.zone_name),
        chance=f"All musts together for 20 minutes: {chance_in_words(one.chance_frac)}.",
        times=times_words(one, morning.zone_name, morning.almanac.civil_dawn_utc),
        rests_on=sentence(f"It rests on {one.rests_on}"),
        signs=signs_lines(one) + extra,
        wishes=tuple(
            (wish.words, "must" if wish.must else "would like", chance_in_words(wish.chance_frac))
            for wish in one.wishes
        ),
    )


def _why_not(one: SpotOutlook) -> str:
    if one.signs.against_it:
        return sentence(one.signs.against_it[0])
    return sentence(f"all musts together {chance_in_words(one.chance_frac)}")


def _walk(morning: Morning) -> tuple[str, ...]:
    if len(morning.visits) < 2:
        return ()
    return tuple(
        f"{visit.spot}, {window(visit.arrive_utc, visit.leave_utc, morning.zone_name)}, after "
        f"{visit.walk_min:.0f} min on foot"
        for visit in morning.visits
    )


def _sources(morning: Morning) -> tuple[str, ...]:
    told: dict[str, list[str]] = {}
    for wood, note in morning.forecasts:
        told.setdefault(source_words(note), []).append(wood)
    return tuple(f"{', '.join(woods)}: {text}" for text, woods in told.items())


def _week_lines(week: Week, *, here: dt.date) -> tuple[WeekLine, ...]:
    """Write the coming mornings; those that no forecast reaches stand in one line."""
    ends = _last_told(week)
    beyond = [
        one.day for one in week.mornings if one.morning is None and (not ends or one.day > ends)
    ]
    lines = [_week_line(one, here=here) for one in week.mornings if one.day not in beyond]
    if beyond:
        span = short_day(beyond[0])
        if len(beyond) > 1:
            span += f" to {short_day(beyond[-1])}"
        why = f"the forecasts end on {short_day(ends)}" if ends else "no forecast is kept"
        lines.append(
            WeekLine(
                day=span, href="", words="not judged", under=why, strip="",
                is_here=here in beyond, go=False,
            )
        )  # fmt: skip
    return tuple(lines)


def _last_told(week: Week) -> dt.date | None:
    """Last day of which any forecast tells something; None when none is kept."""
    ends = [
        to_local(one.used.last_utc, one.zone_name).date()
        for one in week.forecasts
        if one.used is not None
    ]
    return max(ends, default=None)


def _week_line(one: WeekMorning, *, here: dt.date) -> WeekLine:
    morning = one.morning
    first = morning.first if morning is not None else None
    if morning is None or first is None:
        words, under, strip = "not judged", "a forecast reaches it: judge again", ""
    else:
        words = "go" if morning.go else "stay"
        best = first.best
        spent = (
            f", {window(best.start_utc, best.end_utc, morning.zone_name)}"
            if best is not None
            else ""
        )
        under = f"{first.spot}{spent}: {chance_in_words(first.chance_frac)}"
        strip = week_strip_svg(first, morning)
    return WeekLine(
        day=short_day(one.day),
        href=link("/evening", day=one.day),
        words=words,
        under=f"{under}{'; judge again' if one.stale else ''}",
        strip=strip,
        is_here=one.day == here,
        go=morning is not None and morning.go,
    )
