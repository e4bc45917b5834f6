import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shivelight.air.forecast import Ensemble, single
from shivelight.air.spread import ForecastErrors, spread_members
from shivelight.basis.errors import OutOfRangeError

START = np.datetime64("2027-11-02T18:00", "us")
HOUR = np.timedelta64(1, "h")


def invented(hours: int = 48, *, seed: int = 1, members: int = 1) -> Ensemble:
    rng = np.random.default_rng(seed)
    shape = (members, hours)
    temperature = 6.0 + 3.0 * rng.standard_normal(shape)
    return single(
        START + np.arange(hours) * HOUR,
        "invented",
        issued_utc=START,
        longitude_deg=-5.1,
        latitude_deg=53.0,
        temperature_degc=temperature,
        dew_point_degc=temperature - rng.gamma(2.0, 1.0, shape),
        wind_speed_mps=rng.uniform(0.5, 6.0, shape),
        wind_gust_mps=rng.uniform(6.0, 12.0, shape),
        cloud_cover_frac=rng.uniform(0.06, 0.94, shape),
        low_cloud_frac=rng.uniform(0.0, 0.06, shape),
        precipitation_mm=np.where(rng.random(shape) > 0.8, 1.5, 0.0),
        pressure_hpa=np.full(shape, 1020.0),
    )


@given(seed=st.integers(0, 2**20), hours=st.integers(1, 60))
@settings(max_examples=30, deadline=None)
def test_the_members_mean_is_the_forecast_and_bounds_hold(seed: int, hours: int) -> None:
    forecast = invented(hours, seed=seed)
    made = spread_members(forecast, seed=seed)
    assert made.members == 50
    for name in (
        "temperature_degc", "dew_point_degc", "wind_speed_mps", "wind_gust_mps",
        "cloud_cover_frac", "low_cloud_frac",
    ):  # fmt: skip
        np.testing.assert_allclose(
            getattr(made, name).mean(axis=0), getattr(forecast, name)[0], atol=1e-9, err_msg=name
        )
    assert (made.dew_point_degc <= made.temperature_degc).all()
    assert (made.wind_speed_mps >= 0.0).all()
    assert (made.wind_gust_mps >= made.wind_speed_mps - 1e-12).all()
    assert (made.cloud_cover_frac >= 0.0).all()
    assert (made.cloud_cover_frac <= 1.0).all()
    assert (made.low_cloud_frac <= made.cloud_cover_frac + 1e-12).all()


def test_the_same_seed_gives_the_same_members_and_another_does_not() -> None:
    one, same, other = (spread_members(invented(), seed=seed) for seed in (7, 7, 8))
    np.testing.assert_array_equal(one.temperature_degc, same.temperature_degc)
    assert (one.temperature_degc != other.temperature_degc).any()


def test_sizes_correlation_and_memory_are_those_stated() -> None:
    hours = 40
    flat = single(
        START + np.arange(hours) * HOUR,
        "invented",
        issued_utc=START - 14 * HOUR,
        temperature_degc=np.full(hours, 10.0),
        dew_point_degc=np.full(hours, -20.0),  # so far below that no bound is met
        wind_speed_mps=np.full(hours, 30.0),
        cloud_cover_frac=np.full(hours, 0.5),
    )
    made = spread_members(
        flat, members=1000, seed=3, errors=ForecastErrors(growth_frac_per_day=0.0)
    )
    error_t = made.temperature_degc - 10.0
    error_td = made.dew_point_degc + 20.0
    assert error_t.std(axis=0).mean() == pytest.approx(1.4, rel=0.03)
    assert error_td.std(axis=0).mean() == pytest.approx(1.3, rel=0.03)
    assert (made.wind_speed_mps - 30.0).std(axis=0).mean() == pytest.approx(1.2, rel=0.03)
    assert np.corrcoef(error_t.ravel(), error_td.ravel())[0, 1] == pytest.approx(0.45, abs=0.03)
    # Neighbouring hours of one night: 0.36 of shared bias and 0.64 × 0.85 of noise.
    near = [np.corrcoef(error_t[:, i], error_t[:, i + 1])[0, 1] for i in range(10)]
    assert np.mean(near) == pytest.approx(0.36 + 0.64 * 0.85, abs=0.02)


