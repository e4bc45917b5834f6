"""forecast, evening, sheet, word, arrive, log, mist, demo: the main job as it is typed."""

import json
import re
from pathlib import Path

import pytest

from shivelight.cli.say.demo import program
from tests.cli.conftest import JUDGE, Run, assert_refused, one_line

WEATHER = Path(__file__).parents[1] / "data" / "weather"

# --- forecast -----------------------------------------------------------------------------


def test_a_forecast_file_is_read_kept_and_listed(valley: Run) -> None:
    file = WEATHER / "openmeteo_forecast_from_documentation.json"
    ran = valley("forecast", "read", str(file), "--wood", "Pinnet Heath")
    assert ran.code == 0, ran.err
    assert "Kept: " in ran.out
    listed = valley("forecast", "list", "--json").json
    assert [one["wood"] for one in listed] == ["Pinnet Heath"]


def test_an_empty_list_says_how_to_come_by_a_forecast(valley: Run) -> None:
    assert "shivelight forecast fetch" in valley("forecast", "list").out


def test_fetching_when_switched_off_is_refused_and_asks_nobody(
    valley: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SHIVELIGHT_SERVICE", "off")
    ran = valley("forecast", "fetch")
    assert_refused(ran, 2)


@pytest.mark.parametrize("text", ["", "{", '{"hourly": {}}', "\x00\x01"])
def test_a_forecast_that_cannot_be_read_is_refused_and_not_kept(valley: Run, text: str) -> None:
    Path("bad.json").write_text(text, encoding="utf-8")
    ran = valley("forecast", "read", "bad.json")
    assert ran.code in {2, 4, 5}
    assert one_line(ran.err)
    assert valley("forecast", "list", "--json").json == []


# --- evening ------------------------------------------------------------------------------


def test_the_evening_is_typed_judged_shown_and_taken(evening: Run) -> None:
    ran = evening("evening", "judge", "--mornings", "1")
    assert ran.code == 0, ran.err
    assert ran.out.startswith("Wednesday 3 November 2027, clock of Europe/London (GMT).")
    for part in ("White Post Gap", "Heath Edge", "For ", "Against ", "Not known ", "Plan B",
                 "Take care", "Made from"):  # fmt: skip
        assert part in ran.out
    assert "%" not in ran.out
    assert max(len(line) for line in ran.out.splitlines()) <= 100
    assert evening("evening", "show").out == ran.out
    taken = evening("evening", "take", "--spot", "Heath Edge", "--json").json
    assert (taken["day"], taken["woods"]) == ("2027-11-03", ["Pinnet Heath"])


def test_a_judgement_in_json_is_the_whole_value(evening: Run) -> None:
    ran = evening("evening", "judge", "2027-11-03", "--mornings", "1", "--json")
    (morning,) = ran.json
    assert morning["day"] == "2027-11-03"
    names = [spot["spot"] for spot in morning["spots"]]
    assert sorted(names) == ["Heath Edge", "White Post Gap"]
    assert all(0.0 <= spot["chance_frac"] <= 1.0 for spot in morning["spots"])
    assert any(spot["signs"]["not_known"] for spot in morning["spots"])


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("evening", "judge"), 4, "forecast"),
        (("evening", "judge", "--mornings", "9"), 2, "must be 1 to 7"),
        (("evening", "show"), 3, "2027-11-03"),
        (("evening", "take"), 3, "2027-11-03"),
        (("evening", "enter", "--wind", "3 mph"), 2, "--temperature is missing"),
        (("evening", "enter", "--temperature", "6", "--wind", "3"), 2, "needs its unit"),
        (("evening", "enter", "--temperature", "6", "--clears-by", "1 am"), 2, "write it like"),
        (("evening", "enter", "--temperature", "6", "--pressure", "up"), 2, "falling, steady"),
        (("sheet", "print"), 3, "2027-11-03"),
        (("word", "leave", "--who", "Orla"), 3, "2027-11-03"),
        (("arrive", "--mist", "thin", "--air", "still", "--light", "clear"), 3, "2027-11-03"),
        (("arrive", "--mist", "soup", "--air", "still", "--light", "clear"), 2, "soup"),
        (("arrive", "--air", "still", "--light", "clear"), 2, "--mist"),
    ],
)
def test_an_evening_that_makes_no_sense_is_refused(
    valley: Run, words: tuple[str, ...], code: int, told: str
) -> None:
    assert_refused(valley(*words), code, told)


# --- papers -------------------------------------------------------------------------------


