"""Names told apart, and near ones offered."""

import pytest
from hypothesis import given

from shivelight.store.names import folded, not_found
from tests import strategies as make

VALLEY = [
    "Sallowden Hanger", "Pinnet Heath", "Ottermire Carr", "Threll Clough", "Marchbell Coppice",
    "Hagbarrow Old Park", "Coldshaw Bottom",
]  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("Pinet", "Pinnet Heath"),
        ("pinnet heth", "Pinnet Heath"),
        ("HEATH", "Pinnet Heath"),
        ("oter mire", "Ottermire Carr"),
        ("Old Park", "Hagbarrow Old Park"),
        ("Coldshow", "Coldshaw Bottom"),
        ("marchbel", "Marchbell Coppice"),
    ],
)
def test_the_nearest_name_is_offered(typed: str, meant: str) -> None:
    assert f"did you mean '{meant}'" in str(not_found("wood", typed, VALLEY))


def test_a_name_like_none_lists_what_there_is() -> None:
    text = str(not_found("wood", "xyzzy", VALLEY))
    assert text.startswith("No wood named 'xyzzy'; the book holds Coldshaw Bottom, Hagbarrow")
    many = [f"wood {number}" for number in range(20)]
    assert "and 12 more" in str(not_found("wood", "xyzzy", many))


def test_an_empty_name_is_no_near_name() -> None:
    assert "did you mean" not in str(not_found("wood", "", VALLEY))


@given(name=make.names())
def test_folding_again_changes_nothing(name: str) -> None:
    assert folded(folded(name)) == folded(name)


@given(name=make.names())
def test_capitals_and_spaces_do_not_matter(name: str) -> None:
    assert folded(f"  {name}\u00a0 ") == folded(name)
    assert folded(name.casefold()) == folded(name)
