"""The stand and the mark on the sheet keep quiet what is kept off."""

from dataclasses import replace

from shivelight.outing.marks import LostAnchor, MarkAnchors, NotedDistance, NotedTransit
from shivelight.outing.sheet_context import sheet_context
from shivelight.outing.sheet_stand import SheetStand
from tests.drawing import wennick
from tests.drawing.plumb import SURVEY, gaps
from tests.scene.test_stand_known import NOW

STAND = SheetStand(
    spot="White Post Gap",
    line="Go 65 cm to the right.",
    more=("Watch: Plumb and Lean.",),
    survey=SURVEY,
    camera=replace(NOW, x_m=0.65),
    gaps=gaps(0.65),
)
NOTED = MarkAnchors(
    spot="White Post Gap",
    transits=(NotedTransit(near="Plumb", far="Lean"),),
    distances=(NotedDistance(to="Plumb", distance_m=7.0),),
)


def test_a_stand_goes_to_its_own_spot_alone() -> None:
    made = sheet_context(wennick.MORNING, (wennick.WOODS, wennick.SPOTS), stands=(STAND,))
    assert made.first is not None
    assert made.first.stand == STAND
    assert [one.stand for one in made.others] == [None] * len(made.others)


def test_a_trunk_named_like_a_spot_kept_off_takes_the_frame_off_too() -> None:
    trunks = (replace(SURVEY.trunks[0], name="Old Chair"), *SURVEY.trunks[1:])
    named = replace(
        STAND,
        survey=replace(SURVEY, trunks=trunks),
        more=("Watch: Old Chair and Crook.",),
    )
    made = sheet_context(wennick.MORNING, (wennick.WOODS, wennick.SPOTS), stands=(named,)).first
    assert made is not None
    assert made.stand is not None
    assert made.stand.survey is None
    assert made.stand.gaps == ()
    assert made.stand.line == STAND.line
    assert "Old Chair" not in repr(made.stand)


def test_the_mark_is_drawn_where_a_transit_still_stands() -> None:
    made = sheet_context(wennick.MORNING, (wennick.WOODS, wennick.SPOTS), anchors=(NOTED,)).first
    assert made is not None
    assert made.mark is not None
    assert made.mark.anchors == NOTED
    assert (made.mark.lens_height_m, made.mark.focal_length_mm) == (0.9, 135.0)
    gone = replace(NOTED, lost=(LostAnchor(name="Plumb", noted_on=wennick.DAY),))
    lost = sheet_context(wennick.MORNING, (wennick.WOODS, wennick.SPOTS), anchors=(gone,)).first
    assert lost is not None
    assert lost.mark is None
    taped = replace(NOTED, transits=())
    words = sheet_context(wennick.MORNING, (wennick.WOODS, wennick.SPOTS), anchors=(taped,)).first
    assert words is not None
    assert words.mark is None  # distances are said in words already
    assert "To the middle of: Plumb 7.00 m" in words.find_it_again


def test_an_anchor_named_like_a_spot_kept_off_is_not_drawn() -> None:
    named = replace(NOTED, transits=(NotedTransit(near="Old Chair", far="Lean"),))
    made = sheet_context(wennick.MORNING, (wennick.WOODS, wennick.SPOTS), anchors=(named,)).first
    assert made is not None
    assert made.mark is None
    assert "Old Chair" not in repr(made.find_it_again)
