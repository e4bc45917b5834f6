"""book, kit, wood and spot: what is typed is kept, shown, and refused in one sentence."""

from pathlib import Path

import pytest

from tests.cli.conftest import Run, assert_refused, one_line

# --- book ---------------------------------------------------------------------------------


def test_a_new_book_is_begun_and_says_what_it_holds(tell: Run) -> None:
    ran = tell("book", "new")
    assert ran.code == 0
    assert "An empty field book is at" in ran.out
    assert "wood add NAME" in ran.out
    assert "book.sqlite is whole." in tell("book", "check").out
    assert tell("book", "check", "--json").json["woods"] == 0


def test_a_book_that_is_not_there_is_not_found(tell: Run) -> None:
    ran = tell("book", "check")
    assert_refused(ran, 3)
    assert "book new" in ran.err or "book.sqlite" in ran.err


def test_a_file_that_is_no_book_is_refused(tell: Run) -> None:
    Path("book.sqlite").write_text("a shopping list", encoding="utf-8")
    ran = tell("book", "check")
    assert_refused(ran, 5)
    assert Path("book.sqlite").read_text(encoding="utf-8") == "a shopping list"


def test_a_backup_is_a_book_and_is_not_written_over(valley: Run) -> None:
    assert valley("book", "backup", "copy.sqlite").code == 0
    again = valley("book", "backup", "copy.sqlite")
    assert again.code == 6
    assert one_line(again.err)
    assert valley("book", "backup", "copy.sqlite", "--replace").code == 0
    assert valley("--book", "copy.sqlite", "book", "check", "--json").json["spots"] == 2


def test_an_exported_book_is_read_into_an_empty_one(valley: Run) -> None:
    assert valley("book", "export", "book.json").code == 0
    ran = valley("book", "import", "book.json", "--book", "second.sqlite", "--json")
    assert ran.code == 0, ran.err
    assert (ran.json["woods"], ran.json["spots"]) == (1, 2)


def test_a_torn_export_is_refused_and_nothing_is_kept(valley: Run) -> None:
    valley("book", "export", "book.json")
    whole = Path("book.json").read_text(encoding="utf-8")
    Path("torn.json").write_text(whole[: len(whole) // 2], encoding="utf-8")
    ran = valley("book", "import", "torn.json", "--book", "second.sqlite")
    assert ran.code == 5
    assert one_line(ran.err)
    report = valley("book", "check", "--book", "second.sqlite", "--json").json
    assert (report["woods"], report["spots"]) == (0, 0)


# --- kit ----------------------------------------------------------------------------------


def test_kit_is_put_in_shown_and_taken_out(tell: Run) -> None:
    tell("book", "new")
    assert "The kit is empty" in tell("kit", "show").out
    tell("kit", "body", "the big one", "--sensor", "36 x 24", "--pixels-across", "6000")
    ran = tell("kit", "lens", "zoom", "--focal", "70-200", "--widest", "f/4", "--json")
    assert ran.json["lenses"][0]["longest_mm"] == 200.0
    assert ran.json["bodies"][0]["pixels_across"] == 6000
    told = tell("kit", "show").out
    assert "36 x 24 mm" in told
    assert "70 to 200 mm" in told
    assert tell("kit", "drop", "zoom", "--json").json["lenses"] == []


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("kit", "body", "b", "--pixels-across", "6000"), 2, "--sensor is missing"),
        (("kit", "body", "b", "--sensor", "36 x 24", "--pixels-across", "many"), 2, "no whole"),
        (("kit", "lens", "l", "--focal", "200-70", "--widest", "4"), 2, "longest focal length"),
        (("kit", "drop", "nothing"), 3, "nothing"),
    ],
)
def test_kit_that_makes_no_sense_is_refused(
    tell: Run, words: tuple[str, ...], code: int, told: str
) -> None:
    tell("book", "new")
    assert_refused(tell(*words), code, told)


# --- wood ---------------------------------------------------------------------------------


def test_woods_are_listed_and_shown(valley: Run) -> None:
    told = valley("wood", "list").out
    assert "Pinnet Heath" in told
    assert "White birches before dark pines." in told
    page = valley("wood", "show", "Pinnet Heath").out
    assert "birch, 96 m above the sea" in page
    assert "fog usually up to 130 m" in page
    assert "White Post Gap" in page
    assert valley("wood", "list", "--json").json[0]["wood"]["road_min"] == 20.0


def test_a_change_keeps_what_was_not_typed(valley: Run) -> None:
    changed = valley("wood", "change", "Pinnet Heath", "--road", "25", "--near-water", "--json")
    wood = changed.json["wood"]
    assert wood["road_min"] == 25.0
    assert wood["habit"]["near_water"] is True
    assert wood["habit"]["fog_top_m"] == 130.0
    assert wood["stand"] == "birch"


def test_an_access_fact_is_kept_with_its_day(valley: Run) -> None:
    ran = valley(
        "wood", "access", "Pinnet Heath", "stalking", "--from", "2027-11-01", "--to",
        "2028-02-15", "--closes", "--contact", "the keeper",
    )  # fmt: skip
    assert ran.code == 0, ran.err
    assert "stalking, from 1 November 2027 to 15 February 2028" in ran.out
    assert "speaks against going now" in ran.out
    assert "(noted 2 November 2027)" in " ".join(ran.out.split())


