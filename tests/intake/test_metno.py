import json
from typing import Any

import numpy as np
import pytest

from shivelight.air.forecast import Ensemble
from shivelight.air.humidity import relative_humidity_frac
from shivelight.basis.errors import BadInputError, MissingDataError, UnreadableFileError
from shivelight.intake.metno import read_metno
from tests.intake.weather_files import payload, tree

WRITTEN = "metno_complete_from_documentation.json"


def read(answer: Any) -> Ensemble:
    return read_metno(json.dumps(answer))


def written() -> Any:
    return tree(WRITTEN)


def series(answer: Any) -> Any:
    return answer["properties"]["timeseries"]


def test_a_recorded_complete_answer_in_its_wrapper() -> None:
    # Recorded answer; its first hour: 18.8 °C, dew point 7.2, 1023.2 hPa, low cloud 12.5 %.
    forecast = read_metno(payload("metno_complete_recorded.json"))
    assert forecast.utc[0] == np.datetime64("2020-07-20T11:00")
    assert forecast.issued_utc == np.datetime64("2020-07-20T01:30:57")
    assert forecast.age_h(np.datetime64("2020-07-20T13:30:57")) == 12.0
    assert (forecast.latitude_deg, forecast.longitude_deg) == (51.5, -0.1)
    assert forecast.ground_height_m == 25.0
    assert forecast.temperature_degc[0, 0] == 18.8
    assert forecast.dew_point_degc[0, 0] == 7.2
    assert forecast.pressure_hpa[0, 0] == 1023.2
    assert forecast.low_cloud_frac[0, 0] == 0.125
    assert forecast.fog_area_frac[0, 0] == 0.0
    assert forecast.missing == ("wind_gust_mps", "visibility_m")
    assert forecast.stated_sd == {}


def test_recorded_six_hour_steps_leave_the_hours_between_empty() -> None:
    forecast = read_metno(payload("metno_complete_recorded.json"))
    at = int(np.flatnonzero(forecast.utc == np.datetime64("2020-07-24T12:00"))[0])
    assert forecast.temperature_degc[0, at] == 22.4
    assert np.isnan(forecast.temperature_degc[0, at + 1 : at + 6]).all()
    between = forecast.utc[at + 3 : at + 4]
    assert np.isnan(forecast.at(between, "temperature_degc")).all()


def test_a_recorded_compact_answer_gets_its_dew_point_from_humidity() -> None:
    forecast = read_metno(payload("metno_compact_recorded.json"))
    back = relative_humidity_frac(forecast.temperature_degc[0, 0], forecast.dew_point_degc[0, 0])
    assert back == pytest.approx(0.813)
    assert "low_cloud_frac" in forecast.missing


def test_wrapped_and_bare_are_the_same() -> None:
    wrapped = tree("metno_complete_recorded.json")
    bare = read(wrapped["data"])
    np.testing.assert_array_equal(
        bare.temperature_degc, read_metno(json.dumps(wrapped)).temperature_degc
    )


def test_rain_of_the_next_hour_stands_at_its_end() -> None:
    answer = written()
    first = [
        entry["data"]["next_1_hours"]["details"]["precipitation_amount"]
        for entry in series(answer)[:8]
    ]
    forecast = read(answer)
    assert np.isnan(forecast.precipitation_mm[0, 0])
    np.testing.assert_array_equal(forecast.precipitation_mm[0, 1:9], first)


def test_rain_of_six_hours_is_given_as_the_hourly_share_at_their_end() -> None:
    forecast = read(written())
    at = int(np.flatnonzero(forecast.utc == np.datetime64("2027-11-05T00:00"))[0])
    assert forecast.precipitation_mm[0, at] == 0.5
    # Between the last hourly row and the first six-hourly one the step is an hour only.
    assert forecast.precipitation_mm[0, 48] == 0.0


def test_documented_percentiles_become_stated_errors() -> None:
    forecast = read(written())
    # 10 % and 90 % lie 3.0 K apart in the written file; a normal's lie 2.563 sd apart.
    np.testing.assert_allclose(forecast.stated_sd["temperature_degc"][:5], 3.0 / 2.5631)
    assert np.isnan(forecast.stated_sd["temperature_degc"][49])  # an hour that is not there
    assert forecast.wind_gust_mps[0, 0] == 5.5
    assert forecast.fog_area_frac[0, 20] == 0.45


def test_fahrenheit_in_the_stated_units_is_understood() -> None:
    answer = written()
    answer["properties"]["meta"]["units"]["air_temperature"] = "fahrenheit"
    for entry in series(answer):
        details = entry["data"]["instant"]["details"]
        details["air_temperature"] = details["air_temperature"] * 1.8 + 32.0
    plain = read(written())
    np.testing.assert_allclose(read(answer).temperature_degc, plain.temperature_degc)


@pytest.mark.parametrize("status", [403, 429, 500, "x", None])
def test_a_recorded_refusal_is_named(status: Any) -> None:
    wrapped = {"status_code": status, "headers": {}, "data": {}}
    with pytest.raises(UnreadableFileError, match="answered with status"):
        read(wrapped)


@pytest.mark.parametrize("text", ["{}", "[]", "1", '{"properties": 3}', '{"properties": {}}'])
def test_other_json_is_no_answer(text: str) -> None:
    with pytest.raises(UnreadableFileError, match="no answer of MET Norway"):
        read_metno(text)


def test_a_truncated_answer_is_called_cut_off() -> None:
    with pytest.raises(UnreadableFileError, match="cut off"):
        read_metno(payload(WRITTEN)[:-2])


def test_an_answer_without_hours_is_refused() -> None:
    answer = written()
    answer["properties"]["timeseries"] = []
    with pytest.raises(MissingDataError, match="holds no hours"):
        read(answer)


def test_an_answer_without_values_is_refused() -> None:
    answer = written()
    for entry in series(answer):
        entry["data"] = {}
    with pytest.raises(MissingDataError, match="none of the values"):
        read(answer)


def test_a_unit_not_stated_is_named() -> None:
    answer = written()
    del answer["properties"]["meta"]["units"]["wind_speed"]
    with pytest.raises(BadInputError, match="unit of wind_speed"):
        read(answer)


@pytest.mark.parametrize(
    ("time", "words"),
    [
        ("2027-11-02T12:00:00", "with its offset from UTC"),
        ("soon", "'soon'"),
        (None, "'None'"),
        ("2027-11-02T13:00:00Z", "twice"),
        ("2027-11-02T14:00:00Z", "out of order"),
    ],
)
def test_strange_times_are_named(time: str | None, words: str) -> None:
    answer = written()
    series(answer)[0]["time"] = time
    with pytest.raises(BadInputError, match=words):
        read(answer)


def test_a_word_in_place_of_a_number_is_named() -> None:
    answer = written()
    series(answer)[3]["data"]["instant"]["details"]["air_temperature"] = "cold"
    with pytest.raises(BadInputError, match=r"air_temperature holds 'cold'"):
        read(answer)
