"""The morning strip as a figure of a page: wide, narrow, in words, as a table; and in a line."""

from shivelight.basis.chances import chance_in_words
from shivelight.basis.instants import clock
from shivelight.drawing.figure import Figure
from shivelight.drawing.strip import STRIP_MARGIN_PX, STRIP_SCALE_PX, morning_strip_svg
from shivelight.drawing.strip_parts import draw_darkness, draw_lances, draw_mist
from shivelight.drawing.strip_words import (
    TABLE_HEADERS,
    strip_readings,
    strip_rows,
    strip_sentence,
)
from shivelight.drawing.svg import Pen
from shivelight.drawing.timescale import TimeScale, morning_span
from shivelight.outing.judgement import Morning, SpotOutlook

PAGE_PX, PHONE_PX = 1136.0, 358.0
LINE_PX = (240.0, 44.0)


def strips_figure(outlooks: tuple[SpotOutlook, ...], morning: Morning) -> Figure:
    """Draw up to five spots over one axis, with a reading for each quarter hour of the first.

    Parameters
    ----------
    outlooks : tuple of SpotOutlook
        Spots of the morning, best first; at least one.
    morning : Morning
        For the clock and the almanac.
    """
    zone_name, almanac = morning.zone_name, morning.almanac
    span = morning_span(outlooks, almanac)

    def draw(width_px: float, style: str) -> str:
        return morning_strip_svg(
            outlooks, zone_name=zone_name, width_px=width_px, style=style, almanac=almanac
        )

    readings = [strip_readings(one, span, zone_name=zone_name) for one in outlooks]
    rows = tuple(
        (f"{one.spot} {row[0]}", *row[1:])
        for one in outlooks
        for row in strip_rows(one, span, zone_name=zone_name)
    )
    return Figure(
        page=draw(PAGE_PX, "page"),
        phone=draw(PHONE_PX, "narrow"),
        sentence=" ".join(strip_sentence(one, zone_name=zone_name) for one in outlooks[:1]),
        readings=tuple(" ".join(lines) for lines in zip(*readings, strict=False)),
        headers=("spot, from", *TABLE_HEADERS[1:]),
        rows=rows,
        page_left_px=STRIP_MARGIN_PX if len(outlooks) > 1 else 2.0,
        page_right_px=STRIP_SCALE_PX,
    )


def week_strip_svg(outlook: SpotOutlook, morning: Morning) -> str:
    """Draw one morning very small, without letters: mist, light and the bracket.

    Parameters
    ----------
    outlook : SpotOutlook
        The morning's first spot.
    morning : Morning
        For the span and the words.
    """
    pen = Pen("page")
    start, end = morning_span((outlook,), morning.almanac)
    scale = TimeScale(start_utc=start, end_utc=end, left_px=1.0, right_px=LINE_PX[0] - 1.0)
    band = (6.0, LINE_PX[1] - 2.0)
    pen.box((1.0, band[0]), (LINE_PX[0] - 2.0, band[1] - band[0]), token="sheet")
    draw_darkness(pen, scale, band, dawn_utc=morning.almanac.civil_dawn_utc)
    draw_mist(pen, scale, band, outlook=outlook, soft="")
    draw_lances(pen, scale, band, outlook=outlook)
    pen.line((1.0, band[1]), (LINE_PX[0] - 1.0, band[1]), width=1.5)
    if outlook.best is not None:
        left, right = scale.x(outlook.best.start_utc), scale.x(outlook.best.end_utc)
        pen.path([(left, band[1]), (left, 4.0), (right, 4.0), (right, band[1])], width=2.5)
    said = f"{outlook.spot}, wishes meet {chance_in_words(outlook.chance_frac)}"
    span = f"{clock(start, morning.zone_name)} to {clock(end, morning.zone_name)}"
    return pen.figure(LINE_PX, title=f"{morning.day:%A}: {said}", sentence=f"From {span}.")
