import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.air.visibility import (
    apparent_luminance_cdm2,
    best_extinction_per_m,
    contrast_frac,
    extinction_from_water_per_m,
    extinction_per_m,
    far_range_m,
    gultepe_range_m,
    kunkel_extinction_per_m,
    layer_separation_frac,
    optical_range_m,
)
from shivelight.basis.errors import OutOfRangeError

RANGES = st.floats(5.0, 50_000.0)


@given(range_m=RANGES, eps=st.floats(0.005, 0.5))
def test_range_comes_back_from_its_extinction(range_m: float, eps: float) -> None:
    dimming = extinction_per_m(range_m, contrast_frac=eps)
    assert optical_range_m(dimming, contrast_frac=eps) == pytest.approx(range_m)


@given(range_m=RANGES)
def test_at_the_optical_range_a_twentieth_is_left_and_at_the_far_range_a_fiftieth(
    range_m: float,
) -> None:
    assert contrast_frac(range_m, optical_range_m=range_m) == pytest.approx(0.05)
    assert contrast_frac(far_range_m(range_m), optical_range_m=range_m) == pytest.approx(0.02)


def test_contrast_multiplies_over_stretches_of_the_way() -> None:
    parts = contrast_frac([20.0, 30.0, 50.0], optical_range_m=120.0)
    assert parts[0] * parts[1] == pytest.approx(parts[2])


def test_far_things_take_on_the_mists_own_luminance() -> None:
    near, far = apparent_luminance_cdm2(
        5.0, airlight_cdm2=200.0, distance_m=np.array([0.0, 5000.0]), optical_range_m=100.0
    )
    assert near == 5.0
    assert far == pytest.approx(200.0)


@given(near=st.floats(2.0, 100.0), ratio=st.floats(1.05, 10.0))
def test_no_other_extinction_parts_two_layers_better(near: float, ratio: float) -> None:
    far = near * ratio
    best = float(best_extinction_per_m(near, far))
    tried = best * np.geomspace(0.2, 5.0, 201)
    most = layer_separation_frac(near, far, extinction_per_m=tried).max()
    assert layer_separation_frac(near, far, extinction_per_m=best) >= most - 1e-12


@pytest.mark.parametrize(("near", "far"), [(20.0, 20.0), (30.0, 20.0), (0.0, 10.0)])
def test_layers_out_of_order_give_nothing(near: float, far: float) -> None:
    assert np.isnan(best_extinction_per_m(near, far))


@pytest.mark.parametrize("range_m", [0.0, -5.0, np.nan])
def test_a_range_that_cannot_be_gives_nothing(range_m: float) -> None:
    assert np.isnan(extinction_per_m(range_m))
    assert np.isnan(contrast_frac(10.0, optical_range_m=range_m))


def test_behind_the_lens_there_is_no_contrast() -> None:
    assert np.isnan(contrast_frac(-1.0, optical_range_m=100.0))


@pytest.mark.parametrize("eps", [0.0, 1.0, np.nan])
def test_a_contrast_that_cannot_be_is_refused(eps: float) -> None:
    with pytest.raises(OutOfRangeError, match="contrast"):
        extinction_per_m(100.0, contrast_frac=eps)


def test_more_water_smaller_drops_and_more_drops_shorten_the_view() -> None:
    base = extinction_from_water_per_m(0.1, drop_radius_um=10.0)
    assert extinction_from_water_per_m(0.2, drop_radius_um=10.0) == pytest.approx(2.0 * base)
    assert extinction_from_water_per_m(0.1, drop_radius_um=5.0) == pytest.approx(2.0 * base)
    assert kunkel_extinction_per_m(0.2) > kunkel_extinction_per_m(0.1)
    assert gultepe_range_m(0.1, drops_per_cm3=200.0) < gultepe_range_m(0.1, drops_per_cm3=100.0)
