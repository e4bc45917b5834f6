import datetime as dt
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shivelight.air.humidity import dew_point_degc
from shivelight.air.spread import spread_members
from shivelight.basis.errors import (
    BadInputError,
    MissingDataError,
    OutOfRangeError,
    ShivelightError,
)
from shivelight.basis.places import Position
from shivelight.intake.evening import EveningValues, evening_forecast
from shivelight.intake.evening_words import evening_from_words

DAY = dt.date(2027, 11, 2)
# The demo evening, and its sun rounded to the minute.
SUNSET = np.datetime64("2027-11-02T16:51")
SUNRISE = np.datetime64("2027-11-03T07:21")
DEMO = {
    "at": "21:40",
    "temperature": "6.2",
    "dew_point": "4.4",
    "wind": "3 mph falling",
    "cloud": "clearing by 01:00",
    "ground": "wet",
    "pressure": "rising",
}


def demo(**changes: str) -> EveningValues:
    return evening_from_words({**DEMO, **changes}, day=DAY, zone_name="Europe/London")


def forecast(values: EveningValues, **options: Any) -> Any:
    return evening_forecast(values, sunrise_utc=SUNRISE, sunset_utc=SUNSET, **options)


def test_the_demo_evening_is_understood() -> None:
    values = demo()
    assert values.utc == np.datetime64("2027-11-02T21:40")
    assert values.temperature_degc == 6.2
    assert values.dew_point_degc == 4.4
    assert values.wind_speed_mps == pytest.approx(3 * 0.44704)
    assert values.wind_trend == "falling"
    assert values.cloud_cover_frac is None
    assert values.cloud_change == "clearing"
    assert values.cloud_by_utc == np.datetime64("2027-11-03T01:00")
    assert values.ground == "wet"
    assert values.pressure_hpa is None
    assert values.pressure_trend == "rising"


def test_the_demo_night_runs_past_sunrise_and_follows_the_words() -> None:
    night = forecast(demo(), zone_name="Europe/London")
    assert night.source == "typed at 21:40"
    assert night.issued_utc == np.datetime64("2027-11-02T21:40")
    assert night.utc[0] == night.issued_utc
    assert night.utc[-1] >= SUNRISE + np.timedelta64(4, "h")
    assert night.members == 1
    wind, cloud = night.wind_speed_mps[0], night.cloud_cover_frac[0]
    assert wind[0] == pytest.approx(1.341, abs=1e-3)
    assert (np.diff(wind) <= 0.0).all()
    assert wind[-1] == pytest.approx(0.4 * wind[0])
    assert cloud[0] == 0.75
    by_one = night.utc >= np.datetime64("2027-11-03T01:00")
    np.testing.assert_allclose(cloud[by_one], 0.1)
    assert night.precipitation_mm[0].tolist() == [1.0] + [0.0] * (night.utc.size - 1)
    assert "pressure_hpa" in night.missing


@pytest.mark.parametrize(
    ("typed", "factor", "gain_mps"), [("2 m/s", 2.0, 2.0), ("15 m/s", 4 / 3, 5.0)]
)
def test_a_rising_wind_doubles_but_a_gale_does_not(
    typed: str, factor: float, gain_mps: float
) -> None:
    wind = forecast(demo(wind=f"{typed} rising")).wind_speed_mps[0]
    assert wind[-1] == pytest.approx(factor * wind[0])
    assert wind[-1] - wind[0] == pytest.approx(gain_mps)


def test_the_night_cools_from_the_typed_values_and_keeps_the_dew_point_below() -> None:
    night = forecast(demo())
    temperature, dew_point = night.temperature_degc[0], night.dew_point_degc[0]
    assert temperature[0] == pytest.approx(6.2, abs=0.3)
    assert dew_point[0] == pytest.approx(4.4, abs=0.3)
    dark = night.utc <= SUNRISE
    assert temperature[dark][-1] < temperature[0] - 0.5
    assert temperature[-1] > temperature[dark].min()
    assert (dew_point <= temperature).all()


def test_a_clear_calm_night_cools_more_than_a_clouded_windy_one() -> None:
    clear = forecast(demo(wind="calm", cloud="clear"))
    thick = forecast(demo(wind="15 kn", cloud="overcast"))
    at = int(np.flatnonzero(clear.utc <= SUNRISE)[-1])
    assert clear.temperature_degc[0, at] < thick.temperature_degc[0, at] - 0.5


def test_its_own_errors_are_stated_and_used_in_the_spread() -> None:
    night = forecast(demo())
    stated = night.stated_sd["temperature_degc"]
    assert stated.shape == night.utc.shape
    assert (stated[1:] > 0.0).all()
    made = spread_members(night, seed=1, members=200)
    np.testing.assert_allclose(made.temperature_degc.std(axis=0)[1:], stated[1:], rtol=0.25)
    np.testing.assert_allclose(made.temperature_degc.mean(axis=0), night.temperature_degc[0])


def test_the_place_goes_with_it() -> None:
    place = Position(latitude_deg=53.0, longitude_deg=-5.1, ground_height_m=96.0)
    night = forecast(demo(), position=place)
    assert (night.latitude_deg, night.longitude_deg) == (53.0, -5.1)
    assert night.ground_height_m == 96.0


def test_what_was_not_typed_stays_missing() -> None:
    few = evening_from_words(
        {"at": "21:40", "temperature": "6.2", "humidity": "88"},
        day=DAY,
        zone_name="Europe/London",
    )
    night = forecast(few)
    assert set(night.missing) >= {
        "wind_speed_mps", "cloud_cover_frac", "precipitation_mm", "pressure_hpa",
    }  # fmt: skip
    assert np.isfinite(night.temperature_degc).all()


