"""Outings and the word left."""

import datetime as dt

import numpy as np
import pytest
from hypothesis import given

from shivelight.basis.errors import BadInputError
from shivelight.basis.records import from_plain, to_plain
from shivelight.outing.outings import LeaveWord, Outing
from tests import strategies as make

BACK = np.datetime64("2027-11-03T11:00", "us")
HOUR = np.timedelta64(1, "h")


@given(outing=make.outings())
def test_an_outing_goes_through_plain_json(outing: Outing) -> None:
    assert from_plain(Outing, to_plain(outing)) == outing


@pytest.mark.parametrize("alarm_utc", [BACK, BACK - HOUR, np.datetime64("NaT")])
def test_the_alarm_comes_after_the_return(alarm_utc: np.datetime64) -> None:
    with pytest.raises(BadInputError, match=r"The alarm .* must come after back-by"):
        LeaveWord(who="Orla", car="", contact="", back_by_utc=BACK, alarm_utc=alarm_utc)


def test_a_word_with_the_alarm_after_the_return_stands() -> None:
    word = LeaveWord(who="Orla", car="", contact="", back_by_utc=BACK, alarm_utc=BACK + HOUR)
    outing = Outing(day=dt.date(2027, 11, 3), woods=("Pinnet Heath",), word=word)
    assert to_plain(outing)["word"]["alarm_utc"] == "2027-11-03T12:00:00Z"
    assert not outing.sheet_given
