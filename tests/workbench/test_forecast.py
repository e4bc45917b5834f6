import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import httpx
import numpy as np
import pytest

from shivelight.basis.errors import BadInputError, MissingDataError, UnreadableFileError
from shivelight.basis.places import Position, destination
from shivelight.intake.fetch import Line, UnreachableError
from shivelight.outing.woods import Privacy
from shivelight.store import forecasts as forecast_rows
from shivelight.workbench.bench import Workbench
from shivelight.workbench.demo_valley import valley
from shivelight.workbench.forecast import coarse, joined
from shivelight.workbench.settings import Settings
from tests.workbench.conftest import at

WEATHER = Path(__file__).parents[1] / "data" / "weather"
HOURS = np.datetime64("2027-11-02T20:00") + np.arange(72) * np.timedelta64(1, "h")


def answer(**changes: Any) -> dict[str, Any]:
    """Make a forecast of the demo valley in the public form of Open-Meteo, invented values."""
    count = HOURS.size
    hourly = {
        "time": [str(one) for one in HOURS],
        "temperature_2m": [5.0] * count,
        "dew_point_2m": [4.0] * count,
        "wind_speed_10m": [1.0] * count,
        "cloud_cover": [20.0] * count,
        "precipitation": [0.0] * count,
        "pressure_msl": [1020.0] * count,
    }
    units = {
        "time": "iso8601", "temperature_2m": "°C", "dew_point_2m": "°C",
        "wind_speed_10m": "m/s", "cloud_cover": "%", "precipitation": "mm", "pressure_msl": "hPa",
    }  # fmt: skip
    return {
        "latitude": 53.0, "longitude": -5.1, "elevation": 90.0, "utc_offset_seconds": 0,
        "hourly_units": units, "hourly": hourly,
    } | changes  # fmt: skip


def line(handler: Any) -> Line:
    transport = httpx.MockTransport(handler)
    return Line(client=httpx.Client(transport=transport), sleep=lambda _: None, tries=2)


def opened(tmp_path: Path, wall: str = "2027-11-02T21:40", *, create: bool = False) -> Workbench:
    settings = Settings(book=str(tmp_path / "b.sqlite"), service="open-meteo", contact="a@b.c")
    return Workbench.open(settings, create=create, now=at(wall))


@pytest.fixture
def heath(tmp_path: Path) -> Path:
    """Make a book with one wood and one spot."""
    with opened(tmp_path, create=True) as bench:
        bench.add_wood(valley().woods[1])
        bench.add_spot(next(one for one in valley().spots if one.wood == "Pinnet Heath"))
    return tmp_path


def test_what_is_fetched_is_kept_byte_for_byte(heath: Path) -> None:
    body = json.dumps(answer()).encode()
    asked: list[httpx.Request] = []

    def service(request: httpx.Request) -> httpx.Response:
        asked.append(request)
        return httpx.Response(200, content=body)

    with opened(heath) as bench:
        kept = bench.fetch_forecasts(line=line(service))
        stored = forecast_rows.latest(bench.book, "Pinnet Heath")
    assert stored is not None
    assert stored.payload == body
    assert kept[0].distance_km is not None
    # The wood is of class district: the middle of a 10 km square is all that leaves.
    sent = asked[0].url.params
    away_km = kept[0].distance_km
    assert sent["latitude"] != "53"
    assert abs(float(sent["latitude"]) - 53.0) < 0.05
    assert away_km < 8.0
    assert "a@b.c" in asked[0].headers["user-agent"]


def test_with_the_cable_out_the_last_forecast_serves_and_its_age_is_said(heath: Path) -> None:
    with opened(heath) as bench:
        bench.fetch_forecasts(line=line(lambda _: httpx.Response(200, json=answer())))

    def down(request: httpx.Request) -> httpx.Response:
        raise httpx.ConnectError("no route", request=request)

    with opened(heath, "2027-11-03T03:40") as bench:
        kept = bench.fetch_forecasts(line=line(down))
        assert "the last one kept is used, 6 hours old" in kept[0].note.lower()
        morning = bench.judge(mornings=1)[0]
    assert dict(morning.forecasts)["Pinnet Heath"].age_h == pytest.approx(6.0, abs=0.1)


