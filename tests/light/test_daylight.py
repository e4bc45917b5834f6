"""Daylight and exposure values; published rows stand in tests/published."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import OutOfRangeError
from shivelight.light.daylight import (
    clear_direct_lux,
    clear_illuminance_lux,
    clear_sky_diffuse_lux,
    ev100_from_luminance,
    ev100_from_lux,
    ev100_from_settings,
    full_moon_illuminance_lux,
    luminance_from_ev100,
    lux_from_ev100,
    open_daylight_lux,
    overcast_illuminance_lux,
    stops_from_density,
    sun_illuminance_lux,
)


def test_circular_171_under_an_overhead_sun() -> None:
    # USNO Circular 171's own test value, as kept in the skylight repository: 123 786 lx.
    assert float(clear_illuminance_lux(90.0)) == pytest.approx(123_786, abs=10)


@pytest.mark.parametrize(
    ("altitude_deg", "low_lux", "high_lux"),
    # AMS Glossary of Meteorology, clear evening: 410 to 585 lx at sunset, 2 to 3.5 at −6°.
    [(-0.8, 410.0, 585.0), (-6.0, 2.0, 3.5)],
)
def test_twilight_values_of_the_ams_glossary(
    altitude_deg: float, low_lux: float, high_lux: float
) -> None:
    assert low_lux <= float(clear_illuminance_lux(altitude_deg)) <= high_lux
    assert low_lux <= float(sun_illuminance_lux(altitude_deg)) <= high_lux
    assert low_lux <= float(open_daylight_lux(altitude_deg)) <= high_lux


@pytest.mark.parametrize(("altitude_deg", "lux"), [(-12.0, 0.008), (-18.0, 6e-4)])
def test_only_the_polynomial_holds_in_deep_twilight(altitude_deg: float, lux: float) -> None:
    # AMS Glossary: 0.008 lx at −12°, 6×10⁻⁴ at −18° (one digit printed).
    assert float(sun_illuminance_lux(altitude_deg)) == pytest.approx(lux, rel=0.1)
    assert float(open_daylight_lux(altitude_deg)) == pytest.approx(lux, rel=0.1)
    assert float(clear_illuminance_lux(altitude_deg)) < lux * 0.6


@given(low=st.floats(-18.0, 89.0), rise=st.floats(0.05, 1.0))
def test_open_daylight_grows_with_the_sun(low: float, rise: float) -> None:
    pair = open_daylight_lux(np.array([low, low + rise]))
    assert pair[1] > pair[0]


def test_the_blend_has_no_jump() -> None:
    heights = np.arange(-9.0, -3.0, 0.01)
    steps_ev = np.diff(np.log2(open_daylight_lux(heights)))
    assert steps_ev.max() < 0.03


def test_cloud_divides() -> None:
    clear, dark = (float(open_daylight_lux(20.0, sky_divisor=k)) for k in (1.0, 10.0))
    assert dark == pytest.approx(clear / 10.0)


def test_outside_their_range_the_polynomials_know_nothing() -> None:
    assert np.isnan(sun_illuminance_lux([-18.1, 90.1, np.nan])).all()
    assert np.isnan(full_moon_illuminance_lux([-0.9, 91.0])).all()
    assert np.isfinite(sun_illuminance_lux([-18.0, 90.0])).all()
    assert np.isnan(open_daylight_lux(-19.0))


def test_night_has_no_overcast_and_no_beam() -> None:
    for formula in (overcast_illuminance_lux, clear_sky_diffuse_lux, clear_direct_lux):
        assert float(formula(-1.0)) == 0.0
        assert np.isnan(formula(np.nan))
        assert formula([]).shape == (0,)
        assert formula([[1.0, 2.0]]).shape == (1, 2)


@given(ev=st.floats(-10.0, 20.0))
def test_exposure_values_round_trip(ev: float) -> None:
    assert float(ev100_from_lux(lux_from_ev100(ev))) == pytest.approx(ev, abs=1e-9)
    assert float(ev100_from_luminance(luminance_from_ev100(ev))) == pytest.approx(ev, abs=1e-9)


def test_bright_sun_at_f16_and_one_over_iso() -> None:
    # Common practice; CHECKS 3b: EV100 14.64, which is 64 klx on the receptor.
    ev = float(ev100_from_settings(16.0, exposure_s=1 / 100, iso=100))
    assert ev == pytest.approx(14.644, abs=1e-3)
    assert float(lux_from_ev100(ev)) == pytest.approx(64_000, rel=0.001)


def test_misty_wood_at_sunrise_meters_as_the_trade_says() -> None:
    # CHECKS 6g row 1: f/8 at about 1/25 s, ISO 100, EV100 10.6; CHECKS 3b: that is 200 cd/m²,
    # and an even mist of it gives 628 lx, which the overcast line has at 0.9°.
    ev = float(ev100_from_settings(8.0, exposure_s=0.04))
    assert float(luminance_from_ev100(ev)) == pytest.approx(200.0, rel=0.001)
    mist_lux = np.pi * float(luminance_from_ev100(ev))
    assert float(overcast_illuminance_lux(0.9)) == pytest.approx(mist_lux, rel=0.01)


def test_settings_that_cannot_be_are_not_a_number() -> None:
    got = ev100_from_settings([8.0, 0.0, 8.0], exposure_s=[1.0, 1.0, -1.0])
    assert np.isfinite(got).tolist() == [True, False, False]
    assert np.isnan(ev100_from_lux([0.0, -1.0])).all()


def test_a_third_of_density_is_a_stop() -> None:
    assert float(stops_from_density(np.log10(8.0))) == pytest.approx(3.0)


def test_a_sky_brighter_than_clear_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match=r"sky divisor is 0\.5"):
        clear_illuminance_lux(10.0, sky_divisor=0.5)
