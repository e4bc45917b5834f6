"""Anchors of a mark as values, and where one stands in words."""

import datetime as dt
import math

import pytest

from shivelight.basis.errors import BadInputError
from shivelight.outing.marks import (
    LostAnchor,
    MarkAnchors,
    NotedDistance,
    NotedTransit,
    again,
    anchors_from,
    fix_words,
    length_words,
    place_words,
    sheet_lines,
)
from shivelight.scene.anchors import Anchor, Side, Taped, Transit
from shivelight.scene.elements import Doubt, Slope, Survey, trunk_at
from shivelight.scene.resection import Fix, resect

ANCHORS = MarkAnchors(
    spot="Plumb and Lean",
    transits=(NotedTransit(near="Plumb", near_side=Side.LEFT, far="Pale"),),
    distances=(
        NotedDistance(to="Plumb", distance_m=7.0, doubt_m=0.02),
        NotedDistance(to="gate posts", distance_m=5.6, doubt_m=0.02),
    ),
)
PLACES = (
    Anchor(name="Plumb", x_m=0.0, y_m=7.0),
    Anchor(name="gate", x_m=6.0, y_m=1.0),
    Anchor(name="stone", x_m=-3.0, y_m=-4.0),
)


def found(at: tuple[float, float], *, off_m: dict[str, float] | None = None) -> Fix:
    """Resect from distances that are right but for what is said."""
    wrong = off_m or {}
    return resect(
        PLACES,
        [
            Taped(
                to=one.name,
                distance_m=math.hypot(one.x_m - at[0], one.y_m - at[1]) + wrong.get(one.name, 0.0),
                doubt_m=0.03,
            )
            for one in PLACES
        ],
    )


def test_lines_say_each_anchor_in_words() -> None:
    assert ANCHORS.lines == (
        "Plumb's left edge in line with the middle of Pale",
        "7.00 m to the middle of Plumb",
        "5.60 m to the middle of gate posts",
    )


def test_what_is_lost_stays_on_record_and_out_of_the_lines() -> None:
    gone = MarkAnchors(
        spot=ANCHORS.spot,
        transits=ANCHORS.transits,
        distances=ANCHORS.distances,
        lost=(LostAnchor(name="PLUMB", noted_on=dt.date(2027, 11, 12)),),
    )
    assert gone.lines == (
        "5.60 m to the middle of gate posts",
        "PLUMB is gone since 12 November 2027",
    )
    assert len(gone.transits) == 1
    assert [one for one in again(gone) if isinstance(one, Transit)] == []


def test_the_sheet_does_not_say_twice_what_is_typed_in_words() -> None:
    typed = ("Plumb's left edge just touches Pale",)
    assert sheet_lines(ANCHORS, typed) == ("To the middle of: Plumb 7.00 m, gate posts 5.60 m",)
    assert sheet_lines(ANCHORS, ())[0] == "Plumb's left edge in line with the middle of Pale"


def test_the_name_of_many_takes_no_second_s() -> None:
    line = NotedTransit(near="gate posts", near_side=Side.RIGHT, far="Pale")
    assert line.words.startswith("gate posts' right edge")


def test_where_one_stands_and_which_way_to_step() -> None:
    told = fix_words(found((-0.30, -0.10)))
    assert told.startswith("You are 30 cm left and 10 cm back of the mark; likely error 5 cm.")
    # By hand: lines across (0, 1), (0.99, 0.16), (0.6, 0.8), each 3 cm: 3.3 cm long axis x 1.48.
    assert told.endswith("Step 30 cm right and 10 cm forward.")


def test_on_the_mark_within_the_error() -> None:
    assert fix_words(found((0.01, 0.0))).startswith("You are on the mark, as far as this can tell")


def test_a_contradiction_is_told_and_not_hidden() -> None:
    told = fix_words(found((0.1, 0.0), off_m={"stone": 0.4}))
    assert told.startswith("These measurements contradict each other")


def test_one_far_off_is_named_as_likely() -> None:
    told = fix_words(found((0.1, 0.0), off_m={"stone": 4.0}))
    assert "The distance to stone is likely the one that does not fit the others, by" in told


def test_trunks_are_anchors_where_they_stand_at_the_lens() -> None:
    survey = Survey(
        trunks=(
            trunk_at(
                "Lean", 0.0, distance_m=10.0, width_m=0.4, lean_right_deg=45.0,
                doubt=Doubt(distance_m=0.3, angle_deg=1.0),
            ),
        ),
        slope=Slope(rise_forward_frac=0.05),
        scale_doubt_frac=0.04,
    )  # fmt: skip
    (lean,) = anchors_from(survey, lens_height_m=1.5)
    assert lean.x_m == pytest.approx(1.0)  # 1.5 m less the 0.5 m that its foot stands higher
    assert lean.y_m == pytest.approx(10.0)
    assert lean.doubt_along_m == pytest.approx(0.5)  # 0.3 and 4 % of 10 m together
    assert lean.doubt_across_m == pytest.approx(10.0 * math.radians(1.0))


def test_two_distances_to_one_thing_are_refused() -> None:
    with pytest.raises(BadInputError, match="Two distances to plumb; keep one"):
        MarkAnchors(
            spot="x",
            distances=(
                NotedDistance(to="Plumb", distance_m=7.0),
                NotedDistance(to="plumb", distance_m=7.1),
            ),
        )


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ((0.3, 0.0), "30 cm right"),
        ((-1.25, 2.0), "1.25 m left and 2.00 m forward"),
        ((0.0, -0.07), "7 cm back"),
        ((0.001, 0.001), ""),
    ],
)
def test_places_in_words(place: tuple[float, float], words: str) -> None:
    assert place_words(*place) == words


def test_lengths_in_words() -> None:
    assert [length_words(one) for one in (0.65, 0.997, 9.99, 12.34)] == [
        "65 cm", "1.00 m", "9.99 m", "12.3 m",
    ]  # fmt: skip
