"""Anchors from words."""

import pytest

from shivelight.basis.errors import BadInputError
from shivelight.intake.anchors import (
    read_angle_between,
    read_bearing_to,
    read_distance_to,
    read_transit,
)
from shivelight.intake.measures import Hands
from shivelight.outing.marks import NotedTransit
from shivelight.scene.anchors import Side

HANDS = Hands(view_azimuth_deg=205.0)


@pytest.mark.parametrize(
    "text",
    [
        "Plumb left / Lean right",
        "Plumb's left edge in line with Lean's right edge",
        "left edge of Plumb just touches Lean right",
        "the left edge of Plumb touches the right edge of Lean",
    ],
)
def test_one_transit_in_many_words(text: str) -> None:
    read = read_transit(text)
    assert read.transit == NotedTransit(
        near="Plumb", near_side=Side.LEFT, far="Lean", far_side=Side.RIGHT
    )
    assert read.opened is None


def test_middles_and_names_of_many_words() -> None:
    line = read_transit("white post / split birch left").transit
    assert (line.near, line.near_side) == ("white post", Side.MIDDLE)
    assert (line.far, line.far_side) == ("split birch", Side.LEFT)


def test_what_a_mark_says_of_itself_is_read_back() -> None:
    line = NotedTransit(near="gate posts", near_side=Side.RIGHT, far="Pale")
    assert read_transit(line.words).transit == line


def test_a_transit_that_has_opened() -> None:
    read = read_transit("Plumb left / Lean right = 2 fingers right")
    assert read.opened is not None
    assert (read.opened.angle_deg, read.opened.doubt_deg) == (3.0, 1.0)


def test_distances_bearings_and_angles() -> None:
    name, length = read_distance_to("gate post = 10 paces")
    assert (name, length.length_m) == ("gate post", 7.5)
    name, angle = read_bearing_to("gate post=215", hands=HANDS)
    assert (name, angle.angle_deg, angle.doubt_deg) == ("gate post", 10.0, 2.0)
    left, right, between = read_angle_between("Crook to Plumb=6", hands=HANDS)
    assert (left, right, between.angle_deg) == ("Crook", "Plumb", 6.0)
    assert read_angle_between("Crook to Plumb=1 fist", hands=HANDS)[2].angle_deg == 10.0


@pytest.mark.parametrize("text", ["", "Plumb", "Plumb / ", "a / b / c", "/"])
def test_what_is_no_transit_is_told(text: str) -> None:
    with pytest.raises(BadInputError, match="the near thing, a stroke and the far one"):
        read_transit(text)


@pytest.mark.parametrize("text", ["Plumb", "=7", "Plumb="])
def test_what_has_no_name_or_no_length_is_told(text: str) -> None:
    with pytest.raises(BadInputError, match="write a name, = and the distance"):
        read_distance_to(text)


def test_an_angle_names_two_things() -> None:
    with pytest.raises(BadInputError, match="names no two things"):
        read_angle_between("Crook=6", hands=HANDS)
