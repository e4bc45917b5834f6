"""Equinoxes and solstices against Skyfield."""

import numpy as np
from skyfield import almanac

from shivelight.sky.seasons import TURN_NAMES, find_turns
from shivelight.sky.timescale import ephemeris, timescale


def test_thirty_years_agree_with_skyfield_to_five_seconds() -> None:
    ours = find_turns(np.datetime64("2020-01-01"), np.datetime64("2050-01-01"))
    scale = timescale()
    times, numbers = almanac.find_discrete(
        scale.utc(2020), scale.utc(2050), almanac.seasons(ephemeris())
    )
    assert [turn.name for turn in ours] == [TURN_NAMES[number] for number in numbers]
    theirs = np.array(
        [moment.replace(tzinfo=None) for moment in times.utc_datetime()], dtype="datetime64[us]"
    )
    assert np.abs(np.array([turn.utc for turn in ours]) - theirs).max() < np.timedelta64(5, "s")


def test_a_week_without_a_turn_has_none() -> None:
    assert find_turns(np.datetime64("2027-05-01"), np.datetime64("2027-05-08")) == ()
