"""The coming mornings: what was last said of each, whether it still stands, read quickly."""

import datetime as dt
import json
import time
from dataclasses import replace
from pathlib import Path

import httpx
import numpy as np
import pytest
from sqlalchemy import event

from shivelight.basis.errors import OutOfRangeError
from shivelight.basis.records import to_plain
from shivelight.outing.spots import SpotState
from shivelight.store import forecasts as forecast_rows
from shivelight.store import judgements
from shivelight.store.book import FieldBook
from shivelight.workbench.bench import Workbench
from shivelight.workbench.demo_valley import MORNING
from shivelight.workbench.stale import why_stale
from shivelight.workbench.typed import EveningTyped
from tests.store.sample import DAY, PLUMB_AND_LEAN, WHITE_POST_GAP, morning
from tests.workbench.conftest import opened
from tests.workbench.test_forecast import answer, heath, line
from tests.workbench.test_forecast import opened as opened_heath

__all__ = ["heath"]
HOUR = np.timedelta64(1, "h")


def typed(wall: str) -> EveningTyped:
    return EveningTyped(
        at=dt.datetime.fromisoformat(wall), temperature_degc=6.0, dew_point_degc=4.4,
        wind_mps=1.3,
    )  # fmt: skip


def fetch(bench: Workbench) -> None:
    bench.fetch_forecasts(line=line(lambda _: httpx.Response(200, json=answer())))


def test_every_coming_morning_is_there_judged_or_not(book: Path) -> None:
    with opened(book, "2027-11-02T21:40") as bench:
        judged = bench.judge(mornings=1)
        week = bench.week()
        assert [one.day for one in week.mornings] == [
            MORNING + dt.timedelta(days=number) for number in range(7)
        ]
        first = week.mornings[0]
        assert first.morning is not None
        assert to_plain(first.morning) == to_plain(judged[0])
        assert not first.is_stale
        assert [one.morning for one in week.mornings[1:]] == [None] * 6
        assert not any(one.is_stale for one in week.mornings)
        assert len(bench.week(1).mornings) == 1
        for days in (0, 8):
            with pytest.raises(OutOfRangeError):
                bench.week(days)


def test_an_empty_book_has_a_week_too(empty: Workbench) -> None:
    week = empty.week()
    assert (week.zone_name, week.forecasts) == ("UTC", ())
    assert len(week.mornings) == 7


def test_a_newer_forecast_makes_a_judgement_stale_until_it_is_judged_again(book: Path) -> None:
    with opened(book, "2027-11-02T21:40") as bench:
        bench.judge(mornings=1)
    with opened(book, "2027-11-02T22:30") as bench:
        bench.enter_evening(typed("2027-11-02T22:20"))
        first = bench.week().mornings[0]
        assert first.stale == (
            "A forecast came at 22:20, after this was judged at 21:40; judge again."
        )
        bench.judge(mornings=1)
        assert not bench.week().mornings[0].is_stale


def test_a_forecast_that_comes_later_than_now_is_not_known_yet(book: Path) -> None:
    with opened(book, "2027-11-02T23:00") as bench:
        bench.enter_evening(typed("2027-11-02T22:50"))
    with opened(book, "2027-11-02T21:40") as bench:
        bench.judge(mornings=1)
        assert not bench.week().mornings[0].is_stale
        assert {one.newest.source for one in bench.forecast_state() if one.newest} == {
            "typed at 21:40"
        }


def test_a_forecast_that_does_not_reach_a_morning_leaves_its_judgement_alone(heath: Path) -> None:
    with opened_heath(heath, "2027-11-02T20:00") as bench:
        fetch(bench)
        judged = bench.judge(mornings=2)
        assert len(judged) == 2
    with opened_heath(heath, "2027-11-02T22:30") as bench:
        bench.enter_evening(typed("2027-11-02T22:20"))
        first, second = bench.week(2).mornings
    assert first.is_stale
    assert second.morning is not None
    assert not second.is_stale


def test_another_forecast_than_it_was_judged_by_is_told(book: Path) -> None:
    with opened(book, "2027-11-02T23:00") as bench:
        bench.judge(mornings=1)
        bench.enter_evening(typed("2027-11-02T22:50"))
        stale = bench.week().mornings[0].stale
    assert stale.startswith("The forecast for Coldshaw Bottom, Hagbarrow Old Park and 5 others is")
    assert stale.endswith("another than it was judged by; judge again.")


def test_spots_that_came_went_or_wish_otherwise_are_named(book: Path) -> None:
    with opened(book, "2027-11-02T21:40") as bench:
        bench.judge(mornings=1)
        old = bench.spot("White Post Gap")
        bench.add_spot(replace(old, name="Low Gate"))
        added = bench.week().mornings[0].stale
        assert added == "Low Gate was added since; judge again."
        bench.wish("White Post Gap", "frost", must=False)
        gone = next(one for one in bench.spots() if one.name not in {"White Post Gap", "Low Gate"})
        bench.change_spot(gone.name, state=SpotState.LOST)
        assert bench.week().mornings[0].stale == (
            f"Low Gate was added since, and {gone.name} is no longer looked at, and White Post "
            "Gap wishes for something else now; judge again."
        )