def test_with_nothing_kept_and_nobody_there_it_says_so(heath: Path) -> None:
    def down(request: httpx.Request) -> httpx.Response:
        raise httpx.ConnectTimeout("slow", request=request)

    with opened(heath) as bench, pytest.raises(UnreachableError, match="Open-Meteo"):
        bench.fetch_forecasts(line=line(down))


def test_a_spoilt_answer_is_refused_and_not_kept(heath: Path) -> None:
    broken = json.dumps(answer())[:-40]
    with opened(heath) as bench:
        with pytest.raises(UnreadableFileError):
            bench.fetch_forecasts(line=line(lambda _: httpx.Response(200, text=broken)))
        assert forecast_rows.latest(bench.book, "Pinnet Heath") is None


def test_a_forecast_for_another_place_is_refused_and_not_kept(heath: Path) -> None:
    far = heath / "far.json"
    far.write_text(json.dumps(answer(latitude=48.0, longitude=11.0)), encoding="utf-8")
    with opened(heath) as bench:
        with pytest.raises(BadInputError, match=r"for a place 1\d\d\d km from Pinnet Heath"):
            bench.read_forecast(far)
        assert not bench.forecasts()


def test_a_wood_that_has_moved_away_from_its_forecast_is_not_judged(heath: Path) -> None:
    near = heath / "near.json"
    near.write_text(json.dumps(answer()), encoding="utf-8")
    with opened(heath) as bench:
        bench.read_forecast(near)
        bench.change_wood(
            "Pinnet Heath", parking=Position(latitude_deg=48.0, longitude_deg=11.0), outline=()
        )
        with pytest.raises(MissingDataError, match=r"for a place 1\d\d\d km from Pinnet Heath"):
            bench.judge(mornings=1)


def test_a_forecast_is_kept_for_the_woods_it_was_made_for_only(heath: Path) -> None:
    near = heath / "near.json"
    near.write_text(json.dumps(answer()), encoding="utf-8")
    with opened(heath) as bench:
        far = Position(latitude_deg=48.0, longitude_deg=11.0)
        bench.add_wood(replace(valley().woods[0], parking=far, outline=()))
        assert [one.wood for one in bench.read_forecast(near)] == ["Pinnet Heath"]


def test_a_forecast_without_humidity_says_what_cannot_be_judged(heath: Path) -> None:
    dry = answer()
    del dry["hourly"]["dew_point_2m"]
    (heath / "dry.json").write_text(json.dumps(dry), encoding="utf-8")
    with opened(heath) as bench:
        kept = bench.read_forecast(heath / "dry.json")
    assert "no dew point or humidity" in kept[0].note


def test_without_any_forecast_it_says_what_to_do(heath: Path) -> None:
    with (
        opened(heath) as bench,
        pytest.raises(MissingDataError, match="fetch one, read a file or type the evening"),
    ):
        bench.judge(mornings=1)


def test_a_forecast_long_past_is_refused(heath: Path) -> None:
    path = heath / "now.json"
    path.write_text(json.dumps(answer()), encoding="utf-8")
    with opened(heath) as bench:
        bench.read_forecast(path)
    with (
        opened(heath, "2027-12-24T20:00") as bench,
        pytest.raises(MissingDataError, match="covers"),
    ):
        bench.judge(mornings=1)


def test_mornings_that_the_forecast_does_not_reach_are_left_out(heath: Path) -> None:
    path = heath / "now.json"
    path.write_text(json.dumps(answer()), encoding="utf-8")
    with opened(heath) as bench:
        bench.read_forecast(path)
        judged = bench.judge(mornings=7)
    assert 1 <= len(judged) < 4


def test_a_wood_without_a_forecast_is_left_out_and_named(heath: Path) -> None:
    path = heath / "now.json"
    path.write_text(json.dumps(answer()), encoding="utf-8")
    with opened(heath) as bench:
        bench.add_wood(valley().woods[2])
        bench.add_spot(next(one for one in valley().spots if one.wood == "Ottermire Carr"))
        bench.read_forecast(path, wood="Pinnet Heath")
        morning = bench.judge(mornings=1)[0]
    assert [one.spot for one in morning.spots] == ["White Post Gap"]
    assert morning.left_out[0][0] == "Ottermire Carr"


