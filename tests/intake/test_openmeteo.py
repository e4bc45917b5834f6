import json
from typing import Any

import numpy as np
import pytest

from shivelight.air.humidity import relative_humidity_frac
from shivelight.basis.errors import BadInputError, MissingDataError, UnreadableFileError
from shivelight.basis.places import Position
from shivelight.intake.openmeteo import read_openmeteo
from tests.intake.weather_files import outside, payload, tree

WRITTEN = "openmeteo_forecast_from_documentation.json"


def written(**changes: Any) -> dict[str, Any]:
    answer: dict[str, Any] = tree(WRITTEN)
    answer.update(changes)
    return answer


def read(answer: Any) -> Any:
    return read_openmeteo(json.dumps(answer))


def test_recorded_fahrenheit_miles_and_inches_in_toronto_time() -> None:
    # Recorded answer of the service; the raw numbers are its own: 32.0 °F, 4.0 mp/h, 7.6 mp/h.
    forecast = read_openmeteo(payload("openmeteo_forecast_inch_mph_recorded.json"))
    assert forecast.utc[0] == np.datetime64("2026-03-04T05:00")
    assert forecast.utc.size == 192
    assert forecast.temperature_degc[0, 0] == pytest.approx(0.0)
    assert forecast.wind_speed_mps[0, 0] == pytest.approx(4.0 * 0.44704)
    assert forecast.wind_gust_mps[0, 0] == pytest.approx(7.6 * 0.44704)
    raw = tree("openmeteo_forecast_inch_mph_recorded.json")["hourly"]["precipitation"]
    np.testing.assert_allclose(forecast.precipitation_mm[0], np.array(raw) * 25.4)
    assert forecast.latitude_deg == 43.70455
    assert forecast.ground_height_m == 165.0
    assert "dew_point_degc" in forecast.missing


def test_ensemble_members_keep_their_order_with_the_unnumbered_one_first() -> None:
    raw = tree("openmeteo_ensemble_icon_retyped.json")["hourly"]
    forecast = read_openmeteo(payload("openmeteo_ensemble_icon_retyped.json"))
    assert forecast.members == 21
    assert forecast.source == "Open-Meteo, 21 members"
    np.testing.assert_array_equal(forecast.temperature_degc[0], raw["temperature_2m"])
    np.testing.assert_array_equal(forecast.temperature_degc[20], raw["temperature_2m_member20"])


def test_a_recorded_local_time_comes_back_in_utc() -> None:
    forecast = read_openmeteo(outside("openmeteo_hourly_brasilia_2023.json"))
    assert forecast.utc[0] == np.datetime64("2023-10-25T03:00")


def test_recorded_humidity_becomes_dew_point_and_nulls_stay_missing() -> None:
    forecast = read_openmeteo(outside("openmeteo_hourly_default.json"))
    # Raw: 15.5 °C and 61 %; back from our dew point the same humidity must come.
    back = relative_humidity_frac(forecast.temperature_degc[0, 0], forecast.dew_point_degc[0, 0])
    assert back == pytest.approx(0.61, abs=1e-6)
    assert np.isnan(forecast.cloud_cover_frac[0]).sum() == 12
    assert forecast.wind_speed_mps[0, 0] == pytest.approx(4.1 / 3.6)


def test_a_recorded_daily_answer_says_what_to_ask_for() -> None:
    with pytest.raises(MissingDataError, match="no hourly values"):
        read_openmeteo(outside("openmeteo_daily_default.json"))


def test_every_documented_field_is_read() -> None:
    forecast = read_openmeteo(payload(WRITTEN))
    assert forecast.missing == ("fog_area_frac",)
    raw = tree(WRITTEN)["hourly"]
    np.testing.assert_allclose(forecast.low_cloud_frac[0], np.array(raw["cloud_cover_low"]) / 100)
    np.testing.assert_array_equal(forecast.pressure_hpa[0], raw["pressure_msl"])
    assert forecast.visibility_m[0, 14] == 900.0
    assert np.isnan(forecast.visibility_m[0, 22])
    assert (forecast.dew_point_degc <= forecast.temperature_degc).all()


def test_a_documented_ensemble_has_all_quantities_of_all_members() -> None:
    forecast = read_openmeteo(payload("openmeteo_ensemble_from_documentation.json"))
    assert forecast.members == 12
    assert np.isfinite(forecast.wind_gust_mps).all()
    assert np.isfinite(forecast.dew_point_degc).all()


def test_unix_times_are_utc_whatever_the_offset() -> None:
    answer = written(utc_offset_seconds=3600, timezone="Europe/Berlin")
    answer["hourly_units"]["time"] = "unixtime"
    answer["hourly"]["time"] = [1_825_243_200 + 3600 * hour for hour in range(48)]
    assert read(answer).utc[0] == np.datetime64("2027-11-03T12:00")


def test_models_side_by_side_are_members() -> None:
    answer = written()
    values = answer["hourly"]["temperature_2m"]
    answer["hourly"] = {
        "time": answer["hourly"]["time"],
        "temperature_2m_ecmwf_ifs025": values,
        "temperature_2m_icon_eu": [value + 1.0 for value in values],
    }
    answer["hourly_units"] |= {
        "temperature_2m_ecmwf_ifs025": "°C",
        "temperature_2m_icon_eu": "°C",
    }
    forecast = read(answer)
    assert forecast.members == 2
    np.testing.assert_allclose(forecast.temperature_degc[1] - forecast.temperature_degc[0], 1.0)


