"""The sun as far as the mist model needs it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.air.mist_sun import declination_deg, night_length_h, sun_gathered_h


def test_declination_at_solstices_and_equinox_of_2024() -> None:
    # Solstices 2024-06-20T20:51 and 2024-12-21T09:21, equinox 2024-03-20T03:06 UTC (almanac, from
    # memory): there the declination is the obliquity, 23.44 degrees, and 0.
    when = np.array(["2024-06-20T20:51", "2024-12-21T09:21", "2024-03-20T03:06"], "datetime64[m]")
    np.testing.assert_allclose(declination_deg(when), [23.44, -23.44, 0.0], atol=0.02, rtol=0)


def test_night_at_the_equator_is_a_little_under_twelve_hours_all_year() -> None:
    nights = night_length_h(0.0, np.array([-23.0, 0.0, 23.0]))
    np.testing.assert_allclose(nights, 11.88, atol=0.02)


def test_polar_night_and_midnight_sun() -> None:
    assert night_length_h(75.0, -23.0) == 24.0
    assert night_length_h(75.0, 23.0) == 0.0
    assert night_length_h(-75.0, 23.0) == 24.0


@given(
    after_h=st.floats(0.1, 6.0), latitude_deg=st.floats(-60, 60), declination=st.floats(-23, 23)
)
def test_sun_gathered_agrees_with_adding_up_small_steps(
    after_h: float, latitude_deg: float, declination: float
) -> None:
    phi, delta = np.radians(latitude_deg), np.radians(declination)
    day_h = 24.0 - float(night_length_h(latitude_deg, declination))
    steps = (np.arange(4000) + 0.5) / 4000 * after_h
    angle = np.pi / 12 * (steps - day_h / 2)
    sine = np.sin(phi) * np.sin(delta) + np.cos(phi) * np.cos(delta) * np.cos(angle)
    found = sun_gathered_h(after_h, latitude_deg=latitude_deg, declination=declination)
    assert found == pytest.approx(max(sine.mean() * after_h, 0.0), abs=1e-4)


def test_nothing_is_gathered_before_sunrise_and_shapes_broadcast() -> None:
    gathered = sun_gathered_h(
        np.array([[-1.0, 0.0, 2.0]]), latitude_deg=np.array([[50.0], [0.0]]), declination=0.0
    )
    assert gathered.shape == (2, 3)
    np.testing.assert_array_equal(gathered[:, :2], 0.0)
    assert gathered[1, 2] > gathered[0, 2] > 0.0
