"""Whether anchors are strong enough, told while one still stands at the mark."""

import math

import pytest

from shivelight.scene.anchors import Anchor, Measurement, Side, Taped, Transit
from shivelight.scene.mark_strength import sector_deg, strength

PLUMB = Anchor(name="Plumb", x_m=0.0, y_m=7.0, width_m=0.55)
LEAN = Anchor(name="Lean", x_m=0.25, y_m=13.0, width_m=0.42)
PALE = Anchor(name="Pale", x_m=0.4, y_m=24.0, width_m=0.30)
GATE = Anchor(name="ride gate", x_m=6.0, y_m=1.0)
STONE = Anchor(name="stone", x_m=-3.0, y_m=-4.0)
ALL = (PLUMB, LEAN, PALE, GATE, STONE)


def noted(anchor: Anchor, doubt_m: float = 0.02) -> Taped:
    away_m = math.hypot(anchor.x_m, anchor.y_m)
    return Taped(to=anchor.name, distance_m=away_m, doubt_m=doubt_m, noted_m=away_m)


def test_three_anchors_all_round_are_strong() -> None:
    told = strength(ALL, [noted(PLUMB), noted(GATE), noted(STONE)])
    assert told.warnings == ()
    assert told.oval is not None
    assert told.oval.long_m < 0.05
    assert told.crossing_deg > 60.0


def test_transits_that_run_alike_are_told() -> None:
    lines: list[Measurement] = [
        Transit(near="Plumb", far="Lean"),
        Transit(near="Plumb", far="Pale"),
        noted(LEAN),
    ]
    told = strength(ALL, lines[:2])
    assert any("nearly parallel" in one for one in told.warnings)
    mended = strength(ALL, lines)
    assert not any("nearly parallel" in one for one in mended.warnings)


def test_anchors_on_one_side_are_told() -> None:
    told = strength(ALL, [noted(PLUMB), noted(LEAN), noted(PALE)])
    assert any("on one side" in one for one in told.warnings)
    assert told.grows_times > 3.0
    assert told.sector_deg < 5.0


def test_two_leave_none_to_spare() -> None:
    told = strength(ALL, [noted(PLUMB), noted(GATE)])
    assert any("none to spare" in one for one in told.warnings)


def test_paces_do_not_find_a_hand() -> None:
    told = strength(ALL, [noted(one, doubt_m=0.35) for one in (PLUMB, GATE, STONE)])
    assert any("more than a hand's width" in one for one in told.warnings)


def test_one_is_a_line() -> None:
    told = strength(ALL, [Transit(near="Plumb", near_side=Side.LEFT, far="Lean")])
    assert told.oval is None
    assert told.warnings[0].startswith("One anchor draws a line")


@pytest.mark.parametrize(
    ("anchors", "wide"),
    [((), 0.0), ((PLUMB,), 0.0), ((PLUMB, GATE), 80.54), ((PLUMB, GATE, STONE), 216.87)],
)
def test_the_sector_is_the_narrowest(anchors: tuple[Anchor, ...], wide: float) -> None:
    # atan2 by hand: gate 80.54°, stone 216.87°; the widest gap is 143.13°.
    assert sector_deg(anchors) == pytest.approx(wide, abs=0.01)
