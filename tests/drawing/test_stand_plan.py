"""The plan of the ground: scale, sight lines, closed ground, stands, drift, words, refusals."""

import dataclasses
import math
import re

import pytest

from shivelight.basis.errors import BadInputError, OutOfRangeError
from shivelight.drawing.plan_sheet import Field, oval
from shivelight.drawing.stand_plan import PlanStand, stand_plan_figure, stand_plan_svg
from shivelight.drawing.stand_plan_words import plan_rows, plan_sentence, stand_words
from shivelight.drawing.svg import Pen
from shivelight.scene.elements import ClosedGround, Segment, Survey
from shivelight.scene.framing import Reach
from tests.drawing import plumb
from tests.pages.snapshots import compare

BELLS = ClosedGround(name="Bells", corners_m=((-0.9, 0.1), (-0.2, 0.3), (-0.4, 1.5), (-1.6, 1.2)))
RING = ClosedGround(name="Old ring", centre_m=(3.0, 9.0), radius_m=3.5)
RAIL = Segment(name="Rail", start_m=(-3.0, 5.0, 0.2), end_m=(-1.2, 6.0, 0.9), width_m=0.15)
WOOD = dataclasses.replace(plumb.SURVEY, segments=(RAIL,), closed=(BELLS, RING))
REACH = Reach(left_m=0.8, right_m=1.2, forward_m=1.0, back_m=0.4)
STANDS = (
    PlanStand(number=1, x_m=0.65, y_m=0.0, drift_m=(0.02, 0.05, 0.3, 0.4)),
    PlanStand(number=2, x_m=0.4, y_m=0.6),
)


def field(
    low: tuple[float, float] = (-2.0, -1.0), high: tuple[float, float] = (2.0, 3.0)
) -> Field:
    return Field(Pen("paper"), (10.0, 20.0), (200.0, 100.0), low=low, high=high)


def test_both_ways_have_one_scale_and_ahead_is_up() -> None:
    plan = field()
    (x, y), (right, _), (_, ahead) = plan.xy((0.0, 0.0)), plan.xy((1.0, 0.0)), plan.xy((0.0, 1.0))
    assert right - x == pytest.approx(25.0)
    assert y - ahead == pytest.approx(25.0)
    assert plan.xy((0.0, 1.0)) == pytest.approx((110.0, 70.0))


def test_strokes_are_cut_at_the_edge_of_the_field() -> None:
    plan = field()
    plan.line((-50.0, 70.0), (400.0, 70.0))
    plan.line((0.0, 0.0), (5.0, 300.0))
    assert plan.pen.shapes.count("<path") == 1
    assert 'd="M10 70L210 70"' in plan.pen.shapes


def test_hatching_stays_inside_its_outline() -> None:
    plan = field(low=(-6.0, -6.0), high=(6.0, 6.0))
    ring = ClosedGround(name="ring", centre_m=(1.0, 1.0), radius_m=3.0)
    plan.closed(ring)
    strokes = re.findall(
        r'd="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)"[^>]*width="0.9"', plan.pen.shapes
    )
    assert len(strokes) > 5
    middle = plan.xy((1.0, 1.0))
    for stroke in strokes:
        x, y, to_x, to_y = map(float, stroke)
        for point in ((x, y), (to_x, to_y)):
            assert math.dist(point, middle) <= 3.0 * plan.px_per_m + 0.1


def test_an_oval_reaches_as_far_as_it_is_told() -> None:
    xs, ys = zip(*oval((1.0, 2.0), (0.1, 0.2, 0.3, 0.4)), strict=True)
    assert (min(xs), max(xs)) == pytest.approx((0.9, 1.2))
    assert (min(ys), max(ys)) == pytest.approx((1.7, 2.4))


