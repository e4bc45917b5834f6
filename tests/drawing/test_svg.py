"""The pen: short numbers, escaped words, polygons cut to a band."""

from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.drawing.svg import Letters, Pen, clip_to_band, short


@pytest.mark.parametrize(
    ("number", "text"), [(1.0, "1"), (1.04, "1"), (1.26, "1.3"), (-0.02, "0"), (-3.5, "-3.5")]
)
def test_short_numbers(number: float, text: str) -> None:
    assert short(number) == text


def test_figure_is_an_image_with_title_and_sentence() -> None:
    pen = Pen("paper")
    pen.text((3.0, 4.0), 'a <b> & "c"', Letters(bold=True, plate="sheet"))
    svg = pen.figure((10.0, 20.5), title='T & "t"', sentence="S < s")
    root = ET.fromstring(svg)
    space = "{http://www.w3.org/2000/svg}"
    assert root.get("role") == "img"
    assert root.get("aria-label") == 'T & "t"'
    assert root.findtext(f"{space}title") == 'T & "t"'
    assert root.findtext(f"{space}desc") == "S < s"
    assert root.findtext(f"{space}text") == 'a <b> & "c"'
    assert root.get("viewBox") == "0 0 10 20.5"


def test_page_styles_leave_colours_to_the_page() -> None:
    assert Pen("page").paint("ink") == "var(--ink)"
    assert Pen("dim").paint("ink") == "#D9692B"


def test_empty_boxes_are_not_drawn() -> None:
    pen = Pen("paper")
    pen.box((0.0, 0.0), (0.0, 5.0), token="ink")
    pen.area(token="ink")
    assert pen.shapes == ""


@given(
    low=st.floats(-50, 50), wide=st.floats(0.5, 50), x=st.floats(-80, 80), lean=st.floats(-40, 40)
)
def test_what_is_cut_stays_in_the_band_and_no_larger(
    low: float, wide: float, x: float, lean: float
) -> None:
    lance = [(x, 0.0), (x + 4.0, 0.0), (x + 4.0 - lean, 60.0), (x - lean, 60.0)]
    cut = clip_to_band(lance, low, low + wide)
    assert all(low - 1e-6 <= px <= low + wide + 1e-6 for px, _ in cut)
    assert all(-1e-6 <= py <= 60.0 + 1e-6 for _, py in cut)
    assert _area(cut) <= _area(lance) + 1e-6


def test_a_band_round_everything_cuts_nothing() -> None:
    lance = [(1.0, 0.0), (5.0, 0.0), (3.0, 10.0), (-1.0, 10.0)]
    assert clip_to_band(lance, -10.0, 10.0) == lance
    assert clip_to_band(lance, 20.0, 30.0) == []


def _area(points: list[tuple[float, float]]) -> float:
    pairs = zip(points, points[1:] + points[:1], strict=True)
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2.0
