"""The stand types: their figures hang together and behave through the year."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import NotFoundError, OutOfRangeError
from shivelight.wood.canopy import diffuse_transmittance_frac
from shivelight.wood.stands import (
    YEAR_D,
    StandType,
    canopy_of,
    find_stand,
    leaf_area_index,
    leaf_share_frac,
    stand_names,
    wind_share_frac,
)

STANDS = [find_stand(name) for name in stand_names()]
LEAFY = [stand for stand in STANDS if not stand.evergreen and stand.leaf_area_index]


@pytest.mark.parametrize(
    ("name", "low", "high"), [("beech", 0.01, 0.05), ("oak", 0.03, 0.10), ("birch", 0.10, 0.25)]
)
def test_summer_floor_light_falls_in_the_recalled_span(name: str, low: float, high: float) -> None:
    # CHECKS 3c, from memory and broad: floor light of beech, oak and birch in summer.
    stand = find_stand(name)
    area = stand.leaf_area_index + stand.wood_area_index
    assert low <= float(diffuse_transmittance_frac(area)) <= high


@pytest.mark.parametrize("stand", LEAFY, ids=lambda stand: stand.name)
def test_leafless_floor_light_falls_in_the_recalled_span(stand: StandType) -> None:
    # CHECKS 3c, from memory and broad: 40 to 70 in 100 in leafless woods.
    area = stand.wood_area_index
    assert 0.40 <= float(diffuse_transmittance_frac(area)) <= 0.70


def test_beech_leaf_area_is_the_published_one() -> None:
    # J. For. Res. 2020 no. 3 as quoted in CHECKS 3c: litter traps, 4.5 to 5.1.
    assert 4.5 <= find_stand("beech").leaf_area_index <= 5.1


@pytest.mark.parametrize("stand", LEAFY, ids=lambda stand: stand.name)
def test_stages_follow_each_other(stand: StandType) -> None:
    names = ("flush_day", "full_day", "turning_day", "peak_day", "drop_day", "bare_day")
    days = [getattr(stand, name) for name in names]
    assert days == sorted(set(days))
    assert days[0] > 60
    assert days[-1] < 366


def test_golds_come_in_the_usual_order() -> None:
    # TRADE 3.9, common practice: birch before hazel or beech, then oak, larch last.
    peaks = [find_stand(name).peak_day for name in ("birch", "beech", "oak", "larch")]
    assert peaks == sorted(peaks)


@pytest.mark.parametrize("stand", LEAFY, ids=lambda stand: stand.name)
def test_leaf_goes_up_once_and_down_once_without_a_jump(stand: StandType) -> None:
    days = np.arange(1.0, 366.0, 0.25)
    share = leaf_share_frac(stand, day_of_year=days, latitude_deg=53.0)
    assert share[0] == share[-1] == 0.0
    assert share.max() == 1.0
    steps = np.diff(share)
    assert np.abs(steps).max() < 0.03
    turns = np.flatnonzero(np.diff(np.sign(steps[steps != 0.0])))
    assert turns.size == 1


@given(day=st.floats(1.0, 365.0))
def test_the_south_is_half_a_year_away(day: float) -> None:
    beech = find_stand("beech")
    south = float(leaf_share_frac(beech, day_of_year=day, latitude_deg=-43.0))
    turned = (day - 1.0 + YEAR_D / 2.0) % YEAR_D + 1.0
    assert south == pytest.approx(
        float(leaf_share_frac(beech, day_of_year=turned, latitude_deg=43.0)), abs=1e-9
    )
    assert float(leaf_share_frac(beech, day_of_year=15, latitude_deg=-43.0)) == 1.0


def test_an_evergreen_never_changes() -> None:
    pine = find_stand("pine")
    area = leaf_area_index(pine, day_of_year=[15, 200, np.nan], latitude_deg=53.0)
    assert area[:2].tolist() == [pine.leaf_area_index] * 2
    assert np.isnan(area[2])


def test_wind_is_stronger_when_the_leaves_are_down() -> None:
    oak = find_stand("oak")
    summer, winter = wind_share_frac(oak, day_of_year=[200, 20], latitude_deg=53.0)
    assert summer == pytest.approx(oak.wind_in_leaf_frac)
    assert winter == pytest.approx(oak.wind_bare_frac)
    assert summer < winter


def test_every_stand_gives_a_canopy_and_says_where_its_figures_come_from() -> None:
    for stand in STANDS:
        canopy = canopy_of(stand, day_of_year=200, latitude_deg=53.0, edge_distance_m=40.0)
        assert canopy.plant_area_index == pytest.approx(
            stand.leaf_area_index + stand.wood_area_index
        )
        assert "judgement" in stand.marks or "above" in stand.marks


def test_a_canopy_follows_the_season() -> None:
    beech = find_stand("beech")
    winter = canopy_of(beech, day_of_year=20, latitude_deg=53.0)
    assert winter.plant_area_index == pytest.approx(beech.wood_area_index)


@pytest.mark.parametrize("typed", ["beech", "Beech", " beech hanger", "alder carr", "alder-carr"])
def test_names_are_found_as_people_type_them(typed: str) -> None:
    assert find_stand(typed).name in {"beech", "alder-carr"}


def test_an_unknown_stand_lists_the_known_ones() -> None:
    with pytest.raises(NotFoundError, match=r"no stand type 'baobab'; the known ones are beech,"):
        find_stand("baobab")


def test_no_caution_says_that_anything_is_safe_or_allowed() -> None:
    text = " ".join(caution for stand in STANDS for caution in stand.cautions).lower()
    assert text
    assert "safe" not in text
    assert "allowed" not in text


def test_a_latitude_off_the_earth_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="latitude is 120 °"):
        leaf_share_frac(find_stand("oak"), day_of_year=1, latitude_deg=120.0)
