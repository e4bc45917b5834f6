"""Outings: one a day, in order, with the word left."""

import datetime as dt
from dataclasses import replace

import pytest

from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.store import outings
from shivelight.store.book import FieldBook
from tests.store.sample import DAY, OUTING


def test_a_day_has_one_outing(valley: FieldBook) -> None:
    with pytest.raises(BadInputError, match="already has an outing of 2027-11-03"):
        outings.add(valley, OUTING)
    outings.replace(valley, replace(OUTING, word=None, visits=(), note="stayed"))
    assert outings.get(valley, DAY) == replace(OUTING, word=None, visits=(), note="stayed")


def test_replacing_needs_an_outing(valley: FieldBook) -> None:
    other = DAY + dt.timedelta(days=1)
    with pytest.raises(NotFoundError, match="no outing of 2027-11-04"):
        outings.replace(valley, replace(OUTING, day=other))
    with pytest.raises(NotFoundError, match="no outing of 2027-11-04"):
        outings.get(valley, other)


def test_outings_come_by_day_and_visits_in_order(valley: FieldBook) -> None:
    before = replace(OUTING, day=DAY - dt.timedelta(days=9), woods=("Sallowden Hanger",))
    outings.add(valley, before)
    assert outings.every(valley) == (before, OUTING)
    assert outings.get(valley, DAY).visits == (
        "White Post Gap",
        "Plumb and Lean",
        "White Post Gap",
    )


def test_outings_that_visit_a_spot_come_by_day(valley: FieldBook) -> None:
    before = replace(OUTING, day=DAY - dt.timedelta(days=9), visits=("Plumb and Lean",))
    outings.add(valley, before)
    outings.add(valley, replace(OUTING, day=DAY - dt.timedelta(days=4), visits=()))
    assert outings.of_spot(valley, "White Post Gap") == (OUTING,)
    assert outings.of_spot(valley, "plumb and lean") == (before, OUTING)
    with pytest.raises(NotFoundError, match="No spot named 'Root Stair'"):
        outings.of_spot(valley, "Root Stair")


def test_an_unknown_place_is_named_and_nothing_kept(valley: FieldBook) -> None:
    other = DAY + dt.timedelta(days=1)
    with pytest.raises(NotFoundError, match="No spot named 'Root Stair'"):
        outings.add(valley, replace(OUTING, day=other, visits=("Root Stair",)))
    with pytest.raises(NotFoundError, match="No wood named 'Threll'"):
        outings.add(valley, replace(OUTING, day=other, woods=("Threll",)))
    assert outings.every(valley) == (OUTING,)
