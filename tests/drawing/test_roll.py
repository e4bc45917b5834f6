"""The skyline roll: path, beads, clearing, frame, gaps, and its sentence."""

import dataclasses

import numpy as np
import pytest

from shivelight.basis.errors import BadInputError
from shivelight.drawing.roll import SunPath, roll_sentence, skyline_roll_svg
from tests.drawing import wennick

LEVEL = np.full(180, 2.0)


def path(label: str = "3 November", *, noon_deg: float = 180.0) -> SunPath:
    away = np.arange(-80.0, 81.0, 4.0)
    return SunPath(
        label=label,
        utc=wennick.at("07:00") + np.arange(away.size) * np.timedelta64(900, "s"),
        azimuth_deg=(away + noon_deg) % 360.0,
        altitude_deg=22.0 - (away / 17.0) ** 2,
    )


def roll(skyline: np.ndarray = LEVEL, *paths: SunPath, view_deg: float = 119.0) -> str:
    return skyline_roll_svg(
        skyline,
        paths=paths or (path(),),
        windows=wennick.light("07:38"),
        view_azimuth_deg=view_deg,
        angle_of_view_deg=15.2,
        zone_name=wennick.ZONE,
    )


def test_clearing_frame_and_dates_are_written() -> None:
    svg = roll(LEVEL, path(), path("21 December"))
    for words in ("clears 07:38", "your frame, 15° wide", "3 November", "21 December", "90° east"):
        assert f">{words}<" in svg


def test_a_frame_over_the_cut_is_drawn_in_two_parts() -> None:
    whole, parted = roll(view_deg=119.0), roll(view_deg=0.0)
    assert parted.count('stroke-width="3"') == whole.count('stroke-width="3"') + 1


def test_a_southern_noon_in_the_north_is_not_cut() -> None:
    svg = roll(LEVEL, path(noon_deg=0.0), view_deg=30.0)
    assert ">0° north<" in svg
    threads = svg.count('stroke-width="1.5"')
    assert threads == roll().count('stroke-width="1.5"')


def test_unknown_bearings_leave_a_gap_and_a_broken_line() -> None:
    gappy = LEVEL.copy()
    gappy[60:80] = np.nan
    assert 'stroke-dasharray="3 4"' in roll(gappy)
    assert 'stroke-dasharray="3 4"' not in roll()


def test_sentence_gives_time_bearing_and_side() -> None:
    windows = wennick.light("07:38")
    assert roll_sentence(windows, 119.0, zone_name=wennick.ZONE) == (
        "Clears at 07:38 over 118° true, inside the frame; direct light until 15:30."
    )
    outside = tuple(dataclasses.replace(one, sun_in_frame=False) for one in windows)
    assert "28° right of the view" in roll_sentence(outside, 90.0, zone_name=wennick.ZONE)
    assert roll_sentence((), 90.0, zone_name=wennick.ZONE).startswith("No direct light")


def test_too_many_dates_and_no_skyline_are_refused() -> None:
    with pytest.raises(BadInputError, match="three dates at most"):
        roll(LEVEL, *(path(str(n)) for n in range(4)))
    with pytest.raises(BadInputError, match="at least four heights"):
        roll(np.array([1.0]))
