import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.air.humidity import (
    ALDUCHOV_ESKRIDGE,
    BOLTON,
    WMO,
    Magnus,
    dew_point_degc,
    relative_humidity_frac,
    saturation_vapour_pressure_hpa,
    swelling_frac,
)
from shivelight.basis.errors import OutOfRangeError

FORMS = st.sampled_from([ALDUCHOV_ESKRIDGE, BOLTON, WMO])


@given(t=st.floats(-40.0, 50.0), share=st.floats(0.01, 1.0), form=FORMS)
def test_humidity_comes_back_from_its_dew_point(t: float, share: float, form: Magnus) -> None:
    dew_point = dew_point_degc(t, share, form=form)
    assert dew_point <= t
    assert relative_humidity_frac(t, dew_point, form=form) == pytest.approx(share, rel=1e-9)


@given(t=st.floats(-40.0, 49.0), form=FORMS)
def test_saturation_rises_with_temperature(t: float, form: Magnus) -> None:
    colder, warmer = saturation_vapour_pressure_hpa([t, t + 0.5], form=form)
    assert 0.0 < colder < warmer


def test_saturated_air_has_its_own_temperature_as_dew_point() -> None:
    np.testing.assert_array_equal(dew_point_degc([-12.0, 0.0, 9.5], 1.0), [-12.0, 0.0, 9.5])


def test_below_freezing_it_is_over_water_and_so_colder_than_the_frost_point() -> None:
    # Frost point at −10 °C and 0.9 over water, with the ice form of the same paper
    # (Alduchov & Eskridge 1996: 6.1121, 22.587, 273.86; from memory).
    vapour_hpa = 0.9 * float(saturation_vapour_pressure_hpa(-10.0))
    g = np.log(vapour_hpa / 6.1121)
    frost_point_degc = 273.86 * g / (22.587 - g)
    assert float(dew_point_degc(-10.0, 0.9)) < frost_point_degc - 0.5


@pytest.mark.parametrize("share", [0.0, -0.1, 1.01, np.nan])
def test_a_humidity_that_cannot_be_gives_nothing(share: float) -> None:
    assert np.isnan(dew_point_degc(10.0, share))


def test_temperatures_beyond_the_form_give_nothing() -> None:
    assert np.isnan(saturation_vapour_pressure_hpa(-243.04))


def test_bad_elements_leave_their_neighbours_alone() -> None:
    got = dew_point_degc([10.0, np.nan, 10.0], [0.9, 0.9, 2.0])
    assert np.isfinite(got).tolist() == [True, False, False]


def test_drops_swell_with_humidity_and_dry_air_leaves_them() -> None:
    sizes = swelling_frac([0.0, 0.5, 0.9, 0.99, 1.0], kappa_frac=0.3)
    assert sizes[0] == 1.0
    assert (np.diff(sizes[:4]) > 0.0).all()
    assert np.isnan(sizes[4])
    with pytest.raises(OutOfRangeError, match="kappa"):
        swelling_frac(0.5, kappa_frac=-0.1)
