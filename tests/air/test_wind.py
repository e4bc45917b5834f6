import numpy as np
import pytest

from shivelight.air.wind import (
    air_state,
    beaufort,
    beaufort_wind_mps,
    gusts_filled_mps,
    leaf_height_wind_mps,
)
from shivelight.basis.errors import OutOfRangeError


@pytest.mark.parametrize(
    ("wind", "number"),
    [
        (0.0, 0), (0.2, 0), (0.3, 1), (1.5, 1), (1.6, 2), (3.3, 2), (3.4, 3), (5.4, 3), (5.5, 4),
        (7.9, 4), (8.0, 5), (10.7, 5), (10.8, 6), (13.8, 6), (13.9, 7), (17.1, 7), (17.2, 8),
        (20.7, 8), (20.8, 9), (24.4, 9), (24.5, 10), (28.4, 10), (28.5, 11), (32.7, 12),
    ],
)  # fmt: skip
def test_both_ends_of_every_beaufort_step(wind: float, number: int) -> None:
    # WMO-No. 306, code table 1100, limits from memory.
    assert beaufort(wind) == number


def test_between_two_printed_limits_the_nearer_step_is_taken() -> None:
    assert beaufort([1.54, 1.56]).tolist() == [1, 2]


def test_the_middle_of_each_step_belongs_to_it() -> None:
    numbers = np.arange(13)
    np.testing.assert_array_equal(beaufort(beaufort_wind_mps(numbers)), numbers)


def test_missing_wind_has_no_number_and_no_state() -> None:
    assert beaufort([np.nan, -1.0]).tolist() == [-1, -1]
    assert air_state([np.nan]).tolist() == [-1]


def test_leaves_hang_still_below_a_third_of_a_metre_a_second() -> None:
    assert air_state([0.0, 0.29, 0.3, 1.59, 1.6, 9.0]).tolist() == [0, 0, 1, 1, 2, 2]


@pytest.mark.parametrize(
    ("index", "low_mps", "high_mps"), [(0, 0.0, 0.3), (1, 0.3, 1.6), (2, 1.6, np.inf)]
)
def test_the_air_is_in_a_state_from_its_lower_limit_to_below_its_upper(
    index: int, low_mps: float, high_mps: float
) -> None:
    # Lower limits of Beaufort 1 and 2: WMO-No. 306, code table 1100, from memory.
    assert air_state(low_mps) == index
    assert air_state(np.nextafter(high_mps, 0.0)) == index


def test_a_stand_lets_its_share_through() -> None:
    got = leaf_height_wind_mps([0.0, 4.0, -1.0], stand_frac=0.15)
    np.testing.assert_allclose(got, [0.0, 0.6, np.nan])


@pytest.mark.parametrize("share", [-0.1, 1.5, np.nan])
def test_a_share_that_cannot_be_is_refused(share: float) -> None:
    with pytest.raises(OutOfRangeError, match="share of the wind"):
        leaf_height_wind_mps(3.0, stand_frac=share)


def test_gusts_not_given_are_taken_from_the_wind_and_never_below_it() -> None:
    got = gusts_filled_mps([np.nan, 8.0, 2.0, np.nan], [5.0, 5.0, 5.0, np.nan])
    np.testing.assert_allclose(got, [8.0, 8.0, 5.0, np.nan])
