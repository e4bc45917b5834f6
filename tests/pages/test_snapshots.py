"""Figures and pages as they were when last looked at. Snapshots, not published values."""

import datetime as dt

import numpy as np
import pytest

from shivelight.drawing.carpet import season_carpet_svg
from shivelight.drawing.leave_word import leave_word_html, leave_word_text
from shivelight.drawing.roll import SunPath, skyline_roll_svg
from shivelight.drawing.sheet import sheet_html, sheet_print_html
from shivelight.drawing.strip import morning_strip_svg
from shivelight.outing.sheet_context import leave_word_card
from tests.drawing import wennick
from tests.drawing.light_figures import carpet
from tests.pages.snapshots import compare


@pytest.mark.parametrize(
    ("style", "width_px"),
    [("paper", 1000.0), ("narrow", 328.0), ("print", 340.0)],
)
def test_morning_strip(style: str, width_px: float) -> None:
    svg = morning_strip_svg(
        (wennick.FIRST, wennick.NOT) if style == "paper" else (wennick.FIRST,),
        zone_name=wennick.ZONE,
        width_px=width_px,
        style=style,
        almanac=wennick.MORNING.almanac,
    )
    compare(f"strip-{style}.svg", svg)


def test_sheet() -> None:
    compare("sheet.html", sheet_html(wennick.context()))


def test_printed_sheet() -> None:
    compare("sheet-print.html", sheet_print_html(wennick.context()))


def test_leave_word() -> None:
    card = leave_word_card(wennick.MORNING, (wennick.WOODS, wennick.SPOTS), word=wennick.WORD)
    compare("leave-word.txt", leave_word_text(card))
    compare("leave-word.html", leave_word_html(card))


def test_skyline_roll() -> None:
    azimuth_deg = np.arange(100.0, 261.0, 4.0)
    path = SunPath(
        label="3 November",
        utc=wennick.at("07:00") + np.arange(azimuth_deg.size) * np.timedelta64(900, "s"),
        azimuth_deg=azimuth_deg,
        altitude_deg=22.0 - ((azimuth_deg - 180.0) / 17.0) ** 2,
    )
    svg = skyline_roll_svg(
        2.0 + 3.0 * np.cos(np.radians(np.arange(0.0, 360.0, 2.0) - 170.0)) ** 2,
        paths=(path,),
        windows=wennick.light("07:38"),
        view_azimuth_deg=119.0,
        angle_of_view_deg=15.2,
        zone_name=wennick.ZONE,
    )
    compare("skyline-roll.svg", svg)


def test_season_carpet() -> None:
    svg = season_carpet_svg(
        carpet(), title="White Post Gap, 2027", zone_name=wennick.ZONE, chosen=dt.date(2027, 11, 3)
    )
    compare("season-carpet.svg", svg)
