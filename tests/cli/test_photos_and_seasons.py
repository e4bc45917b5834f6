"""``spot photo`` and ``wood season``, as they are typed."""

from pathlib import Path

from shivelight.cli import exits
from tests.cli.conftest import Run, assert_refused
from tests.intake.photographs import CAMERA, FIX, photo, saved, wood_picture

SNAP = photo(main={0x0112: 6}, camera=CAMERA, fix=FIX)


def test_a_photo_is_told_and_nothing_is_kept(valley: Run, tmp_path: Path) -> None:
    Path("bank.jpg").write_bytes(SNAP)
    told = valley("spot", "photo", "bank.jpg")
    assert told.code == exits.DONE
    for words in (
        "JPEG, 240 x 320 px",
        "24 October 2027, 08:12, UTC+01:00",
        "53.000400, -5.099800, good to 6 m by its own word",
        "118°, from magnetic north",
        "4.25 mm on a sensor about 5.7 mm wide",
    ):
        assert words in told.out
    plain = valley("spot", "photo", "bank.jpg", "--json").json
    assert (plain["direction_deg"], plain["taken"]) == (118.5, "2027-10-24T08:12:05")
    assert not list(Path().glob("*-pictures"))


def test_a_photo_without_facts_says_what_is_missing(valley: Run) -> None:
    Path("plain.png").write_bytes(saved(wood_picture(), "PNG"))
    told = valley("spot", "photo", "plain.png")
    assert "PNG, 320 x 240 px" in told.out
    assert "holds no position" in told.out


def test_a_photo_is_kept_for_a_spot(valley: Run) -> None:
    Path("bank.jpg").write_bytes(SNAP)
    words = ("spot", "photo", "bank.jpg", "--spot", "white post gap", "--caption", "the bank")
    told = valley(*words)
    assert (told.code, told.err) == (exits.DONE, "")
    assert "Kept as picture 1 of White Post Gap." in told.out
    again = valley(*words, "--json").json
    assert (again["id"], again["spot"], again["caption"]) == (1, "White Post Gap", "the bank")
    (folder,) = Path().glob("*-pictures")
    assert (folder / again["file_name"]).read_bytes() == SNAP


def test_a_photo_that_cannot_be_read_is_refused_in_one_line(valley: Run) -> None:
    assert_refused(
        valley("spot", "photo", "none.jpg"), exits.NOT_FOUND, "There is no file none.jpg"
    )
    Path("notes.jpg").write_text("no picture")
    refused = valley("spot", "photo", "notes.jpg", "--spot", "White Post Gap")
    assert_refused(refused, exits.UNREADABLE, "no photograph that can be read here")


def test_season_notes_are_kept_shown_and_dropped(valley: Run) -> None:
    season = ("wood", "season", "Pinnet Heath")
    assert "No season notes here yet" in valley(*season).out
    valley(*season, "bracken down", "--stage", "turning", "--day", "2027-10-20")
    told = valley(*season, "first frost")
    assert told.code == exits.DONE
    assert [line[:16].strip() for line in told.out.splitlines() if "2027" in line] == [
        "20 October 2027",
        "2 November 2027",
    ]
    assert valley(*season, "--json").json == [
        {"day": "2027-10-20", "stage": "turning", "words": "bracken down"},
        {"day": "2027-11-02", "stage": "", "words": "first frost"},
    ]
    left = valley(*season, "first frost", "--drop", "--json").json
    assert [one["words"] for one in left] == ["bracken down"]


def test_a_season_that_is_none_is_refused(valley: Run) -> None:
    season = ("wood", "season", "Pinnet Heath")
    refused = valley(*season, "--stage", "golden")
    assert_refused(refused, exits.BAD_INPUT, "The leaf stage is one of: bare, flush")
    assert_refused(valley(*season, "bells", "--day", "tomorrow"), exits.BAD_INPUT, "not come yet")
    assert_refused(valley(*season, "--drop"), exits.BAD_INPUT, "needs a leaf stage or some words")
