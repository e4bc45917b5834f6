"""Typed words become values, or a sentence that says how to write them."""

import datetime as dt
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import (
    BadInputError,
    NotFoundError,
    OutOfRangeError,
    UnreadableFileError,
)
from shivelight.outing.woods import Privacy
from shivelight.workbench import read

TODAY = dt.date(2027, 11, 2)


@given(value=st.floats(-9999, 9999).map(lambda one: round(one, 3)))
def test_a_number_is_read_with_point_or_comma(value: float) -> None:
    text = f"{value:.3f}"
    assert read.number(text) == float(text)
    assert read.number(text.replace(".", ",")) == float(text)


@pytest.mark.parametrize(("text", "value"), [("6.2 m", 6.2), ("6,2m", 6.2), ("−3", -3.0)])
def test_a_number_may_carry_its_own_unit_and_a_true_minus(text: str, value: float) -> None:
    assert read.number(text, unit="m") == value


@pytest.mark.parametrize("text", ["", "six", "1.2.3", "1e400", "nan", "6.2 ft"])
def test_what_is_no_number_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(BadInputError, match=r"write it like 6\.2 or 6,2, in m"):
        read.number(text, what="height", unit="m")


def test_a_whole_number_has_no_fraction() -> None:
    assert read.whole("6000") == 6000
    with pytest.raises(BadInputError, match="no whole number"):
        read.whole("6000.5")


@pytest.mark.parametrize(
    ("text", "pair"),
    [("24-105", (24.0, 105.0)), ("36 x 24", (36.0, 24.0)), ("50", (50.0, 50.0)),
     ("70 to 200 mm", (70.0, 200.0)), ("23,5x15,6", (23.5, 15.6))],
)  # fmt: skip
def test_a_span_is_read_in_each_way_it_is_written(text: str, pair: tuple[float, float]) -> None:
    assert read.span(text, what="focal length", unit="mm") == pair


def test_a_span_of_words_is_refused() -> None:
    with pytest.raises(BadInputError, match="write it like 24-105, in mm"):
        read.span("wide", what="focal length", unit="mm")


@pytest.mark.parametrize(
    ("text", "mps"),
    # Exact by definition: the mile of 1609.344 m, the nautical mile of 1852 m.
    [("3 mph", 3 * 1609.344 / 3600), ("1.3 m/s", 1.3), ("5 km/h", 5 / 3.6),
     ("2 kn", 2 * 1852 / 3600), ("2,5m/s", 2.5)],
)  # fmt: skip
def test_a_wind_is_read_in_its_unit(text: str, mps: float) -> None:
    assert read.speed_mps(text) == pytest.approx(mps, abs=1e-12)


@pytest.mark.parametrize("text", ["3", "3 furlongs", "calm"])
def test_a_wind_without_a_known_unit_is_refused(text: str) -> None:
    with pytest.raises(BadInputError, match="needs its unit: write 3 mph"):
        read.speed_mps(text)


def test_temperatures_are_celsius_unless_they_say_fahrenheit() -> None:
    assert read.degc("6,2") == 6.2
    assert read.degc("43.16 F") == pytest.approx(6.2, abs=1e-9)
    assert read.degc("-1.5 °C") == -1.5
    with pytest.raises(BadInputError, match="dew point 'warm' is not read"):
        read.degc("warm", what="dew point")


@pytest.mark.parametrize(
    ("text", "frac"),
    [("7/8", 0.875), ("0/8", 0.0), ("0.6", 0.6), ("clear", 0.0), ("Overcast", 1.0)],
)
def test_cloud_is_read_as_eighths_share_or_word(text: str, frac: float) -> None:
    assert read.cloud_frac(text) == frac


@pytest.mark.parametrize("text", ["9/8", "7", "87", "lots"])
def test_cloud_outside_eighths_is_refused(text: str) -> None:
    with pytest.raises(BadInputError, match=r"(?i)cloud"):
        read.cloud_frac(text)


def test_humidity_is_read_in_hundredths() -> None:
    assert read.humidity_frac("88") == 0.88
    assert read.humidity_frac("88 %") == 0.88
    with pytest.raises(OutOfRangeError, match=r"humidity is 0\.88 %; it must be 1 to 100 %"):
        read.humidity_frac("0.88")


def test_words_of_a_choice_ignore_capitals_and_others_are_named() -> None:
    assert read.choice("Rising", ("falling", "rising"), what="trend") == "rising"
    with pytest.raises(BadInputError, match="trend 'up' is not one of: falling, rising"):
        read.choice("up", ("falling", "rising"), what="trend")
    assert read.member("NEVER", Privacy, what="class") is Privacy.NEVER