def test_the_error_rises_over_the_night_and_grows_from_day_to_day() -> None:
    lead = ForecastErrors().lead_frac(np.array([-6.0, 0.0, 7.0, 14.0, 38.0, 158.0]))
    np.testing.assert_allclose(lead, [0.6, 0.6, 0.8, 1.0, 1.12, 1.72])


def test_rain_keeps_its_amounts_and_comes_early_or_late_by_two_hours_at_most() -> None:
    hours = 24
    rain = np.zeros(hours)
    rain[10] = 2.5
    flat = single(START + np.arange(hours) * HOUR, "invented", precipitation_mm=rain)
    made = spread_members(flat, members=200, seed=5)
    np.testing.assert_allclose(made.precipitation_mm.sum(axis=1), 2.5)
    assert set(made.precipitation_mm.argmax(axis=1)) == {8, 9, 10, 11, 12}


def test_a_forecast_of_no_cloud_and_no_wind_still_has_members_that_differ() -> None:
    flat = single(
        START + np.arange(24) * HOUR,
        "invented",
        cloud_cover_frac=np.zeros(24),
        wind_speed_mps=np.zeros(24),
    )
    made = spread_members(flat, seed=2)
    np.testing.assert_allclose(made.cloud_cover_frac.mean(axis=0), 0.05, atol=1e-9)
    np.testing.assert_allclose(made.wind_speed_mps.mean(axis=0), 0.4, atol=1e-9)
    assert (made.cloud_cover_frac.std(axis=0) > 0.03).all()


def test_missing_hours_stay_missing() -> None:
    forecast = invented(12)
    forecast.temperature_degc[0, 4] = np.nan
    made = spread_members(forecast, seed=1)
    assert np.isnan(made.temperature_degc[:, 4]).all()
    assert np.isfinite(made.dew_point_degc[:, 4]).all()
    assert np.isfinite(np.delete(made.temperature_degc, 4, axis=1)).all()
    assert np.isnan(made.visibility_m).all()


def test_a_real_ensemble_is_given_back_as_it_is() -> None:
    ensemble = invented(members=10)
    assert spread_members(ensemble, seed=1) is ensemble


def test_a_small_ensemble_is_dressed_by_what_its_scatter_leaves() -> None:
    few = invented(members=3)
    made = spread_members(few, seed=1)
    assert made.members == 51
    np.testing.assert_allclose(
        made.temperature_degc.mean(axis=0), few.temperature_degc.mean(axis=0), atol=1e-9
    )
    # Scatter of 3 K is already more than the error's size: nothing is added on those hours.
    wide = few.temperature_degc.std(axis=0, ddof=1) > 2.5
    assert wide.any()
    np.testing.assert_allclose(
        made.temperature_degc[:3][:, wide], few.temperature_degc[:, wide], atol=1e-9
    )


def test_an_error_stated_by_the_source_is_used() -> None:
    hours = 20
    stated = np.where(np.arange(hours) < 10, 0.2, np.nan)
    flat = single(
        START + np.arange(hours) * HOUR,
        "invented",
        temperature_degc=np.full(hours, 5.0),
        stated_sd={"temperature_degc": stated},
    )
    sd = spread_members(flat, members=400, seed=4).temperature_degc.std(axis=0)
    np.testing.assert_allclose(sd[:10], 0.2, rtol=0.12)
    assert (sd[10:] > 0.8).all()


def test_a_night_shares_its_bias_and_the_next_has_another() -> None:
    hours = 48
    flat = single(
        START + np.arange(hours) * HOUR, "invented", temperature_degc=np.full(hours, 5.0)
    )
    error = spread_members(flat, members=1000, seed=9).temperature_degc - 5.0
    same = np.corrcoef(error[:, 0], error[:, 17])[0, 1]
    other = np.corrcoef(error[:, 10], error[:, 34])[0, 1]
    assert same == pytest.approx(0.36 + 0.64 * 0.85**17, abs=0.08)
    assert other == pytest.approx(0.64 * 0.85**24, abs=0.08)


@pytest.mark.parametrize("members", [1, 1001])
def test_a_silly_number_of_members_is_refused(members: int) -> None:
    with pytest.raises(OutOfRangeError, match="number of members"):
        spread_members(invented(), members=members, seed=1)


def test_silly_error_sizes_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="hour memory"):
        ForecastErrors(hour_memory_frac=1.0)
