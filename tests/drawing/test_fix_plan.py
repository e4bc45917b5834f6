"""Where one stands from a mark, drawn: both ends named, the oval as large as it is, a table."""

import math
import re

import pytest

from shivelight.drawing.fix_plan import FixPlan, fix_plan_figure

PLAN = FixPlan(
    right_m=-0.3, forward_m=-0.1, long_m=0.08, short_m=0.04, turn_deg=90.0, words="You are there."
)


def points(svg: str) -> list[tuple[float, float]]:
    """Corners of the oval: the longest outline drawn in broken copper."""
    routes = re.findall(r'<path d="([^"]+)"[^>]*stroke-dasharray="5 4"', svg)
    numbers = re.findall(r"(-?[\d.]+) (-?[\d.]+)", max(routes, key=len))
    return [(float(x), float(y)) for x, y in numbers]


@pytest.mark.parametrize("style", ["page", "phone"])
def test_the_oval_lies_along_its_direction(style: str) -> None:
    svg = getattr(fix_plan_figure(PLAN), style)
    across = [x for x, _ in points(svg)]
    along = [y for _, y in points(svg)]
    wide, tall = max(across) - min(across), max(along) - min(along)
    assert wide / tall == pytest.approx(2.0, rel=0.05)  # 90 degrees: its long axis lies sideways
    assert "your mark" in svg
    assert ">you<" in svg


def test_the_same_stands_in_words_and_in_the_table() -> None:
    figure = fix_plan_figure(PLAN)
    assert "You are there." in figure.sentence
    assert ("you", "-30 cm", "-10 cm") in figure.rows
    assert ("error oval, half axes", "8 cm", "4 cm") in figure.rows


def test_other_places_that_fit_are_shown() -> None:
    twice = FixPlan(
        right_m=0.0, forward_m=0.5, long_m=0.1, short_m=0.1, turn_deg=0.0, words="Here or there.",
        elsewhere_m=((0.1, 0.2), (50.0, 50.0)),
    )  # fmt: skip
    figure = fix_plan_figure(twice)
    assert figure.page.count("<circle") == 2  # the far one lies outside the plan
    assert ("would fit as well", "10 cm", "20 cm") in figure.rows
    assert all(math.isfinite(one) for point in points(figure.page) for one in point)
