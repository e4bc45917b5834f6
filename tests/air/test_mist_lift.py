"""Lifting: survival, quantiles, and the update by a look out of the door."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.air.mist_lift import (
    BIN_END_MIN,
    SeenShift,
    lift_quantiles_min,
    quantiles_given_seen,
    shifted_survival,
    survival,
)
from shivelight.basis.errors import BadInputError, MissingDataError, OutOfRangeError

SHIFTS = SeenShift(thin_shift=0.4, good_shift=0.0, thick_shift=-0.4, wisps_shift=0.8)


def test_a_steady_hazard_gives_the_geometric_law() -> None:
    hazard = 0.2
    still = survival(np.full((1, 32), np.log(hazard / (1 - hazard))))
    np.testing.assert_allclose(still[0], (1 - hazard) ** np.arange(33))
    # Half have lifted between the third and the fourth quarter hour: 1 - 0.8**3 = 0.488.
    assert lift_quantiles_min(still)[0, 2] == pytest.approx(45 + 15 * (0.5 - 0.488) / 0.1024)


def test_fog_that_never_lifts_is_told_as_480() -> None:
    np.testing.assert_array_equal(lift_quantiles_min(survival(np.full((1, 32), -40.0))), 480.0)


def test_fog_that_lifts_at_once_lifts_in_the_first_quarter() -> None:
    assert np.all(lift_quantiles_min(survival(np.full((1, 32), 40.0))) <= 15.0)


@given(
    hazard=st.lists(st.floats(-6.0, 3.0), min_size=32, max_size=32), after=st.floats(0.0, 479.0)
)
def test_quantiles_rise_and_never_come_before_what_is_known(
    hazard: list[float], after: float
) -> None:
    found = lift_quantiles_min(survival(np.array([hazard])), after_min=after)
    assert np.all(np.diff(found) >= 0.0)
    assert np.all((found >= after) & (found <= 480.0))


def test_shifting_by_nothing_changes_nothing() -> None:
    still = survival(np.linspace(-4.0, -1.0, 32)[None, :])
    np.testing.assert_allclose(shifted_survival(still, 0.0), still, atol=1e-9)


def test_wisps_go_sooner_than_thick() -> None:
    still = survival(np.full((2, 32), -2.0))
    medians = [
        quantiles_given_seen(still, seen=word, minutes=0.0, shifts=SHIFTS)[0, 2]
        for word in ("wisps", "thin", "good", "thick")
    ]
    assert medians == sorted(medians)
    assert len(set(medians)) == 4


def test_what_cannot_be_updated_is_refused() -> None:
    still = survival(np.full((1, BIN_END_MIN.size), -2.0))
    with pytest.raises(BadInputError, match="none, wisps, thin, good, thick"):
        quantiles_given_seen(still, seen="soup", minutes=0.0, shifts=SHIFTS)
    with pytest.raises(OutOfRangeError, match="minutes after sunrise is 700 min"):
        quantiles_given_seen(still, seen="good", minutes=700.0, shifts=SHIFTS)
    with pytest.raises(MissingDataError, match="judge the morning first"):
        quantiles_given_seen(np.ones((1, 3)), seen="good", minutes=0.0, shifts=SHIFTS)
