import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.air.forecast import QUANTITIES, Ensemble, single, with_missing_hours
from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.basis.errors import BadInputError, MissingDataError
from shivelight.basis.places import Position

START = np.datetime64("2027-11-02T18:00", "us")
HOUR = np.timedelta64(1, "h")


def hours(*numbers: int) -> UtcArray:
    return START + np.array(numbers) * HOUR


def warm(utc: UtcArray, *values: float) -> Ensemble:
    return single(utc, "invented", temperature_degc=np.array(values))


def test_a_forecast_without_hours_is_refused() -> None:
    with pytest.raises(MissingDataError, match="holds no hours"):
        single(hours()[:0], "invented")


def test_times_that_do_not_rise_are_refused() -> None:
    with pytest.raises(BadInputError, match="do not rise"):
        warm(hours(0, 2, 1), 1.0, 2.0, 3.0)


def test_an_unknown_quantity_is_named() -> None:
    with pytest.raises(BadInputError, match="rainbow"):
        single(hours(0), "invented", rainbow=np.array([1.0]))


def test_a_quantity_of_another_length_is_refused() -> None:
    with pytest.raises(BadInputError, match="temperature_degc"):
        single(hours(0, 1), "invented", temperature_degc=np.array([1.0]))


def test_a_stated_error_must_fit_the_hours() -> None:
    with pytest.raises(BadInputError, match="stated error"):
        single(hours(0, 1), "invented", stated_sd={"temperature_degc": np.array([1.0])})


def test_missing_names_what_holds_nothing() -> None:
    forecast = warm(hours(0, 1), 1.0, np.nan)
    assert "temperature_degc" not in forecast.missing
    assert set(forecast.missing) == set(QUANTITIES) - {"temperature_degc"}


def test_halfway_between_hours_is_the_mean() -> None:
    forecast = warm(hours(0, 1), 4.0, 6.0)
    got = forecast.at(np.array([START + np.timedelta64(30, "m")]), "temperature_degc")
    assert got.tolist() == [[5.0]]


def test_three_hours_are_bridged_and_four_are_not() -> None:
    forecast = warm(hours(0, 3, 7), 1.0, 4.0, 8.0)
    got = forecast.at(hours(1, 3, 5, 7), "temperature_degc")[0]
    assert got[[0, 1, 3]].tolist() == [2.0, 4.0, 8.0]
    assert np.isnan(got[2])
    assert forecast.at(hours(5), "temperature_degc", bridge_h=6.0)[0, 0] == 6.0


def test_a_null_hour_is_bridged_like_an_absent_one() -> None:
    forecast = warm(hours(0, 1, 2, 3, 4, 5), 0.0, np.nan, 2.0, np.nan, np.nan, np.nan)
    got = forecast.at(hours(0, 1, 2, 3), "temperature_degc")[0]
    assert got[:3].tolist() == [0.0, 1.0, 2.0]
    assert np.isnan(got[3])


def test_nothing_is_said_outside_the_span() -> None:
    forecast = warm(hours(0, 1), 1.0, 2.0)
    assert np.isnan(forecast.at(hours(-1, 2), "temperature_degc")).all()


@given(
    values=st.lists(st.floats(-30.0, 30.0), min_size=2, max_size=30),
    seed=st.integers(0, 2**16),
)
def test_interpolation_equals_numpys_where_nothing_is_missing(
    values: list[float], seed: int
) -> None:
    forecast = warm(hours(*range(len(values))), *values)
    asked_h = np.sort(np.random.default_rng(seed).uniform(0.0, len(values) - 1.0, 20))
    asked = START + np.round(asked_h * 3.6e9).astype(np.int64) * np.timedelta64(1, "us")
    got = forecast.at(asked, "temperature_degc")[0]
    position_h: FloatArray = (asked - START) / HOUR
    np.testing.assert_allclose(
        got, np.interp(position_h, np.arange(len(values)), values), atol=1e-9
    )


def test_missing_hours_become_rows_of_nothing() -> None:
    full = with_missing_hours(
        single(
            hours(0, 1, 5),
            "invented",
            temperature_degc=np.array([1.0, 2.0, 3.0]),
            stated_sd={"temperature_degc": np.array([0.1, 0.2, 0.3])},
        )
    )
    assert full.utc.size == 6
    np.testing.assert_array_equal(
        full.temperature_degc[0], [1.0, 2.0, np.nan, np.nan, np.nan, 3.0]
    )
    np.testing.assert_array_equal(
        full.stated_sd["temperature_degc"], [0.1, 0.2, np.nan, np.nan, np.nan, 0.3]
    )


def test_half_hourly_reports_are_left_alone() -> None:
    reports = warm(START + np.array([0, 30, 90]) * np.timedelta64(1, "m"), 1.0, 2.0, 3.0)
    assert with_missing_hours(reports) is reports


def test_the_mean_leaves_missing_members_out() -> None:
    forecast = single(
        hours(0, 1), "invented", temperature_degc=np.array([[1.0, np.nan], [3.0, np.nan]])
    )
    np.testing.assert_array_equal(forecast.mean().temperature_degc, [[2.0, np.nan]])


def test_between_keeps_both_ends_and_names_what_is_covered() -> None:
    forecast = warm(hours(0, 1, 2), 1.0, 2.0, 3.0)
    assert forecast.between(START, START + HOUR).temperature_degc.tolist() == [[1.0, 2.0]]
    with pytest.raises(MissingDataError, match="covers 2027-11-02"):
        forecast.between(START + 10 * HOUR, START + 11 * HOUR)


def test_age_counts_from_the_issue_and_is_unknown_without_one() -> None:
    issued = single(hours(0), "invented", issued_utc=START)
    assert issued.age_h(START + 30 * HOUR) == 30.0
    assert single(hours(0), "invented").age_h(START) is None


def test_distance_is_along_the_ground_and_unknown_without_a_place() -> None:
    here = Position(latitude_deg=53.0, longitude_deg=-5.1)
    placed = single(hours(0), "invented", latitude_deg=53.1, longitude_deg=-5.1)
    distance_m = placed.distance_m(here)
    assert distance_m is not None
    # A tenth of a degree of latitude at 53° on WGS 84: 11.13 km.
    assert distance_m == pytest.approx(11_130.0, abs=10.0)
    assert single(hours(0), "invented").distance_m(here) is None