def test_the_sheet_and_the_card_are_written(judged: Run) -> None:
    ran = judged("sheet", "print", "--out", "papers", "--no-pdf", "--json")
    assert ran.code == 0, ran.err
    page = Path(ran.json["html"])
    assert page.parent == Path("papers")
    assert "White Post Gap" in page.read_text(encoding="utf-8")
    assert ran.json["pdf"] is None
    ran = judged(
        "word", "leave", "--out", "papers", "--who", "Orla", "--car", "old blue van", "--contact",
        "her sister", "--back-by", "11:00", "--alarm-at", "13:00",
    )  # fmt: skip
    assert ran.code == 0, ran.err
    for told in ("Orla", "old blue van", "her sister", "11:00", "13:00"):
        assert told in ran.out


def test_an_alarm_before_the_return_is_refused(judged: Run) -> None:
    ran = judged(
        "word", "leave", "--who", "Orla", "--car", "van", "--contact", "sister", "--back-by",
        "11:00", "--alarm-at", "10:00",
    )  # fmt: skip
    assert ran.code == 2
    assert one_line(ran.err)
    assert list(Path().glob("leave-word*")) == []


def test_what_is_found_on_arrival_reranks_the_spots(judged: Run) -> None:
    ran = judged("arrive", "--mist", "none", "--air", "still", "--light", "overcast",
                 "--time", "06:50")  # fmt: skip
    assert ran.code == 0, ran.err
    assert re.search(r"^1  ", ran.out, re.M)
    found = judged("arrive", "--mist", "thin", "--air", "still", "--light", "clear", "--time",
                   "06:50", "--json").json  # fmt: skip
    assert {one["spot"] for one in found["choices"]} <= {"White Post Gap", "Heath Edge"}
    assert all(one["walk_min"] > 0 for one in found["choices"])
    assert found["seen"] == "thin"
    assert found["lifting"] == sorted(found["lifting"])
    shown = judged("arrive", "--mist", "thin", "--air", "still", "--light", "clear", "--time",
                   "06:50").out  # fmt: skip
    assert "Mist like this at sunrise (thin) has lifted by about" in shown


# --- log ----------------------------------------------------------------------------------


def test_a_log_is_kept_and_counted_against_what_was_said(judged: Run) -> None:
    ran = judged(
        "log", "found", "Pinnet Heath", "--day", "2027-11-03", "--mist", "good", "--range", "120",
        "--lifted", "08:05", "--air", "still", "--light", "back", "--leaf", "peak", "--json",
        "--now", "2027-11-03 10:00",
    )  # fmt: skip
    assert ran.code == 0, ran.err
    assert ran.json["logs"][0]["lifted_utc"] == "2027-11-03T08:05:00Z"
    counts = judged("log", "counts", "Pinnet Heath", "--json").json
    assert counts["said"]["mornings"] + counts["unsaid"]["mornings"] == 1
    assert "too few to say" in judged("log", "counts", "Pinnet Heath").out


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("log", "found", "Pinnet Heath"), 2, "--mist is missing"),
        (("log", "found", "Pinnet Heath", "--mist", "pea soup"), 2, "pea soup"),
        (("log", "found", "Nowhere", "--mist", "none"), 3, "Nowhere"),
        (("log", "found", "Pinnet Heath", "--mist", "thin", "--lifted", "late"), 2, "late"),
        (("log", "found", "Pinnet Heath", "--mist", "thin", "--day", "2027-10-31", "--lifted",
          "01:30"), 2, "twice"),
        (("log", "counts", "Nowhere"), 3, "Nowhere"),
    ],
)  # fmt: skip
def test_a_log_that_makes_no_sense_is_refused(
    valley: Run, words: tuple[str, ...], code: int, told: str
) -> None:
    assert_refused(valley(*words), code, told)


# --- mist, warm, demo ---------------------------------------------------------------------


def case() -> dict[str, object]:
    """One case of the hindcast: a clear, still, damp night, 34 hours from noon UTC."""
    hours = [f"2027-11-0{2 + (12 + n) // 24}T{(12 + n) % 24:02d}:00:00Z" for n in range(34)]
    return {
        "id": "wennick-1",
        "site": {"lat": 53.0, "lon": -5.1, "elevation_m": 60.0},
        "date": "2027-11-03",
        "sunrise_utc": "2027-11-03T07:21:00Z",
        "issued_utc": "2027-11-02T18:00:00Z",
        "rain_prev_24h": 1.2,
        "hourly": {
            "time": hours,
            "temperature_2m": [9.0 - 0.25 * n for n in range(20)]
            + [4.0 + 0.3 * n for n in range(14)],
            "dew_point_2m": [6.0 - 0.1 * n for n in range(20)] + [4.0] * 14,
            "relative_humidity_2m": [82.0] * 8 + [97.0] * 26,
            "wind_speed_10m": [1.2] * 34,
            "cloud_cover": [20.0] * 34,
            "precipitation": [0.0] * 34,
            "pressure_msl": [1024.0] * 34,
        },
    }


