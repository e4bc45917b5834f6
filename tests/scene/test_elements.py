"""Elements refuse what cannot stand in a wood, in a sentence."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import BadInputError, OutOfRangeError
from shivelight.scene.elements import (
    ClosedGround,
    Doubt,
    Role,
    Segment,
    SkyHole,
    Slope,
    Survey,
    Trunk,
    trunk_at,
)


@given(angle=st.floats(-179.0, 179.0), away=st.floats(0.5, 1500.0))
def test_angle_and_distance_come_back(angle: float, away: float) -> None:
    trunk = trunk_at("Oak", angle, distance_m=away, width_m=0.4)
    assert trunk.angle_deg == pytest.approx(angle, abs=1e-9)
    assert trunk.distance_m == pytest.approx(away)


@given(
    angle=st.floats(-179.0, 179.0), right=st.floats(-60.0, 60.0), away=st.floats(-60.0, 60.0),
    rise=st.floats(-0.5, 0.5),
)  # fmt: skip
def test_a_lean_is_judged_from_the_mark(
    angle: float, right: float, away: float, rise: float
) -> None:
    trunk = trunk_at(
        "Oak", angle, distance_m=9.0, width_m=0.4, height_m=10.0,
        lean_right_deg=right, lean_away_deg=away,
    )  # fmt: skip
    slope = Slope(rise_right_frac=rise, rise_forward_frac=rise)
    foot, top = (np.array(end) for end in trunk.ends_m(slope))
    assert foot[2] == pytest.approx(slope.height_m(foot[0], foot[1]))
    leant = top - foot
    sight = np.array([math.sin(math.radians(angle)), math.cos(math.radians(angle))])
    across = np.array([sight[1], -sight[0]])
    assert leant[2] == pytest.approx(10.0)
    assert leant[:2] @ across == pytest.approx(10.0 * math.tan(math.radians(right)), abs=1e-9)
    assert leant[:2] @ sight == pytest.approx(10.0 * math.tan(math.radians(away)), abs=1e-9)


def test_an_upright_trunk_stands_plumb_over_its_foot() -> None:
    foot, top = trunk_at("Oak", 30.0, distance_m=9.0, width_m=0.4).ends_m(Slope())
    assert foot[:2] == top[:2]


def test_trunks_in_each_other_are_refused_with_both_names() -> None:
    one = trunk_at("Plumb", 0.0, distance_m=7.0, width_m=0.55)
    other = trunk_at("Lean", 1.0, distance_m=7.1, width_m=0.42)
    with pytest.raises(
        BadInputError,
        match=r"Plumb and Lean stand in each other: 0\.16 m apart, 0\.55 m and 0\.42 m wide\. "
        "Measure one again",
    ):
        Survey(trunks=(one, other))
    beside = trunk_at("Lean", 0.0, distance_m=7.0 + 0.485, width_m=0.42)
    assert Survey(trunks=(one, beside)).names == ("Plumb", "Lean")


def test_trunks_that_lean_through_each_other_are_refused() -> None:
    one = trunk_at("Crook", -2.0, distance_m=7.0, width_m=0.3, lean_right_deg=10.0)
    other = trunk_at("Plumb", 2.0, distance_m=7.0, width_m=0.3, lean_right_deg=-10.0)
    with pytest.raises(BadInputError, match="lean through each other at the height of a chest"):
        Survey(trunks=(one, other))
    away = trunk_at("Plumb", 2.0, distance_m=7.0, width_m=0.3, lean_right_deg=10.0)
    assert len(Survey(trunks=(one, away)).trunks) == 2


def test_one_name_for_two_is_refused_across_kinds_and_cases() -> None:
    trunk = trunk_at("Glare", 0.0, distance_m=7.0, width_m=0.5)
    hole = SkyHole(name="glare", angle_deg=0.0, altitude_deg=5.0, width_deg=1.0, height_deg=1.0)
    with pytest.raises(BadInputError, match="Two elements are named glare; give each its own"):
        Survey(trunks=(trunk,), holes=(hole,))


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"width_m": 0.0}, "width of Oak is 0 m; it must be 0.005 to 20 m"),
        ({"width_m": -0.4}, "width of Oak is -0.4 m"),
        ({"width_m": math.nan}, "width of Oak is nan m"),
        ({"height_m": 0.0}, "height of Oak is 0 m"),
        ({"lean_right_deg": 85.0}, "lean of Oak is 85 °"),
        ({"lean_away_deg": -85.0}, "lean of Oak is -85 °"),
    ],
)
def test_a_trunk_of_no_size_is_refused(more: dict[str, float], said: str) -> None:
    with pytest.raises(OutOfRangeError) as refused:
        trunk_at("Oak", 0.0, distance_m=7.0, **{"width_m": 0.4, **more})
    assert said in str(refused.value)


def test_a_trunk_round_the_lens_is_refused() -> None:
    with pytest.raises(BadInputError, match="Oak stands where the lens is"):
        trunk_at("Oak", 0.0, distance_m=0.2, width_m=0.5)
    with pytest.raises(OutOfRangeError, match="distance of Oak is 0 m"):
        trunk_at("Oak", 0.0, distance_m=0.0, width_m=0.5)
    with pytest.raises(OutOfRangeError, match="place of Oak is 3000 m"):
        Trunk(name="Oak", x_m=3000.0, y_m=1.0, width_m=0.5)


@pytest.mark.parametrize("name", ["", "  ", "two\nlines"])
def test_a_name_is_one_line(name: str) -> None:
    with pytest.raises(BadInputError, match="needs a name on one line"):
        trunk_at(name, 0.0, distance_m=5.0, width_m=0.4)


def test_a_segment_has_two_ends_and_a_width() -> None:
    with pytest.raises(BadInputError, match="Log begins where it ends; give its two ends"):
        Segment(name="Log", start_m=(1.0, 2.0, 0.0), end_m=(1.0, 2.0, 0.0), width_m=0.2)
    with pytest.raises(OutOfRangeError, match="width of Log is 0 m"):
        Segment(name="Log", start_m=(1.0, 2.0, 0.0), end_m=(2.0, 2.0, 0.0), width_m=0.0)
    with pytest.raises(OutOfRangeError, match="height of Log is 200 m"):
        Segment(name="Log", start_m=(1.0, 2.0, 0.0), end_m=(2.0, 2.0, 200.0), width_m=0.1)


def test_closed_ground_is_inside_corners_or_a_ring() -> None:
    with pytest.raises(BadInputError, match="Bells is closed either inside three corners"):
        ClosedGround(name="Bells")
    with pytest.raises(BadInputError, match="give one of them"):
        ClosedGround(name="Bells", corners_m=((0, 0), (1, 0), (0, 1)), radius_m=2.0)
    with pytest.raises(OutOfRangeError, match="ring of Bells is -1 m"):
        ClosedGround(name="Bells", radius_m=-1.0)


def test_doubts_holes_slopes_have_limits() -> None:
    with pytest.raises(OutOfRangeError, match="doubt of the angle is 60 °"):
        Doubt(angle_deg=60.0)
    with pytest.raises(OutOfRangeError, match="width of Glare is 0 °"):
        SkyHole(name="Glare", angle_deg=0.0, altitude_deg=0.0, width_deg=0.0, height_deg=1.0)
    with pytest.raises(OutOfRangeError, match="rise of the ground forward is 4 m/m"):
        Slope(rise_forward_frac=4.0)
    with pytest.raises(OutOfRangeError, match=r"doubt of the scale is 0\.9"):
        Survey(scale_doubt_frac=0.9)


def test_the_subject_is_the_first_that_is_called_so() -> None:
    oak = trunk_at("Oak", 0.0, distance_m=7.0, width_m=0.5)
    log = Segment(
        name="Log", start_m=(1.0, 4.0, 0.0), end_m=(2.0, 4.0, 0.0), width_m=0.2, role=Role.SUBJECT
    )
    assert Survey(trunks=(oak,)).subject is None
    assert Survey(trunks=(oak,), segments=(log,)).subject == log