def test_a_spot_of_a_wood_that_could_not_be_judged_is_no_news() -> None:
    judged = morning()
    here = replace(judged, spots=judged.spots[:1], left_out=(("Sallowden Hanger", "no forecast"),))
    assert why_stale(here, [WHITE_POST_GAP, PLUMB_AND_LEAN], {}) == ""
    assert why_stale(replace(here, left_out=()), [WHITE_POST_GAP, PLUMB_AND_LEAN], {}) == (
        "Plumb and Lean was added since; judge again."
    )


def test_the_state_of_a_forecast_is_that_of_its_judgement(heath: Path) -> None:
    with opened_heath(heath, "2027-11-02T20:00") as bench:
        (none,) = bench.forecast_state()
        assert (none.newest, none.reaches_next_sunrise) == (None, False)
        assert none.problem.startswith("No forecast is kept for Pinnet Heath; fetch one")
        fetch(bench)
    with opened_heath(heath, "2027-11-02T23:00") as bench:
        (state,) = bench.forecast_state()
        _, note, _ = bench.forecast_for(bench.wood("Pinnet Heath").wood)
        assert state.used is not None
        assert state.problem == ""
        assert state.used.age_h == note.age_h == pytest.approx(3.0, abs=0.1)
        assert (state.used.source, state.used.issued_utc) == (note.source, note.issued_utc)
        assert (state.used.members, state.used.missing) == (note.members, note.missing)
        assert state.used.distance_km == note.distance_km
        assert state.newest == state.used


def test_the_age_goes_on_though_the_bytes_are_read_once(
    heath: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with opened_heath(heath, "2027-11-02T20:00") as bench:
        fetch(bench)
        read: list[int] = []
        get = forecast_rows.get

        def counting(book: FieldBook, number: int) -> object:
            read.append(number)
            return get(book, number)

        monkeypatch.setattr(forecast_rows, "get", counting)
        (before,) = bench.forecast_state()
        bench.now_utc = bench.now_utc + HOUR
        (after,) = bench.forecast_state()
    assert len(read) == 1
    assert before.newest is not None
    assert after.newest is not None
    assert after.newest.age_h - before.newest.age_h == pytest.approx(1.0)


def test_an_observation_gives_way_to_the_forecast_that_reaches_the_morning(heath: Path) -> None:
    with opened_heath(heath, "2027-11-02T20:00") as bench:
        fetch(bench)
    metar = heath / "now.txt"
    metar.write_text("METAR XXXX 022220Z 00000KT 9999 SCT020 06/05 Q1025=\n")
    with opened_heath(heath, "2027-11-02T22:30") as bench:
        bench.read_forecast(metar)
        (state,) = bench.forecast_state()
        assert state.newest is not None
        assert state.newest.kind == "metar"
        assert state.used is not None
        assert state.used.kind == "openmeteo"
        _, note, _ = bench.forecast_for(bench.wood("Pinnet Heath").wood)
        assert note.source == state.used.source


def test_an_old_evening_reaches_no_coming_morning(book: Path) -> None:
    with opened(book, "2027-12-25T20:00") as bench:
        states = bench.forecast_state()
    assert states
    for state in states:
        assert state.newest is not None
        assert not state.reaches_next_sunrise
        assert "the coming morning cannot be judged by it" in state.problem


def test_a_forecast_whose_bytes_are_damaged_is_told(heath: Path) -> None:
    with opened_heath(heath, "2027-11-02T20:00") as bench:
        fetch(bench)
        with bench.book.writing() as tx:
            tx.exec_driver_sql("UPDATE payload SET zlib_bytes = x'00'")
        (state,) = bench.forecast_state()
    assert (state.newest, state.used) == (None, None)
    assert "is damaged" in state.problem


def test_a_week_of_forty_spots_is_read_with_one_question_for_its_judgements(book: Path) -> None:
    """The time is a rough guard (a few times what it takes); the report has the measured one."""
    with opened(book, "2027-11-02T21:40") as bench:
        for number in range(40 - len(bench.spots())):
            bench.add_spot(replace(bench.spot("White Post Gap"), name=f"Gap {number}"))
        judged = bench.judge(mornings=1)[0]
        assert len(judged.spots) == 40
        for number in range(1, 7):
            judgements.add(bench.book, replace(judged, day=MORNING + dt.timedelta(days=number)))
        bench.week()
        asked: list[str] = []

        @event.listens_for(bench.book._reader, "before_cursor_execute")
        def _note(*given: object) -> None:
            asked.append(str(given[2]))

        start = time.perf_counter()
        week = bench.week()
        took_s = time.perf_counter() - start
    assert [len(one.morning.spots) for one in week.mornings if one.morning] == [40] * 7
    assert sum("FROM judgement" in one for one in asked) == 1
    assert len(asked) < 40
    assert took_s < 0.5


def test_the_week_has_a_json_form(book: Path) -> None:
    with opened(book, "2027-11-02T21:40") as bench:
        bench.judge(mornings=1)
        text = json.dumps(to_plain(bench.week()), allow_nan=False)
    assert json.loads(text)["mornings"][0]["day"] == str(DAY)
