"""Gaps, uneven steps and the ruler of hours around sunrise."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.air.mist_hours import (
    BRIDGED_H,
    HELD_H,
    HOURS,
    bridge,
    hourly_steps,
    on_ruler,
    sample,
    to_hourly,
)
from shivelight.basis.errors import BadInputError

NAN = float("nan")


def test_short_gaps_are_bridged_straight_and_long_ones_left() -> None:
    row = np.array([[0.0, NAN, NAN, 3.0, NAN, NAN, NAN, NAN, 8.0]])
    np.testing.assert_allclose(bridge(row)[0, :4], [0.0, 1.0, 2.0, 3.0])
    assert np.isnan(bridge(row)[0, 4:8]).all()
    assert np.isnan(row[0, 1])


def test_ends_are_held_for_as_long_as_a_gap_is_bridged() -> None:
    row = np.array([[NAN, NAN, 5.0, 6.0, NAN, NAN, NAN]])
    np.testing.assert_allclose(bridge(row)[0], [5, 5, 5, 6, 6, 6, 6])
    longer = np.array([[5.0, *[NAN] * (BRIDGED_H + 1)]])
    held = bridge(longer)[0]
    np.testing.assert_allclose(held[: BRIDGED_H + 1], 5.0)
    assert np.isnan(held[-1])


def test_a_row_of_nothing_stays_nothing() -> None:
    assert np.isnan(bridge(np.full((2, 4), NAN))).all()


@given(start=st.floats(-25.0, -20.0), slope=st.floats(-2.0, 2.0))
def test_a_straight_series_stays_straight_on_the_ruler(start: float, slope: float) -> None:
    hourly = slope * (start + np.arange(34))[None, :]
    moved = on_ruler(np.asarray(hourly, dtype=np.float64), np.array([start]))
    np.testing.assert_allclose(moved[0], slope * HOURS, atol=1e-9)


def test_a_missing_hour_far_from_the_one_asked_does_not_spread() -> None:
    values = np.array([[1.0, NAN, 3.0]])
    np.testing.assert_array_equal(sample(values, np.array([[0.0, 2.0]])), [[1.0, 3.0]])
    assert np.isnan(sample(values, np.array([[0.5]]))[0, 0])


def test_a_late_start_is_unknown_before_and_a_short_end_is_held() -> None:
    moved = on_ruler(np.ones((1, 10)), np.array([-8.0]))[0]
    assert np.isnan(moved[-8.0 - BRIDGED_H > HOURS]).all()
    assert np.isfinite(moved[(HOURS >= -8.0) & (1.0 + HELD_H >= HOURS)]).all()


def test_three_hourly_steps_are_interpolated_and_longer_than_six_not() -> None:
    position = np.array([0.0, 3.0, 6.0, 14.0])
    hourly = to_hourly(np.array([[0.0, 3.0, 6.0, 14.0]]), position, 15)
    np.testing.assert_allclose(hourly[0, :7], np.arange(7.0))
    assert np.isnan(hourly[0, 7:14]).all()


def test_hours_that_do_not_rise_are_refused() -> None:
    utc = np.array(["2027-01-01T02:00", "2027-01-01T01:00"], "datetime64[m]")
    with pytest.raises(BadInputError, match="do not rise"):
        hourly_steps(utc)
    with pytest.raises(BadInputError, match="holds no hours"):
        hourly_steps(utc[:0])
