"""Refraction: published values stand in tests/published, behaviour here."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import OutOfRangeError
from shivelight.sky.refraction import (
    AirColumn,
    apparent_altitude_deg,
    refraction_from_apparent_deg,
    refraction_from_true_deg,
)

MILD = AirColumn(temperature_degc=10.0, pressure_hpa=1010.0)


@given(true_deg=st.floats(-0.5, 90.0))
def test_both_formulae_agree_to_a_tenth_of_an_arcminute(true_deg: float) -> None:
    # Meeus 1998, page 106: eqs 16.3 and 16.4 are consistent to 0.1 arcminute.
    seen_deg = apparent_altitude_deg(true_deg, air=MILD)
    back_deg = seen_deg - refraction_from_apparent_deg(seen_deg, air=MILD)
    assert float(back_deg) == pytest.approx(true_deg, abs=0.1 / 60.0)


def test_the_34_arcminute_convention_puts_the_limb_on_the_horizon() -> None:
    # CHECKS 1b: true −0.5667° is refracted by 34.36′ to +0.006°.
    assert float(apparent_altitude_deg(-0.5667, air=MILD)) == pytest.approx(0.006, abs=0.0006)


@given(low=st.floats(-20.0, 89.9), rise=st.floats(0.001, 5.0))
def test_what_stands_higher_looks_higher(low: float, rise: float) -> None:
    pair = apparent_altitude_deg(np.array([low, low + rise]))
    assert pair[1] > pair[0]


def test_there_is_no_jump_where_the_formula_ends() -> None:
    around = apparent_altitude_deg(np.array([-1.0 - 1e-6, -1.0, -1.0 + 1e-6]))
    assert np.ptp(around) < 1e-5


def test_cold_dense_air_bends_more_and_no_air_not_at_all() -> None:
    warm = refraction_from_true_deg(1.0, air=AirColumn(temperature_degc=30.0, pressure_hpa=950.0))
    cold = refraction_from_true_deg(1.0, air=AirColumn(temperature_degc=-15.0, pressure_hpa=1040))
    assert float(cold) > float(warm)
    none = AirColumn(pressure_hpa=0.0)
    assert float(apparent_altitude_deg(3.0, air=none)) == 3.0


def test_it_never_lowers_a_body_overhead() -> None:
    assert float(refraction_from_true_deg(90.0)) == 0.0
    assert float(refraction_from_apparent_deg(90.0)) == pytest.approx(0.0, abs=1e-4)


def test_scalars_arrays_empty_and_nan() -> None:
    assert refraction_from_true_deg(5.0).shape == ()
    assert refraction_from_true_deg([[1.0, 2.0]]).shape == (1, 2)
    assert refraction_from_true_deg([]).shape == (0,)
    assert np.isnan(refraction_from_true_deg(np.nan))
    assert np.isnan(refraction_from_apparent_deg(np.nan))


def test_impossible_air_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="air temperature is 100 °C"):
        AirColumn(temperature_degc=100.0)
    with pytest.raises(OutOfRangeError, match="air pressure is -1 hPa"):
        AirColumn(pressure_hpa=-1.0)
