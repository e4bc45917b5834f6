"""After the outing: the morning that is offered for the log, and a log taken back."""

import datetime as dt
from pathlib import Path

import pytest

from shivelight.basis.errors import NotFoundError
from shivelight.outing.found import Found
from shivelight.outing.outings import Outing
from shivelight.store import found as found_rows
from shivelight.store import outings as outing_rows
from shivelight.workbench.bench import Workbench
from shivelight.workbench.demo_valley import MORNING
from tests.workbench.conftest import opened

DAY = dt.date(2027, 11, 1)
WOOD = "Pinnet Heath"


def test_a_log_taken_back_is_out_of_the_counts_and_still_kept(spots: Workbench) -> None:
    spots.log_found(Found(day=DAY, wood=WOOD, mist="good", air="still"))
    spots.take_back_found(DAY, wood=WOOD)
    assert spots.wood(WOOD).logs == ()
    assert [(one.day, one.air) for one in found_rows.replaced(spots.book)] == [(DAY, "still")]


def test_only_the_log_of_that_place_is_taken_back(spots: Workbench) -> None:
    spots.log_found(Found(day=DAY, wood=WOOD, mist="good"))
    spots.log_found(Found(day=DAY, wood=WOOD, mist="thin", spot="White Post Gap"))
    spots.take_back_found(DAY, wood=WOOD, spot="White Post Gap")
    assert [log.mist for log in spots.wood(WOOD).logs] == ["good"]


@pytest.mark.parametrize(
    ("wood", "spot", "told"),
    [
        (WOOD, "", "Nothing was logged in Pinnet Heath on 2027-11-01"),
        (WOOD, "White Post Gap", "Nothing was logged in White Post Gap"),
        ("Nowhere", "", "Nowhere"),
    ],
)
def test_what_was_not_logged_cannot_be_taken_back(
    spots: Workbench, wood: str, spot: str, told: str
) -> None:
    with pytest.raises(NotFoundError, match=told):
        spots.take_back_found(DAY, wood=wood, spot=spot)


def test_the_latest_log_comes_first_and_each_can_be_found(spots: Workbench) -> None:
    for day in (DAY, DAY - dt.timedelta(days=2)):
        spots.log_found(Found(day=day, wood=WOOD, mist="none"))
    assert [log.day for log in spots.logs()] == [DAY, DAY - dt.timedelta(days=2)]
    found = spots.log_of(DAY, WOOD)
    assert found is not None
    assert found.day == DAY
    assert spots.log_of(DAY, WOOD, "White Post Gap") is None


def test_the_last_outing_is_one_that_has_been(spots: Workbench) -> None:
    assert spots.last_outing() is None
    for day in (DAY, spots.today() + dt.timedelta(days=1)):
        outing_rows.add(spots.book, Outing(day=day, woods=(WOOD,)))
    last = spots.last_outing()
    assert last is not None
    assert last.day == DAY


def test_the_morning_taken_goes_before_the_coming_one(spots: Workbench) -> None:
    coming = spots.next_morning()
    assert spots.taken_morning() == coming
    for days in (-1, 4, 2):
        outing_rows.add(spots.book, Outing(day=coming + dt.timedelta(days=days), woods=(WOOD,)))
    assert spots.taken_morning() == coming + dt.timedelta(days=2)


def test_the_sheet_is_marked_and_unmarked(book: Path) -> None:
    with opened(book, "2027-11-02T21:40") as bench:
        bench.judge(day=MORNING, mornings=1)
        assert bench.outing(MORNING) is None
        assert bench.give_sheet(MORNING).sheet_given
        assert not bench.give_sheet(MORNING, given=False).sheet_given
        outing = bench.outing(MORNING)
    assert outing is not None
    assert not outing.sheet_given
    assert outing.visits
