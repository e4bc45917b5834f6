"""A spot's light as its page says it: one day's windows, and the year's spans."""

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shivelight.basis.instants import day_words, zone_label
from shivelight.drawing.figure import Figure
from shivelight.drawing.words import clock_or, date_words, minutes, window
from shivelight.light.crowned import crowns_words, seen_span
from shivelight.light.reach import LightWindow
from shivelight.outing.season_notes import SeasonNote
from shivelight.web.show import link
from shivelight.workbench.figures import FIRST_YEAR, LAST_YEAR, SpotYear
from shivelight.workbench.results import DarkSeason, LightDay

ORIGINS = {"both": "typed, and worked out from a raster", "level": "taken as level"}
WINDOWS = ("where", "direct light", "lasts", "light from", "sun")


@dataclass(frozen=True, slots=True, kw_only=True)
class LightPart:
    """Light of one day.

    Attributes
    ----------
    day, day_words : str
        As typed and in words.
    answer : str
        When direct light comes.
    margin : tuple of str
        Where the skyline comes from, and the clock.
    roll : Figure
        The skyline with the sun.
    headers, rows : tuple
        Windows at the subject and at the stand point.
    notes : tuple of str
        What crowns do, and dawn.
    cautions : tuple of str
        What to take care of.
    earlier, later : str
        Addresses of the days beside it.
    """

    day: str
    day_words: str
    answer: str
    margin: tuple[str, ...]
    roll: Figure
    headers: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    earlier: str
    later: str


@dataclass(frozen=True, slots=True, kw_only=True)
class YearPart:
    """A year of light.

    Attributes
    ----------
    year : int
        Which.
    answer : str
        When its wishes for the sun, the season and the leaf can be met.
    dark : str
        When no direct light comes.
    carpet : Figure
        The year.
    notes : tuple of str
        What is not counted.
    earlier, later : str
        Addresses of the years beside it.
    """

    year: int
    answer: str
    dark: str
    carpet: Figure
    notes: tuple[str, ...]
    earlier: str
    later: str


def light_part(one: LightDay, roll: Figure, *, day: dt.date, year: int) -> LightPart:
    """Write the light of a day."""
    return LightPart(
        day=day.isoformat(),
        day_words=day_words(day),
        answer=_answer(one),
        margin=tuple(_margin(one)),
        roll=roll,
        headers=WINDOWS,
        rows=tuple(_rows(one)),
        notes=tuple(_notes(one)),
        cautions=one.cautions,
        earlier=_day_link(one.spot, day - dt.timedelta(days=1), year),
        later=_day_link(one.spot, day + dt.timedelta(days=1), year),
    )


def year_part(
    one: SpotYear, spot: str, *, day: dt.date, year: int, noted: Sequence[SeasonNote] = ()
) -> YearPart:
    """Write the year, with what was noted of the wood's season in it."""
    notes = ["Mist, air, ground and sky are left to the evening before."]
    seen = [_noted(note) for note in noted if note.day.year == year]
    notes += [f"Your notes of {year}: {'; '.join(seen)}."] if seen else []
    notes += [f"{one.dark.note[:1].upper()}{one.dark.note[1:]}."] if one.dark.note else []
    return YearPart(
        year=year,
        answer=_year_answer(one, year),
        dark=_dark(one.dark),
        carpet=one.figure,
        notes=tuple(notes),
        earlier=_year_link(spot, day, year - 1),
        later=_year_link(spot, day, year + 1),
    )


def _noted(note: SeasonNote) -> str:
    leaf = f"leaf {note.stage}" if note.stage else ""
    words = ", ".join(part for part in (leaf, note.words) if part)
    return f"{note.day.day} {note.day:%B} {words}"


def _day_link(spot: str, day: dt.date, year: int) -> str:
    other = year if year != day.year else ""
    return link("/spot", name=spot, day=day.isoformat(), year=other) + "#h-sun"


