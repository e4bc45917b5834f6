import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from shivelight.outing.draws import stratified_normal, wandering_ranks


@given(st.integers(2, 80), st.integers(1, 40), st.integers(0, 99))
def test_ranks_are_even_over_members_at_every_instant(
    members: int, instants: int, seed: int
) -> None:
    ranks = wandering_ranks(members, instants, step_min=5.0, hold_h=3.0, seed=seed)
    wanted = (np.arange(members) + 0.5) / members
    np.testing.assert_allclose(np.sort(ranks, axis=0), np.tile(wanted[:, None], instants))


def test_the_same_seed_gives_the_same_ranks_and_another_does_not() -> None:
    one = wandering_ranks(50, 30, step_min=5.0, hold_h=3.0, seed=4)
    np.testing.assert_array_equal(one, wandering_ranks(50, 30, step_min=5.0, hold_h=3.0, seed=4))
    assert np.any(one != wandering_ranks(50, 30, step_min=5.0, hold_h=3.0, seed=5))


def test_ranks_hold_for_about_the_time_that_was_asked() -> None:
    # Correlation of the underlying walk after the holding time is 1/e; ranks of a Gaussian
    # copula correlate as (6/pi) asin(r/2) (Pearson 1907).
    ranks = wandering_ranks(4000, 37, step_min=5.0, hold_h=3.0, seed=1)
    found = np.corrcoef(ranks[:, 0], ranks[:, 36])[0, 1]
    wanted = 6.0 / np.pi * np.arcsin(np.exp(-1.0) / 2.0)
    assert abs(found - wanted) < 0.05


def test_stratified_normals_have_their_moments() -> None:
    drawn = stratified_normal(1000, seed=3)
    assert abs(drawn.mean()) < 1e-9
    assert abs(drawn.std() - 1.0) < 0.01
