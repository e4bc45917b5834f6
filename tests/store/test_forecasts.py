"""Forecasts: the last one fetched, the same one once, bytes that changed noticed."""

import sqlite3
from dataclasses import replace

import numpy as np
import pytest

from shivelight.basis.errors import NotFoundError, UnreadableFileError
from shivelight.store import forecasts
from shivelight.store.book import FieldBook
from shivelight.store.contents import contents
from tests.store.sample import EVENING, FORECAST

HOUR = np.timedelta64(1, "h")


def test_the_last_fetched_comes_first_whatever_the_order_of_keeping(valley: FieldBook) -> None:
    later = replace(FORECAST, fetched_utc=EVENING + HOUR, payload=b"later")
    earlier = replace(FORECAST, fetched_utc=EVENING - HOUR, payload=b"earlier", kind="metar")
    forecasts.add(valley, later)
    forecasts.add(valley, earlier)
    assert forecasts.latest(valley, "Pinnet Heath") == later
    assert forecasts.latest(valley, "Pinnet Heath", "metar") == earlier
    assert forecasts.latest(valley, "Pinnet Heath", "open-meteo") is None
    assert forecasts.every(valley) == (FORECAST, later, earlier)


def test_what_came_later_does_not_count_when_told_until_when(valley: FieldBook) -> None:
    later = replace(FORECAST, fetched_utc=EVENING + HOUR, payload=b"later")
    forecasts.add(valley, later)
    at = {
        until_utc: forecasts.latest(valley, "Pinnet Heath", until_utc=until_utc)
        for until_utc in (EVENING - HOUR, EVENING, EVENING + HOUR)
    }
    assert list(at.values()) == [None, FORECAST, later]
    before = forecasts.latest(valley, "Pinnet Heath", "typed", until_utc=EVENING)
    assert before == FORECAST


def test_part_of_a_second_counts_in_the_order(valley: FieldBook) -> None:
    just_after = replace(FORECAST, fetched_utc=EVENING + np.timedelta64(1, "us"), payload=b"x")
    forecasts.add(valley, just_after)
    assert forecasts.latest(valley, "Pinnet Heath") == just_after


def test_the_same_forecast_again_is_the_same(valley: FieldBook) -> None:
    first = forecasts.add(valley, FORECAST)
    assert forecasts.add(valley, FORECAST) == first
    assert contents(valley).forecasts == 1


def test_the_same_bytes_fetched_again_are_kept_once(valley: FieldBook) -> None:
    forecasts.add(valley, replace(FORECAST, fetched_utc=EVENING + HOUR, headers={"expires": "2"}))
    assert contents(valley).forecasts == 2
    with valley.reading() as tx:
        assert tx.exec_driver_sql("SELECT count(*) FROM payload").scalar() == 1
    latest = forecasts.latest(valley, "Pinnet Heath")
    assert latest is not None
    assert latest.headers == {"expires": "2"}


def test_an_unknown_wood_is_named_and_nothing_kept(valley: FieldBook) -> None:
    with pytest.raises(NotFoundError, match="No wood named 'Threll Clough'"):
        forecasts.add(valley, replace(FORECAST, wood="Threll Clough", payload=b"new"))
    with pytest.raises(NotFoundError, match="No wood named 'Threll Clough'"):
        forecasts.latest(valley, "Threll Clough")
    with valley.reading() as tx:
        assert tx.exec_driver_sql("SELECT count(*) FROM payload").scalar() == 1


@pytest.mark.parametrize("spoiled", [b"no zlib at all", b"x\x9cK,)N\x01\x00\x04\xac\x01\x9a"])
def test_bytes_that_are_not_those_received_are_noticed(valley: FieldBook, spoiled: bytes) -> None:
    valley.close()
    bare = sqlite3.connect(valley.path)
    bare.execute("UPDATE payload SET zlib_bytes = ?", (spoiled,))
    bare.commit()
    bare.close()
    with (
        FieldBook.open(valley.path) as again,
        pytest.raises(
            UnreadableFileError, match=r"Forecast 1 in the field book is .*fetch it again"
        ),
    ):
        forecasts.latest(again, "Pinnet Heath")


def test_a_number_that_is_not_there_is_none(valley: FieldBook) -> None:
    assert forecasts.get(valley, 99) is None
