"""The small formula for the length of the day."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import OutOfRangeError
from shivelight.basis.places import Position
from shivelight.sky.daylength import day_length_h
from shivelight.sky.twilight import find_sun_events


@pytest.mark.parametrize("latitude_deg", [-50.0, 0.0, 35.0, 53.0, 60.0])
def test_within_a_tenth_of_an_hour_of_the_ephemeris(latitude_deg: float) -> None:
    # CHECKS 1f: "against SPA expect ≤ 0.1 h".
    position = Position(latitude_deg=latitude_deg, longitude_deg=0.0)
    for day_of_year in range(5, 365, 45):
        start = np.datetime64("2027-01-01", "us") + np.timedelta64(day_of_year - 1, "D")
        found = find_sun_events(start, start + np.timedelta64(1, "D"), position=position)
        assert found.sunrise is not None
        assert found.sunset is not None
        length_h = float((found.sunset - found.sunrise) / np.timedelta64(1, "h"))
        assert float(day_length_h(day_of_year, latitude_deg=latitude_deg)) == pytest.approx(
            length_h, abs=0.1
        )


@given(day=st.floats(1.0, 366.0), latitude=st.floats(-90.0, 90.0))
def test_a_day_is_never_longer_than_a_day(day: float, latitude: float) -> None:
    assert 0.0 <= float(day_length_h(day, latitude_deg=latitude)) <= 24.0


def test_poles_have_one_day_and_one_night() -> None:
    assert day_length_h([172, 355], latitude_deg=90.0).tolist() == [24.0, 0.0]
    assert day_length_h([172, 355], latitude_deg=-90.0).tolist() == [0.0, 24.0]


def test_nan_empty_and_bad_latitude() -> None:
    assert np.isnan(day_length_h(np.nan, latitude_deg=10.0))
    assert day_length_h([], latitude_deg=10.0).shape == (0,)
    with pytest.raises(OutOfRangeError, match="latitude is -91 °"):
        day_length_h(1, latitude_deg=-91.0)
