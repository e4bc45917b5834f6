"""What somebody new meets: a spot made of a photograph, and refusals that say what to do."""

import os
import re
import shlex
from pathlib import Path

import numpy as np
import pytest

from shivelight.cli import exits
from tests.cli.conftest import Run, assert_refused, ran
from tests.intake.photographs import CAMERA, FIX, photo, saved, wood_picture

SNAP = photo(main={0x0112: 6}, camera=CAMERA, fix=FIX)
ADD = ("spot", "add", "Bank Oak", "--from-photo", "bank.jpg")


@pytest.fixture
def snap(valley: Run) -> Run:
    """Run words over the valley's book with a photograph beside it."""
    Path("bank.jpg").write_bytes(SNAP)
    return valley


class TestSpotFromPhoto:
    def test_it_takes_what_was_not_typed_and_keeps_the_picture(self, snap: Run) -> None:
        told = snap(*ADD, "--must", "soft light")
        assert (told.code, told.err) == (exits.DONE, "")
        assert "53.000400, -5.099800" in told.out
        assert "picture 1, kept for Bank Oak" in told.out
        assert "it told         wood Pinnet Heath, stand point, bearing of view" in told.out
        assert "The wood is a guess: Pinnet Heath" in told.out
        plain = snap("spot", "show", "Bank Oak", "--json").json
        assert (plain["focal_length_mm"], plain["wishes"][0]["must"]) == (4.25, True)
        assert plain["sensor_width_mm"] == pytest.approx(5.7, abs=0.1)

    def test_what_is_typed_goes_before_the_photograph(self, snap: Run) -> None:
        told = snap(
            *ADD, "--wood", "Pinnet Heath", "--at", "53.0006 N 5.0995 W", "--view", "90",
            "--focal", "70", "--json",
        ).json  # fmt: skip
        spot = told["spot"]
        assert (spot["view_azimuth_deg"], spot["focal_length_mm"]) == (90.0, 70.0)
        assert spot["position"]["latitude_deg"] == pytest.approx(53.0006)
        assert spot["sensor_width_mm"] == 36.0  # a phone's sensor does not go with a typed lens
        assert told["taken"] == []
        assert not any("guess" in one or "The lens" in one for one in told["sentences"])

    def test_what_neither_says_is_asked_for_at_once(self, snap: Run) -> None:
        Path("bank.jpg").write_bytes(saved(wood_picture(), "PNG"))
        refused = snap(*ADD, "--focal", "70")
        assert_refused(refused, exits.BAD_INPUT, "add --wood 'Pinnet Heath' and --at ")
        assert "--view 118." in refused.err
        told = snap(*ADD, "--wood", "Pinnet Heath", "--at", "53.0004,-5.0990", "--view", "118")
        assert "It holds no position" in told.out
        assert "Its lens is not taken over; 50 mm is, until you say." in told.out

    def test_a_refused_spot_leaves_no_picture_in_the_book(self, snap: Run) -> None:
        again = snap("spot", "add", "White Post Gap", "--from-photo", "bank.jpg")
        assert_refused(again, exits.BAD_INPUT, "already has a spot named 'White Post Gap'")
        assert "Kept as picture 1." in _kept_again(snap)

    def test_a_picture_of_another_spot_stays_there(self, snap: Run) -> None:
        snap("spot", "photo", "bank.jpg", "--spot", "White Post Gap")
        told = snap(*ADD)
        assert "kept for White Post Gap before, and stays there" in told.out

    def test_without_photograph_or_wood_the_wood_is_asked_for(self, snap: Run) -> None:
        assert_refused(snap("spot", "add", "X"), exits.BAD_INPUT, "--wood is missing; add it")


def _kept_again(run: Run) -> str:
    told = run("spot", "photo", "bank.jpg", "--spot", "Heath Edge")
    return told.out.replace(" of Heath Edge.", ".")


