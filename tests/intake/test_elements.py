"""Elements from words, one by one and as a table."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import BadInputError, OutOfRangeError, ShivelightError
from shivelight.intake.elements import Element, element_from
from shivelight.intake.elements_table import read_elements, write_elements
from shivelight.intake.measures import Hands
from shivelight.scene.elements import (
    ClosedGround,
    Doubt,
    Role,
    Segment,
    SkyHole,
    Trunk,
    trunk_at,
)

HANDS = Hands(pace_m=0.75, view_azimuth_deg=205.0)


def made(**said: str) -> Element:
    return element_from({key.replace("_", " "): one for key, one in said.items()}, hands=HANDS)[0]


def test_a_trunk_by_paces_and_fists() -> None:
    one, how = element_from(
        {"name": "Crook", "angle": "1 fist left", "distance": "12 paces", "width": "60 cm",
         "role": "companion", "lean": "3 right", "lean away": "2 toward me"},
        hands=HANDS,
    )  # fmt: skip
    assert isinstance(one, Trunk)
    assert one.distance_m == pytest.approx(9.0)
    assert one.angle_deg == pytest.approx(-10.0)
    assert one.doubt.distance_m == pytest.approx(0.45)
    assert (one.doubt.angle_deg, one.doubt.width_m) == (1.0, 0.01)
    assert (one.lean_right_deg, one.lean_away_deg) == (3.0, -2.0)
    assert how == "angle 1 fist left, distance 12 paces, width 60 cm"


def test_a_tape_to_the_bark_has_half_the_trunk_to_go() -> None:
    one = made(name="Plumb", angle="0", distance="6.725 m to the bark", width="0.55")
    assert isinstance(one, Trunk)
    assert one.distance_m == pytest.approx(7.0)


def test_a_branch_has_two_ends_in_space() -> None:
    one = made(
        kind="branch", name="twig", **{"from": "30 left / 2 m / 1.5 m"}, to="ahead; 2 m; 1.7 m",
        width="3 cm",
    )  # fmt: skip
    assert isinstance(one, Segment)
    assert one.start_m == pytest.approx((-1.0, math.sqrt(3.0), 1.5))
    assert one.end_m == pytest.approx((0.0, 2.0, 1.7))
    assert one.role is Role.INTRUDER


def test_a_hole_in_the_leaves() -> None:
    one = made(kind="hole", name="bright gap", angle="2 right", altitude="1 fist", size="2 x 3")
    assert isinstance(one, SkyHole)
    assert (one.angle_deg, one.altitude_deg) == (2.0, 10.0)
    assert (one.width_deg, one.height_deg) == (2.0, 3.0)


def test_closed_ground_and_a_ring() -> None:
    bed = made(
        kind="closed", name="bluebells",
        corners="10 left / 3 m | 20 right / 3 m | 20 right / 6 m",
    )  # fmt: skip
    assert isinstance(bed, ClosedGround)
    assert len(bed.corners_m) == 3
    ring = made(kind="ring", name="badger sett", angle="at 295", distance="4 m", radius="10 m")
    assert isinstance(ring, ClosedGround)
    assert ring.centre_m == pytest.approx((4.0, 0.0), abs=1e-9)
    assert ring.radius_m == 10.0


def test_a_courtesy_ring_round_an_old_tree_is_fifteen_widths() -> None:
    oak = trunk_at("Old Chair", 5.0, distance_m=25.0, width_m=1.2)
    ring, _ = element_from({"kind": "ring", "name": "old chair"}, hands=HANDS, trunks=[oak])
    assert isinstance(ring, ClosedGround)
    assert ring.name == "ring of Old Chair"
    assert ring.radius_m == pytest.approx(18.0)
    assert ring.centre_m == (oak.x_m, oak.y_m)


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"name": "Plumb", "distance": "7", "width": "0.5"}, "The angle of Plumb is missing"),
        ({"name": "Plumb", "angle": "0", "width": "0.5"}, "The distance of Plumb is missing"),
        ({"angle": "0", "distance": "7"}, "A name is missing"),
        ({"kind": "shrub", "name": "x"}, "'shrub' is not one of: trunk"),
        (
            {"name": "P", "angle": "0", "distance": "7", "width": "0.5", "role": "hero"},
            "The role 'hero' is not one of",
        ),
        ({"kind": "branch", "name": "twig", "from": "2 left / 3 / 1"}, "Where twig ends"),
        (
            {"kind": "branch", "name": "twig", "from": "2 left / 3", "to": "0 / 1 / 1",
             "width": "1 cm"},
            "write angle / distance / height",
        ),
        ({"kind": "closed", "name": "bed", "corners": "0 / 2 | 9 / 2"}, "bed has 2 corners"),
        ({"kind": "ring", "name": "Oak"}, "or the name of a trunk that is there is missing"),
        ({"kind": "ring", "name": "Oak", "angle": "0", "distance": "9"}, "needs a radius"),
    ],
)  # fmt: skip
def test_what_is_missing_or_not_read_is_told(said: dict[str, str], sentence: str) -> None:
    with pytest.raises(BadInputError, match=sentence):
        element_from(said, hands=HANDS)


def test_a_width_of_nothing_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="width of Plumb is 0 m"):
        made(name="Plumb", angle="0", distance="7", width="0")


TABLE = """# five beeches, taped on 20 October
name;angle_deg;distance (ft);width cm;role;mood
Stub;-10,5;59,06;38;frame;
Plumb;0;22.97;55;subject;proud