def _year_link(spot: str, day: dt.date, year: int) -> str:
    if not FIRST_YEAR <= year <= LAST_YEAR:
        return ""
    return link("/spot", name=spot, day=day.isoformat(), year=year) + "#h-year"


def _answer(one: LightDay) -> str:
    windows = one.at_subject or one.at_stand_point
    seen = [span for span in map(seen_span, windows) if span is not None]
    if seen:
        more = ", and again later" if len(seen) > 1 else ""
        return f"Direct light {window(*seen[0], one.zone_name)}{more}, clouds apart"
    if windows:
        return f"The sun passes the skyline, but {crowns_words(windows[0], one.zone_name)}"
    return "No direct light reaches it"


def _margin(one: LightDay) -> Iterator[str]:
    yield f"skyline: {ORIGINS.get(one.skyline.origin, one.skyline.origin)}"
    if one.skyline.highest_deg > 0.0:
        toward = f"{one.skyline.highest_toward_deg:.0f}°"
        yield f"highest {one.skyline.highest_deg:.1f}° toward {toward}"
    anchor = one.sunrise_utc if one.sunrise_utc is not None else one.civil_dawn_utc
    yield "clock: " + (zone_label(anchor, one.zone_name) if anchor is not None else one.zone_name)
    yield "beads are quarter hours, full beads hours"


def _rows(one: LightDay) -> Iterator[tuple[str, ...]]:
    if one.at_subject == one.at_stand_point:
        yield from _windows("subject and stand point", one.at_subject, one.zone_name)
        return
    yield from _windows("subject", one.at_subject, one.zone_name)
    yield from _windows("stand point", one.at_stand_point, one.zone_name)


def _windows(
    where: str, windows: tuple[LightWindow, ...], zone_name: str
) -> Iterator[tuple[str, ...]]:
    if not windows:
        yield where, "none", "", "", ""
    for part in windows:
        yield (
            where,
            window(part.start_utc, part.end_utc, zone_name),
            minutes(part.length_min),
            f"the {part.facing}" if part.facing else "",
            f"{part.start_azimuth_deg:.0f}° to {part.end_azimuth_deg:.0f}° true"
            + (", in the frame" if part.sun_in_frame else ""),
        )


def _notes(one: LightDay) -> Iterator[str]:
    yield (
        f"Civil dawn {clock_or(one.civil_dawn_utc, one.zone_name)}, sunrise over a flat horizon "
        f"{clock_or(one.sunrise_utc, one.zone_name)}."
    )
    for part in one.at_subject:
        if words := crowns_words(part, one.zone_name):
            yield f"{window(part.start_utc, part.end_utc, one.zone_name)}: {words}."
    if one.skyline.note:
        yield f"Skyline: {one.skyline.note}."


def _year_answer(one: SpotYear, year: int) -> str:
    if not one.asks_sun and not one.asks_days:
        return "Any time of the year: its wishes ask nothing of the sun, the season or the leaf"
    if not one.spans:
        if one.asks_sun:
            return f"On no day of {year} for 20 minutes together, as the wishes stand"
        return f"On no day of {year}, as the wishes stand"
    last = dt.date(year, 12, 31)
    if one.spans == ((dt.date(year, 1, 1), last),):
        spans = "On every day"
    else:
        spans = ", and ".join(_span(first, end) for first, end in one.spans)
    if not one.asks_sun:
        return f"{spans}, by its wishes for season and leaf"
    return f"{spans}; at most {minutes(one.longest_min)} together"


def _span(first: dt.date, last: dt.date) -> str:
    if first == last:
        return f"{first.day} {first:%B}"
    return f"{first.day} {first:%B} to {last.day} {last:%B}"


def _dark(one: DarkSeason) -> str:
    if one.always:
        return f"No direct sun at all in {one.year}."
    if not one.spans:
        return f"Direct sun can reach it on every day of {one.year}."
    spans = " and ".join(
        date_words(first) if first == last else f"{date_words(first)} to {date_words(last)}"
        for first, last in one.spans
    )
    return f"No direct sun {spans}."
