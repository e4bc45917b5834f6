"""Judgements as they were given: whole, and by spot for the log to be held against."""

import datetime as dt
import math
import sqlite3
from dataclasses import replace

import numpy as np
import pytest

from shivelight.basis.errors import NotFoundError, UnreadableFileError
from shivelight.basis.records import to_plain
from shivelight.outing.kept import Given
from shivelight.store import judgements
from shivelight.store.book import FieldBook
from shivelight.store.contents import contents
from tests.store.sample import DAY, EVENING, SIGNS, WHITE_POST_GAP, morning, outlook

HOUR = np.timedelta64(1, "h")


def test_what_was_said_of_a_wood_is_listed(valley: FieldBook) -> None:
    assert judgements.given(valley, "pinnet heath") == (
        Given(
            day=DAY,
            wood="Pinnet Heath",
            spot="White Post Gap",
            made_utc=EVENING,
            rank=0,
            chance_frac=0.4,
            morning_mist_frac=0.35,
            forecast_frac=0.3,
            source="typed at 21:40",
            signs=SIGNS["Pinnet Heath"],
        ),
    )


def test_a_wood_without_forecast_or_signs_says_so(valley: FieldBook) -> None:
    (said,) = judgements.given(valley, "Sallowden Hanger")
    assert (said.rank, said.chance_frac, said.source, said.signs) == (1, 0.2, "", {})


def test_the_last_made_is_the_one_that_counts(valley: FieldBook) -> None:
    later = replace(morning(made_utc=EVENING + HOUR), answer="Stay in bed.", go=False)
    earlier = replace(morning(made_utc=EVENING - HOUR), answer="Perhaps.")
    judgements.add(valley, later)
    judgements.add(valley, earlier)
    latest = judgements.latest(valley, DAY)
    assert latest is not None
    assert latest.answer == "Stay in bed."
    assert [row.made_utc for row in judgements.given(valley, "Pinnet Heath")] == [
        EVENING - HOUR, EVENING, EVENING + HOUR,
    ]  # fmt: skip


def test_the_last_made_of_several_mornings_come_in_one_question(valley: FieldBook) -> None:
    later = DAY + dt.timedelta(days=2)
    for hours in (3, 1, 2):
        made = EVENING + hours * HOUR
        judgements.add(valley, replace(morning(day=later, made_utc=made), answer=f"{hours}"))
    read = judgements.latest_of(valley, [later, DAY, DAY + dt.timedelta(days=1)])
    assert {day: one.answer for day, one in read.items()} == {
        DAY: "White Post Gap, about 4 in 10.", later: "3",
    }  # fmt: skip
    assert judgements.latest_of(valley, []) == {}


def test_what_was_said_last_of_a_spot_is_listed_by_morning(valley: FieldBook) -> None:
    later = replace(morning(made_utc=EVENING + HOUR), spots=morning().spots[::-1])
    judgements.add(valley, later)
    (said,) = judgements.of_spot(valley, "white post gap")
    assert (said.day, said.made_utc, said.rank, said.times_said) == (DAY, EVENING + HOUR, 1, 2)
    assert not said.was_first
    assert said.best == later.spots[1].best
    (other,) = judgements.of_spot(valley, "Plumb and Lean")
    assert (other.chance_frac, other.was_first) == (0.2, True)


def test_another_day_was_not_judged(valley: FieldBook) -> None:
    assert judgements.latest(valley, DAY + dt.timedelta(days=1)) is None


def test_a_morning_without_spots_is_kept_too(valley: FieldBook) -> None:
    empty = replace(morning(day=DAY + dt.timedelta(days=1)), spots=(), visits=())
    judgements.add(valley, empty)
    back = judgements.latest(valley, empty.day)
    assert to_plain(back) == to_plain(empty)


def test_a_chance_that_is_not_known_stays_unknown(valley: FieldBook) -> None:
    one = outlook(WHITE_POST_GAP)
    unknown = replace(one, mist=replace(one.mist, morning_mist_frac=math.nan))
    judgements.add(valley, replace(morning(made_utc=EVENING + HOUR), spots=(unknown,)))
    last = judgements.given(valley, "Pinnet Heath")[-1]
    assert math.isnan(last.morning_mist_frac)
    assert last.forecast_frac == 0.3
    latest = judgements.latest(valley, DAY)
    assert latest is not None
    assert math.isnan(latest.spots[0].mist.morning_mist_frac)


def test_a_judgement_of_an_unknown_spot_is_not_kept(valley: FieldBook) -> None:
    strange = replace(outlook(WHITE_POST_GAP), spot="Root Stair")
    with pytest.raises(NotFoundError, match="No spot named 'Root Stair'"):
        judgements.add(valley, replace(morning(), spots=(outlook(WHITE_POST_GAP), strange)))
    with pytest.raises(NotFoundError, match="No wood named 'Threll Clough'"):
        judgements.add(valley, morning(), signs={"Threll Clough": {"spread_k": 1.0}})
    assert contents(valley).judgements == 1
    assert len(judgements.given(valley, "Pinnet Heath")) == 1


@pytest.mark.parametrize("text", ["{", "[]", '{"day": "2027-11-03"}', "null"])
def test_a_spoiled_judgement_is_told(valley: FieldBook, text: str) -> None:
    valley.close()
    bare = sqlite3.connect(valley.path)
    bare.execute("UPDATE judgement SET morning_json = ?", (text,))
    bare.commit()
    bare.close()
    with FieldBook.open(valley.path) as again:
        with pytest.raises(UnreadableFileError, match=r"Judgement 1 in the field book is damaged"):
            judgements.latest(again, DAY)
        if text == "{":
            with pytest.raises(UnreadableFileError, match="malformed JSON"):
                judgements.of_spot(again, WHITE_POST_GAP.name)
        assert judgements.given(again, "Pinnet Heath")[0].chance_frac == 0.4
