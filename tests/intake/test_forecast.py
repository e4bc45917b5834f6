"""The one door for every kind, and payloads that somebody has damaged."""

import json
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shivelight.air.forecast import QUANTITIES, Ensemble
from shivelight.basis.errors import BadInputError, ShivelightError, UnreadableFileError
from shivelight.intake.forecast import kind_of, read_forecast
from tests.intake.weather_files import HERE, payload, tree

NOW = np.datetime64("2027-11-02T21:00")


@pytest.mark.parametrize("path", sorted(HERE.glob("*.json")), ids=lambda path: path.stem)
def test_every_payload_in_the_repository_finds_its_reader(path: Any) -> None:
    assert kind_of(path.read_bytes()) == path.name.split("_")[0]
    assert read_forecast(path.read_bytes()).utc.size > 0


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("METAR XXXX 020650Z 00000KT 0300 FG 02/02 Q1020", "metar"),
        ("\n  XXXX 020650Z AUTO 00000KT 0300 FG 02/02 Q1020", "metar"),
        ("utc,t,td\n2027-11-02T18:00,7,5", "table"),
        ("# note\nutc;t;td\n2027-11-02T18:00;7;5", "table"),
        ('{"error": true, "reason": "no"}', "openmeteo"),
    ],
)
def test_kinds_are_told_apart(text: str, kind: str) -> None:
    assert kind_of(text) == kind
    assert kind_of(text.encode()) == kind


@pytest.mark.parametrize(
    "text", ["", " \n", "<html>", "fog at dawn", '{"a": 1}', "[]", "[1]", "{", "\ufeff"]
)
def test_what_is_no_forecast_is_said_to_be_none(text: str) -> None:
    with pytest.raises(UnreadableFileError):
        read_forecast(text)


def test_an_unknown_kind_lists_the_known_ones() -> None:
    with pytest.raises(BadInputError, match="openmeteo, metno, metar, table"):
        read_forecast("x", kind="runes")


def test_the_time_of_receipt_stands_in_for_a_missing_time_of_issue() -> None:
    name = "openmeteo_forecast_from_documentation.json"
    assert read_forecast(payload(name)).issued_utc is None
    forecast = read_forecast(payload(name), received_utc=NOW)
    assert forecast.issued_utc == NOW
    assert forecast.age_h(NOW + np.timedelta64(3, "h")) == 3.0
    named = read_forecast(payload("metno_complete_from_documentation.json"), received_utc=NOW)
    assert named.issued_utc == np.datetime64("2027-11-02T11:31:07")


def test_a_table_gets_its_zone_and_reports_their_month() -> None:
    table = read_forecast("time,t,td\n2027-07-02 18:00,7,5", zone_name="Europe/Dublin")
    assert table.utc[0] == np.datetime64("2027-07-02T17:00")
    reports = read_forecast("METAR XXXX 020650Z 00000KT 0300 FG 02/02 Q1020", received_utc=NOW)
    assert reports.utc[0] == np.datetime64("2027-11-02T06:50")


SMALL = {
    name: tree(name)
    for name in (
        "openmeteo_ensemble_icon_retyped.json",
        "openmeteo_forecast_from_documentation.json",
    )
}
_metno = tree("metno_complete_from_documentation.json")
_metno["properties"]["timeseries"] = _metno["properties"]["timeseries"][:3]
SMALL["metno"] = _metno

STRANGE = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**400), 10**400),
    st.floats(),
    st.text(max_size=8),
    st.sampled_from(
        [[], {}, [[]], [None], "2027-11-02T12:00", "9999-12-31T23:59", "0001-01-01T00:00Z", "%"]
    ),
)


def places(tree: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """List every place in a tree of JSON, in order."""
    found = [path] if path else []
    if isinstance(tree, dict):
        for key in tree:
            found += places(tree[key], (*path, key))
    elif isinstance(tree, list):
        for index in range(len(tree)):
            found += places(tree[index], (*path, index))
    return found


PLACES = {name: places(answer) for name, answer in SMALL.items()}


@given(
    name=st.sampled_from(sorted(SMALL)),
    wounds=st.lists(
        st.tuples(st.integers(0, 10**6), st.one_of(STRANGE, st.just("cut out"))),
        min_size=1,
        max_size=3,
    ),
)
@settings(max_examples=250, deadline=None)
def test_damaged_json_gives_a_forecast_or_one_of_our_own_errors(
    name: str, wounds: list[tuple[int, Any]]
) -> None:
    answer = json.loads(json.dumps(SMALL[name]))
    for number, value in wounds:
        *path, last = PLACES[name][number % len(PLACES[name])]
        inner = answer
        try:
            for key in path:
                inner = inner[key]
            if value == "cut out":
                del inner[last]
            else:
                inner[last] = value
        except (KeyError, IndexError, TypeError):
            continue  # an earlier wound took this part away
    read_or_refused(json.dumps(answer))


def read_or_refused(text: str) -> None:
    said = ""
    try:
        believable(read_forecast(text, received_utc=NOW))
    except ShivelightError as error:
        said = str(error)
    assert said == "" or (10 < len(said) < 600 and said.endswith((".", "…")))


def believable(forecast: Ensemble) -> None:
    for quantity in QUANTITIES:
        assert not np.isinf(getattr(forecast, quantity)).any()
    dew, warm = forecast.dew_point_degc, forecast.temperature_degc
    assert not (dew > warm).any()
    assert not (forecast.cloud_cover_frac > 1.0).any()


@given(name=st.sampled_from(sorted(SMALL)), start=st.integers(0, 4000), length=st.integers(0, 40))
@settings(max_examples=100, deadline=None)
def test_lost_bytes_raise_only_our_own_errors(name: str, start: int, length: int) -> None:
    text = json.dumps(SMALL[name])
    start %= len(text)
    read_or_refused(text[:start] + text[start + length + 1 :])


@given(raw=st.binary(max_size=200))
@settings(max_examples=100, deadline=None)
def test_any_bytes_raise_only_our_own_errors(raw: bytes) -> None:
    with pytest.raises(ShivelightError):
        read_forecast(raw)


def test_json_nested_without_end_is_refused() -> None:
    with pytest.raises(UnreadableFileError):
        read_forecast("[" * 100_000)


def test_hours_that_tell_nothing_at_either_end_are_not_part_of_it() -> None:
    # Open-Meteo gives every hour of the days asked for, filled with nulls past its model's end.
    hourly = {
        "time": [f"2027-11-02T{hour:02d}:00" for hour in range(24)],
        "temperature_2m": [None, *[5.0] * 10, None, *[4.0] * 2, *[None] * 10],
        "dew_point_2m": [None, *[3.0] * 10, None, *[3.0] * 3, *[None] * 9],
    }
    units = {"time": "iso8601", "temperature_2m": "°C", "dew_point_2m": "°C"}
    payload = {
        "latitude": 53.0, "longitude": -5.1, "elevation": 90.0, "utc_offset_seconds": 0,
        "hourly_units": units, "hourly": hourly,
    }  # fmt: skip
    forecast = read_forecast(json.dumps(payload), kind="openmeteo")
    assert forecast.utc[0] == np.datetime64("2027-11-02T01:00")
    assert forecast.utc[-1] == np.datetime64("2027-11-02T14:00")
    assert forecast.utc.size == 14  # the gap within stays
    assert np.isnan(forecast.temperature_degc[0, [10, 13]]).all()
