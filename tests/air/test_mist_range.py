"""From chances to metres, and members to the chance that is told."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.air.mist import range_quantile_m, recalibrate

unit = st.floats(0.0, 1.0)


@given(one=unit, two=unit)
def test_shares_below_one_and_five_kilometres_are_the_chances(one: float, two: float) -> None:
    fog, mist = min(one, two), max(one, two)
    draws = (np.arange(20_000) + 0.5) / 20_000
    ranges = range_quantile_m(draws, fog, mist)
    assert np.mean(ranges < 1_000.0) == pytest.approx(fog, abs=2e-4)
    assert np.mean(ranges < 5_000.0) == pytest.approx(mist, abs=2e-4)
    assert np.all(np.diff(ranges) >= 0.0)
    assert np.all((ranges >= 40.0) & (ranges <= 40_000.0))


def test_thickest_and_clearest_draw() -> None:
    np.testing.assert_allclose(range_quantile_m([0.0, 1.0], 0.3, 0.6), [40.0, 40_000.0])


def test_it_broadcasts_and_keeps_nothing_as_nothing() -> None:
    found = range_quantile_m(np.full((4, 1), 0.2), np.array([0.1, 0.3, np.nan]), 0.5)
    assert found.shape == (4, 3)
    assert np.isnan(found[:, 2]).all()
    assert np.isnan(range_quantile_m(1.2, 0.1, 0.2))
    assert range_quantile_m(np.empty(0), 0.1, 0.2).shape == (0,)
    assert float(range_quantile_m(0.05, 0.1, 0.2)) < 1_000.0


def test_mist_below_fog_counts_as_fog() -> None:
    assert float(range_quantile_m(0.35, 0.4, 0.1)) < 1_000.0


@given(
    members=st.lists(st.floats(0.001, 0.999), min_size=1, max_size=20),
    target=st.floats(0.001, 0.999),
)
def test_members_come_out_with_the_mean_that_is_told(members: list[float], target: float) -> None:
    own = np.array(members)[:, None]
    moved = recalibrate(own, np.array([target]))
    assert moved.mean() == pytest.approx(target, abs=1e-9)
    assert np.all(np.diff(moved[np.argsort(own[:, 0]), 0]) >= -1e-12)


def test_certainty_and_gaps_pass_through() -> None:
    own = np.array([[0.2, 0.2, 0.2], [0.4, 0.4, np.nan]])
    moved = recalibrate(own, np.array([0.0, 1.0, 0.5]))
    np.testing.assert_array_equal(moved[:, 0], 0.0)
    np.testing.assert_array_equal(moved[:, 1], 1.0)
    assert np.isnan(moved[:, 2]).all()
