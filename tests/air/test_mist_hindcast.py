"""Hindcasts: one line in, one line out; a bad line named by its number."""

import json
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shivelight.air.mist import mist_chance
from shivelight.air.mist_hindcast import hindcast_lines
from shivelight.basis.errors import BadInputError, ShivelightError
from tests.air.nights import SUNRISE, UTC, night


def case(**changed: Any) -> dict[str, Any]:
    one = night()
    hours = [str(time)[:16] for time in UTC]
    record: dict[str, Any] = {
        "id": "wennick-1",
        "site": {"lat": 53.0, "lon": -5.1, "elevation_m": 61.0},
        "date": "2027-11-03",
        "sunrise_utc": f"{str(SUNRISE)[:16]}Z",
        "issued_utc": "2027-11-02T18:00Z",
        "rain_prev_24h": 2.0,
        "hourly": {
            "time": hours,
            "temperature_2m": one.temperature_degc[0].tolist(),
            "dew_point_2m": one.dew_point_degc[0].tolist(),
            "relative_humidity_2m": [None] * len(hours),
            "wind_speed_10m": one.wind_speed_mps[0].tolist(),
            "cloud_cover": (100.0 * one.cloud_cover_frac[0]).tolist(),
            "precipitation": one.precipitation_mm[0].tolist(),
            "pressure_msl": one.pressure_hpa[0].tolist(),
        },
    }
    hourly = changed.pop("hourly", {})
    record.update(changed)
    record["hourly"] |= hourly
    return record


def predict(*cases: dict[str, Any]) -> list[dict[str, Any]]:
    return [json.loads(line) for line in hindcast_lines(json.dumps(one) for one in cases)]


def test_a_prediction_has_the_form_and_the_numbers_of_the_model() -> None:
    (said,) = predict(case())
    assert set(said) == {"id", "p_fog", "p_mist", "curve", "lift"}
    assert [row[0] for row in said["curve"]] == list(range(-60, 241, 15))
    assert list(said["lift"]) == ["q10", "q25", "q50", "q75", "q90"]
    # Only the sunset differs: a hindcast works it out, the night was given one.
    chance = mist_chance(night())
    assert said["p_fog"] == pytest.approx(chance.window_fog_frac[0], abs=0.02)
    assert said["p_mist"] == pytest.approx(chance.window_mist_frac[0], abs=0.02)
    assert all(fog <= said["p_fog"] and mist <= said["p_mist"] for _, fog, mist in said["curve"])


def test_order_and_ids_are_kept_across_batches() -> None:
    lines = (json.dumps(case(id=number)) for number in range(2_100))
    assert [json.loads(line)["id"] for line in hindcast_lines(lines)] == list(range(2_100))


def test_humidity_stands_in_for_a_missing_dew_point() -> None:
    one = night()
    temperature, dew_point = one.temperature_degc[0], one.dew_point_degc[0]
    wet = 17.625 * dew_point / (243.04 + dew_point)
    humid = 100.0 * np.exp(wet - 17.625 * temperature / (243.04 + temperature))
    hourly = {"dew_point_2m": None, "relative_humidity_2m": humid.tolist()}
    first, second = predict(case(), case(hourly=hourly))
    assert first["p_fog"] == pytest.approx(second["p_fog"], abs=1e-4)


@pytest.mark.parametrize(
    "lost", ["cloud_cover", "pressure_msl", "wind_speed_10m", "precipitation"]
)
def test_a_missing_series_uses_its_variant_and_says_so(lost: str) -> None:
    gone, nulls = predict(case(hourly={lost: None}), case(hourly={lost: [None] * UTC.size}))
    assert gone == nulls
    assert "inputs missing" in gone["note"]
    assert 0.0 < gone["p_fog"] <= gone["p_mist"] < 1.0


def test_without_humidity_the_base_rate_is_given_and_marked() -> None:
    (said,) = predict(case(hourly={"dew_point_2m": None}))
    assert "base rate" in said["note"]
    assert 0.0 < said["lift"]["q10"] < said["lift"]["q50"] < said["lift"]["q90"] <= 480.0
    assert [row[0] for row in said["curve"]] == list(range(-60, 241, 15))
    assert all(
        0.0 < fog < said["p_fog"] and fog < mist < said["p_mist"] for _, fog, mist in said["curve"]
    )
    assert 0.0 < said["p_fog"] < said["p_mist"] < 0.5


def test_blank_lines_are_passed_over_and_nothing_gives_nothing() -> None:
    assert len(list(hindcast_lines(["", "  \n", json.dumps(case())]))) == 1
    assert list(hindcast_lines([])) == []


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("{", "Line 2 is not JSON"),
        ("[]", "Line 2: a case must be a JSON object"),
        (json.dumps({"id": 1}), "Line 2: the case has no 'site'"),
        (json.dumps(case(sunrise_utc="dawn")), "sunrise_utc is 'dawn'; write UTC"),
        (json.dumps(case(site={"lat": 95.0})), "site.lat is 95.0; it must be a number from -90"),
        (json.dumps(case(hourly={"temperature_2m": [1.0]})), "must be a list of 25 values"),
        (json.dumps(case(hourly={"cloud_cover": ["x"] * UTC.size})), "neither a number nor null"),
        (json.dumps(case(hourly={"temperature_2m": [280.0] * UTC.size})), "Check its unit"),
        (
            json.dumps(case(hourly={"time": ["2027-11-02T12:00"] * UTC.size})),
            "rise by whole hours",
        ),
        (json.dumps(case(sunrise_utc="2027-13-40T07:00Z")), "which is no date"),
    ],
)
def test_one_bad_line_gives_one_sentence_with_its_number(line: str, sentence: str) -> None:
    with pytest.raises(BadInputError) as caught:
        list(hindcast_lines([json.dumps(case()), line]))
    assert str(caught.value).startswith("Line 2")
    assert sentence in str(caught.value)


@settings(deadline=None, max_examples=150)
@given(data=st.data())
def test_mutilated_cases_are_predicted_or_refused_never_worse(data: st.DataObject) -> None:
    text = json.dumps(case())
    start = data.draw(st.integers(0, len(text)))
    stop = data.draw(st.integers(start, min(len(text), start + 40)))
    filler = data.draw(st.sampled_from(["", "null", "NaN", "1e400", '"', "-", "[", "Infinity"]))
    why = ""
    said: list[str] = []
    try:
        said = list(hindcast_lines([text[:start] + filler + text[stop:]]))
    except ShivelightError as refused:
        why = str(refused)
    assert why.startswith("Line 1") or (not why and len(said) <= 1)
