"""Lengths and angles as they are measured in a wood."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import BadInputError, OutOfRangeError
from shivelight.intake.measures import (
    Hands,
    read_altitude,
    read_angle,
    read_length,
    read_rise,
    read_width,
)


@pytest.mark.parametrize(
    ("text", "length_m", "doubt_m"),
    [
        ("7", 7.0, 0.07),
        ("7,5 m", 7.5, 0.075),
        ("65 cm", 0.65, 0.01),
        ("10 paces", 7.5, 0.375),
        ("23 ft", 7.0104, 0.070104),
        ("6 ft 3 in", 1.905, 0.01905),
        ("6'3\"", 1.905, 0.01905),
        ("2 yards", 1.8288, 0.018288),
        ("7 m ± 0.2", 7.0, 0.2),
        ("10 paces +- 1 pace", 7.5, 0.75),
    ],
)
def test_lengths(text: str, length_m: float, doubt_m: float) -> None:
    read = read_length(text)
    assert read.length_m == pytest.approx(length_m)
    assert read.doubt_m == pytest.approx(doubt_m)


def test_ones_own_pace_counts() -> None:
    assert read_length("12 paces", hands=Hands(pace_m=0.82)).length_m == pytest.approx(9.84)


def test_a_tape_that_ends_at_the_bark() -> None:
    read = read_length("6.7 m to the bark")
    assert (read.length_m, read.to_bark) == (6.7, True)


@pytest.mark.parametrize("text", ["", "far", "7 furlongs", "7 m left", "ten", "7 ±", "7 8"])
def test_what_is_no_length_is_told(text: str) -> None:
    with pytest.raises(BadInputError, match=r"write it like 7 m, 23 ft|write by how much"):
        read_length(text)


@pytest.mark.parametrize(
    ("text", "angle_deg", "doubt_deg"),
    [
        ("-10.5", -10.5, 0.5),
        ("10.5° left", -10.5, 0.5),
        ("3 to the right", 3.0, 0.5),
        ("1 fist right", 10.0, 1.0),
        ("2 fingers left", -3.0, 1.0),
        ("ahead", 0.0, 0.5),
        ("at 118°", -87.0, 2.0),
        ("at S", -25.0, 2.0),
        ("1.1 ± 0.05", 1.1, 0.05),
    ],
)
def test_angles(text: str, angle_deg: float, doubt_deg: float) -> None:
    read = read_angle(text, hands=Hands(view_azimuth_deg=205.0))
    assert read.angle_deg == pytest.approx(angle_deg)
    assert read.doubt_deg == pytest.approx(doubt_deg)


def test_hands_want_a_side() -> None:
    with pytest.raises(BadInputError, match="'1 fist' needs a side"):
        read_angle("1 fist")


@pytest.mark.parametrize("text", ["over there", "right", ""])
def test_what_is_no_angle_is_told(text: str) -> None:
    with pytest.raises(BadInputError, match="is not read"):
        read_angle(text)


def test_a_minus_and_a_side_are_one_too_many() -> None:
    with pytest.raises(BadInputError, match="both a minus and a side"):
        read_angle("-3 left")


def test_an_angle_behind_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="angle is 200 °"):
        read_angle("200")


@given(angle_deg=st.floats(-180.0, 180.0).map(lambda one: round(one, 6)))
def test_left_and_right_mirror(angle_deg: float) -> None:
    size = f"{abs(angle_deg):.6f}"
    left, right = read_angle(f"{size} left"), read_angle(f"{size} right")
    assert left.angle_deg == -right.angle_deg


def test_altitudes() -> None:
    assert read_altitude("12").angle_deg == 12.0
    assert read_altitude("1 fist up").angle_deg == 10.0
    assert read_altitude("3 below").angle_deg == -3.0


@pytest.mark.parametrize(
    ("text", "width_m", "doubt_m"),
    [
        ("0.55", 0.55, 0.01),
        ("55 cm", 0.55, 0.01),
        ("girth 1.73 m", 1.73 / math.pi, 0.0173 / math.pi),
        ("3 deg", 2.0 * 10.0 * math.tan(math.radians(1.5)), 10.0 * math.radians(0.5)),
        ("a finger", 2.0 * 10.0 * math.tan(math.radians(0.5)), 10.0 * math.radians(1.0)),
    ],
)
def test_widths(text: str, width_m: float, doubt_m: float) -> None:
    read = read_width(text, distance_m=10.0)
    assert read.length_m == pytest.approx(width_m)
    assert read.doubt_m == pytest.approx(doubt_m)


@pytest.mark.parametrize(
    ("text", "rise_frac"),
    [
        ("1 in 8", 0.125),
        ("1:8 down", -0.125),
        ("45", 1.0),
        ("45° falling", -1.0),
        ("level", 0.0),
        ("0.12 m/m", 0.12),
    ],
)
def test_rises(text: str, rise_frac: float) -> None:
    assert read_rise(text) == pytest.approx(rise_frac)


def test_what_is_no_slope_is_told() -> None:
    with pytest.raises(BadInputError, match="write '1 in 8'"):
        read_rise("steep")


def test_a_pace_that_no_leg_makes_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="pace is 3 m"):
        Hands(pace_m=3.0)
