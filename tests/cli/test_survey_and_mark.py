"""``survey`` and ``mark`` at the command line."""

from pathlib import Path

from tests.cli.conftest import Run, assert_refused

SPOT = "White Post Gap"
TRUNKS = (
    ("white post", "0", "4 m", "12 cm"),
    ("split birch", "3 right", "16 paces", "30 cm"),
    ("pine", "at 200", "9 m", "girth 1.5 m"),
)


def typed(valley: Run) -> None:
    for name, angle, distance, width in TRUNKS:
        done = valley("survey", "add", SPOT, "trunk", name, "--angle", angle, "--distance",
                      distance, "--width", width)  # fmt: skip
        assert done.code == 0, done.err


def test_trunks_are_typed_and_shown(valley: Run) -> None:
    assert "no trunks yet" in valley("survey", "show", SPOT).out
    typed(valley)
    told = valley("survey", "show", SPOT)
    assert told.code == 0
    assert "split birch" in told.out
    assert "12.00 m ± 0.60" in told.out
    assert "a judgement" in told.out


def test_json_carries_the_survey(valley: Run) -> None:
    typed(valley)
    one = valley("--json", "survey", "show", SPOT).json
    assert [trunk["name"] for trunk in one["survey"]["trunks"]] == [
        "white post", "split birch", "pine",
    ]  # fmt: skip
    assert one["how"]["pine"] == "angle at 200, distance 9 m, width girth 1.5 m"


def test_a_branch_a_hole_closed_ground_and_a_slope(valley: Run) -> None:
    typed(valley)
    for words in (
        ("branch", "twig", "--from", "5 left / 2 m / 1.5 m", "--to", "ahead / 2 m / 1.7 m",
         "--width", "3 cm"),
        ("hole", "bright gap", "--angle", "2", "--altitude", "1 fist", "--size", "2 x 3"),
        ("closed", "bed", "--corner", "10 left / 3 m", "--corner", "20 right / 3 m", "--corner",
         "20 right / 6 m"),
        ("ring", "pine"),
    ):  # fmt: skip
        assert valley("survey", "add", SPOT, *words).code == 0
    told = valley("survey", "slope", SPOT, "--forward", "1 in 8")
    assert told.code == 0
    for said in ("twig", "sky hole", "closed ground of 3 corners", "ring of pine", "+0.12 m"):
        assert said in told.out


def test_changed_and_dropped(valley: Run) -> None:
    typed(valley)
    told = valley("survey", "change", SPOT, "pine", "--distance", "9.5 m", "--lean", "3 left",
                  "--rename", "old pine")  # fmt: skip
    assert told.code == 0
    assert "9.50 m" in told.out
    assert "3° left" in told.out
    assert "old pine" not in valley("survey", "drop", SPOT, "old pine").out


def test_a_table_goes_out_and_comes_in(valley: Run) -> None:
    typed(valley)
    assert "written: trunks.csv" in valley("survey", "export", SPOT, "--out", "trunks.csv").out
    on_screen = valley("survey", "export", SPOT)
    assert on_screen.out == Path("trunks.csv").read_text(encoding="utf-8")
    back = valley("survey", "import", SPOT, "trunks.csv", "--instead")
    assert "3 elements taken from the table." in back.out


def test_what_is_refused(valley: Run) -> None:
    typed(valley)
    assert_refused(valley("survey", "show", "Nowhere"), 3, "No spot named 'Nowhere'")
    assert_refused(
        valley("survey", "add", SPOT, "trunk", "twin", "--angle", "0", "--distance", "4.05",
               "--width", "0.1"),
        2,
        "stand in each other",
    )  # fmt: skip
    assert_refused(
        valley("survey", "add", SPOT, "trunk", "x", "--angle", "0"), 2, "distance of x is missing"
    )
    assert_refused(valley("survey", "import", SPOT, "none.csv"), 3, "There is no file none.csv")
    Path("pixels.csv").write_bytes(b"\xff\xfe\x00\x01")
    assert_refused(valley("survey", "import", SPOT, "pixels.csv"), 5, "cannot be read as text")


def test_a_mark_is_noted_and_found(valley: Run) -> None:
    typed(valley)
    told = valley("mark", "note", SPOT, "--distance", "white post=4 ± 0.02", "--distance",
                  "pine=9 ± 0.02", "--transit", "white post left / split birch")  # fmt: skip
    assert told.code == 0
    assert "White post's left edge in line with the middle of split birch" in told.out
    found = valley("mark", "find", SPOT, "--distance", "white post=4.1 ± 0.02", "--distance",
                   "pine=9 ± 0.02")  # fmt: skip
    assert found.code == 0
    assert "of the mark; likely error" in found.out
    assert "Step" in found.out
    assert "In 2 of 3 tries" in found.out


def test_an_anchor_is_lost_and_the_mark_checked(valley: Run) -> None:
    typed(valley)
    valley("mark", "note", SPOT, "--distance", "white post=4", "--distance", "pine=9")
    assert "pine is gone since 2 November 2027" in valley("mark", "lost", SPOT, "pine").out
    assert_refused(
        valley("mark", "find", SPOT, "--distance", "white post=4", "--distance", "pine=9"),
        4,
        "pine is noted as gone",
    )
    assert "pine is gone" not in valley("mark", "lost", SPOT, "pine", "--stands").out
    assert "pine" not in valley("mark", "forget", SPOT, "pine").out.partition("weak")[0]
    assert "last confirmed 2 November 2027" in valley("mark", "check", SPOT).out
    assert_refused(valley("mark", "lost", SPOT, "oak"), 3, "has no anchor called 'oak'")
