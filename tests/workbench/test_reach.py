"""Which forecast a morning is judged by, and what happens to woods that have none for it."""

import json
from pathlib import Path

import numpy as np
import pytest

from shivelight.basis.errors import MissingDataError
from shivelight.workbench.demo_valley import valley
from tests.workbench.test_forecast import HOURS, answer, opened

REPORT = "METAR EGXX 022120Z 24003KT 9999 SCT030 06/05 Q1018=\n"


@pytest.fixture
def two_woods(tmp_path: Path) -> Path:
    """Make a book with two woods and a spot in each."""
    with opened(tmp_path, create=True) as bench:
        for wood in valley().woods[:2]:
            bench.add_wood(wood)
        for spot in valley().spots:
            if spot.wood in {"Pinnet Heath", "Sallowden Hanger"}:
                bench.add_spot(spot)
    return tmp_path


def forecast_file(folder: Path, hours: int) -> Path:
    """Write a forecast of the valley that is so many hours long."""
    cut = answer()
    cut["hourly"] = {name: values[:hours] for name, values in cut["hourly"].items()}
    path = folder / f"{hours}.json"
    path.write_text(json.dumps(cut), encoding="utf-8")
    return path


def test_a_report_of_the_evening_gives_way_to_the_forecast_that_reaches_the_morning(
    two_woods: Path,
) -> None:
    report = two_woods / "metar.txt"
    report.write_text(REPORT, encoding="utf-8")
    with opened(two_woods, "2027-11-02T21:00") as bench:
        assert bench.read_forecast(forecast_file(two_woods, HOURS.size))[0].note == ""
    with opened(two_woods, "2027-11-02T21:40") as bench:
        kept = bench.read_forecast(report)
        assert "2 November at 21:20, so the coming morning cannot be judged" in kept[0].note
        morning = bench.judge(mornings=1)[0]
    assert {note.source for _, note in morning.forecasts} == {"Open-Meteo"}
    assert not morning.left_out


def test_a_wood_whose_forecast_is_over_is_left_out_and_the_others_are_judged(
    two_woods: Path,
) -> None:
    with opened(two_woods) as bench:
        bench.read_forecast(forecast_file(two_woods, 6), wood="Sallowden Hanger")
        bench.read_forecast(forecast_file(two_woods, HOURS.size), wood="Pinnet Heath")
        first, second = bench.judge(mornings=2)
    for morning in (first, second):
        assert {one.wood for one in morning.spots} == {"Pinnet Heath"}
        assert [wood for wood, _ in morning.left_out] == ["Sallowden Hanger"]


def test_with_no_forecast_that_reaches_it_says_so_and_keeps_no_judgement(two_woods: Path) -> None:
    with opened(two_woods) as bench:
        bench.read_forecast(forecast_file(two_woods, 3))
        with pytest.raises(MissingDataError):
            bench.judge()
        assert bench.book_report().judgements == 0


def test_hours_past_the_end_of_a_forecast_are_not_judged(two_woods: Path) -> None:
    # The sky closes and the forecast ends at 09:00; a sun after that would be made up.
    short = answer()
    until = int(np.flatnonzero(np.datetime64("2027-11-03T09:00") == HOURS)[0]) + 1
    short["hourly"] = {name: values[:until] for name, values in short["hourly"].items()}
    short["hourly"]["cloud_cover"] = [100.0] * until
    path = two_woods / "short.json"
    path.write_text(json.dumps(short), encoding="utf-8")
    with opened(two_woods) as bench:
        bench.read_forecast(path)
        spots = bench.judge(mornings=1)[0].spots
    end = np.datetime64("2027-11-03T09:02:30")
    for one in spots:
        assert "what comes after 09:00, where the forecast ends: it is not judged" in (
            one.signs.not_known
        )
        assert one.best is None or one.best.end_utc <= end
        direct = [wish.chance_frac for wish in one.wishes if wish.words == "direct light"]
        assert all(chance <= 0.3 for chance in direct)
    assert any(wish.words == "direct light" for one in spots for wish in one.wishes)
