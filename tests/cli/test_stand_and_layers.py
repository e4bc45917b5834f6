"""``stand`` and ``layers`` at the command line."""

from pathlib import Path

import pytest

from shivelight.workbench.demo_valley import valley as demo
from tests.cli.conftest import Run, assert_refused

SPOT = "Heath Edge"


@pytest.fixture
def surveyed(valley: Run) -> Run:
    """Type the demo's five beeches at a spot of the typed book."""
    rows = next(one.elements for one in demo().surveyed if one.elements)[:5]
    lines = [f"{one['name']},{one['angle']},{one['distance']},{one['width']}" for one in rows]
    Path("beeches.csv").write_text("\n".join(["name,angle,distance,width", *lines]), "utf-8")
    assert valley("survey", "import", SPOT, "beeches.csv").code == 0
    return valley


def test_the_answer_comes_first(surveyed: Run) -> None:
    told = surveyed("stand", "find", SPOT, "--print", "60")
    assert told.code == 0
    assert told.out.startswith(
        "Go 65 cm to the right. Smallest gap 0.37° (Plumb, Lean): 5 mm on a 60 cm print."
    )
    for said in ("Inches will do.", "before the first two", "8 in 10 of 300 tries", "82 cm"):
        assert said in " ".join(told.out.split())
    assert "Plumb | Lean   closed  0.37°" in told.out


def test_nothing_within_reach_is_a_full_answer(surveyed: Run) -> None:
    told = surveyed("stand", "find", SPOT, "--right", "0.2", "--left", "0.2")
    assert told.code == 0
    assert "The best there is" in " ".join(told.out.split())


def test_json_and_a_picture(surveyed: Run) -> None:
    told = surveyed("--json", "stand", "find", SPOT, "--take", "1")
    answers = told.json["answer"]["answers"]
    assert answers[0]["right_m"] == pytest.approx(0.65, abs=0.01)
    assert told.json["taken"]["pair_left"] == "Plumb"
    drawn = surveyed("stand", "find", SPOT, "--picture", "best.png")
    assert "written: best.png" in drawn.out
    assert Path("best.png").read_bytes().startswith(b"\x89PNG")


def test_wishes_are_kept_and_shown(surveyed: Run) -> None:
    told = surveyed("stand", "wish", SPOT, "--part", "Plumb/Lean", "--keep", "Stub/Crook",
                    "--reach", "4 ft", "--forward", "1", "--heights", "0.9-1.5", "--least", "0.2",
                    "--whole", "Pale", "--subject-at", "0.2 left")  # fmt: skip
    assert told.code == 0
    for said in ("Plumb and Lean", "Stub and Crook", "1.2192 m left", "lens 0.9 to 1.5 m up",
                 "No stand taken yet"):  # fmt: skip
        assert said in told.out
    assert "Kept as a stand" in surveyed("stand", "find", SPOT, "--take", "1").out
    shown = surveyed("stand", "show", SPOT).out
    assert "Plumb and Lean" in shown
    assert "2027-11-02" in shown


def test_drawings(surveyed: Run) -> None:
    for what in ("ruler", "plan", "frame"):
        assert surveyed("stand", "draw", SPOT, what, "--out", f"{what}.svg").code == 0
        assert Path(f"{what}.svg").read_text(encoding="utf-8").startswith("<svg")
    assert_refused(surveyed("stand", "draw", SPOT, "map", "--out", "x.svg"), 2, "not one of")


def test_layers_offer_a_wish(surveyed: Run) -> None:
    told = surveyed("layers", SPOT, "--range", "120", "--picture", "stair.svg")
    assert told.code == 0
    assert "The layers part best with mist" in " ".join(told.out.split())
    assert "shivelight spot wish" in told.out
    assert "Rough" in told.out
    assert Path("stair.svg").read_text(encoding="utf-8").startswith("<svg")
    assert "Made a must of Heath Edge" in surveyed("layers", SPOT, "--wish").out
    assert "mist" in surveyed("spot", "show", SPOT).out


def test_what_is_refused(surveyed: Run) -> None:
    assert_refused(surveyed("stand", "find", "White Post Gap"), 2, "two are wanted")
    assert_refused(surveyed("stand", "find", SPOT, "--part", "Plumb"), 2, "write two names")
    assert_refused(surveyed("stand", "find", SPOT, "--part", "Plumb/Oak"), 3, "called Oak")
    assert_refused(surveyed("stand", "find", SPOT, "--reach", "far"), 2, "write it like 7 m")
    assert_refused(surveyed("stand", "find", SPOT, "--take", "9"), 3, "no stand of number 9")
    assert_refused(surveyed("layers", SPOT, "--range", "0"), 2)
