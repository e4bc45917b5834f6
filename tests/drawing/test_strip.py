"""The morning strip: columns, bracket, light, leaf, and the same in words."""

import dataclasses
import re
from xml.etree import ElementTree as ET

import numpy as np
import pytest

from shivelight.basis.errors import BadInputError
from shivelight.drawing.strip import MOST_STRIPS, morning_strip_svg
from shivelight.drawing.strip_words import (
    TABLE_HEADERS,
    strip_readings,
    strip_rows,
    strip_sentence,
    window_words,
)
from shivelight.drawing.timescale import TimeScale, morning_span
from shivelight.outing.judgement import SpotOutlook
from tests.drawing import wennick

ALMANAC = wennick.MORNING.almanac
SPACE = "{http://www.w3.org/2000/svg}"


def drawn(*outlooks: SpotOutlook, style: str = "paper", width_px: float = 900.0) -> ET.Element:
    svg = morning_strip_svg(
        outlooks, zone_name=wennick.ZONE, width_px=width_px, style=style, almanac=ALMANAC
    )
    return ET.fromstring(svg)


def words_of(root: ET.Element) -> list[str]:
    return [element.text or "" for element in root.iter(f"{SPACE}text")]


def test_label_axis_and_count_are_there() -> None:
    words = words_of(drawn(wennick.FIRST))
    assert "22 min of light through mist, 07:38–08:00" in words
    assert "4 of 9 mornings" in words
    assert "civil dawn 06:45" in words
    assert "sunrise on a flat horizon 07:21" in words
    assert {"07:00", "08:00", "09:00", "10 in 10", "5 in 10"} <= set(words)


def test_brief_label_when_narrow() -> None:
    words = words_of(drawn(wennick.FIRST, style="narrow", width_px=328.0))
    assert "22 min, 07:38–08:00" in words
    assert "4 of 9" in words
    assert "flat sunrise 07:21" in words


def test_soft_light_is_called_quiet_mist() -> None:
    label = window_words(wennick.SECOND, zone_name=wennick.ZONE)
    assert label == "35 min of quiet mist, 07:10–07:45"


def test_no_window_is_said_in_words() -> None:
    assert "all you want does not come together" in words_of(drawn(wennick.NOT))


def test_without_a_record_the_chance_is_in_words() -> None:
    assert "about 4 in 10" in words_of(drawn(wennick.NOT))


def test_stacked_strips_name_their_rank_and_at_most_five_are_drawn() -> None:
    many = tuple(
        dataclasses.replace(wennick.FIRST, spot=f"Spot {number}")
        for number in range(MOST_STRIPS + 2)
    )
    words = words_of(drawn(*many))
    assert [word for word in words if word.startswith("Spot ")] == [f"Spot {n}" for n in range(5)]
    assert "fifth" in words


def test_a_higher_chance_makes_taller_columns() -> None:
    def highest(outlook: SpotOutlook) -> float:
        tops = [
            float(element.get("y", "nan"))
            for element in drawn(outlook).iter(f"{SPACE}rect")
            if (element.get("fill") or "").startswith("url(")
        ]
        return min(tops)

    taller = dataclasses.replace(wennick.FIRST, mist=wennick.mist(peak=0.6, gone="08:00"))
    assert highest(taller) < highest(wennick.FIRST)


def test_missing_mist_is_a_broken_outline_not_nought() -> None:
    fog = wennick.FIRST.mist.fog_frac.copy()
    fog[5] = np.nan
    mist = dataclasses.replace(wennick.FIRST.mist, fog_frac=fog)
    root = drawn(dataclasses.replace(wennick.FIRST, mist=mist))
    dashed = [p for p in root.iter(f"{SPACE}path") if p.get("stroke-dasharray") == "3 3"]
    assert len(dashed) == 1


def test_leaf_hangs_leans_or_is_a_dot() -> None:
    root = drawn(wennick.FIRST)
    turns = [g.get("transform", "") for g in root.iter(f"{SPACE}g")]
    assert any("rotate(-26)" in turn for turn in turns)
    assert any("rotate(-58)" in turn for turn in turns)
    assert any("rotate" not in turn for turn in turns)
    unknown = dataclasses.replace(wennick.FIRST, leaf_air=("not known",) * 16)
    assert len(list(drawn(unknown).iter(f"{SPACE}circle"))) > 5


