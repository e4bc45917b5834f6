"""A spot's history read back from the book: it agrees with what was put in."""

import datetime as dt
import math
import tempfile
from collections import defaultdict
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shivelight.basis.errors import NotFoundError
from shivelight.basis.records import to_plain
from shivelight.outing.found import MIST_WORDS, Found
from shivelight.outing.outings import Outing
from shivelight.store import found, judgements, outings, spots, woods
from shivelight.store.book import FieldBook
from shivelight.workbench.history import HistoryDesk
from shivelight.workbench.settings import Settings
from tests.store.conftest import empty_file, valley_file
from tests.store.sample import (
    DAY,
    EVENING,
    OUTING,
    PINNET,
    PLUMB_AND_LEAN,
    SALLOWDEN,
    WHITE_POST_GAP,
    morning,
)
from tests.workbench.conftest import opened

__all__ = ["empty_file", "valley_file"]
SPOT, OTHER = "White Post Gap", "Plumb and Lean"
_DAYS = st.integers(0, 4).map(lambda number: DAY + dt.timedelta(days=number))


def test_the_demo_valley_remembers_its_mornings(book: Path) -> None:
    with opened(book, "2027-11-02T21:40") as bench:
        bench.judge(mornings=1)
        bench.take(DAY, spot=SPOT)
        past = HistoryDesk(bench.book, bench.settings, bench.now_utc).spot_history(
            "white post gap"
        )
        given = judgements.given(bench.book, "Pinnet Heath")
        logs = bench.wood("Pinnet Heath").logs
    assert (past.spot, past.wood, past.zone_name) == (SPOT, "Pinnet Heath", "Europe/London")
    newest = past.mornings[0]
    assert newest.day == DAY
    assert newest.outing is not None
    assert newest.said is not None
    assert past.said == len({one.day for one in given if one.spot == SPOT})
    assert past.logged == len({log.day for log in logs if log.spot in {"", SPOT}})
    assert past.visited == 1


@settings(
    max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    said=st.lists(st.tuples(_DAYS, st.integers(0, 3), st.booleans(), st.booleans()), max_size=6),
    logs=st.lists(
        st.tuples(_DAYS, st.sampled_from(["", SPOT]), st.sampled_from(MIST_WORDS)), max_size=4
    ),
    went=st.lists(st.tuples(_DAYS, st.sampled_from([SPOT, OTHER])), unique_by=lambda one: one[0]),
)
def test_it_gives_back_what_the_book_was_given(
    empty_file: Path,
    said: list[tuple[dt.date, int, bool, bool]],
    logs: list[tuple[dt.date, str, str]],
    went: list[tuple[dt.date, str]],
) -> None:
    newest: dict[dt.date, tuple[int, np.datetime64, bool, bool]] = {}
    times: dict[dt.date, int] = defaultdict(int)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "b.sqlite"
        path.write_bytes(empty_file.read_bytes())
        with FieldBook.open(path) as book:
            _places(book)
            for number, (day, hours, first, never) in enumerate(said):
                made = EVENING + np.timedelta64(hours, "h")
                whole = morning(day=day, made_utc=made)
                order = whole.spots if first else whole.spots[::-1]
                if never:
                    order = tuple(replace(one, best=None) for one in order)
                judgements.add(book, replace(whole, spots=order))
                times[day] += 1
                if day not in newest or made >= newest[day][1]:
                    newest[day] = (number, made, first, never)
            kept: dict[tuple[dt.date, str], str] = {}
            for day, spot, mist in logs:
                found.add(book, Found(day=day, wood=PINNET.name, spot=spot, mist=mist))
                kept[day, spot] = mist
            for day, spot in went:
                outings.add(book, Outing(day=day, woods=(), visits=(spot,)))
            past = HistoryDesk(book, Settings(book=str(path)), EVENING).spot_history(SPOT)
    by_day = {one.day: one for one in past.mornings}
    assert set(by_day) == (
        set(newest) | {day for day, _ in kept} | {day for day, spot in went if spot == SPOT}
    )
    for day, (_, made_utc, first, never) in newest.items():
        one = by_day[day].said
        assert one is not None
        assert (one.made_utc, one.was_first, one.times_said) == (made_utc, first, times[day])
        assert (one.best is None) == never
        assert one.chance_frac == 0.4
        if one.best is not None:
            best = next(o.best for o in morning(day=day).spots if o.spot == SPOT)
            assert to_plain(one.best) == to_plain(best)
    for day, one_day in by_day.items():
        word = kept.get((day, SPOT), kept.get((day, "")))
        assert (one_day.found.mist if one_day.found else None) == word


def _places(book: FieldBook) -> None:
    for wood in (PINNET, SALLOWDEN):
        woods.add(book, wood)
    for spot in (WHITE_POST_GAP, PLUMB_AND_LEAN):
        spots.add(book, spot)


def test_a_spot_nothing_is_known_of_has_an_empty_history(empty_file: Path, tmp_path: Path) -> None:
    path = tmp_path / "b.sqlite"
    path.write_bytes(empty_file.read_bytes())
    with FieldBook.open(path) as book:
        _places(book)
        desk = HistoryDesk(book, Settings(book=str(path)), EVENING)
        assert desk.spot_history(SPOT).mornings == ()
        with pytest.raises(NotFoundError, match="No spot named 'Root Stair'"):
            desk.spot_history("Root Stair")


def test_a_chance_that_is_not_known_is_not_held_against_the_log(
    valley_file: Path, tmp_path: Path
) -> None:
    path = tmp_path / "b.sqlite"
    path.write_bytes(valley_file.read_bytes())
    with FieldBook.open(path) as book:
        whole = morning(made_utc=EVENING + np.timedelta64(1, "h"))
        unknown = tuple(
            replace(one, mist=replace(one.mist, morning_mist_frac=math.nan)) for one in whole.spots
        )
        judgements.add(book, replace(whole, spots=unknown))
        past = HistoryDesk(book, Settings(book=str(path)), EVENING).spot_history(SPOT)
    (one,) = past.mornings
    assert one.found_at == "spot"
    assert one.outing == OUTING
    assert past.counts.said.mornings + past.counts.unsaid.mornings == 0
