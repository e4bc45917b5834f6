"""Chances and counts as words."""

import pytest
from hypothesis import given

from shivelight.basis.chances import FEWEST_FOR_A_RATE, Count, chance_in_words
from shivelight.basis.errors import BadInputError, OutOfRangeError
from tests import strategies as make


@pytest.mark.parametrize(
    ("chance_frac", "words"),
    [
        (0.0, "less than 1 in 20"),
        (0.049, "less than 1 in 20"),
        (0.05, "about 1 in 20"),
        (0.074, "about 1 in 20"),
        (0.075, "about 1 in 10"),
        (0.149, "about 1 in 10"),
        (0.15, "about 2 in 10"),
        (0.4, "about 4 in 10"),
        (0.449, "about 4 in 10"),
        (0.5, "about 5 in 10"),
        (0.925, "about 9 in 10"),
        (0.94, "about 19 in 20"),
        (0.95, "about 19 in 20"),
        (0.951, "more than 19 in 20"),
        (1.0, "more than 19 in 20"),
    ],
)
def test_a_chance_is_said_in_tenths_and_near_its_ends_in_twentieths(
    chance_frac: float, words: str
) -> None:
    assert chance_in_words(chance_frac) == words


@given(chance_frac=make.numbers(0.0, 1.0))
def test_a_chance_is_never_a_percentage_nor_far_off(chance_frac: float) -> None:
    words = chance_in_words(chance_frac)
    assert "%" not in words
    if words.startswith("about"):
        _, count, _, whole = words.split()
        assert abs(int(count) / int(whole) - chance_frac) <= 0.0501


@given(low=make.numbers(0.0, 1.0), high=make.numbers(0.0, 1.0))
def test_a_higher_chance_is_never_said_lower(low: float, high: float) -> None:
    order = [
        "less than 1 in 20",
        "about 1 in 20",
        *(f"about {n} in 10" for n in range(1, 10)),
        "about 19 in 20",
        "more than 19 in 20",
    ]
    low, high = sorted((low, high))
    assert order.index(chance_in_words(low)) <= order.index(chance_in_words(high))


@pytest.mark.parametrize("chance_frac", [-0.01, 1.01, float("nan"), 62.0])
def test_what_is_no_chance_is_refused(chance_frac: float) -> None:
    with pytest.raises(OutOfRangeError, match=r"chance is .*; it must be 0 to 1"):
        chance_in_words(chance_frac)


@pytest.mark.parametrize(
    ("found", "mornings", "words"),
    [
        (0, 0, "no mornings yet"),
        (1, 1, "1 of 1 morning, too few to say"),
        (0, 4, "0 of 4 mornings, too few to say"),
        (2, 5, "2 of 5 mornings"),
        (4, 9, "4 of 9 mornings"),
    ],
)
def test_a_count_says_that_few_are_few(found: int, mornings: int, words: str) -> None:
    assert Count(found=found, mornings=mornings).words == words
    assert ("too few" in words) is (0 < mornings < FEWEST_FOR_A_RATE)


@pytest.mark.parametrize(("found", "mornings"), [(2, 1), (-1, 3), (0, -1)])
def test_a_count_that_cannot_be_is_refused(found: int, mornings: int) -> None:
    with pytest.raises(BadInputError, match=f"A count of {found} of {mornings} cannot be"):
        Count(found=found, mornings=mornings)