def test_a_hindcast_predicts_each_case(run: Run) -> None:
    Path("cases.jsonl").write_text(json.dumps(case()) + "\n", encoding="utf-8")
    ran = run("mist", "hindcast", "cases.jsonl", "--out", "pred.jsonl", "--json")
    assert ran.code == 0, ran.err
    assert ran.json["cases"] == 1
    (line,) = Path("pred.jsonl").read_text(encoding="utf-8").splitlines()
    told = json.loads(line)
    assert told["id"] == "wennick-1"
    assert 0.0 <= told["p_fog"] <= told["p_mist"] <= 1.0


def test_a_torn_case_is_refused_and_nothing_is_written(run: Run) -> None:
    Path("cases.jsonl").write_text(json.dumps(case())[:200] + "\n", encoding="utf-8")
    ran = run("mist", "hindcast", "cases.jsonl", "--out", "pred.jsonl")
    assert ran.code in {2, 5}
    assert one_line(ran.err)
    assert not Path("pred.jsonl").exists()


def test_cases_that_are_not_there_are_refused(run: Run) -> None:
    ran = run("mist", "hindcast", "none.jsonl", "--out", "pred.jsonl")
    assert ran.code == 5
    assert one_line(ran.err)


def test_warming_says_that_it_is_ready(run: Run) -> None:
    assert run("warm").out.startswith("Ready")


@pytest.mark.slow
def test_the_demo_runs_from_book_to_papers(run: Run) -> None:
    ran = run("demo", "--out", "d")
    assert ran.code == 0, ran.err
    assert "Wednesday 3 November 2027" in ran.out
    assert "The Wennick valley is invented" in ran.out
    written = {path.name for path in Path("d").iterdir()}
    assert {"morning-sheet-2027-11-03.html", "leave-word-2027-11-03.txt"} <= written
    again = run("--book", "d/wennick.sqlite", "book", "check", "--json").json
    assert again["spots"] == 8


def test_a_demo_that_cannot_be_written_is_refused(run: Run) -> None:
    Path("d").write_text("a file stands here", encoding="utf-8")
    ran = run("demo", "--out", "d")
    assert ran.code in {2, 6}
    assert one_line(ran.err)


def test_typed_values_and_tomorrow_go_by_the_wood_s_clock(tell: Run) -> None:
    tell("book", "new")
    tell(
        "wood", "add", "Far Wood", "--parking", "42.9 S 147.3 E", "--height", "90",
        "--clock", "Australia/Hobart",
    )  # fmt: skip
    # 14:00 in London, where the clock is read, is 01:00 of the next day in the wood.
    now = ("--now", "2027-11-02 14:00")
    kept = tell("evening", "enter", "--temperature", "6", "--dew-point", "5", "--json", *now).json
    assert kept[0]["issued_utc"].startswith("2027-11-02T14:00")
    ran = tell("evening", "show", "today", *now)
    assert_refused(ran, 3, "Nothing has been judged for 2027-11-03; judge it first with")


def test_taking_a_morning_against_the_answer_repeats_it(evening: Run) -> None:
    gale = ("evening", "enter", "--temperature", "8", "--dew-point", "6", "--wind", "40 mph")
    assert evening(*gale).code == 0
    assert evening(*JUDGE).out.split("\n\n")[1].startswith("Stay: gusts of about")
    assert "judged          Stay: gusts of about" in evening("evening", "take").out


def test_the_demo_names_the_program_as_it_can_be_typed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shutil.which", lambda _: "/somewhere/shivelight")
    assert program() == "shivelight"
    monkeypatch.setattr("shutil.which", lambda _: None)
    assert Path(program().split()[0]).exists()


def test_a_card_says_what_it_lacks(judged: Run) -> None:
    ran = judged("word", "leave")
    assert "The card does not say who you are (--who), the car (--car)" in ran.out
    assert "Ring first: not said. Is the car" not in ran.out


def test_a_morning_that_has_not_come_is_not_logged(valley: Run) -> None:
    ran = valley("log", "found", "Pinnet Heath", "--mist", "good", "--day", "2028-01-01")
    assert_refused(ran, 2, "has not come yet")


def test_the_alarm_comes_after_the_return_and_the_clock_is_the_wood_s(judged: Run) -> None:
    ran = judged("word", "leave", "--back-by", "11:00", "--alarm-at", "10:00")
    assert_refused(ran, 2, "The alarm at 10:00 must come after the time to be back, 11:00.")


def test_nine_eighths_of_cloud_are_refused_in_eighths(valley: Run) -> None:
    ran = valley("evening", "enter", "--temperature", "6", "--dew-point", "4", "--cloud", "9/8")
    assert_refused(ran, 2, "write eighths like 7/8")
