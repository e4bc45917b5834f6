"""The find-it-again strip: edges in line, words, what is gone, the setting, refusals."""

import datetime as dt
import re

import pytest

from shivelight.basis.errors import OutOfRangeError
from shivelight.drawing.find_again import (
    MarkSetting,
    find_again_figure,
    find_again_sentence,
    find_again_svg,
)
from shivelight.outing.marks import LostAnchor, MarkAnchors, NotedDistance, NotedTransit
from shivelight.scene.anchors import Side
from tests.drawing import plumb
from tests.pages.snapshots import compare

PAIR = NotedTransit(near="Plumb", far="Lean", near_side=Side.RIGHT, far_side=Side.LEFT)
ANCHORS = MarkAnchors(
    spot="Plumb and Lean",
    transits=(PAIR, NotedTransit(near="Crook", far="Stub", near_side=Side.LEFT)),
    distances=(NotedDistance(to="Plumb", distance_m=7.12),),
)
SETTING = MarkSetting(
    lens_height_m=1.1,
    bearing_deg=118.0,
    focal_length_mm=50.0,
    confirmed_on=dt.date(2026, 11, 12),
)
CIRCLE = re.compile(r'<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"')


def uprights(transit: NotedTransit, **more: object) -> list[tuple[float, float]]:
    """Left and right edges of the far and the near upright."""
    only = MarkAnchors(spot="x", transits=(transit,))
    svg = find_again_svg(only, MarkSetting(), **more)  # type: ignore[arg-type]
    boxes = [(float(x), float(x) + float(wide)) for x, wide in CIRCLE.findall(svg)]
    return boxes[1:3]


@pytest.mark.parametrize("near_side", list(Side))
@pytest.mark.parametrize("far_side", list(Side))
def test_the_edges_that_are_meant_stand_on_the_line(near_side: Side, far_side: Side) -> None:
    transit = NotedTransit(near="A", far="B", near_side=near_side, far_side=far_side)
    far, near = uprights(transit)
    for side, (left, right) in ((far_side, far), (near_side, near)):
        meant = {Side.LEFT: left, Side.MIDDLE: (left + right) / 2.0, Side.RIGHT: right}[side]
        assert meant == pytest.approx(2.0 + 52.0, abs=0.06)


def test_a_survey_gives_things_their_true_widths() -> None:
    far, near = uprights(PAIR, survey=plumb.SURVEY)
    ratio = (0.55 / 7.0) / (0.42 / 13.0)
    assert (near[1] - near[0]) / (far[1] - far[0]) == pytest.approx(ratio, rel=0.01)
    unknown = uprights(NotedTransit(near="A", far="B"), survey=plumb.SURVEY)
    assert unknown == uprights(NotedTransit(near="A", far="B"))


def test_the_words_say_all_that_is_kept() -> None:
    said = find_again_sentence(ANCHORS, SETTING)
    assert said == (
        "Plumb's right edge in line with Lean's left edge. "
        "Crook's left edge in line with the middle of Stub. "
        "7.12 m to the middle of Plumb. "
        "Lens 1.10 m up, 50 mm, view 118° true. Last found right on 12 November 2026."
    )
    figure = find_again_figure(ANCHORS, SETTING)
    assert figure.sentence == said
    assert ("transit 1", "Plumb's right edge in line with Lean's left edge") in figure.rows
    assert figure.page.count('stroke-dasharray="7 3"') == 2


def test_what_is_gone_is_named_and_left_out() -> None:
    lost = MarkAnchors(
        spot="x",
        transits=ANCHORS.transits,
        distances=ANCHORS.distances,
        lost=(LostAnchor(name="Crook", noted_on=dt.date(2026, 11, 12)),),
    )
    svg = find_again_svg(lost, SETTING)
    assert svg.count('stroke-dasharray="7 3"') == 1
    assert ">Crook is gone since 12 November 2026.<" in svg
    assert "Crook's" not in find_again_sentence(lost, SETTING)


def test_nothing_noted_is_said_and_unknown_settings_are_left_out() -> None:
    said = find_again_sentence(MarkAnchors(spot="x"), MarkSetting())
    assert said == (
        "No anchor is noted that still stands; the place cannot be found again. "
        "Not yet found again."
    )
    assert MarkSetting(bearing_deg=359.8).lines[0] == "View 0° true."


def test_a_weak_mark_says_so() -> None:
    weak = MarkSetting(warnings=("All anchors stand on one side.",))
    assert find_again_sentence(ANCHORS, weak).endswith("All anchors stand on one side.")


def test_lines_fit_their_width() -> None:
    long = NotedTransit(near="The Beech With The Broken Crown", far="Oak By The Old Gate")
    svg = find_again_svg(MarkAnchors(spot="x", transits=(long,)), SETTING, style="print")
    texts = re.findall(r'<text x="([\d.]+)"[^>]*>([^<]*)<', svg)
    assert len([words for x, words in texts if float(x) > 100.0]) >= 3
    from shivelight.drawing.fit import width_px

    assert all(float(x) + width_px(words, size_px=15.5) <= 341.0 for x, words in texts)


@pytest.mark.parametrize("style", ["paper", "print", "narrow"])
def test_as_last_looked_at(style: str) -> None:
    svg = find_again_svg(ANCHORS, SETTING, survey=plumb.SURVEY, style=style)
    compare(f"find-again-{style}.svg", svg)


def test_settings_outside_their_limits_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="height of the lens is 30 m"):
        MarkSetting(lens_height_m=30.0)
    with pytest.raises(OutOfRangeError, match="bearing of view is 400 °"):
        MarkSetting(bearing_deg=400.0)
    with pytest.raises(OutOfRangeError, match="focal length is 0 mm"):
        MarkSetting(focal_length_mm=0.0)