def test_humidity_stands_in_for_the_dew_point() -> None:
    values = evening_from_words(
        {"at": "21:40", "temperature": "6.2", "humidity": "88 %"}, day=DAY, zone_name="UTC"
    )
    assert values.dew_point_taken_degc == pytest.approx(float(dew_point_degc(6.2, 0.88)))


def test_a_pressure_follows_its_trend_for_six_hours() -> None:
    night = forecast(demo(pressure="1024 rising"))
    pressure = night.pressure_hpa[0]
    assert pressure[0] == 1024.0
    assert pressure[6] == pressure[-1] == pytest.approx(1026.4)


@pytest.mark.parametrize(
    ("text", "wind", "trend"),
    [
        ("calm", 0.0, "steady"),
        ("5 kn", 5 * 1852 / 3600, "steady"),
        ("2,5 m/s rising", 2.5, "rising"),
        ("10 km/h, falling", 10 / 3.6, "falling"),
        ("force 2", 0.836 * 2**1.5, "steady"),
    ],
)
def test_winds_as_people_write_them(text: str, wind: float, trend: str) -> None:
    values = demo(wind=text)
    assert values.wind_speed_mps == pytest.approx(wind)
    assert values.wind_trend == trend


@pytest.mark.parametrize(
    ("text", "now", "change"),
    [
        ("clear", 0.0, "steady"),
        ("6/8", 0.75, "steady"),
        ("overcast, clearing by 02:00", 1.0, "clearing"),
        ("80 % thickening by 04:00", 0.8, "thickening"),
        ("80%", 0.8, "steady"),
        ("half steady", 0.5, "steady"),
        ("thickening", None, "thickening"),
    ],
)
def test_clouds_as_people_write_them(text: str, now: float | None, change: str) -> None:
    values = demo(cloud=text)
    assert values.cloud_cover_frac == (None if now is None else pytest.approx(now))
    assert values.cloud_change == change


def test_fahrenheit_is_understood_when_it_is_said() -> None:
    assert demo(temperature="50 F", dew_point="41f").temperature_degc == pytest.approx(10.0)


def test_a_time_after_midnight_is_of_the_next_day() -> None:
    assert demo(at="00:30").utc == np.datetime64("2027-11-03T00:30")


def test_an_evening_in_summer_time() -> None:
    values = evening_from_words(
        {**DEMO, "at": "22:10"}, day=dt.date(2027, 7, 2), zone_name="Europe/London"
    )
    assert values.utc == np.datetime64("2027-07-02T21:10")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"at": "9 pm"}, "no time on a clock"),
        ({"temperature": "warm"}, "no number with a unit"),
        ({"temperature": "280 K", "dew_point": "90"}, "beyond -100 to 40"),
        ({"temperature": "61"}, "looks like degrees Fahrenheit"),
        ({"dew_point": "8"}, "are they exchanged"),
        ({"wind": "3"}, "unit of the wind"),
        ({"wind": "falling"}, "wind itself too"),
        ({"wind": "3 furlongs"}, "understood are"),
        ({"cloud": "woolly"}, "is not understood"),
        ({"cloud": "6/8 by 01:00"}, "what the cloud does"),
        ({"ground": "muddy"}, "ground is wet, dry"),
        ({"moon": "full"}, "no evening value named 'moon'"),
    ],
)
def test_words_that_are_not_understood_are_named(change: dict[str, str], words: str) -> None:
    with pytest.raises(BadInputError, match=words):
        demo(**change)


@pytest.mark.parametrize("name", ["at", "temperature", "dew_point"])
def test_what_is_needed_is_named(name: str) -> None:
    words = {key: text for key, text in DEMO.items() if key != name}
    with pytest.raises(MissingDataError):
        evening_from_words(words, day=DAY, zone_name="UTC")


def test_values_out_of_range_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="wind"):
        replace(demo(), wind_speed_mps=99.0)
    with pytest.raises(OutOfRangeError, match="temperature"):
        replace(demo(), temperature_degc=float("nan"))


def test_values_of_the_morning_or_of_days_ago_are_refused() -> None:
    for hours in (-2, 30):
        late = replace(demo(), utc=SUNRISE - np.timedelta64(hours, "h"))
        with pytest.raises(BadInputError, match="evening or night before"):
            forecast(late)


@given(
    temperature=st.floats(-15.0, 25.0),
    spread=st.floats(0.0, 12.0),
    wind=st.floats(0.0, 15.0),
    cloud=st.floats(0.0, 1.0),
    hour=st.floats(1.0, 16.0),
)
@settings(max_examples=40, deadline=None)
def test_any_evening_gives_a_whole_night(
    temperature: float, spread: float, wind: float, cloud: float, hour: float
) -> None:
    values = EveningValues(
        utc=SUNRISE - np.timedelta64(round(hour * 3600), "s"),
        temperature_degc=temperature,
        dew_point_degc=temperature - spread,
        wind_speed_mps=wind,
        cloud_cover_frac=cloud,
    )
    night = forecast(values)
    assert np.isfinite(night.temperature_degc).all()
    assert (night.dew_point_degc <= night.temperature_degc).all()
    assert (night.cloud_cover_frac == cloud).all()


@given(
    name=st.sampled_from(sorted(DEMO)),
    text=st.text(alphabet="0123456789.,:/%−- abcdefghijklmnoprstuwy°CF", max_size=16),
)
@settings(max_examples=200)
def test_any_words_raise_only_our_own_errors(name: str, text: str) -> None:
    try:
        values = demo(**{name: text})
    except ShivelightError:
        return
    assert np.isfinite(values.temperature_degc)
