"""Wishes: words and value are each other's inverse, and what makes no sense is refused."""

import datetime as dt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import BadInputError, OutOfRangeError, ShivelightError
from shivelight.outing.wishes import CHOICES, EXAMPLES, Wish, WishKind, parse_wish
from tests import strategies as make


@given(wish=make.wishes())
def test_words_are_read_back_as_the_same_wish(wish: Wish) -> None:
    assert parse_wish(wish.words, must=wish.must) == wish


@given(wish=make.wishes())
def test_capitals_and_spaces_in_words_do_not_matter(wish: Wish) -> None:
    loud = f"  {wish.words.upper().replace(' ', '   ')} "
    assert parse_wish(loud, must=wish.must) == wish


@pytest.mark.parametrize("text", EXAMPLES)
@pytest.mark.parametrize("must", [True, False])
def test_every_example_is_understood(text: str, must: bool) -> None:
    wish = parse_wish(text, must=must)
    assert wish.must is must
    assert parse_wish(wish.words, must=must) == wish


@pytest.mark.parametrize(
    ("text", "kind", "low", "high"),
    [
        ("mist 120 to 260 m", WishKind.MIST, 120.0, 260.0),
        ("Mist 120-260", WishKind.MIST, 120.0, 260.0),
        ("fog 0.1 to 0.3 km", WishKind.MIST, 100.0, 300.0),
        ("mist 0,1 – 0,25 km", WishKind.MIST, 100.0, 250.0),
        ("mist 80 m to 1 km", WishKind.MIST, 80.0, 1000.0),
        ("mist 80m to 200m", WishKind.MIST, 80.0, 200.0),
        ("sun 2 to 6 deg", WishKind.SUN, 2.0, 6.0),
        ("sun -2° to 6,5°", WishKind.SUN, -2.0, 6.5),
        ("sun 2 deg to 6 degrees", WishKind.SUN, 2.0, 6.0),
    ],
)
def test_limits_are_read(text: str, kind: WishKind, low: float, high: float) -> None:
    assert parse_wish(text, must=True) == Wish(kind=kind, must=True, low=low, high=high)


@pytest.mark.parametrize(
    ("text", "kind", "choices"),
    [
        ("back light", WishKind.FACING, ("back",)),
        ("side or back light", WishKind.FACING, ("side", "back")),
        ("direct, soft light", WishKind.LIGHT, ("direct", "soft")),
        ("still or stirring air", WishKind.AIR, ("still", "stirring")),
        ("air still", WishKind.AIR, ("still",)),
        ("leaf turning, or bare", WishKind.LEAF, ("turning", "bare")),
        ("hoar", WishKind.GROUND, ("hoar",)),
        ("frost or hoar", WishKind.GROUND, ("frost", "hoar")),
        ("ground wet", WishKind.GROUND, ("wet",)),
        ("sky clear or broken", WishKind.SKY, ("clear", "broken")),
    ],
)
def test_choices_are_read(text: str, kind: WishKind, choices: tuple[str, ...]) -> None:
    assert parse_wish(text, must=False) == Wish(kind=kind, must=False, choices=choices)


@pytest.mark.parametrize("text", ["clear air", "no mist", "Clear  Air"])
def test_clear_air_is_no_sky(text: str) -> None:
    assert parse_wish(text, must=True).kind is WishKind.CLEAR_AIR


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("from 15 Apr to 10 May", (4, 15), (5, 10)),
        ("15 april - 10 may", (4, 15), (5, 10)),
        ("between 1. Dec and 28 February", (12, 1), (2, 28)),
        ("season 29 Feb to 1 Mar", (2, 29), (3, 1)),
    ],
)
def test_seasons_are_read(text: str, first: tuple[int, int], last: tuple[int, int]) -> None:
    wish = parse_wish(text, must=True)
    assert (wish.from_day, wish.to_day) == (first, last)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "No wish is understood in ''; write it like one of: mist 120"),
        ("nice light", "No wish is understood in 'nice light'"),
        ("mist", "No wish is understood"),
        ("mist 260 to 120 m", "runs from 260 to 120; the first number must be the smaller"),
        ("mist 120 to 120 m", "the first number must be the smaller"),
        ("mist 1,000 to 2,000 m", "1,000 can be read two ways; write 1000 or 1.000"),
        ("mist 2 to 6 deg", "the unit is deg; mist is in m or km, the sun in deg"),
        ("sun 2 to 6 m", "the unit is m; mist is in m or km, the sun in deg"),
        ("from 31 Apr to 10 May", "There is no day 31 in month 4"),
        ("from 15 Foo to 10 May", "'foo' is no month; write it like 15 Apr"),
        ("leaf purple", "A wish for leaf is one or more of bare, flush, .*; got purple"),
        ("still or still air", "each once; got still, still"),
    ],
)
def test_what_makes_no_sense_is_told(text: str, sentence: str) -> None:
    with pytest.raises(BadInputError, match=sentence):
        parse_wish(text, must=True)