@pytest.mark.parametrize("noun", ["", "book", "wood", "spot", "skyline", "forecast", "settings"])
def test_no_line_of_a_list_of_commands_is_cut_short(noun: str) -> None:
    listed = ran(*noun.split(), "--help").out.partition("Commands:")[2]
    assert listed
    assert "..." not in listed


def test_the_skyline_of_the_help_is_kept_as_it_is_printed(valley: Run) -> None:
    (line,) = re.findall(r"shivelight (skyline set .* --at .*)", ran("skyline", "set", "-h").out)
    assert valley(*shlex.split(line)).code == exits.DONE


@pytest.mark.parametrize(
    "words",
    [
        ("wood", "outline", "Pinnet Heath", "."),
        ("wood", "raster", "Pinnet Heath", "."),
        ("skyline", "set", "White Post Gap", "--file", "."),
        ("spot", "photo", "."),
        ("forecast", "read", "."),
        ("book", "import", "."),
    ],
)
def test_a_folder_in_a_file_s_place_is_called_one(valley: Run, words: tuple[str, ...]) -> None:
    refused = valley(*words)
    assert_refused(refused, exits.UNREADABLE)
    assert re.search(
        r"^\. (is a folder; name a file|cannot be read: that is a folder)", refused.err
    )


def test_a_file_in_a_folder_s_place_is_said_in_our_words(judged: Run) -> None:
    Path("taken").write_text("a file", encoding="utf-8")
    refused = judged("sheet", "print", "--out", "taken")
    assert_refused(refused, exits.UNWRITABLE, "something else of that name is there already")


def test_a_book_that_is_not_there_tells_a_line_that_begins_it(run: Run) -> None:
    refused = run("--book", "my books/first.sqlite", "wood", "list")
    assert_refused(refused, exits.NOT_FOUND)
    (line,) = re.findall(r"with: shivelight (.*), or check the name", refused.err)
    assert run(*shlex.split(line)).code == exits.DONE
    assert run("--book", "my books/first.sqlite", "wood", "list").code == exits.DONE


def test_what_is_not_judged_tells_a_line_that_judges_it(evening: Run) -> None:
    refused = evening("sheet", "print", "tomorrow")
    assert_refused(refused, exits.NOT_FOUND)
    assert "with: shivelight evening judge 2027-11-03." in refused.err


def test_without_a_forecast_the_typing_is_pointed_to(valley: Run) -> None:
    refused = valley("evening", "judge")
    assert_refused(refused, exits.MISSING, "See: shivelight evening enter --help")


def test_no_morning_is_no_number_of_mornings(evening: Run) -> None:
    refused = evening("evening", "judge", "--mornings", "0")
    assert_refused(refused, exits.BAD_INPUT, "number of mornings is 0; it must be 1 to 7")


def test_a_reach_is_refused_in_the_unit_it_was_typed_in(valley: Run) -> None:
    _grid()
    valley("wood", "raster", "Pinnet Heath", "heights.asc", "--crs", "EPSG:32630")
    refused = valley("skyline", "ground", "White Post Gap", "--reach", "9000")
    assert_refused(refused, exits.BAD_INPUT, "reach is 9000 km; it must be 0.001 to 300 km")


def test_a_backup_that_is_there_names_the_option(valley: Run) -> None:
    valley("book", "backup", "copy.sqlite")
    assert "--replace" in valley("book", "backup", "copy.sqlite").err


def test_an_export_goes_over_an_older_one_and_over_nothing_else(valley: Run) -> None:
    Path("notes.txt").write_text("where the keys are", encoding="utf-8")
    refused = valley("book", "export", "notes.txt")
    assert_refused(refused, exits.UNWRITABLE, "notes.txt is there already and is no export")
    assert Path("notes.txt").read_text(encoding="utf-8") == "where the keys are"
    assert [valley("book", "export", "book.json").code for _ in "ab"] == [exits.DONE] * 2