def test_a_recorded_real_forecast_reads_and_judges(tmp_path: Path) -> None:
    # MET Norway's recorded answer; its place and date are its own.
    with opened(tmp_path, "2020-07-20T21:00", create=True) as bench:
        wood, spot = valley().woods[1], valley().spots[2]
        there = Position(latitude_deg=51.5, longitude_deg=-0.1, ground_height_m=25.0)
        bench.add_wood(type(wood)(name="Lowland", zone_name="Europe/London", parking=there,
                                  ground_height_m=25.0, stand="oak"))  # fmt: skip
        bench.add_spot(
            type(spot)(name="Ride", wood="Lowland", position=there, view_azimuth_deg=70.0,
                       wishes=spot.wishes)
        )  # fmt: skip
        bench.read_forecast(WEATHER / "metno_complete_recorded.json")
        judged = bench.judge()
    assert len(judged) == 7
    assert all(0.0 <= one.spots[0].chance_frac <= 1.0 for one in judged)
    assert judged[0].spots[0].alarm_utc is None  # no road time was given


def test_the_afternoon_of_an_older_forecast_is_put_before_a_newer_one(heath: Path) -> None:
    early = answer()
    early["hourly"] = {
        key: ([str(one - np.timedelta64(10, "h")) for one in HOURS] if key == "time" else
              [7.0 if key == "temperature_2m" else value for value in row])
        for key, row in early["hourly"].items()
    }  # fmt: skip
    with opened(heath, "2027-11-02T12:00") as bench:
        (heath / "early.json").write_text(json.dumps(early), encoding="utf-8")
        bench.read_forecast(heath / "early.json")
    with opened(heath) as bench:
        (heath / "late.json").write_text(json.dumps(answer()), encoding="utf-8")
        bench.read_forecast(heath / "late.json")
        forecast, _, _ = bench.forecast_for(bench.wood("Pinnet Heath").wood)
    assert forecast.utc[0] == HOURS[0] - np.timedelta64(10, "h")
    assert forecast.temperature_degc[0, 0] == 7.0
    assert forecast.temperature_degc[0, 10] == 5.0
    assert joined(forecast, forecast) is forecast


@pytest.mark.parametrize(("privacy", "half_m"), [("open", 330.0), ("district", 5000.0)])
def test_positions_leave_the_machine_no_finer_than_their_class(
    privacy: str, half_m: float
) -> None:
    # Every wood of one square asks for one and the same place: the middle of the square.
    wood = replace(valley().woods[1], privacy=Privacy(privacy), outline=())
    middle = coarse(replace(wood, parking=Position(latitude_deg=53.0004, longitude_deg=-5.0912)))
    for azimuth_deg in (0.0, 90.0, 180.0, 270.0):
        beside = destination(middle, azimuth_deg=azimuth_deg, distance_m=0.6 * half_m)
        sent = coarse(replace(wood, parking=beside))
        assert (sent.latitude_deg, sent.longitude_deg) == pytest.approx(
            (middle.latitude_deg, middle.longitude_deg)
        )


def test_a_wood_never_shown_asks_as_coarsely_as_one_of_the_district() -> None:
    wood = valley().woods[1]
    assert coarse(replace(wood, privacy=Privacy.NEVER)) == coarse(
        replace(wood, privacy=Privacy.DISTRICT)
    )


def test_without_humidity_spots_are_still_judged_on_the_season_s_rate(heath: Path) -> None:
    dry = answer()
    del dry["hourly"]["dew_point_2m"]
    (heath / "dry.json").write_text(json.dumps(dry), encoding="utf-8")
    with opened(heath) as bench:
        bench.read_forecast(heath / "dry.json")
        morning = bench.judge(mornings=1)[0]
    first = morning.spots[0]
    assert first.mist.forecast_frac == pytest.approx(first.mist.base_frac)
    assert any("only the season's rate" in one for one in first.signs.not_known)
