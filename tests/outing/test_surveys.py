"""Elements put into a survey, put in place of another, and taken out."""

import pytest

from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.outing.surveys import (
    KeptSurvey,
    element_of,
    with_element,
    without_element,
)
from shivelight.scene.elements import ClosedGround, SkyHole, Slope, Survey, trunk_at

PLUMB = trunk_at("Plumb", 0.0, distance_m=7.0, width_m=0.55)
LEAN = trunk_at("Lean", 1.1, distance_m=13.0, width_m=0.42)
GAP = SkyHole(name="gap", angle_deg=1.0, altitude_deg=10.0, width_deg=1.0, height_deg=1.0)
WOOD = Survey(
    trunks=(PLUMB, LEAN), holes=(GAP,), slope=Slope(rise_right_frac=0.1), scale_doubt_frac=0.05
)


def test_an_element_goes_to_the_end_of_its_kind() -> None:
    pale = trunk_at("Pale", 5.2, distance_m=24.0, width_m=0.3)
    made = with_element(WOOD, pale)
    assert made.trunks == (PLUMB, LEAN, pale)
    assert (made.holes, made.slope, made.scale_doubt_frac) == ((GAP,), WOOD.slope, 0.05)


def test_an_element_takes_the_place_of_another() -> None:
    nearer = trunk_at("Plumb", 0.0, distance_m=6.5, width_m=0.55)
    assert with_element(WOOD, nearer, instead_of="plumb").trunks == (nearer, LEAN)


def test_an_element_may_become_another_kind() -> None:
    ring = ClosedGround(name="gap", centre_m=(0.0, 5.0), radius_m=2.0)
    made = with_element(WOOD, ring, instead_of="gap")
    assert (made.holes, made.closed) == ((), (ring,))


def test_what_is_taken_out_is_gone() -> None:
    assert without_element(WOOD, "LEAN").names == ("Plumb", "gap")
    with pytest.raises(NotFoundError, match="called 'Oak'; the survey holds Plumb, Lean, gap"):
        without_element(WOOD, "Oak")


def test_names_are_found_whatever_their_capitals_and_blanks() -> None:
    assert element_of(WOOD, "  pLUMB ") is PLUMB


def test_how_belongs_to_an_element_that_is_there() -> None:
    with pytest.raises(BadInputError, match="has no Oak"):
        KeptSurvey(spot="x", survey=WOOD, how={"Oak": "paced"})
    with pytest.raises(BadInputError, match="on one line"):
        KeptSurvey(spot="x", survey=WOOD, how={"Plumb": "paced\ntwice"})
