import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize
from scipy.special import expit, logit

from shivelight.basis.errors import BadInputError
from shivelight.outing.learn import NOTHING_LEARNT, SitePrior, learn_site, shifted


def test_no_record_changes_nothing() -> None:
    assert learn_site([], []) == NOTHING_LEARNT
    chance = np.array([0.0, 0.3, 1.0])
    np.testing.assert_array_equal(shifted(chance, NOTHING_LEARNT), chance)


def test_looks_made_because_mist_was_seen_weigh_nothing() -> None:
    assert learn_site([0.2] * 9, [True] * 9, weight=[0.0] * 9) == NOTHING_LEARNT


def test_the_most_likely_shift_is_where_a_general_optimiser_finds_it() -> None:
    random = np.random.default_rng(5)
    said = random.uniform(0.05, 0.9, 40)
    found = random.random(40) < expit(0.6 + 1.1 * logit(said))
    weight = random.integers(0, 2, 40).astype(float)
    prior = SitePrior()

    def against(shift: np.ndarray) -> float:
        odds = shift[0] + (1.0 + shift[1]) * logit(said)
        fits = weight * (found * odds - np.logaddexp(0.0, odds))
        return float(
            -fits.sum() + shift[0] ** 2 / 2 / prior.level_sd**2
            + shift[1] ** 2 / 2 / prior.slope_sd**2
        )  # fmt: skip

    best = minimize(
        against, np.zeros(2), method="Nelder-Mead", options={"xatol": 1e-8, "fatol": 1e-12}
    )
    learnt = learn_site(said, found, weight=weight)
    np.testing.assert_allclose([learnt.a, learnt.b], best.x, atol=1e-5)


def test_uncertainty_is_integrated_over_nearly_as_by_brute_force() -> None:
    learnt = learn_site([0.3, 0.5, 0.2, 0.6], [True, True, False, True])
    random = np.random.default_rng(1)
    covariance = [[learnt.var_a, learnt.cov_ab], [learnt.cov_ab, learnt.var_b]]
    drawn = random.multivariate_normal([learnt.a, learnt.b], covariance, size=200_000)
    for chance in (0.1, 0.4, 0.8):
        odds = logit(chance)
        brute = expit(drawn[:, 0] + (1.0 + drawn[:, 1]) * odds).mean()
        assert abs(float(shifted(chance, learnt)) - brute) < 0.01


@given(st.integers(1, 30), st.floats(0.05, 0.6))
def test_a_wood_that_was_always_misty_is_believed_more_than_one_that_never_was(
    count: int, chance: float
) -> None:
    # Against the chance itself there is no such order: integrating over what is not known
    # draws every chance a little toward one half.
    up = float(shifted(chance, learn_site([chance] * count, [True] * count)))
    down = float(shifted(chance, learn_site([chance] * count, [False] * count)))
    assert down < up


def test_few_mornings_move_little_and_many_move_more() -> None:
    few = float(shifted(0.3, learn_site([0.3] * 2, [True] * 2)))
    many = float(shifted(0.3, learn_site([0.3] * 40, [True] * 40)))
    assert 0.3 < few < 0.5 < many


def test_order_of_chances_is_kept() -> None:
    learnt = learn_site([0.2, 0.4, 0.6], [True, False, True])
    moved = shifted(np.linspace(0.01, 0.99, 60), learnt)
    assert np.all(np.diff(moved) > 0.0)


def test_rows_that_do_not_match_are_refused() -> None:
    with pytest.raises(BadInputError, match="two equal rows"):
        learn_site([0.1, 0.2], [True])
    with pytest.raises(BadInputError, match="outside 0 to 1"):
        learn_site([1.2], [True])
