"""Woods: what they refuse, and when a fact about access holds."""

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given

from shivelight.basis.errors import BadInputError, NotFoundError, OutOfRangeError
from shivelight.basis.places import Position
from shivelight.basis.records import from_plain, to_plain
from shivelight.outing.woods import AccessFact, MistHabit, Wood, require_name
from tests import strategies as make

COLDSHAW = Wood(
    name="Coldshaw Bottom",
    zone_name="Europe/London",
    parking=Position(latitude_deg=53.0, longitude_deg=-5.1),
    ground_height_m=72.0,
)
NOTED = dt.date(2027, 1, 3)


@given(wood=make.woods())
def test_a_wood_goes_through_plain_json(wood: Wood) -> None:
    assert from_plain(Wood, to_plain(wood)) == wood


@pytest.mark.parametrize("name", ["", "   ", "two\nlines", "tab\tbed", "nul\x00", "half\ud83d"])
def test_a_name_stands_on_one_line(name: str) -> None:
    with pytest.raises(BadInputError, match="A wood needs a name on one line"):
        replace(COLDSHAW, name=name)


@pytest.mark.parametrize("name", ["Ölmwald", "Wennick Wood 2", "鎮守の森", "Penwarne\u2019s Wood"])
def test_names_of_any_language_will_do(name: str) -> None:
    require_name("wood", name)
    assert replace(COLDSHAW, name=name).name == name


def test_a_zone_must_exist() -> None:
    with pytest.raises(NotFoundError, match="There is no time zone named 'Wennick/Water'"):
        replace(COLDSHAW, zone_name="Wennick/Water")


@pytest.mark.parametrize("ground_height_m", [-501.0, 9001.0, float("nan")])
def test_the_ground_lies_on_the_earth(ground_height_m: float) -> None:
    with pytest.raises(OutOfRangeError, match=r"ground height is .* m; it must be -500 to 9000 m"):
        replace(COLDSHAW, ground_height_m=ground_height_m)


def test_the_road_takes_less_than_a_day() -> None:
    with pytest.raises(OutOfRangeError, match="road time is 1441 min; it must be 0 to 1440 min"):
        replace(COLDSHAW, road_min=1441.0)


def test_an_outline_has_three_corners_or_none() -> None:
    corner = (53.0, -5.1)
    with pytest.raises(BadInputError, match="outline of Coldshaw Bottom needs at least three"):
        replace(COLDSHAW, outline=(corner, corner))
    assert replace(COLDSHAW, outline=()).outline == ()


def test_a_corner_lies_on_the_earth() -> None:
    with pytest.raises(OutOfRangeError, match="latitude is 93 °"):
        replace(COLDSHAW, outline=((53.0, -5.1), (53.1, -5.1), (93.0, -5.1)))


@pytest.mark.parametrize(
    ("parts", "sentence"),
    [
        ({"hollow_depth_m": -1.0}, "hollow depth is -1 m"),
        ({"depth_m": 0.0}, "mist depth is 0 m; it must be 0.5 to 1000 m"),
        ({"fog_top_m": float("nan")}, "top of valley fog is nan m"),
        ({"fog_top_m": 9500.0}, "top of valley fog is 9500 m"),
    ],
)
def test_a_mist_habit_has_its_limits(parts: dict[str, Any], sentence: str) -> None:
    with pytest.raises(OutOfRangeError, match=sentence):
        MistHabit(**parts)


@pytest.mark.parametrize(
    ("first", "last", "day", "holds"),
    [
        (None, None, dt.date(2030, 6, 1), True),
        (dt.date(2027, 3, 1), None, dt.date(2027, 3, 1), True),
        (dt.date(2027, 3, 1), None, dt.date(2027, 2, 28), False),
        (None, dt.date(2027, 3, 1), dt.date(2027, 3, 1), True),
        (None, dt.date(2027, 3, 1), dt.date(2027, 3, 2), False),
        (dt.date(2027, 3, 1), dt.date(2027, 3, 1), dt.date(2027, 3, 1), True),
    ],
)
def test_a_fact_holds_from_its_first_day_to_its_last(
    first: dt.date | None, last: dt.date | None, day: dt.date, holds: bool
) -> None:
    fact = AccessFact(what="stalking", noted_on=NOTED, from_day=first, to_day=last)
    assert fact.holds_on(day) is holds


def test_a_fact_has_words_and_days_in_order() -> None:
    with pytest.raises(BadInputError, match="A fact about access needs a name"):
        AccessFact(what=" ", noted_on=NOTED)
    with pytest.raises(BadInputError, match="the first day must not come after the last"):
        AccessFact(
            what="felling",
            noted_on=NOTED,
            from_day=dt.date(2027, 3, 2),
            to_day=dt.date(2027, 3, 1),
        )
