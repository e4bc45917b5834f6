"""The mist model: what moves it which way, what it refuses, and what it says of gaps."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shivelight.air.mist import (
    MistModel,
    base_rates,
    lifting_given_seen,
    mist_chance,
    season_chance,
)
from shivelight.air.mist_hours import QUANTITIES
from shivelight.air.mist_model import sigmoid
from shivelight.air.mist_terms import WINDOW_TERMS
from shivelight.basis.errors import BadInputError, MissingDataError, OutOfRangeError
from tests.air.nights import SUNRISE, UTC, night


def test_the_curve_runs_from_an_hour_before_to_four_after_by_the_quarter() -> None:
    chance = mist_chance(night(members=3))
    np.testing.assert_array_equal(chance.minutes, np.arange(-60, 241, 15))
    assert chance.fog_frac.shape == chance.mist_frac.shape == (3, 21)
    assert chance.lift_quantiles_min.shape == (3, 5)
    assert chance.missing == ()
    assert chance.cost == ""


@settings(deadline=None, max_examples=60)
@given(
    spread=st.floats(0.0, 20.0),
    wind=st.floats(0.0, 30.0),
    cloud=st.floats(0.0, 1.0),
    rain=st.floats(0.0, 20.0),
    warmer=st.floats(-30.0, 25.0),
    latitude=st.floats(-65.0, 65.0),
)
def test_chances_stay_chances_and_keep_their_order(
    spread: float, wind: float, cloud: float, rain: float, warmer: float, latitude: float
) -> None:
    temperature = night().temperature_degc[0] + warmer
    chance = mist_chance(
        night(
            temperature_degc=temperature,
            dew_point_degc=temperature - spread,
            wind_mps=wind,
            cloud_cover_frac=cloud,
            precipitation_mm=rain,
            latitude_deg=latitude,
        )
    )
    assert np.all((chance.fog_frac >= 0.0) & (chance.mist_frac <= 1.0))
    assert np.all(chance.fog_frac <= chance.mist_frac + 1e-12)
    assert np.all(chance.fog_frac <= chance.window_fog_frac[:, None] + 1e-12)
    assert np.all(chance.mist_frac <= chance.window_mist_frac[:, None] + 1e-12)
    assert np.all(np.diff(chance.lift_quantiles_min, axis=1) >= 0.0)
    assert np.all((chance.lift_quantiles_min >= 0.0) & (chance.lift_quantiles_min <= 480.0))


def test_drier_air_and_more_wind_lower_the_chance() -> None:
    humid, dry = mist_chance(night()), mist_chance(night(spread_k=4.0))
    windy = mist_chance(night(wind_mps=7.0))
    for name in ("window_fog_frac", "window_mist_frac"):
        assert getattr(humid, name)[0] > 2.0 * getattr(dry, name)[0]
        assert getattr(humid, name)[0] > 2.0 * getattr(windy, name)[0]


def test_a_calm_clear_humid_night_is_far_above_the_seasons_rate() -> None:
    chance = mist_chance(night())
    assert chance.window_fog_frac[0] > 2.0 * chance.base_fog_frac
    assert chance.window_mist_frac[0] > 2.0 * chance.base_mist_frac


def test_chance_of_fog_falls_once_the_sun_has_worked() -> None:
    drying = 0.6 + 0.9 * np.maximum(np.arange(UTC.size) - 19, 0)
    chance = mist_chance(night(spread_k=drying))
    assert chance.fog_frac[0, -1] < 0.5 * chance.fog_frac[0].max()


def test_members_are_told_as_they_would_be_alone() -> None:
    pair = night(members=2)
    pair.wind_speed_mps[1] += 3.0
    both = mist_chance(pair)
    alone = mist_chance(night(wind_mps=4.0))
    np.testing.assert_allclose(both.fog_frac[1], alone.fog_frac[0])
    np.testing.assert_allclose(both.lift_quantiles_min[1], alone.lift_quantiles_min[0])


@pytest.mark.parametrize(
    ("lost", "told"),
    [
        ("wind_speed_mps", "wind"),
        ("cloud_cover_frac", "cloud"),
        ("precipitation_mm", "rain of the night"),
        ("pressure_hpa", "pressure"),
    ],
)
def test_a_missing_input_is_named_with_what_it_costs(lost: str, told: str) -> None:
    lacking: dict[str, Any] = {lost: np.full((1, UTC.size), np.nan)}
    gap = replace(night(), **lacking)
    chance = mist_chance(gap)
    assert told in chance.missing
    assert chance.cost.startswith(f"{', '.join(chance.missing)}: ")
    assert chance.cost.endswith(("nearly as well without it", "1 perfect)"))
    assert np.isfinite(chance.fog_frac).all()


def test_temperature_and_humidity_alone_still_give_a_chance() -> None:
    nothing = np.full((1, UTC.size), np.nan)
    lost: dict[str, Any] = dict.fromkeys(QUANTITIES[2:], nothing)
    chance = mist_chance(replace(night(), rain_before_mm=float("nan"), **lost))
    assert chance.missing[:3] == ("wind", "cloud", "rain of the night")
    assert 0.0 < chance.window_mist_frac[0] < 1.0


def test_a_series_that_begins_in_the_late_evening_is_used_and_says_so() -> None:
    late = night()
    rows: dict[str, Any] = {name: getattr(late, name)[:, 10:] for name in QUANTITIES}
    chance = mist_chance(replace(late, utc=UTC[10:], **rows))
    assert "air of the afternoon and dusk" in chance.missing


@pytest.mark.parametrize("lost", ["temperature_degc", "dew_point_degc"])
def test_without_temperature_or_dew_point_it_refuses(lost: str) -> None:
    lacking: dict[str, Any] = {lost: np.full((1, UTC.size), np.nan)}
    gap = replace(night(), **lacking)
    with pytest.raises(MissingDataError, match="only the season's rate is known"):
        mist_chance(gap)


def test_a_forecast_that_ends_at_midnight_is_refused() -> None:
    short = night()
    rows: dict[str, Any] = {name: getattr(short, name)[:, :13] for name in QUANTITIES}
    with pytest.raises(MissingDataError, match="missing between 6 hours before"):
        mist_chance(replace(short, utc=UTC[:13], **rows))


def test_two_hours_without_cloud_are_bridged() -> None:
    gap = night()
    gap.cloud_cover_frac[0, 16:18] = np.nan
    np.testing.assert_allclose(mist_chance(gap).fog_frac, mist_chance(night()).fog_frac)


def test_what_moved_it_adds_up_to_the_log_odds() -> None:
    model = MistModel.default()
    chance = mist_chance(night(), model=model)
    means = np.asarray(model.term_means)
    full = model.variants[0]
    start = full.mist[0] + float(full.mist[1:] @ means)
    total = start + sum(step for _, step in chance.moved_by)
    assert sigmoid(np.array([total]))[0] == pytest.approx(chance.window_mist_frac[0], abs=1e-6)
    assert [abs(step) for _, step in chance.moved_by] == sorted(
        (abs(step) for _, step in chance.moved_by), reverse=True
    )
    assert {label for label, _ in chance.moved_by} == {label for label, _ in WINDOW_TERMS.values()}


def test_wind_is_named_first_among_reasons_on_a_gale() -> None:
    moved = mist_chance(night(wind_mps=14.0)).moved_by
    assert moved[0][0] == "wind"
    assert moved[0][1] < 0.0


def test_base_rates_turn_with_the_seasons_of_the_other_half() -> None:
    model = MistModel.default()
    north = base_rates(np.datetime64("2027-01-16T08:00"), 53.0)
    south = base_rates(np.datetime64("2027-07-17T08:00"), -53.0)
    assert north == pytest.approx(south, abs=0.002)
    assert north[0] == pytest.approx(model.base_fog_frac[0], abs=0.001)
    near = base_rates(np.datetime64("2027-12-31T23:00"), 53.0)
    assert near == pytest.approx(base_rates(np.datetime64("2028-01-01T01:00"), 53.0), abs=1e-3)


def test_the_month_middles_carry_the_months_own_rates() -> None:
    model = MistModel.default()
    for month in range(12):
        day = np.datetime64("2026-01-01T00:00") + np.timedelta64(
            round((month + 0.5) * 365.25 / 12 * 1440), "m"
        )
        assert base_rates(day, 50.0)[1] == pytest.approx(model.base_mist_frac[month], abs=1e-3)


def test_a_night_of_the_wrong_shape_or_order_is_refused() -> None:
    with pytest.raises(BadInputError, match="wind_speed_mps has shape"):
        replace(night(), wind_speed_mps=np.zeros((1, 3)))
    with pytest.raises(BadInputError, match="sunset must come before"):
        replace(night(), sunset_utc=SUNRISE)
    with pytest.raises(OutOfRangeError, match="latitude is 91"):
        replace(night(), latitude_deg=91.0)


def test_thicker_mist_seen_lifts_later_and_none_has_nothing_to_lift() -> None:
    chance = mist_chance(night())
    said = {
        s: lifting_given_seen(chance, seen=s, minutes=0.0)[0] for s in ("thin", "good", "thick")
    }
    assert said["thin"][2] < said["good"][2] < said["thick"][2]
    np.testing.assert_array_equal(lifting_given_seen(chance, seen="none", minutes=20.0), 20.0)


def test_fog_still_there_at_an_hour_cannot_have_lifted_before() -> None:
    chance = mist_chance(night())
    later = lifting_given_seen(chance, seen="good", minutes=60.0)
    assert np.all(later >= 60.0)
    with pytest.raises(BadInputError, match="say one of"):
        lifting_given_seen(chance, seen="pea soup", minutes=0.0)


def test_the_table_is_small_and_its_rows_fit_the_terms() -> None:
    from shivelight.air._mist_table import TABLE

    assert len(TABLE) < 10_000
    model = MistModel.from_json(TABLE)
    assert len(model.variants) == 12
    with pytest.raises(BadInputError, match="fit it again"):
        MistModel.from_json(TABLE.replace('"term_means":[', '"term_means":[1.0,', 1))


def test_without_humidity_there_is_only_the_season_s_rate_and_it_says_so() -> None:
    dry = replace(night(), dew_point_degc=np.full((1, UTC.size), np.nan))
    chance = season_chance(dry)
    fog, mist = base_rates(dry.sunrise_utc, dry.latitude_deg)
    assert chance.window_fog_frac[0] == fog
    assert chance.window_mist_frac[0] == mist
    assert (chance.fog_frac <= fog).all()
    assert (chance.fog_frac <= chance.mist_frac).all()
    assert np.all(np.diff(chance.lift_still_frac) <= 0.0)
    assert "only the season's rate" in chance.cost
    with pytest.raises(MissingDataError):
        mist_chance(dry)
