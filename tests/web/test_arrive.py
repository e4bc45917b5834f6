"""On arrival: the taps, the order of the spots, and what is said when nothing was judged."""

import datetime as dt

import pytest

from shivelight.outing.arrive import Answers
from tests.web.visitor import Visitor
from tests.workbench.conftest import at

DAY = "2027-11-03"
CLEAR = {"mist": "thin", "air": "still", "light": "clear"}


@pytest.fixture
def there(valley: Visitor) -> Visitor:
    """Visit from the car, before dawn of the demo morning."""
    valley.house.now_utc = at("2027-11-03T06:40")
    return valley


def test_before_the_taps_there_is_a_form_and_no_answer(there: Visitor) -> None:
    said = there.json("/arrive")
    assert said["answer"] == ""
    assert said["choices"] == []
    assert [box["key"] for box in said["form"]["boxes"]][:3] == ["mist", "air", "light"]
    assert 'method="get" action="/arrive" data-taps="mist air light"' in there.get("/arrive").text


def test_three_taps_put_the_spots_in_order(there: Visitor) -> None:
    page = there.get("/arrive", **CLEAR)
    said = there.json("/arrive", **CLEAR)
    assert said["choices"][0]["name"] == "White Post Gap"
    assert said["answer"] == "White Post Gap, 18 min on foot."
    assert said["answer"] in page.text
    assert said["choices"][0]["why"] in page.text
    assert "has lifted by about" in said["lifting"]
    assert "How this is worked out" in page.text


def test_the_page_says_what_the_workbench_says(there: Visitor) -> None:
    said = there.json("/arrive", **CLEAR, ground="wet", at="07:00")
    with there.house.bench() as bench:
        found = bench.arrive(
            bench.next_morning(),
            Answers(**CLEAR, ground="wet"),
            at=dt.time(7),
        )
    assert [one["name"] for one in said["choices"]] == [one.spot for one in found.choices]


def test_no_mist_has_nothing_to_lift(there: Visitor) -> None:
    assert there.json("/arrive", **{**CLEAR, "mist": "none"})["lifting"] == ""


def test_a_spot_to_stand_at_changes_the_walks(there: Visitor) -> None:
    said = there.json("/arrive", **CLEAR, here="White Post Gap")
    walk = {one["name"]: one["walk"] for one in said["choices"]}
    assert walk["White Post Gap"] == "where you stand"


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"mist": "soup"}, "is not one of: none, wisps, thin, good, thick"),
        ({"at": "dawn"}, "is not read; write it like 06:45"),
        ({"here": "Nowhere Gap"}, "Nowhere Gap"),
    ],
)
def test_what_makes_no_sense_is_told_in_place(
    there: Visitor, change: dict[str, str], told: str
) -> None:
    page = there.get("/arrive", **{**CLEAR, **change})
    assert page.status_code == 200
    assert told in page.text
    assert "Tap again" not in page.text


def test_the_evening_before_it_is_answered_for_the_time_of_parking(valley: Visitor) -> None:
    held = {one["key"]: one["text"] for one in valley.json("/arrive")["form"]["boxes"]}
    with valley.house.bench() as bench:
        first = bench.judged(bench.next_morning()).first
    assert first is not None
    assert first.park_utc is not None
    assert held["at"] == str(first.park_utc.astype("datetime64[m]"))[-5:]


def test_an_unjudged_morning_says_what_to_do(valley: Visitor) -> None:
    page = valley.get("/arrive", day="2027-11-05")
    assert page.status_code == 200
    assert "Nothing has been judged for Friday 5 November. Judge the morning first" in page.text
    assert 'href="/evening?day=2027-11-05"' in page.text


def test_an_empty_book_says_that_there_is_no_spot(empty: Visitor) -> None:
    assert "There is no spot in the book yet." in empty.get("/arrive").text


def test_a_day_that_is_none_is_a_refusal(valley: Visitor) -> None:
    sent = valley.get("/arrive", day="someday")
    assert sent.status_code == 422
    assert "is not read; write it like 2027-11-03" in sent.text
