"""Light on a spot in words."""

from shivelight.basis.instants import day_words, zone_label
from shivelight.cli.say.words import blocks, item, lines, para
from shivelight.drawing.tables import table
from shivelight.drawing.words import clock_or, date_words, is_time, minutes, window
from shivelight.light.crowned import crowns_words, seen_span
from shivelight.light.reach import LightWindow
from shivelight.light.year import Carpet
from shivelight.workbench.results import DarkSeason, LightDay


def light_day(one: LightDay, width: int) -> str:
    """Say when direct light reaches the subject and the stand point."""
    windows = one.at_subject or one.at_stand_point
    when = f"{one.spot}, {one.wood}, {day_words(one.day)}"
    seen = [span for span in map(seen_span, windows) if span is not None]
    if seen:
        answer = f"{when}: direct light {window(*seen[0], one.zone_name)}"
        answer += ", and again later." if len(seen) > 1 else ", clouds apart."
    elif windows:
        answer = f"{when}: the sun passes the skyline, but {crowns_words(windows[0], '')}."
    else:
        answer = f"{when}: no direct light reaches this spot."
    label = ""
    anchor = one.sunrise_utc if one.sunrise_utc is not None else one.civil_dawn_utc
    if anchor is not None:
        label = zone_label(anchor, one.zone_name)
    return blocks(
        para(answer, width),
        lines(
            item("clock", [f"{one.zone_name}" + (f" ({label})" if label else "")], width),
            item("civil dawn", [clock_or(one.civil_dawn_utc, one.zone_name)], width),
            item("flat sunrise", [clock_or(one.sunrise_utc, one.zone_name)], width),
            item(
                "skyline", [f"{one.skyline.origin}; highest {one.skyline.highest_deg:.1f}°"], width
            ),
        ),
        *_both(one, width),
        lines("Take care", item("", one.cautions, width, gutter=2)) if one.cautions else "",
    )


def _both(one: LightDay, width: int) -> list[str]:
    """Windows at subject and stand point; said once where they are the same."""
    if one.at_subject == one.at_stand_point:
        return [_windows("at this spot", one.at_stand_point, one, width)]
    return [
        _windows("at the subject", one.at_subject, one, width),
        _windows("at the stand point", one.at_stand_point, one, width),
    ]


def _windows(where: str, windows: tuple[LightWindow, ...], one: LightDay, width: int) -> str:
    if not windows:
        return f"No direct light {where}."
    rows = [
        (
            window(part.start_utc, part.end_utc, one.zone_name),
            minutes(part.length_min),
            (part.facing or "no view") + (", sun in the frame" if part.sun_in_frame else ""),
        )
        for part in windows
    ]
    dimmed = [
        f"{window(part.start_utc, part.end_utc, one.zone_name)}: {words}."
        for part in windows
        if (words := crowns_words(part, one.zone_name))
    ]
    return lines(
        table(rows, (where, "lasts", "light from"), width=width),
        item("crowns", dimmed, width) if dimmed else "",
    )


def dark(one: DarkSeason, width: int) -> str:
    """Say the dark season as dates."""
    if one.always:
        answer = f"{one.spot}: no direct sun at all in {one.year}."
    elif not one.spans:
        answer = f"{one.spot}: direct sun can reach it on every day of {one.year}."
    else:
        spans = " and ".join(
            f"{date_words(start)} to {date_words(end)}" for start, end in one.spans
        )
        answer = f"{one.spot}: no direct sun {spans}."
    return lines(para(answer, width), para(one.note, width) if one.note else "")


def year_of_light(one: Carpet, width: int, *, name: str, zone_name: str) -> str:
    """Say the year of a spot: first and last direct light on two days of each month."""
    rows = []
    for place, day in enumerate(one.days):
        date = day.astype("datetime64[D]").astype(object)
        if date.day not in {1, 15}:
            continue
        first, last = one.first_sun_utc[place], one.last_sun_utc[place]
        lit = is_time(first) and is_time(last)
        rows.append(
            (
                f"{date.day} {date:%b}",
                clock_or(first, zone_name) if lit else "no direct sun",
                clock_or(last, zone_name) if lit else "",
                zone_label(first, zone_name) if lit else "",
            )
        )
    notes = (
        "Where the skyline is not known it is taken as level." if one.skyline_assumed else "",
        "Sun of which crowns leave less than a twentieth is not counted."
        if one.beam_frac is not None
        else "",
    )
    return blocks(
        para(f"{name}: first and last direct light through the year, clouds apart.", width),
        table(rows, ("day", "first light", "last light", "clock"), width=width),
        " ".join(filter(None, notes)),
    )