"""


def test_a_table_with_units_in_its_heading() -> None:
    read = read_elements(TABLE, hands=HANDS)
    assert read.unknown == ("mood",)
    stub, plumb = (one for one, _ in read.elements)
    assert isinstance(stub, Trunk)
    assert isinstance(plumb, Trunk)
    assert stub.distance_m == pytest.approx(18.0, abs=0.01)
    assert stub.width_m == pytest.approx(0.38)
    assert plumb.role is Role.SUBJECT


def test_a_column_of_bearings() -> None:
    read = read_elements("name,bearing,distance paces,width\nPale,215,32,0.3\n", hands=HANDS)
    ((pale, _),) = read.elements
    assert isinstance(pale, Trunk)
    assert pale.angle_deg == pytest.approx(10.0)
    assert pale.distance_m == pytest.approx(24.0)


def test_every_line_that_is_wrong_is_told_and_none_taken() -> None:
    text = "name,angle,distance,width\nPlumb,0,7,0.5\nLean,slanted,13,0.4\nPale,5,far,0.3\n"
    with pytest.raises(BadInputError, match=r"Line 3 \(Lean\).*Line 4 \(Pale\).*Nothing of the"):
        read_elements(text, hands=HANDS)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "The table is empty"),
        ("# only words\n", "The table is empty"),
        ("angle,distance\n0,7\n", "no column of names"),
        ("name,angle,distance,width\n", "holds no element below"),
        ("name,angle\nPlumb,0,7,8\n", "more cells than the heading"),
    ],
)
def test_what_is_no_table_is_told(text: str, sentence: str) -> None:
    with pytest.raises(BadInputError, match=sentence):
        read_elements(text, hands=HANDS)


EVERY: tuple[tuple[Element, str], ...] = (
    (
        trunk_at(
            "Lean, the split one", 1.1, distance_m=13.0, width_m=0.42, lean_right_deg=-8.25,
            role=Role.SUBJECT, doubt=Doubt(distance_m=0.13, angle_deg=0.05, width_m=0.01),
        ),
        "12 paces, \"more or less\"",
    ),
    (Segment(name="log", start_m=(-1.0, 4.0, 0.2), end_m=(2.0, 5.0, 0.3), width_m=0.3), ""),
    (SkyHole(name="gap", angle_deg=1.0, altitude_deg=-2.0, width_deg=1.5, height_deg=0.25), ""),
    (ClosedGround(name="bed", corners_m=((1.0, 2.0), (-1.0, 2.0), (0.5, -3.0))), "by eye"),
    (ClosedGround(name="ring of Oak", centre_m=(3.0, -4.0), radius_m=18.0), ""),
)  # fmt: skip


def test_what_is_written_is_read_back() -> None:
    read = read_elements(write_elements(EVERY), hands=HANDS)
    assert read.unknown == ()
    for (one, how), (back, how_back) in zip(EVERY, read.elements, strict=True):
        assert type(back) is type(one)
        assert back.name == one.name
        assert how_back == how or not how
    again = write_elements([(one, how) for (one, _), (_, how) in zip(
        read.elements, EVERY, strict=True
    )])  # fmt: skip
    assert again == write_elements(EVERY)


HEADING = "name,angle,distance,width\n"


@given(text=st.text(max_size=200))
def test_no_text_breaks_the_reader(text: str) -> None:
    told = ""
    try:
        told = f"{len(read_elements(HEADING + text, hands=HANDS).elements)} elements"
    except ShivelightError as why:
        told = str(why)
    assert told
    assert "\n" not in told
