"""Spots: what they refuse, and their wishes apart."""

from dataclasses import replace

import pytest
from hypothesis import given

from shivelight.basis.errors import BadInputError, OutOfRangeError
from shivelight.basis.places import Position
from shivelight.basis.records import from_plain, to_plain
from shivelight.outing.spots import Sight, Spot
from shivelight.outing.wishes import parse_wish
from tests import strategies as make

TWO_WATERS = Spot(
    name="Two Waters",
    wood="Ottermire Carr",
    position=Position(latitude_deg=53.0, longitude_deg=-5.1),
    view_azimuth_deg=80.0,
    wishes=(
        parse_wish("still air", must=True),
        parse_wish("sky overcast", must=False),
        parse_wish("mist 50 to 300 m", must=True),
    ),
)


@given(spot=make.spots())
def test_a_spot_goes_through_plain_json(spot: Spot) -> None:
    assert from_plain(Spot, to_plain(spot)) == spot


@given(spot=make.spots())
def test_each_wish_is_a_must_or_a_would_like(spot: Spot) -> None:
    assert sorted(map(repr, spot.musts + spot.would_likes)) == sorted(map(repr, spot.wishes))
    assert all(wish.must for wish in spot.musts)
    assert not any(wish.must for wish in spot.would_likes)


def test_musts_keep_their_order() -> None:
    assert [wish.words for wish in TWO_WATERS.musts] == ["still air", "mist 50 to 300 m"]
    assert [wish.words for wish in TWO_WATERS.would_likes] == ["sky overcast"]


@pytest.mark.parametrize(
    ("name", "value", "sentence"),
    [
        ("view_azimuth_deg", 361.0, "bearing of view is 361 °; it must be 0 to 360 °"),
        ("view_azimuth_deg", float("nan"), "bearing of view is nan"),
        ("lens_height_m", 0.0, "lens height is 0 m; it must be 0.05 to 10 m"),
        ("focal_length_mm", 0.5, "focal length is 0.5 mm; it must be 1 to 2000 mm"),
        ("sensor_width_mm", 201.0, "sensor width is 201 mm"),
        ("walk_min", -1.0, "walk is -1 min; it must be 0 to 1440 min"),
    ],
)
def test_numbers_have_limits(name: str, value: float, sentence: str) -> None:
    fields = {slot: getattr(TWO_WATERS, slot) for slot in Spot.__slots__}
    with pytest.raises(OutOfRangeError, match=sentence):
        Spot(**{**fields, name: value})


def test_a_spot_has_a_name() -> None:
    with pytest.raises(BadInputError, match="A spot needs a name on one line"):
        replace(TWO_WATERS, name="")


@pytest.mark.parametrize(("azimuth_deg", "again_deg"), [(90.0, 90.0), (0.0, 360.0)])
def test_two_heights_toward_one_bearing_are_refused(azimuth_deg: float, again_deg: float) -> None:
    low = Sight(azimuth_deg=azimuth_deg, altitude_deg=2.0)
    high = Sight(azimuth_deg=again_deg, altitude_deg=3.0)
    with pytest.raises(BadInputError, match=r"skyline of Two Waters has two heights at \d+°"):
        replace(TWO_WATERS, sights=(low, high))
    same = replace(high, altitude_deg=2.0)
    assert replace(TWO_WATERS, sights=(low, same)).sights == (low, same)


@pytest.mark.parametrize(
    ("azimuth_deg", "altitude_deg", "sentence"),
    [
        (361.0, 2.0, "bearing is 361"),
        (90.0, 91.0, "skyline height is 91"),
        (90.0, -31.0, "is -31"),
    ],
)
def test_a_sight_has_limits(azimuth_deg: float, altitude_deg: float, sentence: str) -> None:
    with pytest.raises(OutOfRangeError, match=sentence):
        Sight(azimuth_deg=azimuth_deg, altitude_deg=altitude_deg)
