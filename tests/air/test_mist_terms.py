"""The terms: worked by hand on a plain night, and unknown where their input is."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from shivelight.air.mist_hours import HOURS, NightHours
from shivelight.air.mist_terms import (
    CURVE_TERMS,
    LIFT_TERMS,
    WINDOW_TERMS,
    curve_terms,
    lift_terms,
    net_long_wave_wm2,
    window_terms,
)
from shivelight.basis.arrays import FloatArray


def flat(value: float) -> FloatArray:
    return np.full((1, HOURS.size), value)


def plain() -> NightHours:
    """Temperature falls 0.5 K an hour to 4 °C at sunrise; dew point 3 °C throughout."""
    return NightHours(
        temperature_degc=(4.0 - 0.5 * HOURS)[None, :],
        dew_point_degc=flat(3.0),
        wind_speed_mps=flat(3.0),
        cloud_cover_frac=flat(0.5),
        precipitation_mm=flat(0.0),
        pressure_hpa=flat(1025.0),
        rain_before_mm=np.array([3.0]),
        night_h=np.array([14.0]),
        latitude_deg=np.array([53.0]),
        declination=np.array([-15.0]),
        sunrise_utc=np.array([np.datetime64("2027-11-03T07:22")]),
    )


def test_terms_of_a_plain_night_are_what_a_hand_would_work_out() -> None:
    found = {name: float(value[0]) for name, value in window_terms(plain()).items()}
    assert list(found) == list(WINDOW_TERMS)
    assert found["spread_sunrise"] == pytest.approx(1.0)
    assert found["spread_before"] == pytest.approx(2.0)  # 2.5, 2.0, 1.5 K
    assert found["spread_dusk"] == pytest.approx(7.5)  # 13 h before sunrise: 10.5 °C
    assert found["spread_dusk_over_3"] == pytest.approx(4.5)
    assert found["crossover"] == pytest.approx(1.0)  # least 4 °C against 3 °C
    assert found["cooling"] == pytest.approx(6.5)
    assert found["dew_point_change"] == 0.0
    assert found["wind_over_2_5"] == pytest.approx(0.5)
    assert found["wind_over_4"] == 0.0
    assert found["wind_x_cloud"] == pytest.approx(1.5)
    assert found["rain_before"] == pytest.approx(np.log(4.0))
    assert found["pressure"] == pytest.approx(1.0)
    assert found["night_length"] == pytest.approx(0.5)


def test_brunt_loss_is_of_the_size_of_a_clear_night_and_cloud_holds_it_back() -> None:
    # By hand: e = 6.1094 exp(17.625*5/248.04) = 8.716 hPa; 0.48 - 0.065*2.952 = 0.2881;
    # 5.670374e-8 * 283.15**4 = 364.49; product 105.0 W/m².
    clear = net_long_wave_wm2(np.array(10.0), np.array(5.0), np.array(0.0))
    cloudy = net_long_wave_wm2(np.array(10.0), np.array(5.0), np.array(1.0))
    assert clear == pytest.approx(105.0, abs=0.2)
    assert cloudy == pytest.approx(0.3 * clear)


@pytest.mark.parametrize(
    ("lost", "inputs"),
    [
        ("wind_speed_mps", {"wind"}),
        ("cloud_cover_frac", {"cloud"}),
        ("precipitation_mm", {"rain"}),
        ("pressure_hpa", {"pressure"}),
    ],
)
def test_only_the_terms_that_need_an_input_are_unknown_without_it(
    lost: str, inputs: set[str]
) -> None:
    gap: dict[str, Any] = {lost: flat(np.nan)}
    found = window_terms(replace(plain(), **gap))
    unknown = {name for name, value in found.items() if not np.isfinite(value[0])}
    assert unknown == {name for name, (_, needs) in WINDOW_TERMS.items() if needs & inputs}


def test_curve_and_lifting_terms_come_in_their_order_and_shape() -> None:
    after = np.array([[-1.0, 0.0, 2.0]])
    window = np.array([0.3])
    curve = curve_terms(plain(), after, window=window, other_window=-window)
    lift = lift_terms(plain(), after, mist_window=window)
    assert list(curve) == list(CURVE_TERMS)
    assert list(lift) == list(LIFT_TERMS)
    assert all(value.shape == (1, 3) for value in (*curve.values(), *lift.values()))
    assert curve["sun"][0, 1] == 0.0
    np.testing.assert_allclose(curve["spread_now"][0], [1.5, 1.0, 0.0])
    np.testing.assert_allclose(lift["warming_morning"], -2.0)
