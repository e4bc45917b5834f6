"""From an evening's reading through the night."""

import csv
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.air.mist_evening import evening_series, latitude_of_night, running_mean
from shivelight.air.mist_sun import declination_deg, night_length_h
from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, OutOfRangeError

START = np.datetime64("2027-11-02T21:40")
SUNRISE, SUNSET = np.datetime64("2027-11-03T07:22"), np.datetime64("2027-11-02T16:40")
UTC = START + np.arange(0, 14 * 60, 30) * np.timedelta64(1, "m")
OBSERVED = Path(__file__).parents[1] / "data" / "mist" / "knmi_280_autumn_2018.csv"


def series(
    temperature_degc: float = 6.2, dew_point_degc: float = 4.4, cloud: float = 0.1, wind: float = 1
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    return evening_series(
        UTC,
        start_utc=START,
        temperature_degc=temperature_degc,
        dew_point_degc=dew_point_degc,
        cloud_frac=cloud,
        wind_mps=wind,
        sunrise_utc=SUNRISE,
        sunset_utc=SUNSET,
    )


def test_it_starts_at_the_reading_and_the_doubt_grows() -> None:
    warm, moist, sd_warm, sd_moist = series()
    assert warm[0] == pytest.approx(6.2)
    assert moist[0] == pytest.approx(4.4)
    assert np.all(np.diff(sd_warm) >= 0.0)
    assert np.all(np.diff(sd_moist) >= 0.0)
    assert sd_warm[-1] > 1.5


def test_a_clear_night_cools_more_than_a_cloudy_one_and_the_sun_warms() -> None:
    clear, cloudy = series(cloud=0.0)[0], series(cloud=1.0)[0]
    before_dawn = int(np.flatnonzero(UTC <= SUNRISE)[-1])
    assert clear[before_dawn] < cloudy[before_dawn] < clear[0]
    assert clear[-1] > clear[before_dawn] + 2.0


@given(
    temperature=st.floats(-15.0, 25.0),
    spread=st.floats(0.0, 12.0),
    cloud=st.floats(0.0, 1.0),
    wind=st.floats(0.0, 20.0),
)
def test_the_dew_point_never_passes_the_temperature(
    temperature: float, spread: float, cloud: float, wind: float
) -> None:
    warm, moist, _, _ = series(temperature, temperature - spread, cloud, wind)
    assert np.all(moist <= warm)
    assert np.all(np.abs(warm - temperature) < 25.0)


def test_nothing_is_said_of_the_time_before_the_reading() -> None:
    early = START - np.timedelta64(60, "m")
    found = evening_series(
        np.array([early, START]),
        start_utc=START,
        temperature_degc=6.0,
        dew_point_degc=4.0,
        cloud_frac=np.array([0.5, 0.5]),
        wind_mps=2.0,
        sunrise_utc=SUNRISE,
        sunset_utc=SUNSET,
    )
    assert all(np.isnan(row[0]) and np.isfinite(row[1]) for row in found)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(BadInputError, match="dew point 7 °C is above the temperature 6 °C"):
        series(6.0, 7.0)
    with pytest.raises(OutOfRangeError, match="temperature is 60 °C"):
        series(60.0, 5.0)


def test_running_mean_of_a_ramp_is_half_of_it() -> None:
    lead = np.linspace(0.0, 4.0, 9)
    np.testing.assert_allclose(running_mean(lead, lead), lead / 2.0)


@given(latitude=st.floats(30.0, 60.0), day=st.sampled_from([20, 100, 170, 300, 350]))
def test_latitude_comes_back_from_the_length_of_the_night(latitude: float, day: int) -> None:
    when = np.array([np.datetime64("2027-01-01T00:00") + np.timedelta64(day, "D")])
    declination = declination_deg(when)
    length = night_length_h(latitude, declination)
    assert latitude_of_night(length, declination)[0] == pytest.approx(latitude, abs=1e-6)


def test_on_a_real_autumn_it_beats_no_change_at_sunrise() -> None:
    with OBSERVED.open(newline="", encoding="utf-8") as table:
        rows = list(csv.DictReader(table))
    when = np.array([row["time"].replace(" ", "T") for row in rows], dtype="datetime64[m]")
    warm = np.array([float(row["T"]) for row in rows])
    moist = np.array([float(row["Td"]) for row in rows])
    cloud = np.minimum([float(row["N"] or "nan") for row in rows], 8.0) / 8.0
    wind = np.array([float(row["ff"]) for row in rows])
    misses, changes = [], []
    for start in range(20, warm.size - 24, 24):  # 21 UTC, station 280 stands at 6.6 °E
        night = slice(start, start + 10)
        dawn = when[start + 9]
        said, _, _, _ = evening_series(
            when[night],
            start_utc=when[start],
            temperature_degc=warm[start],
            dew_point_degc=min(moist[start], warm[start]),
            cloud_frac=np.nan_to_num(cloud[night], nan=0.5),
            wind_mps=wind[night],
            sunrise_utc=dawn,
            sunset_utc=dawn - np.timedelta64(12 * 60, "m"),
        )
        misses.append(said[-1] - warm[start + 9])
        changes.append(warm[start] - warm[start + 9])
    assert len(misses) > 60
    assert np.sqrt(np.mean(np.square(misses))) < 0.8 * np.sqrt(np.mean(np.square(changes)))
