"""Letter widths and line breaks agree with the shipped font files."""

from importlib.resources import files

import pytest
from fontTools.ttLib import TTFont  # type: ignore[import-untyped]
from hypothesis import given
from hypothesis import strategies as st

from shivelight.drawing.fit import FACES, width_px, wrap


@pytest.mark.parametrize("face", FACES)
def test_widths_are_those_of_the_file(face: str) -> None:
    path = files("shivelight.drawing") / "fonts" / f"{face}.woff2"
    with path.open("rb") as stream:
        font = TTFont(stream)
        names, advances = font.getBestCmap(), font["hmtx"]
        for letter in "aWm.-é ÆQ":
            expected = advances[names[ord(letter)]][0] * 20.0 / font["head"].unitsPerEm
            assert width_px(letter, size_px=20.0, face=face) == pytest.approx(expected, abs=0.02)


@pytest.mark.parametrize("face", FACES)
def test_figures_are_all_as_wide(face: str) -> None:
    assert len({width_px(figure, size_px=16.0, face=face) for figure in "0123456789"}) == 1


@given(
    words=st.text(st.characters(codec="latin-1", categories=["L", "N", "P", "Zs"]), max_size=200),
    room_px=st.floats(40.0, 400.0),
)
def test_lines_fit_and_lose_no_letter(words: str, room_px: float) -> None:
    lines = wrap(words, room_px=room_px, size_px=14.0)
    assert "".join("".join(lines).split()) == "".join(words.split())
    for line in lines:
        unbroken = " " not in line and "-" not in line[:-1]
        assert unbroken or width_px(line, size_px=14.0) <= room_px + 1e-6


def test_breaks_at_spaces_and_hyphens() -> None:
    assert wrap("leave-word card", room_px=55.0, size_px=14.0) == ("leave-", "word", "card")
    assert wrap("", room_px=55.0, size_px=14.0) == ()
