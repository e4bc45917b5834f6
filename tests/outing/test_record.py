import datetime as dt

import pytest

from shivelight.outing.found import Found
from shivelight.outing.record import record_of


def log(mist: str, day: int, why: str = "planned") -> Found:
    return Found(day=dt.date(2027, 10, day), wood="Pinnet Heath", mist=mist, why_looked=why)


def test_ten_mornings_give_counts_of_said_and_found() -> None:
    # Acceptance scene 10 of the trade notes: said mist 7, found 3; not said 5, found 1.
    pairs = [(0.7, log("good" if day <= 3 else "none", day)) for day in range(1, 8)]
    pairs += [(0.2, log("thick" if day == 8 else "wisps", day)) for day in range(8, 13)]
    counts = record_of(pairs, forecast_frac=0.5).counts
    assert counts.words == "said mist 7, found 3; not said 5, found 1"


def test_under_five_mornings_no_more_is_said() -> None:
    counts = record_of([(0.7, log("good", 1)), (0.7, log("none", 2))], forecast_frac=0.7).counts
    assert counts.words.endswith("too few to say more")


def test_evenings_like_this_have_about_the_same_odds() -> None:
    pairs = [(0.3, log("good", 1)), (0.4, log("none", 2)), (0.9, log("good", 3))]
    like = record_of(pairs, forecast_frac=0.35).like_this
    assert (like.found, like.mornings) == (1, 2)
    assert like.words == "1 of 2 mornings, too few to say"


def test_looks_made_because_mist_was_seen_teach_nothing() -> None:
    pairs = [(0.3, log("good", day, "mist seen")) for day in range(1, 6)]
    record = record_of(pairs, forecast_frac=0.3)
    assert record.fair_mornings == 0
    assert record.counts.said.mornings + record.counts.unsaid.mornings == 0


@pytest.mark.parametrize("chance", [0.0, 1.0])
def test_a_chance_at_its_end_still_finds_its_like(chance: float) -> None:
    assert record_of([(chance, log("none", 1))], forecast_frac=chance).like_this.mornings == 1