def test_days_are_read_from_words_and_iso() -> None:
    assert read.day("tomorrow", TODAY) == dt.date(2027, 11, 3)
    assert read.day("Today", TODAY) == TODAY
    assert read.day("yesterday", TODAY) == dt.date(2027, 11, 1)
    assert read.day("2028-02-29", TODAY) == dt.date(2028, 2, 29)


@pytest.mark.parametrize("text", ["2027-02-29", "3 Nov", "03/11/2027", ""])
def test_a_day_that_does_not_exist_is_refused(text: str) -> None:
    with pytest.raises(BadInputError, match="write it like 2027-11-03"):
        read.day(text, TODAY)


def test_clock_times_are_read_on_24_hours() -> None:
    assert read.clock("6:45") == dt.time(6, 45)
    assert read.clock("21.40") == dt.time(21, 40)
    for text in ("24:00", "9 pm", "06:60", "0645"):
        with pytest.raises(BadInputError, match="write it like 06:45"):
            read.clock(text)


def test_a_wall_time_needs_its_clock() -> None:
    assert read.wall_time("2027-11-02 21:40") == dt.datetime(2027, 11, 2, 21, 40)  # noqa: DTZ001
    with pytest.raises(BadInputError, match="no clock in it"):
        read.wall_time("2027-11-02")
    with pytest.raises(BadInputError, match="write it like '2027-11-02 21:40'"):
        read.wall_time("this evening")


def test_an_instant_is_read_on_the_clock_of_its_zone() -> None:
    summer = read.instant("2027-07-01 05:00", "Europe/London")
    assert summer == np.datetime64("2027-07-01T04:00:00")
    assert read.instant("2027-07-01 05:00+02:00", None) == np.datetime64("2027-07-01T03:00:00")


def test_the_hour_that_is_skipped_and_the_one_shown_twice_are_refused() -> None:
    # Clocks in Great Britain: forward on 28 March 2027 at 01:00, back on 31 October at 02:00
    # (the rule of the Summer Time Order 2002: last Sundays of March and October).
    with pytest.raises(BadInputError, match="never shows 01:30"):
        read.instant("2027-03-28 01:30", "Europe/London")
    with pytest.raises(BadInputError, match="shows 01:30 on 31 October 2027 twice"):
        read.on_day(dt.date(2027, 10, 31), dt.time(1, 30), "Europe/London")
    twice = read.instant("2027-10-31 01:30+01:00", "Europe/London")
    assert twice == np.datetime64("2027-10-31T00:30:00")


def test_a_file_of_heights_becomes_lines_to_type(tmp_path: Path) -> None:
    file = tmp_path / "heights.csv"
    file.write_text(
        "bearing, height\n# from the gate\n95, 12.5\n120;9\n\n150: 1 fist 2 fingers  # farm\n",
        encoding="utf-8",
    )
    assert read.sight_lines(file) == ("95: 12.5", "120: 9", "150: 1 fist 2 fingers")


@pytest.mark.parametrize(
    ("text", "told"),
    [("95 12\nnorth 4\n", "Line 2 of heights.csv is 'north 4'"), ("\n#\n", "holds no bearing"),
     ("95\n", "Line 1 of heights.csv is '95'")],
)  # fmt: skip
def test_a_file_of_heights_names_the_line_that_is_wrong(
    tmp_path: Path, text: str, told: str
) -> None:
    file = tmp_path / "heights.csv"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(UnreadableFileError, match=told):
        read.sight_lines(file)


def test_a_file_of_heights_that_is_no_text_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "heights.csv"
    file.write_bytes(b"\xff\xfe\x00\xd8")
    with pytest.raises(UnreadableFileError, match="cannot be read as text"):
        read.sight_lines(file)
    with pytest.raises(UnreadableFileError, match=r"none\.csv cannot be read: "):
        read.sight_lines(tmp_path / "none.csv")


GPX = """<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="by hand" xmlns="http://www.topografix.com/GPX/1/1">
<wpt lat="53.0004" lon="-5.0990"><name>White Post</name></wpt>
<wpt lat="53.0010" lon="-5.1010"><name>Heath Edge</name></wpt>
</gpx>
"""


def test_a_place_is_read_as_typed_or_out_of_a_file(tmp_path: Path) -> None:
    typed = read.position("53.0004 N 5.0990 W")
    file = tmp_path / "walk.gpx"
    file.write_text(GPX, encoding="utf-8")
    saved = read.position(f"{file}:white post")
    assert (saved.latitude_deg, saved.longitude_deg) == (typed.latitude_deg, typed.longitude_deg)
    assert read.corner("53.0004,-5.0990") == (53.0004, -5.099)
    with pytest.raises(BadInputError, match="2 points that fit; name one of White Post, Heath"):
        read.position(str(file))
    with pytest.raises(NotFoundError, match="no point named 'Oak'; it has White Post, Heath Edge"):
        read.position(f"{file}:Oak")
