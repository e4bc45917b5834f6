"""What crowns do to a window, in words."""

from dataclasses import replace

import numpy as np
import pytest

from shivelight.light.crowned import SeenLight, crowns_words, seen_light, seen_span
from shivelight.light.reach import LightWindow


def at(wall: str) -> np.datetime64:
    return np.datetime64(f"2027-11-03T{wall}", "us")


OPEN = LightWindow(
    start_utc=at("07:38"), end_utc=at("12:00"), start_azimuth_deg=118.0, end_azimuth_deg=180.0,
    start_altitude_deg=2.0, end_altitude_deg=21.0,
)  # fmt: skip
LATE = replace(
    OPEN, beam_frac=0.26, beam_most_frac=1.0, beam_start_utc=at("09:10"), beam_end_utc=at("12:00")
)


def test_in_the_open_the_whole_window_is_seen_and_nothing_is_said() -> None:
    assert seen_span(OPEN) == (at("07:38"), at("12:00"))
    assert crowns_words(OPEN, "UTC") == ""


@pytest.mark.parametrize(
    ("window", "words"),
    [
        (
            LATE,
            "crowns leave about a quarter of the sun (2 stops down) on the mean of the window, "
            "less than a twentieth before 09:10",
        ),
        (
            replace(LATE, beam_start_utc=at("07:39")),
            "crowns leave about a quarter of the sun (2 stops down)",
        ),
        (
            replace(LATE, beam_frac=0.95),
            "crowns leave less than a twentieth before 09:10",
        ),
        (
            replace(LATE, beam_frac=0.95, beam_end_utc=at("11:00")),
            "crowns leave less than a twentieth before 09:10, less than a twentieth after 11:00",
        ),
        (
            replace(OPEN, beam_frac=0.001, beam_most_frac=0.02),
            "crowns leave less than a twentieth of the sun",
        ),
    ],
)
def test_what_crowns_do_is_said(window: LightWindow, words: str) -> None:
    assert crowns_words(window, "UTC") == words


def test_a_window_that_crowns_close_altogether_is_not_seen() -> None:
    assert seen_span(replace(OPEN, beam_frac=0.001, beam_most_frac=0.02)) is None
    assert seen_span(LATE) == (at("09:10"), at("12:00"))


def test_seen_light_leaves_out_what_crowns_hide() -> None:
    hidden = replace(OPEN, beam_frac=0.001, beam_most_frac=0.02)
    assert seen_light([OPEN, LATE, hidden]) == (
        SeenLight(start_utc=at("07:38"), end_utc=at("12:00"), facing="", starts_at_skyline=True),
        SeenLight(start_utc=at("09:10"), end_utc=at("12:00"), facing="", starts_at_skyline=False),
    )
