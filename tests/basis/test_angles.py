"""Angles on the compass."""

import math

import numpy as np
import pytest
from hypothesis import given

from shivelight.basis.angles import COMPASS_POINTS, compass_point, signed_difference_deg, wrap_deg
from tests import strategies as make

ANY_DEG = make.numbers(-1e6, 1e6)


@pytest.mark.parametrize(
    ("angle_deg", "wrapped_deg"),
    [(0.0, 0.0), (360.0, 0.0), (-90.0, 270.0), (725.0, 5.0), (-1e-17, 0.0), (359.5, 359.5)],
)
def test_angles_are_brought_into_one_turn(angle_deg: float, wrapped_deg: float) -> None:
    assert float(wrap_deg(angle_deg)) == wrapped_deg


def test_wrapping_takes_arrays_gaps_and_nothing() -> None:
    np.testing.assert_array_equal(
        wrap_deg([[-10.0, np.nan], [370.0, 10]]), [[350.0, np.nan], [10.0, 10.0]]
    )
    assert wrap_deg([]).shape == (0,)
    assert wrap_deg(5).dtype == np.float64


@given(angle_deg=ANY_DEG)
def test_a_wrapped_angle_points_the_same_way(angle_deg: float) -> None:
    wrapped_deg = float(wrap_deg(angle_deg))
    assert 0.0 <= wrapped_deg < 360.0
    turns = (angle_deg - wrapped_deg) / 360.0
    assert abs(turns - round(turns)) < 1e-9


@pytest.mark.parametrize(
    ("to_deg", "from_deg", "turn_deg"),
    [(10.0, 350.0, 20.0), (350.0, 10.0, -20.0), (180.0, 0.0, -180.0), (90.0, 90.0, 0.0)],
)
def test_the_shorter_turn_is_given(to_deg: float, from_deg: float, turn_deg: float) -> None:
    assert float(signed_difference_deg(to_deg, from_deg)) == turn_deg


def test_turns_broadcast_and_keep_gaps() -> None:
    turns = signed_difference_deg([[0.0], [90.0]], [10.0, np.nan])
    np.testing.assert_array_equal(turns, [[-10.0, np.nan], [80.0, np.nan]])
    assert signed_difference_deg([], 3.0).shape == (0,)


@given(to_deg=ANY_DEG, from_deg=ANY_DEG)
def test_turning_by_the_difference_arrives(to_deg: float, from_deg: float) -> None:
    turn_deg = float(signed_difference_deg(to_deg, from_deg))
    assert -180.0 <= turn_deg < 180.0
    missed_deg = math.remainder(from_deg + turn_deg - to_deg, 360.0)
    assert abs(missed_deg) < 1e-6


@pytest.mark.parametrize(
    ("azimuth_deg", "point"),
    [
        (0.0, "north"),
        (11.2, "north"),
        (11.25, "north-north-east"),
        (90.0, "east"),
        (118.0, "east-south-east"),
        (348.74, "north-north-west"),
        (348.75, "north"),
        (-45.0, "north-west"),
        (450.0, "east"),
    ],
)
def test_the_nearest_compass_point_is_named(azimuth_deg: float, point: str) -> None:
    assert compass_point(azimuth_deg) == point


def test_each_point_names_itself() -> None:
    named = [compass_point(22.5 * place) for place in range(16)]
    assert tuple(named) == COMPASS_POINTS