@given(text=st.text(max_size=40) | st.from_regex(r"(mist|sun|fog) [-0-9., tokm°]{0,20}"))
def test_no_text_breaks_the_reader(text: str) -> None:
    try:
        wish = parse_wish(text, must=True)
    except ShivelightError as why:
        assert str(why).endswith(".")  # noqa: PT017  either outcome is allowed
    else:
        assert parse_wish(wish.words, must=True) == wish


@pytest.mark.parametrize(
    ("parts", "sentence"),
    [
        ({"kind": WishKind.MIST}, "A wish for mist needs two limits"),
        ({"kind": WishKind.SUN, "low": 2.0}, "A wish for sun needs two limits"),
        ({"kind": WishKind.LEAF}, "got nothing"),
        ({"kind": WishKind.SEASON}, "A season wish needs two days"),
        ({"kind": WishKind.SEASON, "from_day": (4, 31), "to_day": (5, 1)}, "no day 31 in month 4"),
        ({"kind": WishKind.CLEAR_AIR, "choices": ("still",)}, "wish for clear air has no choices"),
        ({"kind": WishKind.AIR, "choices": ("still",), "low": 1.0}, "wish for air has no limits"),
        (
            {"kind": WishKind.MIST, "low": 1.0, "high": 2.0, "from_day": (1, 1)},
            "wish for mist has no days",
        ),
    ],
)
def test_a_wish_has_the_parts_of_its_kind(parts: dict[str, Any], sentence: str) -> None:
    with pytest.raises(BadInputError, match=sentence):
        Wish(must=True, **parts)


@pytest.mark.parametrize(
    ("kind", "low", "high"),
    [
        (WishKind.MIST, -1.0, 100.0),
        (WishKind.MIST, 1.0, 20_001.0),
        (WishKind.MIST, float("nan"), 100.0),
        (WishKind.SUN, -19.0, 5.0),
        (WishKind.SUN, 5.0, 91.0),
        (WishKind.SUN, 5.0, float("inf")),
    ],
)
def test_limits_have_limits(kind: WishKind, low: float, high: float) -> None:
    with pytest.raises(OutOfRangeError, match="must be"):
        Wish(kind=kind, must=True, low=low, high=high)


@pytest.mark.parametrize(
    ("text", "day", "holds"),
    [
        ("from 15 Apr to 10 May", dt.date(2027, 4, 15), True),
        ("from 15 Apr to 10 May", dt.date(2027, 5, 10), True),
        ("from 15 Apr to 10 May", dt.date(2027, 4, 14), False),
        ("from 15 Apr to 10 May", dt.date(2027, 5, 11), False),
        ("from 1 Dec to 28 Feb", dt.date(2027, 12, 31), True),
        ("from 1 Dec to 28 Feb", dt.date(2028, 1, 1), True),
        ("from 1 Dec to 28 Feb", dt.date(2028, 2, 29), False),
        ("from 1 Dec to 28 Feb", dt.date(2027, 11, 30), False),
        ("still air", dt.date(2027, 7, 1), True),
    ],
)
def test_a_season_may_run_over_the_new_year(text: str, day: dt.date, holds: bool) -> None:
    assert parse_wish(text, must=True).in_season(day) is holds


def test_all_kinds_of_choices_have_their_words() -> None:
    for kind, known in CHOICES.items():
        for choice in known:
            wish = Wish(kind=kind, must=True, choices=(choice,))
            assert choice in wish.words
            assert parse_wish(wish.words, must=True) == wish