def test_old_names_and_knots_are_read() -> None:
    answer = written()
    hourly, units = answer["hourly"], answer["hourly_units"]
    hourly["windspeed_10m"] = hourly.pop("wind_speed_10m")
    units["windspeed_10m"] = "kn"
    forecast = read(answer)
    assert forecast.wind_speed_mps[0, 0] == pytest.approx(hourly["windspeed_10m"][0] * 0.514444)


def test_a_probability_is_not_taken_for_an_amount() -> None:
    answer = written()
    answer["hourly"]["precipitation_probability"] = [100] * 48
    answer["hourly_units"]["precipitation_probability"] = "%"
    assert read(answer).members == 1
    assert read(answer).precipitation_mm.max() == 0.4


def test_of_several_places_the_nearest_is_read() -> None:
    there = written(latitude=54.0)
    with pytest.raises(BadInputError, match="2 places"):
        read([there, written()])
    near = Position(latitude_deg=53.9, longitude_deg=-5.0)
    got = read_openmeteo(json.dumps([written(), there]), near=near)
    assert got.latitude_deg == 54.0


def test_absent_hours_become_rows_of_nothing() -> None:
    answer = written()
    for name, values in answer["hourly"].items():
        answer["hourly"][name] = values[:10] + values[15:]
    forecast = read(answer)
    assert forecast.utc.size == 48
    assert np.isnan(forecast.temperature_degc[0, 10:15]).all()
    hour_12 = forecast.utc[[12]]
    assert np.isnan(forecast.at(hour_12, "temperature_degc")).all()


def test_the_services_own_refusal_is_passed_on() -> None:
    with pytest.raises(UnreadableFileError, match="refused the request: Latitude must be in"):
        read({"error": True, "reason": "Latitude must be in range of -90 to 90°."})


@pytest.mark.parametrize("length", [1, 500, 3000])
def test_a_truncated_answer_is_called_cut_off(length: int) -> None:
    with pytest.raises(UnreadableFileError, match=r"is cut off|is no JSON"):
        read_openmeteo(payload(WRITTEN)[:length])


@pytest.mark.parametrize("empty", ["", "  \n", b""])
def test_an_empty_answer_is_called_empty(empty: bytes | str) -> None:
    with pytest.raises(UnreadableFileError, match="is empty"):
        read_openmeteo(empty)


def test_bytes_that_are_no_text_are_refused() -> None:
    with pytest.raises(UnreadableFileError, match="not text"):
        read_openmeteo(b"\xff\xfe\x00\x80")


def test_an_answer_without_hours_is_refused() -> None:
    answer = written()
    answer["hourly"] = {name: [] for name in answer["hourly"]}
    with pytest.raises(MissingDataError, match="holds no hours"):
        read(answer)


def test_an_answer_without_known_variables_lists_them() -> None:
    answer = written()
    answer["hourly"] = {"time": answer["hourly"]["time"], "uv_index": [0.0] * 48}
    with pytest.raises(MissingDataError, match="temperature_2m"):
        read(answer)


def test_without_an_offset_the_hours_mean_nothing() -> None:
    answer = written()
    del answer["utc_offset_seconds"]
    with pytest.raises(BadInputError, match="offset from UTC"):
        read(answer)


def test_an_offset_that_is_not_the_zones_is_refused() -> None:
    with pytest.raises(BadInputError, match="not that zone's"):
        read(written(timezone="America/Toronto", utc_offset_seconds=3600))


@pytest.mark.parametrize("offset_s", [-18_000, -14_400])
def test_either_offset_of_the_zones_year_is_taken(offset_s: int) -> None:
    forecast = read(written(timezone="America/Toronto", utc_offset_seconds=offset_s))
    assert forecast.utc[0] == np.datetime64("2027-11-02T12:00") - np.timedelta64(offset_s, "s")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"temperature_2m": "furlong"}, "in 'furlong'; understood are"),
        ({"temperature_2m": None}, "does not state the unit of temperature_2m"),
        ({"wind_speed_10m": "mm"}, "wind speed in 'mm'"),
    ],
)
def test_strange_units_are_named(change: dict[str, Any], words: str) -> None:
    answer = written()
    answer["hourly_units"] |= change
    with pytest.raises(BadInputError, match=words):
        read(answer)


def test_kelvin_under_the_name_of_celsius_is_refused_with_a_hint() -> None:
    answer = written()
    values = answer["hourly"]["temperature_2m"]
    answer["hourly"]["temperature_2m"] = [value + 273.15 for value in values]
    with pytest.raises(BadInputError, match="looks like kelvin"):
        read(answer)


@pytest.mark.parametrize(
    ("times", "words"),
    [
        (["2027-11-02T12:00", "2027-11-02T12:00"], "twice"),
        (["2027-11-02T13:00", "2027-11-02T12:00"], "out of order"),
        (["today", "2027-11-02T12:00"], "is no local date and hour"),
        (["2027-11-02T12:00Z", "2027-11-02T13:00Z"], "is no local date and hour"),
    ],
)
def test_strange_times_are_named(times: list[str], words: str) -> None:
    answer = written()
    answer["hourly"] = {"time": times, "temperature_2m": [1.0, 2.0]}
    with pytest.raises(BadInputError, match=words):
        read(answer)


def test_a_list_of_another_length_is_named() -> None:
    answer = written()
    answer["hourly"]["temperature_2m"].pop()
    with pytest.raises(BadInputError, match="47 values for 48 hours"):
        read(answer)


def test_a_place_off_the_globe_is_refused() -> None:
    with pytest.raises(BadInputError, match="off the globe"):
        read(written(latitude=153.0))
