"""The three themes hold their contrasts, and dim keeps to long wavelengths."""

import pytest

from shivelight.drawing.tokens import (
    DIM,
    EDGE_PAIRS,
    PAPER,
    PRINT,
    TEXT_PAIRS,
    THEMES,
    contrast_ratio,
    css_variables,
)


def test_contrast_of_known_pairs() -> None:
    # WCAG 2.2, definition of contrast ratio: black on white is 21 to 1, a colour on itself 1.
    assert contrast_ratio("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast_ratio("#C0FFEE", "#C0FFEE") == pytest.approx(1.0)
    # W3C, Understanding 1.4.3: #777777 on white falls just short of 4.5 to 1.
    assert 4.4 < contrast_ratio("#777777", "#FFFFFF") < 4.5


@pytest.mark.parametrize("theme", ["paper", "dim"])
@pytest.mark.parametrize(("ink", "ground"), TEXT_PAIRS)
def test_words_reach_double_a(theme: str, ink: str, ground: str) -> None:
    assert contrast_ratio(THEMES[theme][ink], THEMES[theme][ground]) >= 4.5


@pytest.mark.parametrize("theme", ["paper", "dim"])
@pytest.mark.parametrize(("edge", "ground"), EDGE_PAIRS)
def test_borders_and_strokes_reach_double_a(theme: str, edge: str, ground: str) -> None:
    assert contrast_ratio(THEMES[theme][edge], THEMES[theme][ground]) >= 3.0


def test_dim_has_hardly_any_blue() -> None:
    assert all(int(colour[5:7], 16) <= 0x30 for colour in DIM.values())


def test_print_is_black_on_white() -> None:
    assert {PRINT[name] for name in ("ink", "ink2", "edge", "light", "mist-ink")} == {"#000000"}
    assert PRINT["ground"] == PRINT["sheet"] == "#FFFFFF"


def test_every_theme_has_the_same_tokens() -> None:
    assert PAPER.keys() == DIM.keys() == PRINT.keys()
    assert css_variables("dim").startswith("--ground:#060201;")
