"""What the sheet's templates show: every time, sentence and figure already written out."""

from dataclasses import dataclass

import numpy as np

from shivelight.basis.chances import chance_in_words
from shivelight.basis.instants import clock, day_words, to_local, zone_label
from shivelight.drawing import faces as face
from shivelight.drawing import figure as drawn
from shivelight.drawing.sheet_data import arrival_data
from shivelight.drawing.sheet_faces import kept_off_words, sheet_faces
from shivelight.drawing.sheet_stand import mark_figure, stand_figure
from shivelight.drawing.strip import morning_strip_svg
from shivelight.drawing.strip_words import (
    TABLE_HEADERS,
    strip_readings,
    strip_rows,
    strip_sentence,
    window_words,
)
from shivelight.drawing.timescale import morning_span
from shivelight.outing.arrive import AIR_TAPS, LIGHT_TAPS, MIST_TAPS
from shivelight.outing.judgement import SpotOutlook
from shivelight.outing.sheet import SheetContext, SheetSpot

PHONE_FIGURE_PX, PAGE_FIGURE_PX = 288.0, 900.0
MOST_COMPARED = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A strip in the sizes a page needs, its readings and its table."""

    phone: str
    page: str
    sentence: str
    readings: tuple[str, ...]
    headers: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotView:
    """One spot as shown."""

    name: str
    wood: str
    window: str
    chance: str
    under: str
    why_not: str
    wishes: tuple[tuple[str, str, str], ...]
    spot: SheetSpot
    signs: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetView:
    """Everything the templates print."""

    title: str
    day: str
    zone: str
    made: str
    theme: str
    answer: str
    times: tuple[tuple[str, str, str, str], ...]
    first: SpotView | None
    figure: Figure | None
    stand: drawn.Figure | None
    mark: drawn.Figure | None
    others: tuple[SpotView, ...]
    rest: tuple[SpotView, ...]
    moon: str
    clock_note: str
    if_not: str
    rests_on: str
    compared: str
    taps: tuple[tuple[str, str, tuple[str, ...]], ...]
    data: str
    pages: tuple[tuple[face.Face, ...], ...]
    kept_off: str
    back: str
    context: SheetContext


def sheet_view(context: SheetContext) -> SheetView:
    """Write out everything on one sheet.

    Parameters
    ----------
    context : SheetContext
        The values.
    """
    noon = np.datetime64(f"{context.day.isoformat()}T12:00", "us")
    day = day_words(context.day)
    zone = zone_label(noon, context.zone_name)
    others = tuple(_spot_view(one, context.zone_name) for one in context.others)
    has_arrival = any(row.choices for row in context.arrival.rows)
    return SheetView(
        title=f"Morning sheet, {day}",
        day=day,
        zone=zone,
        made=_made(context),
        theme=context.theme,
        answer=context.answer,
        times=tuple(
            (clock(one.utc, context.zone_name), one.words, one.kind, _iso(one.utc))
            for one in context.times
        ),
        first=_spot_view(context.first, context.zone_name) if context.first else None,
        figure=_figure(context, context.first) if context.first else None,
        stand=stand_figure(context.first.stand) if context.first else None,
        mark=mark_figure(context.first.mark) if context.first else None,
        compared=_compared_figure(context),
        others=others[: MOST_COMPARED - 1],
        rest=others[MOST_COMPARED - 1 :],
        moon=_moon(context),
        clock_note=sentence(context.clock_note),
        if_not=sentence(context.first.outlook.if_not) if context.first else "",
        rests_on=sentence(f"It rests on {context.first.outlook.rests_on}")
        if context.first
        else "",
        taps=(
            ("mist", "Mist", MIST_TAPS),
            ("air", "Air at the leaf", AIR_TAPS),
            ("light", "Sky", LIGHT_TAPS),
        )
        if has_arrival
        else (),
        data=arrival_data(context),
        pages=face.paged(sheet_faces(context, zone=zone)),
        back=_back(context),
        kept_off=kept_off_words(context.kept_off),
        context=context,
    )


def sentence(words: str) -> str:
    """Open words with a capital and close them with a stop; nothing stays nothing."""
    words = words.strip()
    if not words:
        return ""
    return f"{words[0].upper()}{words[1:]}{'' if words.endswith(('.', '!', '?')) else '.'}"


def _iso(utc: np.datetime64) -> str:
    return f"{utc.astype('datetime64[s]')}Z"


def _made(context: SheetContext) -> str:
    local = to_local(context.made_utc, context.zone_name)
    made = f"Made {local:%A} {local.day} {local:%B} at {local:%H:%M}"
    if not context.forecasts:
        return f"{made}, without a forecast."
    return f"{made}. Forecast: {'; '.join(context.forecasts)}."


def _moon(context: SheetContext) -> str:
    tenths = round(context.almanac.moon_lit_frac * 10.0)
    up = "up" if context.almanac.moon_up_at_dawn else "down"
    lit = {0: "hardly lit", 10: "full or nearly"}.get(tenths, f"{tenths} tenths lit")
    return f"The Moon is {lit} and {up} at dawn."


def _back(context: SheetContext) -> str:
    if context.back_by_utc is None or context.alarm_utc is None:
        return ""
    back = clock(context.back_by_utc, context.zone_name)
    return f"Back by {back}; the alarm is raised at {clock(context.alarm_utc, context.zone_name)}."


def _spot_view(spot: SheetSpot, zone_name: str) -> SpotView:
    outlook = spot.outlook
    under = (
        [f"leave {clock(outlook.set_out_utc, zone_name)}"]
        if outlook.set_out_utc is not None
        else []
    )
    under.append(f"walk {outlook.walk_min:.0f} min")
    return SpotView(
        name=outlook.spot,
        wood=outlook.wood,
        window=window_words(outlook, zone_name=zone_name),
        chance=f"all musts together for 20 minutes: {chance_in_words(outlook.chance_frac)}",
        under=", ".join(under),
        why_not=_why_not(outlook),
        wishes=tuple(
            (one.words, "must" if one.must else "would like", chance_in_words(one.chance_frac))
            for one in outlook.wishes
        ),
        spot=spot,
        signs=signs_lines(outlook),
    )


def _why_not(outlook: SpotOutlook) -> str:
    """One line for a spot that is far down the list."""
    if outlook.signs.against_it:
        return outlook.signs.against_it[0].rstrip(".")
    return f"all musts together {chance_in_words(outlook.chance_frac)}"


def signs_lines(outlook: SpotOutlook) -> tuple[tuple[str, str, str], ...]:
    """Kind, word and line of each sign: for, against, not known, would change it."""
    kinds = (
        ("for", "For", outlook.signs.for_it),
        ("against", "Against", outlook.signs.against_it),
        ("unknown", "Not known", outlook.signs.not_known),
        ("change", "Would change it", outlook.signs.would_change),
    )
    return tuple(
        (kind, word, line.removeprefix(f"{word}: "))
        for kind, word, lines in kinds
        for line in lines
    )


def _figure(context: SheetContext, first: SheetSpot) -> Figure:
    outlook, zone_name, almanac = first.outlook, context.zone_name, context.almanac
    span = morning_span((outlook,), almanac)

    def draw(width_px: float, style: str) -> str:
        return morning_strip_svg(
            (outlook,), zone_name=zone_name, width_px=width_px, style=style, almanac=almanac
        )

    return Figure(
        phone=draw(PHONE_FIGURE_PX, "narrow"),
        page=draw(PAGE_FIGURE_PX, "page"),
        sentence=strip_sentence(outlook, zone_name=zone_name),
        readings=strip_readings(outlook, span, zone_name=zone_name),
        headers=TABLE_HEADERS,
        rows=strip_rows(outlook, span, zone_name=zone_name),
    )


def _compared_figure(context: SheetContext) -> str:
    """One narrow figure of the best spots over one axis; nothing when there is but one."""
    spots = (context.first, *context.others) if context.first else ()
    shown = tuple(one.outlook for one in spots if one.outlook.best is not None)
    if len(shown) < 2:
        return ""
    return morning_strip_svg(
        shown[:MOST_COMPARED],
        zone_name=context.zone_name,
        width_px=PHONE_FIGURE_PX,
        style="narrow",
        key=False,
        almanac=context.almanac,
    )
