"""Crowns among the reasons: they count as the sun's lateness, for or against by the wish."""

from dataclasses import replace

import numpy as np
import pytest

from shivelight.light.reach import LightWindow
from shivelight.outing.judgement import ForecastNote, MistOutlook, WishOutlook
from shivelight.outing.record import record_of
from shivelight.outing.signs import Reasons, signs_of
from shivelight.outing.wishes import parse_wish

LIFTS = np.datetime64("2027-11-03T08:30", "us")


def at(wall: str) -> np.datetime64:
    return np.datetime64(f"2027-11-03T{wall}", "us")


WINDOW = LightWindow(
    start_utc=at("07:38"), end_utc=at("12:00"), start_azimuth_deg=118.0, end_azimuth_deg=180.0,
    start_altitude_deg=2.0, end_altitude_deg=21.0,
)  # fmt: skip
LATE = replace(WINDOW, beam_frac=0.26, beam_start_utc=at("09:10"), beam_end_utc=at("12:00"))
HIDDEN = replace(WINDOW, beam_frac=0.001, beam_most_frac=0.01)


def reasons(window: LightWindow, *wishes: str) -> Reasons:
    quarters = at("06:30") + np.arange(8) * np.timedelta64(15, "m")
    nothing = np.zeros(8)
    asked = tuple(parse_wish(one, must=True) for one in wishes)
    return Reasons(
        zone_name="UTC",
        wishes=asked,
        outlooks=tuple(WishOutlook(words=one.words, must=True, chance_frac=0.5) for one in asked),
        light=(window,),
        clears_utc=window.start_utc,
        skyline_deg=2.0,
        mist=MistOutlook(
            quarter_utc=quarters, mist_frac=nothing, fog_frac=nothing, range_low_m=nothing,
            range_mid_m=nothing, range_high_m=nothing, morning_mist_frac=0.3, forecast_frac=0.3,
            base_frac=0.1, lifting=(LIFTS, LIFTS, LIFTS), hill_fog_frac=0.0, moved_by=(),
            missing=(), cost="",
        ),
        record=record_of([], forecast_frac=0.3),
        forecast=ForecastNote(
            source="typed", issued_utc=None, age_h=0.0, members=50, distance_km=None, missing=()
        ),
        what_if=(),
    )  # fmt: skip


def test_the_sun_that_comes_past_the_crowns_after_the_mist_speaks_against() -> None:
    signs = signs_of(reasons(LATE, "direct light", "mist 60 to 1000 m"))
    late = "the sun comes past the crowns at 09:10, after the middle time"
    assert any(one.startswith(late) for one in signs.against_it)
    assert any("crowns leave about a quarter of the sun" in one for one in signs.against_it)


def test_in_the_open_the_same_sun_comes_in_time() -> None:
    signs = signs_of(reasons(WINDOW, "direct light", "mist 60 to 1000 m"))
    early = "the sun passes its 2° skyline at 07:38, before the middle time"
    assert any(one.startswith(early) for one in signs.for_it)
    assert not any("crowns" in one for one in (*signs.for_it, *signs.against_it))


def test_crowns_that_hide_the_sun_speak_against_direct_and_for_soft_light() -> None:
    words = "crowns leave less than a twentieth of the sun"
    direct = signs_of(reasons(HIDDEN, "direct light"))
    soft = signs_of(reasons(HIDDEN, "soft light"))
    assert (words in direct.against_it, words in direct.for_it) == (True, False)
    assert (words in soft.against_it, words in soft.for_it) == (False, True)
    assert not any("passes" in one for one in (*direct.for_it, *soft.for_it))


@pytest.mark.parametrize("window", [LATE, HIDDEN])
def test_where_no_light_is_wished_for_crowns_are_not_named(window: LightWindow) -> None:
    signs = signs_of(reasons(window, "still air"))
    assert not any("crowns" in one for one in (*signs.for_it, *signs.against_it))
