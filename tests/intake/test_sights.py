"""Skyline heights in degrees and in hands."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import BadInputError, OutOfRangeError, ShivelightError
from shivelight.intake.sights import (
    USUAL_HAND,
    HandSpan,
    bearing_deg,
    hand_deg,
    read_sight_lines,
)


@pytest.mark.parametrize(
    ("text", "degrees"),
    # TRADE 3.2, general trade knowledge: little finger 1, three fingers 5, fist 10, span 20.
    [
        ("1 finger", 1.0), ("3 fingers", 5.0), ("a fist", 10.0), ("fist", 10.0), ("1 span", 20.0),
        ("2 fists 1 finger", 21.0), ("two fists and a little finger", 21.0),
        ("a span and three fingers", 25.0), ("half a fist", 5.0), ("½ fist", 5.0),
        ("1,5 fists", 15.0), ("1 fist, 1 finger", 11.0), ("2 fingers", 3.0),
        ("12.5", 12.5), ("12,5", 12.5), ("12.5°", 12.5), ("12 degrees", 12.0), ("-1.5", -1.5),
        ("−1.5 deg", -1.5),
    ],
)  # fmt: skip
def test_heights(text: str, degrees: float) -> None:
    assert hand_deg(text) == pytest.approx(degrees)


@pytest.mark.parametrize(
    "text", ["", "high", "3 potatoes", "2 fists x", "x 2 fists", "1 2", "fists2"]
)
def test_what_is_no_height(text: str) -> None:
    with pytest.raises(BadInputError, match="is not read"):
        hand_deg(text)


def test_ones_own_hand_scales_all_of_it() -> None:
    hand = USUAL_HAND.scaled("fist", 9.0)
    assert hand_deg("2 fists", hand=hand) == pytest.approx(18.0)
    assert hand_deg("1 finger", hand=hand) == pytest.approx(0.9)
    assert hand_deg("9", hand=hand) == 9.0


def test_a_hand_measured_part_by_part() -> None:
    hand = HandSpan(finger_deg=1.2, three_fingers_deg=5.4, fist_deg=9.5, span_deg=21.0)
    assert hand_deg("1 fist 3 fingers", hand=hand) == pytest.approx(14.9)


def test_a_hand_that_is_none() -> None:
    with pytest.raises(BadInputError, match="a finger must cover less than three"):
        HandSpan(finger_deg=6.0)
    with pytest.raises(OutOfRangeError, match="the fist at arm's length is 60 °"):
        HandSpan(fist_deg=60.0)
    with pytest.raises(OutOfRangeError, match="the finger at arm's length is 4 °"):
        USUAL_HAND.scaled("finger", 4.0)
    with pytest.raises(BadInputError, match="has no 'elbow' here"):
        USUAL_HAND.scaled("elbow", 4.0)


@pytest.mark.parametrize(
    ("text", "degrees"),
    [("95", 95.0), ("95.5°", 95.5), ("95,5", 95.5), ("360", 0.0), ("E", 90.0), ("ese", 112.5),
     ("south-east", 135.0), ("North North East", 22.5), ("NNW", 337.5)],
)  # fmt: skip
def test_bearings(text: str, degrees: float) -> None:
    assert bearing_deg(text) == degrees


@pytest.mark.parametrize("text", ["", "over there", "361", "-5", "EE"])
def test_what_is_no_bearing(text: str) -> None:
    with pytest.raises(BadInputError, match=r"is not read|not on the compass"):
        bearing_deg(text)


def test_lines_of_every_sort() -> None:
    bearings, heights = read_sight_lines(
        [
            "bearing, height", "", "# the farm roof", "95: 1 fist 2 fingers", "E 9", "100 12.5",
            "105,12.5", "110; 12,5", "115\t3 fingers", "120,5 8", "125, 12,5", "130: 4 # barn",
            "east-south-east 9",
        ]
    )  # fmt: skip
    np.testing.assert_allclose(bearings, [95, 90, 100, 105, 110, 115, 120.5, 125, 130, 112.5])
    np.testing.assert_allclose(heights, [13, 9, 12.5, 12.5, 12.5, 5, 8, 12.5, 4, 9])


def test_a_finger_of_ones_own() -> None:
    _, heights = read_sight_lines(["95: 1 fist 1 finger"], finger_deg=1.2)
    np.testing.assert_allclose(heights, [13.2])


def test_the_line_that_is_not_read_is_named() -> None:
    with pytest.raises(BadInputError, match="Line 2: The height 'potato' is not read"):
        read_sight_lines(["95: 3", "96: potato"])
    with pytest.raises(BadInputError, match="Line 1 is '95'"):
        read_sight_lines(["95"])
    with pytest.raises(BadInputError, match="Line 3: The bearing 400° is not on the compass"):
        read_sight_lines(["95: 3", "", "400: 2"])


def test_no_lines() -> None:
    with pytest.raises(BadInputError, match="No heights were typed"):
        read_sight_lines(["", "# nothing"])


@given(st.lists(st.text(max_size=20), max_size=4))
def test_any_lines_are_read_or_refused_in_a_sentence(lines: list[str]) -> None:
    try:
        bearings, heights = read_sight_lines(lines)
    except ShivelightError as why:
        assert str(why).endswith(".")  # noqa: PT017  either outcome is right
    else:
        assert bearings.shape == heights.shape
        assert np.isfinite(heights).all()
