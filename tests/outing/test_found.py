"""Logs and the counts of said against found."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.chances import Count
from shivelight.basis.errors import BadInputError, OutOfRangeError
from shivelight.basis.records import from_plain, to_plain
from shivelight.outing.found import MIST_WORDS, Found, SaidFound, said_against_found
from tests import strategies as make

LOG = Found(day=dt.date(2027, 11, 3), wood="Pinnet Heath", mist="good")


@given(log=make.founds())
def test_a_log_goes_through_plain_json(log: Found) -> None:
    assert from_plain(Found, to_plain(log)) == log


@pytest.mark.parametrize(
    ("word", "misty"),
    [("none", False), ("wisps", False), ("thin", True), ("good", True), ("thick", True)],
)
def test_wisps_make_no_mist_picture(word: str, misty: bool) -> None:
    assert replace(LOG, mist=word).was_misty is misty
    assert word in MIST_WORDS


@pytest.mark.parametrize(
    ("name", "word", "sentence"),
    [
        ("mist", "foggy", "mist 'foggy' is not one of: none, wisps, thin, good, thick"),
        ("mist", "", "mist '' is not one of"),
        ("air", "gale", "air 'gale' is not one of: still, stirring, moving"),
        ("light", "golden", "light 'golden' is not one of: none, shaft, back"),
        ("leaf", "red", "leaf 'red' is not one of: bare, flush"),
        ("why_looked", "", "reason for looking '' is not one of: planned, daily, mist seen"),
        ("wood", "", "A wood needs a name"),
    ],
)
def test_other_words_are_refused(name: str, word: str, sentence: str) -> None:
    fields = {slot: getattr(LOG, slot) for slot in Found.__slots__}
    with pytest.raises(BadInputError, match=sentence):
        Found(**{**fields, name: word})


def test_the_range_and_the_time_make_sense() -> None:
    with pytest.raises(OutOfRangeError, match="optical range is -5 m"):
        replace(LOG, optical_range_m=-5.0)
    with pytest.raises(OutOfRangeError, match="optical range is nan m"):
        replace(LOG, optical_range_m=float("nan"))
    with pytest.raises(BadInputError, match="is no time; leave it out"):
        replace(LOG, lifted_utc=np.datetime64("NaT"))


def test_said_and_found_are_counted_apart() -> None:
    misty, clear = LOG, replace(LOG, mist="none")
    pairs = [(0.7, misty), (0.5, clear), (0.9, misty), (0.49, misty), (0.1, clear), (0.0, clear)]
    counts = said_against_found(pairs)
    assert counts == SaidFound(said=Count(found=2, mornings=3), unsaid=Count(found=1, mornings=3))
    assert counts.words == "said mist 3, found 2; not said 3, found 1"


def test_looks_because_mist_was_seen_teach_nothing() -> None:
    seen = replace(LOG, why_looked="mist seen")
    counts = said_against_found([(0.1, seen), (0.9, seen), (0.1, replace(LOG, mist="none"))])
    assert counts.said == Count(found=0, mornings=0)
    assert counts.unsaid == Count(found=0, mornings=1)


@pytest.mark.parametrize(("mornings", "few"), [(0, True), (4, True), (5, False), (30, False)])
def test_few_mornings_are_said_to_be_few(mornings: int, few: bool) -> None:
    words = said_against_found([(0.8, LOG)] * mornings).words
    assert ("too few to say more" in words) is few
    assert "%" not in words


@given(
    pairs=st.lists(st.tuples(make.numbers(0.0, 1.0), make.founds()), max_size=20),
    limit=make.numbers(0.0, 1.0),
)
def test_every_fair_morning_is_counted_once(
    pairs: list[tuple[float, Found]], limit: float
) -> None:
    counts = said_against_found(pairs, said_from_frac=limit)
    fair = [log for _, log in pairs if log.why_looked != "mist seen"]
    assert counts.said.mornings + counts.unsaid.mornings == len(fair)
    assert counts.said.found + counts.unsaid.found == sum(log.was_misty for log in fair)
