"""Wishes and reach: what they allow, and what they refuse."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import BadInputError, NotFoundError, OutOfRangeError
from shivelight.scene.camera import Camera
from shivelight.scene.elements import ClosedGround, Role, SkyHole, Survey, trunk_at
from shivelight.scene.framing import (
    Framing,
    Reach,
    altitudes_deg,
    intruders_of,
    lenses_mm,
    name_in,
    offsets,
    subject_of,
)
from shivelight.scene.ground import is_inside, is_open
from tests.scene.valley import plumb_and_lean


@pytest.mark.parametrize(
    ("wish", "said"),
    [
        ({"parts": (("Plumb", "plumb"),)}, "Plumb is paired with itself"),
        (
            {"parts": (("A", "B"),), "keeps": (("b", "a"),)},
            "A and B should both part and stay overlapped; keep one wish.",
        ),
        ({"least_gap_deg": -0.1}, "least gap is -0.1 °"),
        ({"print_width_m": 0.0}, "width of the print is 0 m"),
        ({"focal_lengths_mm": (50.0, 0.0)}, "focal length is 0 mm"),
        ({"subject_place": (0.7, None, 0.1)}, "place of the subject across is 0.7"),
        ({"subject_place": (0.1, 3.0, 0.1)}, "place of the subject down is 3"),
        ({"subject_place": (0.1, None, 0.0)}, "miss allowed to the subject is 0"),
        ({"room_above_frac": 1.0}, "room above the subject is 1"),
        ({"border_frac": 0.5}, "border kept clear is 0.5"),
    ],
)
def test_wishes_that_contradict_or_mean_nothing_are_refused(
    wish: dict[str, Any], said: str
) -> None:
    with pytest.raises((BadInputError, OutOfRangeError)) as refused:
        Framing(**wish)
    assert said in str(refused.value)


@pytest.mark.parametrize(
    ("reach", "said"),
    [
        ({"left_m": -1.0}, "reach left is -1 m"),
        ({"forward_m": 200.0}, "reach forward is 200 m"),
        ({"step_m": 0.0}, "step is 0 m"),
        ({"low_m": 1.5, "high_m": 0.5}, "The lowest lens, 1.5 m, is above the highest, 0.5 m."),
        ({"low_m": 0.0}, "height of the lens is 0 m"),
        ({"left_m": 50.0, "step_m": 0.01}, "take steps of 0.12 m or more"),
    ],
)
def test_a_reach_that_cannot_be_walked_is_refused(reach: dict[str, float], said: str) -> None:
    with pytest.raises((BadInputError, OutOfRangeError)) as refused:
        Reach(**reach)
    assert said in str(refused.value)


@given(less=st.floats(0.0, 20.0), more=st.floats(0.0, 20.0), step=st.floats(0.05, 5.0))
def test_steps_pass_through_nought_and_stay_within(less: float, more: float, step: float) -> None:
    found = offsets(less, more, step)
    assert 0.0 in found
    assert found[0] >= -less - 1e-6
    assert found[-1] <= more + 1e-6
    np.testing.assert_allclose(np.diff(found), step, atol=1e-9)


def test_heights_run_from_the_lowest_to_the_highest() -> None:
    assert Reach().heights_m(1.1) == (1.1,)
    np.testing.assert_allclose(Reach(low_m=0.8, high_m=1.1).heights_m(1.4), [0.8, 0.9, 1.0, 1.1])
    np.testing.assert_allclose(Reach(low_m=1.0).heights_m(1.1), [1.0, 1.1])
    np.testing.assert_allclose(Reach(high_m=1.2).heights_m(1.1), [1.1, 1.2])
    assert Reach(high_m=0.7).heights_m(1.1) == (0.7,)


def test_altitudes_are_those_of_the_shortest_lens_for_every_lens() -> None:
    now = Camera(z_m=1.1)
    wide = altitudes_deg(Framing(focal_lengths_mm=(24.0,)), Reach(), now)
    both = altitudes_deg(Framing(focal_lengths_mm=(100.0, 24.0)), Reach(), now)
    assert wide == both
    assert wide[1] == pytest.approx(math.degrees(math.atan(0.5)))
    tilted = altitudes_deg(Framing(), Reach(tilt_deg=10.0), now)
    assert tilted[1] == pytest.approx(10.0 + math.degrees(math.atan(12.0 / 50.0)))
    assert lenses_mm(Framing(), now) == (50.0,)
    assert lenses_mm(Framing(focal_lengths_mm=(85.0, 35.0, 85.0)), now) == (35.0, 85.0)


def test_names_are_found_in_any_case_and_missing_ones_listed() -> None:
    survey = plumb_and_lean()
    assert name_in(survey, "PLUMB") == "Plumb"
    assert subject_of(survey, Framing()) == "Plumb"
    assert subject_of(survey, Framing(subject="pale")) == "Pale"
    assert subject_of(Survey(), Framing()) is None
    with pytest.raises(NotFoundError, match="the survey holds Stub, Crook, Plumb, Lean, Pale"):
        name_in(survey, "Oak")
    with pytest.raises(NotFoundError, match="the survey holds nothing"):
        name_in(Survey(), "Oak")


def test_intruders_are_those_with_the_role_and_all_holes_unless_named() -> None:
    twig = trunk_at("Twig", 8.0, distance_m=3.0, width_m=0.02, role=Role.INTRUDER)
    hole = SkyHole(name="Glare", angle_deg=0.0, altitude_deg=8.0, width_deg=1.0, height_deg=1.0)
    survey = Survey(trunks=(*plumb_and_lean().trunks, twig), holes=(hole,))
    assert intruders_of(survey, Framing()) == ("Twig", "Glare")
    assert intruders_of(survey, Framing(out=("stub",), hide=())) == ("Stub",)


def test_places_in_closed_ground_or_against_a_trunk_are_no_places() -> None:
    square = ClosedGround(name="Bed", corners_m=((0, 0), (2, 0), (2, 2), (0, 2)))
    ring = ClosedGround(name="Ring", centre_m=(5.0, 5.0), radius_m=1.0)
    oak = trunk_at("Oak", 0.0, distance_m=10.0, width_m=1.0)
    survey = Survey(trunks=(oak,), closed=(square, ring))
    places = np.array(
        [
            [1.0, 1.0, 1.4], [2.0, 1.0, 1.4], [0.0, 0.0, 1.4], [2.1, 1.0, 1.4], [1.0, -0.1, 1.4],
            [5.0, 6.0, 1.4], [5.0, 6.1, 1.4], [0.0, 9.3, 1.4], [0.0, 9.2, 1.4],
        ]
    )  # fmt: skip
    told = [False, False, False, True, True, False, True, False, True]
    assert is_open(survey, places).tolist() == told
    assert is_open(survey, np.empty((0, 3))).tolist() == []


@given(x=st.floats(-3.0, 3.0), y=st.floats(-3.0, 3.0))
def test_inside_corners_agrees_with_shapely(x: float, y: float) -> None:
    # Shapely (GEOS): an independent point-in-polygon test, for a bed that is not convex.
    from shapely.geometry import Point, Polygon

    corners = ((-2.0, -2.0), (2.0, -2.0), (2.0, 2.0), (0.0, 0.0), (-2.0, 2.0))
    bed = ClosedGround(name="Bed", corners_m=corners)
    there = Polygon(corners)
    if there.exterior.distance(Point(x, y)) > 1e-6:
        found = is_inside(bed, np.array([x]), np.array([y]))[0]
        assert bool(found) == there.contains(Point(x, y))