def test_arriving_on_another_day_wants_its_time(judged: Run) -> None:
    found = ("arrive", "--mist", "thin", "--air", "still", "--light", "clear")
    assert_refused(judged(*found), exits.BAD_INPUT, "2027-11-03 is not today's")
    assert judged(*found, "--time", "06:55").code == exits.DONE


def test_a_skill_is_told_only_where_it_differs_as_written(evening: Run) -> None:
    told = " ".join(evening("evening", "judge", "--mornings", "1", "--all").out.split())
    assert "without it the model's skill is" in told
    assert not re.search(r"(\d\.\d\d) for (fog|mist), not \1", told)


def test_a_spot_shows_its_pictures_and_a_wood_its_outline(snap: Run) -> None:
    snap("spot", "photo", "bank.jpg", "--spot", "White Post Gap", "--caption", "from the bank")
    shown = snap("spot", "show", "White Post Gap").out
    assert "pictures        1, taken 24 October 2027: from the bank" in shown
    Path("edge.txt").write_text("52.996,-5.108\n52.996,-5.095\n53.002,-5.095\n53.002,-5.108\n")
    told = snap("wood", "outline", "Pinnet Heath", "edge.txt")
    assert told.code == exits.DONE, told.err
    assert "outline         4 corners" in snap("wood", "show", "Pinnet Heath").out


def test_columns_that_are_not_understood_are_named(valley: Run) -> None:
    Path("evening.csv").write_text(
        "time,temperature_degc,dew_point_degc,wind_speed_mph,soil,leaf wetness\n"
        "2027-11-02 21:00,6.2,4.4,3,0.4,1\n2027-11-03 12:00,8,5,3,0.4,1\n",
        encoding="utf-8",
    )
    told = valley("forecast", "read", "evening.csv")
    assert told.code == exits.DONE
    assert "2 columns were not understood and left out: soil, leaf wetness." in told.out
    refused = ran("--book", "book.sqlite", "forecast", "read", "evening.csv")
    assert_refused(refused, exits.BAD_INPUT, "(--zone Europe/London)")


def _grid() -> None:
    """Write heights round the wood as an ASCII grid, which does not say its system."""
    from pyproj import Transformer

    place = Transformer.from_crs(4326, 32630, always_xy=True)
    east, north = place.transform(-5.1052, 52.9978)
    rows = "\n".join(" ".join(f"{90 + (r + c) % 9}" for c in range(300)) for r in range(300))
    Path("heights.asc").write_text(
        f"ncols 300\nnrows 300\nxllcorner {east - 1500}\nyllcorner {north - 1500}\n"
        f"cellsize 10\nNODATA_value -9999\n{rows}\n",
        encoding="ascii",
    )


def test_an_ascii_grid_is_laid_once_its_system_is_said(valley: Run) -> None:
    _grid()
    raster = ("wood", "raster", "Pinnet Heath", "heights.asc")
    assert_refused(valley(*raster), exits.MISSING, "--crs EPSG:27700")
    assert_refused(valley(*raster, "--crs", "mine"), exits.BAD_INPUT, "system mine is not known")
    told = valley(*raster, "--crs", "EPSG:32630", "--json")
    assert told.json[0]["crs"] == "EPSG:32630"
    made = valley("skyline", "ground", "White Post Gap", "--reach", "1", "--json")
    assert made.code == exits.DONE, made.err
    assert np.isfinite(made.json["altitude_deg"]).all()


def test_a_book_that_may_not_be_written_can_be_read(
    valley: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    Path("book.sqlite").chmod(0o444)
    if os.geteuid() == 0:  # who may write everywhere is told here that he may not
        monkeypatch.setattr(os, "access", lambda _path, mode: mode != os.W_OK)
    assert "Pinnet Heath" in valley("wood", "list").out
    refused = valley("spot", "wish", "White Post Gap", "hoar")
    assert_refused(refused, exits.UNWRITABLE, "opened for reading only; nothing was changed")
    assert "Allow writing to it and its folder, or use a copy" in refused.err
