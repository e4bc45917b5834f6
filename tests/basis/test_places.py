"""Positions on the ground, distances and bearings between them."""

import numpy as np
import pytest
from hypothesis import assume, given

from shivelight.basis.errors import OutOfRangeError
from shivelight.basis.places import (
    Position,
    destination,
    distance_and_azimuth,
    rounded_to_district,
)
from tests import strategies as make

HERE = Position(latitude_deg=53.0, longitude_deg=-5.1)


@pytest.mark.parametrize(
    ("parts", "sentence"),
    [
        (
            {"latitude_deg": 90.1, "longitude_deg": 0.0},
            "latitude is 90.1 °; it must be -90 to 90 °",
        ),
        ({"latitude_deg": 0.0, "longitude_deg": -181.0}, "East is positive, west negative"),
        ({"latitude_deg": 0.0, "longitude_deg": float("nan")}, "longitude is nan"),
        (
            {"latitude_deg": 0.0, "longitude_deg": 0.0, "ground_height_m": 9001.0},
            "ground height is 9001 m",
        ),
    ],
)
def test_a_position_lies_on_the_earth(parts: dict[str, float], sentence: str) -> None:
    with pytest.raises(OutOfRangeError, match=sentence):
        Position(**parts)


def test_geodesic_from_new_york_to_singapore() -> None:
    start = Position(latitude_deg=dms(40, 38, 23), longitude_deg=-dms(73, 46, 44))
    end = Position(latitude_deg=dms(1, 21, 33), longitude_deg=dms(103, 59, 22))
    distance_m, azimuth_deg = distance_and_azimuth(start, end)
    # GeographicLib, GeodSolve(1) manual page, EXAMPLES: prints 003:18:29.9 and 15347628.
    assert distance_m == pytest.approx(15_347_628.0, abs=0.5, rel=0)
    assert azimuth_deg == pytest.approx(dms(3, 18, 29.9), abs=0.05 / 3600.0, rel=0)


def dms(degrees: float, minutes: float, seconds: float) -> float:
    return degrees + minutes / 60.0 + seconds / 3600.0


def test_a_place_is_no_way_from_itself() -> None:
    assert distance_and_azimuth(HERE, HERE) == (0.0, 0.0)


@pytest.mark.parametrize(
    ("azimuth_deg", "north", "east"), [(0.0, 1, 0), (90.0, 0, 1), (180.0, -1, 0), (270.0, 0, -1)]
)
def test_bearings_run_clockwise_from_north(azimuth_deg: float, north: int, east: int) -> None:
    there = destination(HERE, azimuth_deg=azimuth_deg, distance_m=1000.0)
    assert np.sign(round(there.latitude_deg - HERE.latitude_deg, 4)) == north
    assert np.sign(round(there.longitude_deg - HERE.longitude_deg, 4)) == east
    assert there.ground_height_m is None


@given(
    start=make.positions(), azimuth_deg=make.numbers(0.0, 359.9), distance_m=make.numbers(1.0, 1e6)
)
def test_going_there_is_as_far_and_the_same_way(
    start: Position, azimuth_deg: float, distance_m: float
) -> None:
    assume(abs(start.latitude_deg) < 80.0)  # near a pole a bearing turns as one walks
    end = destination(start, azimuth_deg=azimuth_deg, distance_m=distance_m)
    back_m, back_deg = distance_and_azimuth(start, end)
    assert back_m == pytest.approx(distance_m, abs=1e-3, rel=0)
    missed_deg = abs((back_deg - azimuth_deg + 180.0) % 360.0 - 180.0)
    assert missed_deg * distance_m < 1.0  # within a centimetre or two sideways


@given(start=make.positions(), end=make.positions())
def test_the_way_back_is_as_far(start: Position, end: Position) -> None:
    there_m, _ = distance_and_azimuth(start, end)
    back_m, _ = distance_and_azimuth(end, start)
    assert there_m == pytest.approx(back_m, abs=1e-3, rel=0)


@given(position=make.positions())
def test_a_district_does_not_give_the_place_away(position: Position) -> None:
    assume(abs(position.latitude_deg) < 85.0)
    latitude_deg, longitude_deg = rounded_to_district(position)
    middle = Position(
        latitude_deg=latitude_deg, longitude_deg=max(min(longitude_deg, 360.0), -180.0)
    )
    assert rounded_to_district(middle) == pytest.approx((latitude_deg, longitude_deg), abs=0.2)
    distance_m, _ = distance_and_azimuth(position, middle)
    assert distance_m < 7_500.0  # half the diagonal of ten kilometres, and the Earth's flattening


def test_places_in_one_square_become_one_place() -> None:
    near = destination(HERE, azimuth_deg=30.0, distance_m=300.0)
    assert rounded_to_district(near) == rounded_to_district(HERE)
    far = destination(HERE, azimuth_deg=30.0, distance_m=15_000.0)
    assert rounded_to_district(far) != rounded_to_district(HERE)


def test_a_finer_square_may_be_asked_for() -> None:
    latitude_deg, longitude_deg = rounded_to_district(HERE, square_m=1000.0)
    middle = Position(latitude_deg=latitude_deg, longitude_deg=longitude_deg)
    assert distance_and_azimuth(HERE, middle)[0] < 750.0