def test_the_scale_is_true() -> None:
    for svg in (
        stand_plan_svg(WOOD, REACH, STANDS),
        stand_plan_svg(WOOD, REACH, STANDS, style="narrow"),
    ):
        shown = re.sub(r"<(title|desc)>.*?</\1>", "", svg)
        bars = re.findall(
            r'd="M([\d.]+) [\d.]+L[\d.]+ [\d.]+L([\d.]+) [^>]*/><text[^>]*>(\d+) (c?m)<', shown
        )
        assert len(bars) == 2
        marks = re.findall(
            r'd="M([\d.]+) ([\d.]+)L([\d.]+) \2" fill="none" stroke="[^"]*" stroke-width="2.4"',
            shown,
        )
        left, right, length, unit = bars[1]
        metres = float(length) / (100.0 if unit == "cm" else 1.0)
        px_per_m = (float(right) - float(left)) / metres
        mark_x = (float(marks[1][0]) + float(marks[1][2])) / 2.0
        stand_x = float(re.findall(r'<circle cx="([\d.]+)"[^>]*r="11"', shown)[-1])
        assert (stand_x - mark_x) / px_per_m == pytest.approx(0.65, abs=0.01)


def test_everything_asked_for_is_drawn() -> None:
    svg = stand_plan_svg(WOOD, REACH, STANDS)
    shown = re.sub(r"<(title|desc)>.*?</\1>", "", svg)
    for words in ("your mark", "Plumb", "Pale", "Bells", "Old ring", "the wood", "1", "2"):
        assert f">{words}<" in shown
    sights = shown.count('stroke="#A8481A" stroke-width="1.2"')
    assert sights == len(plumb.TRUNKS)
    assert stand_plan_svg(Survey(), Reach(), ()).count("<svg") == 1


def test_trunks_have_their_width() -> None:
    svg = stand_plan_svg(Survey(trunks=plumb.TRUNKS[2:3]), Reach(), ())
    circle = re.search(r'<circle cx="[\d.]+" cy="([\d.]+)" r="([\d.]+)" fill="#2A2E27"', svg)
    mark = re.search(r'd="M[\d.]+ ([\d.]+)L[\d.]+ \1" [^>]*stroke-width="2.4"', svg)
    assert circle is not None
    assert mark is not None
    px_per_m = (float(mark[1]) - float(circle[1])) / 7.0
    assert float(circle[2]) == pytest.approx(0.275 * px_per_m, abs=0.06)


def test_words_and_table() -> None:
    said = plan_sentence(WOOD, REACH, STANDS)
    assert said == (
        "The ground from above, ahead is up. 5 trunks, 7.0 to 24.0 m off. "
        "Reach: 80 cm left, 120 cm right, 100 cm forward, 40 cm back. "
        "Stand 1: 65 cm right of your mark. Stand 2: 40 cm right, 60 cm forward of your mark. "
        "Kept out of: Bells, Old ring."
    )
    assert stand_words(PlanStand(number=3, x_m=0.0, y_m=0.0)) == "at your mark"
    rows = plan_rows(WOOD, STANDS)
    assert ("Plumb", "0.00 m", "7.00 m", "0.55 m") in rows
    assert ("Old ring, kept out of", "3.00 m", "9.00 m", "ring of 3.5 m") in rows
    assert len(rows) == 2 + 5 + 1 + 2
    figure = stand_plan_figure(WOOD, REACH, STANDS)
    assert figure.sentence in figure.page
    assert all(len(row) == len(figure.headers) for row in figure.rows)


@pytest.mark.parametrize("style", ["paper", "narrow"])
def test_as_last_looked_at(style: str) -> None:
    compare(f"stand-plan-{style}.svg", stand_plan_svg(WOOD, REACH, STANDS, style=style))


def test_what_is_no_stand_is_refused() -> None:
    with pytest.raises(BadInputError, match="numbered from 1"):
        PlanStand(number=0, x_m=0.0, y_m=0.0)
    with pytest.raises(OutOfRangeError, match="drift of a stand is -1 m"):
        PlanStand(number=1, x_m=0.0, y_m=0.0, drift_m=(-1.0, 0.0, 0.0, 0.0))
