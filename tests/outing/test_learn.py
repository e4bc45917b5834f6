"""What a wood's mornings teach: little from few, nothing from logs made because mist was seen."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import BadInputError, OutOfRangeError
from shivelight.outing.learn import SLOPE_SD, STEP_SD, SiteShift, learn_site, shifted

chances = st.floats(0.0, 1.0)


@given(chance=chances)
def test_a_wood_without_a_record_keeps_the_models_chance(chance: float) -> None:
    assert shifted(chance, SiteShift()) == pytest.approx(chance)
    assert shifted(chance, learn_site([], [])) == pytest.approx(chance)


def test_logs_made_because_mist_was_seen_teach_nothing() -> None:
    shift = learn_site([0.2] * 9, [True] * 9, [0.0] * 9)
    assert shift == SiteShift()


def test_the_move_starts_from_nothing_without_a_jump() -> None:
    hardly = learn_site([0.1], [True], [1e-6])
    assert shifted(0.1, hardly) == pytest.approx(0.1, abs=1e-5)
    assert shifted(0.6, hardly) == pytest.approx(0.6, abs=1e-5)


@given(said=st.lists(st.floats(0.02, 0.98), min_size=1, max_size=30))
def test_always_found_raises_and_never_found_lowers_the_step(said: list[float]) -> None:
    # Asked where something was said: far from there the slope may outweigh the level.
    up, down = learn_site(said, [True] * len(said)), learn_site(said, [False] * len(said))
    middle = float(np.mean(said))
    assert up.a > 0.0 > down.a
    assert shifted(middle, up) > shifted(middle, down)


def test_few_mornings_move_little_and_many_move_to_the_rate() -> None:
    few = learn_site([0.2] * 4, [True, True, False, False])
    many = learn_site([0.2] * 400, [True, False] * 200)
    assert 0.2 < shifted(0.2, few) < 0.4
    assert shifted(0.2, many) == pytest.approx(0.5, abs=0.03)


def test_uncertainty_shrinks_with_mornings_and_starts_at_the_prior() -> None:
    none, some = learn_site([], []), learn_site([0.1, 0.5, 0.9] * 10, [False, True, True] * 10)
    assert none.var_a == pytest.approx(STEP_SD**2)
    assert none.var_b == pytest.approx(SLOPE_SD**2)
    assert some.var_a < none.var_a
    assert some.var_b < none.var_b
    assert some.mornings == 30.0


def test_the_most_probable_values_agree_with_a_plain_search() -> None:
    said, seen = np.array([0.05, 0.1, 0.3, 0.5, 0.7, 0.15]), np.array([0, 1, 1, 0, 1, 1.0])
    shift = learn_site(said, seen)
    logit = np.log(said / (1 - said))
    wide = logit * np.sqrt(1 + np.pi * (STEP_SD**2 + logit**2 * SLOPE_SD**2) / 8)

    def badness(a: float, b: float) -> float:
        chance = 1 / (1 + np.exp(-(a + (1 + b) * wide)))
        likely = np.sum(seen * np.log(chance) + (1 - seen) * np.log(1 - chance))
        return float(a**2 / STEP_SD**2 / 2 + b**2 / SLOPE_SD**2 / 2 - likely)

    best = badness(shift.a, shift.b)
    around = [
        badness(shift.a + da, shift.b + db)
        for da in (-0.01, 0.0, 0.01)
        for db in (-0.005, 0.0, 0.005)
        if (da, db) != (0.0, 0.0)
    ]
    assert best < min(around)


def test_a_hundred_mornings_at_a_mistier_wood_find_its_step_within_two_sigma() -> None:
    rng = np.random.default_rng(7)
    said = rng.uniform(0.05, 0.6, 300)
    wide = np.log(said / (1 - said))
    seen = rng.random(300) < 1 / (1 + np.exp(-(wide + 0.8)))
    shift = learn_site(said, seen)
    assert abs(shift.a - 0.8) < 2.5 * np.sqrt(shift.var_a) + 0.1
    assert shifted(0.3, shift) > 0.4


def test_certain_chances_and_nan_stay_as_they_are() -> None:
    shift = learn_site([0.2] * 10, [True] * 10)
    moved = shifted([0.0, 1.0, np.nan], shift)
    np.testing.assert_array_equal(moved[:2], [0.0, 1.0])
    assert np.isnan(moved[2])
    assert shifted(np.empty(0), shift).shape == (0,)


def test_order_is_kept() -> None:
    shift = learn_site([0.3, 0.6, 0.2, 0.8], [True, False, True, False])
    moved = shifted(np.linspace(0.01, 0.99, 50), shift)
    assert np.all(np.diff(moved) > 0.0)


def test_bad_logs_are_refused_in_a_sentence() -> None:
    with pytest.raises(BadInputError, match="same length"):
        learn_site([0.1, 0.2], [True])
    with pytest.raises(OutOfRangeError, match=r"chance said is 1\.2; it must be 0 to 1"):
        learn_site([1.2], [True])
    with pytest.raises(BadInputError, match="yes or no"):
        learn_site([0.2], [0.5])
    with pytest.raises(OutOfRangeError, match="weight is -1"):
        learn_site([0.2], [True], [-1.0])
    with pytest.raises(OutOfRangeError, match=r"chance is 1\.5"):
        shifted(1.5, SiteShift())
    with pytest.raises(BadInputError, match="impossible variances"):
        SiteShift(var_a=-1.0)