def test_no_light_draws_no_lance() -> None:
    copper = wennick.FIRST
    dark = dataclasses.replace(copper, light=(), clears_utc=None)
    light = 'fill="#A8481A"'
    options = {"zone_name": wennick.ZONE, "width_px": 900.0, "key": False}
    assert light in morning_strip_svg((copper,), **options)  # type: ignore[arg-type]
    assert light not in morning_strip_svg((dark,), **options)  # type: ignore[arg-type]


def test_print_uses_no_colour_and_no_soft_edge() -> None:
    svg = morning_strip_svg(
        (wennick.FIRST,), zone_name=wennick.ZONE, width_px=340.0, style="print", almanac=ALMANAC
    )
    for red, green, blue in re.findall(r"#([0-9A-F]{2})([0-9A-F]{2})([0-9A-F]{2})", svg):
        assert red == green == blue
    assert "url(#" not in svg


def test_nothing_is_drawn_outside_the_figure() -> None:
    for style, width_px in (("paper", 900.0), ("narrow", 328.0), ("print", 340.0)):
        root = drawn(wennick.FIRST, wennick.SECOND, style=style, width_px=width_px)
        for element in root.iter(f"{SPACE}path"):
            if element.get("transform") or "C" in element.get("d", ""):
                continue
            xs = [float(x) for x in re.findall(r"[ML](-?[\d.]+) ", element.get("d", ""))]
            assert all(-0.1 <= x <= width_px + 0.1 for x in xs)


def test_sentence_says_mist_sun_air_and_window() -> None:
    assert strip_sentence(wennick.FIRST, zone_name=wennick.ZONE) == (
        "White Post Gap, Pinnet Heath: mist about 4 in 10 at 06:30, half that by 08:15 "
        "(your record: 4 of 9 mornings); the sun passes its skyline at 07:38; leaf still from "
        "06:00 to 08:15; 22 min of light through mist, 07:38–08:00."
    )


def test_table_and_readings_hold_every_quarter_hour() -> None:
    span = morning_span((wennick.FIRST,), ALMANAC)
    rows = strip_rows(wennick.FIRST, span, zone_name=wennick.ZONE)
    readings = strip_readings(wennick.FIRST, span, zone_name=wennick.ZONE)
    assert all(len(row) == len(TABLE_HEADERS) for row in rows)
    assert rows[6] == ("07:45", "about 4 in 10", "back", "still", "about 4 in 10")
    assert readings[6] == (
        "07:45–08:00: mist about 4 in 10, direct sun, back light, leaf still. "
        "All you want: about 4 in 10."
    )
    assert len(readings) == len(rows) == 13


def test_span_starts_half_an_hour_before_civil_dawn() -> None:
    assert morning_span((wennick.FIRST,), ALMANAC) == (wennick.at("06:15"), wennick.at("09:30"))
    assert morning_span((wennick.FIRST,), None)[0] == wennick.at("06:00")


def test_time_scale_keeps_between_its_ends() -> None:
    scale = TimeScale(
        start_utc=wennick.at("06:00"), end_utc=wennick.at("10:00"), left_px=10.0, right_px=410.0
    )
    assert scale.x(wennick.at("08:00")) == pytest.approx(210.0)
    assert scale.x(wennick.at("05:00")) == 10.0
    assert scale.x(wennick.at("11:00")) == 410.0
    assert not scale.holds(None)


def test_axis_follows_the_clock_through_the_autumn_change() -> None:
    shift = np.timedelta64(3, "D") + np.timedelta64(6, "h")
    late = dataclasses.replace(
        wennick.FIRST,
        quarter_utc=wennick.QUARTERS - shift,
        mist=dataclasses.replace(wennick.FIRST.mist, quarter_utc=wennick.QUARTERS - shift),
        best=None,
        clears_utc=None,
        light=(),
    )
    svg = morning_strip_svg((late,), zone_name=wennick.ZONE, width_px=900.0)
    # From 00:00 UTC on 31 October 2027 the clock shows 01:00 twice, an hour apart.
    assert svg.count(">01:00<") == 2
    assert ">02:00<" in svg


def test_nothing_to_draw_and_unknown_styles_are_refused() -> None:
    with pytest.raises(BadInputError, match="no spot to draw"):
        morning_strip_svg((), zone_name=wennick.ZONE, width_px=300.0)
    with pytest.raises(BadInputError, match="not 'neon'"):
        morning_strip_svg((wennick.FIRST,), zone_name=wennick.ZONE, width_px=300.0, style="neon")
