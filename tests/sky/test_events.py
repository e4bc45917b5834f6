"""The event finder: exact, grazing, jumping and absent crossings."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.basis.errors import BadInputError, OutOfRangeError
from shivelight.sky.events import ValueAt, find_crossings

START = np.datetime64("2027-01-01T00:00:00", "us")
DAY = np.timedelta64(1, "D")


def hours(utc: UtcArray) -> FloatArray:
    return np.asarray((utc - START) / np.timedelta64(1, "h"), dtype=np.float64)


def found_h(function: ValueAt, *, step_s: float = 600.0, tolerance_s: float = 0.1) -> FloatArray:
    return hours(
        find_crossings(function, START, START + DAY, step_s=step_s, tolerance_s=tolerance_s).utc
    )


@given(period_h=st.floats(1.0, 48.0), phase=st.floats(0.0, 6.28))
def test_a_sine_is_crossed_where_it_should_be(period_h: float, phase: float) -> None:
    turns = np.arange(-2, 60)
    exact_h = (turns * np.pi - phase) * period_h / (2.0 * np.pi)
    exact_h = exact_h[(exact_h > 1e-3) & (exact_h < 24.0 - 1e-3)]
    got_h = found_h(lambda utc: np.sin(2.0 * np.pi * hours(utc) / period_h + phase))
    got_h = got_h[(got_h > 1e-3) & (got_h < 24.0 - 1e-3)]
    np.testing.assert_allclose(got_h, exact_h, atol=1e-4)


def test_rising_and_falling_are_told_apart() -> None:
    found = find_crossings(
        lambda utc: np.sin(2.0 * np.pi * hours(utc) / 24.0 - 1.0),
        START,
        START + DAY,
        step_s=600.0,
        tolerance_s=1.0,
    )
    assert found.is_rising.tolist() == [True, False]
    assert not found.is_up_at_start


@pytest.mark.parametrize("peak", [1e-6, 1e-4, 1e-2])
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_a_grazing_pair_between_two_samples_is_found(peak: float, sign: float) -> None:
    # A parabola that stands above nought for less than one step.
    middle_h = 7.083
    half_h = np.sqrt(peak)
    got = found_h(lambda utc: sign * (peak - (hours(utc) - middle_h) ** 2), tolerance_s=0.001)
    np.testing.assert_allclose(got, [middle_h - half_h, middle_h + half_h], atol=2e-5)


def test_a_turn_that_does_not_reach_nought_is_no_event() -> None:
    assert found_h(lambda utc: -1e-6 - (hours(utc) - 7.083) ** 2).size == 0


def test_a_kink_that_pokes_through_between_samples_is_found() -> None:
    got = found_h(lambda utc: 0.02 - np.abs(hours(utc) - 7.083))
    np.testing.assert_allclose(got, [7.063, 7.103], atol=1e-4)


def test_a_jump_is_closed_in_on() -> None:
    got = found_h(lambda utc: np.where(hours(utc) < 5.1234, -3.0, 9.0))
    np.testing.assert_allclose(got, [5.1234], atol=0.1 / 3600)


def test_a_spike_narrower_than_the_step_is_missed_as_stated() -> None:
    got = found_h(lambda utc: np.where(np.abs(hours(utc) - 5.05) < 0.01, 1.0, -1.0))
    assert got.size == 0


def test_no_crossing_tells_which_side_it_is() -> None:
    for level, is_up in ((1.0, True), (-1.0, False)):

        def flat(utc: UtcArray, level: float = level) -> FloatArray:
            return np.full(utc.shape, level)

        found = find_crossings(flat, START, START + DAY, step_s=3600.0, tolerance_s=1.0)
        assert found.utc.size == 0
        assert found.is_up_at_start is is_up


def test_the_last_moment_of_the_span_counts() -> None:
    got = found_h(lambda utc: hours(utc) - 23.999, step_s=7000.0)
    np.testing.assert_allclose(got, [23.999], atol=1e-4)


def test_an_instant_is_a_span_without_events() -> None:
    found = find_crossings(hours, START, START, step_s=60.0, tolerance_s=1.0)
    assert found.utc.size == 0
    assert found.is_up_at_start


def test_a_backward_span_is_refused() -> None:
    with pytest.raises(BadInputError, match="runs backward; give the earlier first"):
        find_crossings(hours, START + DAY, START, step_s=60.0, tolerance_s=1.0)
    with pytest.raises(BadInputError, match="runs backward"):
        find_crossings(hours, START, np.datetime64("NaT", "us"), step_s=60.0, tolerance_s=1.0)


def test_an_unknown_value_is_refused() -> None:
    with pytest.raises(BadInputError, match="not known"):
        find_crossings(
            lambda utc: np.full(utc.shape, np.nan),
            START,
            START + DAY,
            step_s=600.0,
            tolerance_s=1.0,
        )


def test_steps_and_tolerances_have_limits() -> None:
    with pytest.raises(OutOfRangeError, match="step is 0 s"):
        find_crossings(hours, START, START + DAY, step_s=0.0, tolerance_s=1.0)
    with pytest.raises(OutOfRangeError, match="tolerance is 1e-06 s"):
        find_crossings(hours, START, START + DAY, step_s=60.0, tolerance_s=1e-6)
