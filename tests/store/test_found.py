"""Logs: one for a morning, wood and spot; the former is kept aside."""

import datetime as dt
from dataclasses import replace

import pytest

from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.store import found
from shivelight.store.book import FieldBook
from tests.store.sample import DAY, LOGS


def test_a_second_log_of_a_morning_takes_the_place_of_the_first(valley: FieldBook) -> None:
    better = replace(LOGS[0], mist="thick", optical_range_m=80.0)
    found.add(valley, better)
    assert found.of_wood(valley, "Pinnet Heath") == (better,)
    assert found.replaced(valley) == (LOGS[0],)
    third = replace(better, note="again")
    found.add(valley, third)
    assert found.replaced(valley) == (LOGS[0], better)


def test_the_same_log_again_changes_nothing(valley: FieldBook) -> None:
    found.add(valley, LOGS[0])
    found.add(valley, replace(LOGS[0], wood="PINNET heath", spot="white post gap"))
    assert found.replaced(valley) == ()
    assert found.every(valley) == LOGS


def test_a_log_of_the_wood_stands_beside_that_of_its_spot(valley: FieldBook) -> None:
    whole = replace(LOGS[0], spot="", mist="wisps")
    found.add(valley, whole)
    assert found.of_wood(valley, "Pinnet Heath") == (LOGS[0], whole)
    assert found.replaced(valley) == ()


def test_logs_come_by_day(valley: FieldBook) -> None:
    earlier = replace(LOGS[0], day=DAY - dt.timedelta(days=3))
    found.add(valley, earlier)
    assert found.of_wood(valley, "Pinnet Heath") == (earlier, LOGS[0])


def test_a_spot_of_another_wood_is_refused(valley: FieldBook) -> None:
    with pytest.raises(BadInputError, match="Plumb and Lean is not in Pinnet Heath"):
        found.add(valley, replace(LOGS[0], spot="Plumb and Lean"))
    assert found.every(valley) == LOGS


def test_an_unknown_wood_or_spot_is_named(valley: FieldBook) -> None:
    with pytest.raises(NotFoundError, match="No wood named 'Otter'"):
        found.add(valley, replace(LOGS[0], wood="Otter"))
    with pytest.raises(NotFoundError, match="No spot named 'Root Stair'"):
        found.add(valley, replace(LOGS[0], spot="Root Stair"))
