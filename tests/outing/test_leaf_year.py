"""Usual dates of the leaf's stages."""

import datetime as dt

import pytest

from shivelight.basis.errors import NotFoundError
from shivelight.outing.leaf_year import typical_stages
from shivelight.outing.wishes import LEAF_STAGES
from shivelight.wood.stands import find_stand, stand_names


@pytest.mark.parametrize("stand", ["beech", "oak", "birch", "larch", "mixed", "alder"])
def test_a_year_has_each_stage_once_in_its_order(stand: str) -> None:
    stages = typical_stages(stand, year=2027, latitude_deg=53.0)
    assert [stage for stage, _ in stages] == ["flush", "full", "turning", "peak", "drop", "bare"]
    assert {stage for stage, _ in stages} == set(LEAF_STAGES)
    days = [day for _, day in stages]
    assert days == sorted(days)
    assert {day.year for day in days} == {2027}


def test_dates_are_the_days_of_the_stand() -> None:
    flush = dict(typical_stages("beech", year=2027, latitude_deg=53.0))["flush"]
    assert flush.timetuple().tm_yday == find_stand("beech").flush_day


def test_the_south_is_half_a_year_on() -> None:
    north = dict(typical_stages("beech", year=2027, latitude_deg=53.0))
    south = dict(typical_stages("beech", year=2027, latitude_deg=-41.0))
    assert south["flush"] - north["flush"] == dt.timedelta(days=182)
    assert south["turning"].month in {3, 4, 5}
    days = [day for _, day in typical_stages("beech", year=2027, latitude_deg=-41.0)]
    assert days == sorted(days)


@pytest.mark.parametrize("stand", ["pine", "spruce", "open"])
def test_what_sheds_nothing_has_no_dates(stand: str) -> None:
    assert typical_stages(stand, year=2027, latitude_deg=53.0) == ()


def test_every_stand_type_has_an_answer_and_no_other() -> None:
    for stand in stand_names():
        assert len(typical_stages(stand, year=2028, latitude_deg=53.0)) in {0, 6}
    with pytest.raises(NotFoundError, match="There is no stand type 'bamboo'"):
        typical_stages("bamboo", year=2027, latitude_deg=53.0)
