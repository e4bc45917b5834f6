"""A spot's past: what was said, found and visited, each morning once, the newest first."""

import datetime as dt

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.chances import Count
from shivelight.outing.found import MIST_WORDS, Found
from shivelight.outing.history import PastMorning, SpotSaid, history_of, past_mornings
from shivelight.outing.outings import Outing

WOOD, SPOT, OTHER = "Pinnet Heath", "White Post Gap", "Heath Edge"
FIRST = dt.date(2027, 11, 1)
_DAYS = st.integers(0, 9).map(lambda number: FIRST + dt.timedelta(days=number))
_CHANCES = st.sampled_from([0.0, 0.3, 0.5, 0.9, float("nan")])


def _said(day: dt.date, rank: int, mist_frac: float) -> SpotSaid:
    return SpotSaid(
        day=day,
        made_utc=np.datetime64("2027-11-01T20:00", "us"),
        rank=rank,
        chance_frac=0.25,
        morning_mist_frac=mist_frac,
        best=None,
    )


def _log(day: dt.date, mist: str, spot: str) -> Found:
    return Found(day=day, wood=WOOD, mist=mist, spot=spot)


_SAIDS = st.lists(st.builds(_said, _DAYS, st.integers(0, 3), _CHANCES), unique_by=lambda s: s.day)
_LOGS = st.lists(
    st.builds(_log, _DAYS, st.sampled_from(MIST_WORDS), st.sampled_from(["", SPOT, OTHER])),
    unique_by=lambda log: (log.day, log.spot),
)
_OUTINGS = st.lists(
    st.builds(Outing, day=_DAYS, woods=st.just((WOOD,)), visits=st.just((SPOT,))),
    unique_by=lambda one: one.day,
)


@given(said=_SAIDS, logs=_LOGS, outings=_OUTINGS)
def test_every_morning_comes_once_with_all_that_is_known_of_it(
    said: list[SpotSaid], logs: list[Found], outings: list[Outing]
) -> None:
    mornings = past_mornings(SPOT, said=said, logs=logs, outings=outings)
    days = [one.day for one in mornings]
    assert days == sorted(set(days), reverse=True)
    assert [one.said for one in reversed(mornings) if one.said] == sorted(
        said, key=lambda one: one.day
    )
    assert sum(one.outing is not None for one in mornings) == len(outings)
    for one in mornings:
        here = [log for log in logs if log.day == one.day and log.spot == SPOT]
        wide = [log for log in logs if log.day == one.day and log.spot == ""]
        assert one.found == next(iter(here + wide), None)
        assert one.found_at == ("spot" if here else "wood" if wide else "")
        assert one.said or one.found or one.outing


@given(said=_SAIDS, logs=_LOGS, outings=_OUTINGS)
def test_the_counts_are_those_of_the_list(
    said: list[SpotSaid], logs: list[Found], outings: list[Outing]
) -> None:
    mornings = past_mornings(SPOT, said=said, logs=logs, outings=outings)
    past = history_of(SPOT, wood=WOOD, zone_name="Europe/London", mornings=mornings)
    assert past.said == len(said)
    assert past.first == len([one for one in said if one.rank == 0])
    assert past.visited == len(outings)
    logged = {log.day for log in logs if log.spot != OTHER}
    assert past.logged == len(logged)
    judged = {one.day for one in said if one.morning_mist_frac == one.morning_mist_frac}
    assert past.counts.said.mornings + past.counts.unsaid.mornings == len(judged & logged)
    assert past.misty >= past.counts.said.found + past.counts.unsaid.found


def test_mist_seen_first_does_not_count_for_what_was_said() -> None:
    seen = Found(day=FIRST, wood=WOOD, mist="good", why_looked="mist seen")
    mornings = (PastMorning(day=FIRST, said=_said(FIRST, 0, 0.2), found=seen, found_at="wood"),)
    past = history_of(SPOT, wood=WOOD, zone_name="Europe/London", mornings=mornings)
    assert (past.logged, past.misty) == (1, 1)
    assert past.counts.unsaid == Count(found=0, mornings=0)