def test_an_old_access_fact_says_look_again(valley: Run) -> None:
    ran = valley("wood", "access", "Pinnet Heath", "felling noted", "--noted-on", "2027-01-03")
    told = " ".join(ran.out.split())
    assert "felling noted (noted 3 January 2027); look again" in told


def test_a_wood_without_spots_can_be_removed(valley: Run) -> None:
    refused = valley("wood", "remove", "Pinnet Heath")
    assert refused.code != 0
    assert one_line(refused.err)
    valley("wood", "add", "Coldshaw Bottom", "--parking", "53.01,-5.12", "--height", "72")
    assert valley("wood", "remove", "Coldshaw Bottom").code == 0
    assert [page["wood"]["name"] for page in valley("wood", "list", "--json").json] == [
        "Pinnet Heath"
    ]


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("wood", "add", "Ash Hole", "--height", "50"), 2, "--parking is missing"),
        (("wood", "add", "Ash Hole", "--parking", "53,-5"), 2, "--height is missing"),
        (("wood", "add", "Ash Hole", "--parking", "somewhere", "--height", "50"), 2, "somewhere"),
        (("wood", "add", "Ash Hole", "--parking", "93,-5", "--height", "50"), 2, "latitude"),
        (("wood", "add", "Ash Hole", "--parking", "53,-5", "--height", "5", "--clock", "Mars"), 3,
         "no time zone named 'Mars'"),
        (("wood", "add", "Ash Hole", "--parking", "53,-5", "--height", "5", "--stand", "palm"), 3,
         "palm"),
        (("wood", "change", "Pinnet Heath", "--class", "secret"), 2,
         "not one of: open, district, never"),
        (("wood", "show", "Nowhere"), 3, "Nowhere"),
        (("wood", "access", "Nowhere", "gate"), 3, "Nowhere"),
        (("wood", "access", "Pinnet Heath", "gate", "--from", "1 Nov"), 2, "write it like"),
        (("wood", "raster", "Pinnet Heath", "none.tif"), 5, "none.tif"),
        (("wood", "raster", "Pinnet Heath", "x.tif", "--kind", "sky"), 2, "not one of: ground"),
    ],
)  # fmt: skip
def test_a_wood_that_makes_no_sense_is_refused(
    valley: Run, words: tuple[str, ...], code: int, told: str
) -> None:
    assert_refused(valley(*words), code, told)


# --- spot ---------------------------------------------------------------------------------


def test_spots_are_listed_and_shown(valley: Run) -> None:
    assert "Heath Edge" in valley("spot", "list").out
    listed = valley("spot", "list", "--wood", "Pinnet Heath", "--json").json
    assert {one["name"] for one in listed} == {"White Post Gap", "Heath Edge"}
    page = valley("spot", "show", "White Post Gap").out
    assert "118° true, 135 mm" in page
    assert "mist 60 to 1000 m" in page
    assert "still air" in page


def test_wishes_are_added_and_taken_back(valley: Run) -> None:
    ran = valley("spot", "wish", "Heath Edge", "ground wet", "--like", "--json")
    assert ran.json["wishes"][-1]["must"] is False
    again = valley("spot", "unwish", "Heath Edge", "ground wet", "--json")
    assert len(again.json["wishes"]) == 1


def test_a_spot_is_changed_and_its_mark_kept(valley: Run) -> None:
    valley("spot", "change", "Heath Edge", "--transit", "stump on post", "--transit", "A on B")
    ran = valley("spot", "change", "Heath Edge", "--confirmed", "2027-10-20", "--height", "97,5",
                 "--json")  # fmt: skip
    spot = ran.json
    assert spot["mark"] == {
        "transits": ["stump on post", "A on B"], "last_confirmed": "2027-10-20",
    }  # fmt: skip
    assert spot["position"]["ground_height_m"] == 97.5
    assert spot["view_azimuth_deg"] == 300.0


def test_a_removed_spot_is_only_marked_lost(valley: Run) -> None:
    ran = valley("spot", "remove", "Heath Edge", "--json")
    assert ran.json["state"] == "lost"
    assert len(valley("spot", "list", "--json").json) == 2


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("spot", "add", "S", "--at", "53,-5.1", "--view", "1"), 2, "--wood"),
        (("spot", "add", "S", "--wood", "Pinnet Heath", "--view", "1"), 2, "--at is missing"),
        (("spot", "add", "S", "--wood", "Gone", "--at", "53,-5.1", "--view", "1"), 3, "Gone"),
        (("spot", "add", "S", "--wood", "Pinnet Heath", "--at", "54,-5.1", "--view", "1"), 2,
         "km from the parking"),
        (("spot", "add", "S", "--wood", "Pinnet Heath", "--at", "53,-5.1", "--view", "400"), 2,
         "bearing of view is 400"),
        (("spot", "wish", "Heath Edge", "a unicorn"), 2, "write it like one of"),
        (("spot", "unwish", "Heath Edge", "hoar"), 3, "does not wish for"),
        (("spot", "change", "Heath Edge", "--state", "found"), 2, "waiting, made, lost"),
        (("spot", "show", "Nowhere"), 3, "Nowhere"),
        (("spot", "remove", "Nowhere"), 3, "Nowhere"),
    ],
)  # fmt: skip
def test_a_spot_that_makes_no_sense_is_refused(
    valley: Run, words: tuple[str, ...], code: int, told: str
) -> None:
    assert_refused(valley(*words), code, told)
