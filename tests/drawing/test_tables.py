"""Tables for a terminal: nothing lost, nothing wider than the terminal, numbers to the right."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.drawing.tables import columns_of, table, wrap_cell

HEADERS = ("spot", "chance", "why")


def test_numbers_stand_to_the_right_and_words_to_the_left() -> None:
    text = table(
        [("White Post Gap", "18 min"), ("Two Waters", "6 min")], ("spot", "walk"), width=40
    )
    assert text == (
        "spot              walk\n"
        "--------------  ------\n"
        "White Post Gap  18 min\n"
        "Two Waters       6 min"
    )


def test_long_cells_are_wrapped_and_rows_set_apart() -> None:
    why = "mist signs are fair and the sun passes its skyline before the mist has gone"
    text = table([("White Post Gap", "about 4 in 10", why), ("B", "c", "d")], HEADERS, width=60)
    assert max(map(len, text.splitlines())) <= 60
    assert "\n\n" in text
    assert " ".join(text.split()).count("skyline") == 1


def test_too_narrow_a_terminal_gets_blocks() -> None:
    text = table([("White Post Gap", "about 4 in 10", "fair")], HEADERS, width=18)
    assert text == "spot: White Post\nGap\nchance: about 4 in\n10\nwhy: fair"


def test_empty_headers_draw_no_head_and_short_rows_are_filled() -> None:
    assert table([("a", "b"), ("c",)], ("", ""), width=20) == "a  b\nc"


def test_no_rows_leave_the_head() -> None:
    assert table([], ("spot", "why"), width=20) == "spot  why\n----  ---"


def test_wide_and_combining_letters_are_counted() -> None:
    assert columns_of("e\u0301") == 1
    assert columns_of("森") == 2


def test_a_word_longer_than_the_cell_is_cut() -> None:
    assert wrap_cell("abcdefgh ij", 4) == ["abcd", "efgh", "ij"]


cells = st.text(st.characters(codec="ascii", categories=["L", "N"]), max_size=30)


@given(
    rows=st.lists(st.tuples(cells, cells, cells), max_size=6),
    width=st.integers(20, 120),
)
def test_every_word_is_there_and_no_line_is_too_wide(
    rows: list[tuple[str, str, str]], width: int
) -> None:
    text = table(rows, HEADERS, width=width)
    squeezed = "".join(text.split())
    for row in rows:
        for cell in row:
            assert all(letter in squeezed for letter in cell)
    assert all(columns_of(line) <= width for line in text.splitlines())


@pytest.mark.parametrize("width", [40, 60, 80])
def test_lines_have_no_trailing_room(width: int) -> None:
    text = table([("a", "1", "b c d " * 12)], HEADERS, width=width)
    assert all(line == line.rstrip() for line in text.splitlines())
