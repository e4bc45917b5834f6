"""``survey photo``, ``survey pair`` and ``stand after`` on rendered woods of known distances."""

import math
import shutil
from pathlib import Path

import pytest

from shivelight.basis.errors import MissingDataError
from shivelight.cli import exits
from tests.cli.conftest import Run, assert_refused
from tests.intake.photographs import saved, wood_picture
from tests.renders import FOLDER, Render

SPOT = "White Post Gap"
A, B = Render("hanger", "clear-a"), Render("hanger", "clear-b")
NEAR = ("Plumb", "Lean", "Crook")
LENS = ("--focal", "28", "--sensor-width", "36 mm", "--lens-height", "1.5", "--tilt", "-3")


@pytest.fixture(autouse=True)
def photos(tmp_path: Path) -> None:
    """Lay the photographs where the command is typed."""
    for name, shot in (("one", "clear-a"), ("two", "clear-b"), ("turned", "clear-turned")):
        shutil.copy(FOLDER / f"hanger-{shot}.png", tmp_path / f"{name}.png")


def marks(shot: Render, names: tuple[str, ...] = NEAR, *, feet: bool = True) -> tuple[str, ...]:
    """Type the true marks of trunks."""
    words: list[str] = []
    for one in shot.marks():
        if one.name in names:
            foot = f", foot {one.foot_px[0]:.1f} {one.foot_px[1]:.1f}" if one.foot_px else ""
            line = f"{one.name}: edges {one.left_px:.1f} {one.right_px:.1f} at {one.row_px:.1f}"
            words += ["--mark", line + (foot if feet else "")]
    return tuple(words)


def test_one_photo_tells_distances_with_errors_and_keeps_nothing(valley: Run) -> None:
    words = ("survey", "photo", SPOT, "one.png", *marks(A), *LENS)
    told = valley(*words)
    assert (told.code, told.err) == (exits.DONE, "")
    assert "Nothing was kept" in told.out
    found = valley(*words, "--json").json
    assert found["kept"] == []
    assert [one["name"] for one in found["distances"]] == list(NEAR)
    for one in found["distances"]:
        away_m, error_m, true_m = one["distance_m"], one["error_m"], A.distance_m(one["name"])
        assert away_m == pytest.approx(true_m, rel=0.1)
        assert abs(away_m - true_m) < 3.0 * error_m
        row = next(line for line in told.out.splitlines() if line.startswith(one["name"]))
        assert f"{away_m:.2f} m ± {error_m:.2f}" in row
    assert "no trunks yet" in valley("survey", "show", SPOT).out


def test_kept_trunks_are_in_the_survey_and_measured_anew_in_place(valley: Run) -> None:
    words = ("survey", "photo", SPOT, "one.png", *marks(A), *LENS, "--keep")
    told = valley(*words)
    assert "3 trunks are in the survey of White Post Gap: Plumb, Lean, Crook." in told.out
    assert valley(*words).code == exits.DONE
    kept = valley("survey", "show", SPOT, "--json").json
    assert [one["name"] for one in kept["survey"]["trunks"]] == list(NEAR)
    assert kept["how"]["Plumb"] == "on the photo one.png"


def test_the_lens_stands_as_high_as_the_spot_says(valley: Run) -> None:
    """Feet tell distances in lens heights: half as high, half as far."""
    words = ("survey", "photo", SPOT, "one.png", *marks(A, ("Lean",)), *LENS[:4], "--tilt", "-3")

    def away_m(*more: str) -> float:
        return float(valley(*words, *more, "--json").json["distances"][0]["distance_m"])

    height_m = valley("spot", "show", SPOT, "--json").json["lens_height_m"]
    assert away_m() == pytest.approx(away_m("--lens-height", f"{height_m} m"))
    assert away_m("--lens-height", "0.75") < 0.6 * away_m("--lens-height", "1.5")


def test_what_cannot_be_measured_is_said_beside_the_others(valley: Run) -> None:
    typed = (*marks(A, ("Plumb",)), *marks(A, ("Lean",), feet=False))
    told = valley("survey", "photo", SPOT, "one.png", *typed, *LENS)
    assert told.code == exits.DONE
    assert "Lean" in told.out
    assert told.out.count(" m ± ") == 1
    alone = ("survey", "photo", SPOT, "one.png", *marks(A, ("Lean",), feet=False), *LENS)
    assert "No trunk could be measured." in valley(*alone).out
    assert_refused(valley(*alone, "--keep"), exits.BAD_INPUT, "Lean")
    assert "no trunks yet" in valley("survey", "show", SPOT).out


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (("--mark", "Plumb 240 297", *LENS), "is not understood; write it as"),
        (("--mark", " ", "--keep", *LENS), "No trunk is marked"),
        ((*marks(A), *marks(A, ("Plumb",)), *LENS), "Plumb is marked twice"),
        ((*marks(A), "--focal", "long"), "focal length 'long' is no number"),
        ((), "Missing option '--mark'"),
    ],
)
def test_refusals_are_one_line(valley: Run, typed: tuple[str, ...], said: str) -> None:
    assert_refused(valley("survey", "photo", SPOT, "one.png", *typed), exits.BAD_INPUT, said)


def test_a_file_that_tells_no_lens_asks_for_it(valley: Run) -> None:
    Path("plain.png").write_bytes(saved(wood_picture(), "PNG"))
    told = valley("survey", "photo", SPOT, "plain.png", *marks(A))
    assert (told.code, told.out) == (exits.code_of(MissingDataError("")), "")
    assert "give the focal length" in told.err
    none = valley("survey", "photo", SPOT, "none.png", *marks(A))
    assert_refused(none, exits.NOT_FOUND, "There is no file none.png")


def test_two_photos_a_step_apart_tell_distances_without_feet(
    valley: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    steps: list[str] = []
    monkeypatch.setattr("shivelight.cli.survey_photo.TICK_S", 0.02)
    monkeypatch.setattr(
        "shivelight.cli.progress.Progress.__call__", lambda _self, step, *_: steps.append(step)
    )
    typed = (*marks(A, feet=False), *LENS, "--step", "0.602")
    told = valley("survey", "pair", SPOT, "one.png", "two.png", *typed, "--keep")
    assert (told.code, told.err) == (exits.DONE, "")
    assert "two photos" in told.out
    assert "Both photos agree on" in told.out
    assert set(steps) == {"finding the same points on both photos"}
    kept = valley("survey", "show", SPOT, "--json").json
    assert kept["how"]["Lean"] == "on two photos 0.602 m apart"
    assert [one["name"] for one in kept["survey"]["trunks"]] == list(NEAR)
    for one in kept["survey"]["trunks"]:
        assert math.hypot(one["x_m"], one["y_m"]) == pytest.approx(
            A.distance_m(one["name"]), rel=0.08
        )


def test_a_longer_error_of_the_step_is_a_longer_error_of_the_distance(valley: Run) -> None:
    words = ("survey", "pair", SPOT, "one.png", "two.png", *marks(A, ("Lean",), feet=False),
             *LENS, "--step", "0.6", "--json")  # fmt: skip
    errors_m = [
        valley(*words, "--step-error", error).json["distances"][0]["error_m"]
        for error in ("0.01", "0.04 m")
    ]
    assert errors_m[1] > 2.0 * errors_m[0]


def test_pairs_that_tell_nothing_are_refused(valley: Run) -> None:
    typed = (*marks(A, feet=False), *LENS, "--step", "0.6")
    same = valley("survey", "pair", SPOT, "one.png", "one.png", *typed)
    assert_refused(same, exits.BAD_INPUT, "are the same file")
    turned = valley("survey", "pair", SPOT, "one.png", "turned.png", *typed)
    assert turned.code != exits.DONE
    assert "turned" in turned.err
    none = valley("survey", "pair", SPOT, "one.png", "two.png", *typed[:-2])
    assert_refused(none, exits.BAD_INPUT, "Missing option '--step'")


def test_the_final_photo_is_told_from_the_mark_then_from_the_stand_taken(valley: Run) -> None:
    every = ("Plumb", "Lean", "Crook", "Stub", "Pale", "Warden")
    keep = ("survey", "photo", SPOT, "one.png", *marks(A, every), *LENS, "--keep")
    assert valley(*keep).code == exits.DONE
    words = ("stand", "after", SPOT, "two.png", *marks(B, every), "--mark",
             "Nobody: edges 10 40 at 200", "--focal", "28", "--sensor-width", "36",
             "--tilt", "-1.5")  # fmt: skip
    told = valley(*words)
    assert (told.code, told.err) == (exits.DONE, "")
    assert "to the right of the wished place; likely error" in " ".join(told.out.split())
    assert "the mark, since no stand was taken" in told.out
    assert "Nobody: not in the survey" in told.out
    at_mark = valley(*words, "--json").json
    assert at_mark["not_surveyed"] == ["Nobody"]
    offset, true = at_mark["offset"], B.place_m - A.place_m
    assert offset["right_m"] == pytest.approx(true[0], abs=3.0 * offset["right_error_m"])
    assert offset["forward_m"] == pytest.approx(true[1], abs=3.0 * offset["forward_error_m"])
    assert offset["up_error_m"] is None
    taken = valley("stand", "find", SPOT, "--part", "Plumb/Lean", "--lens", "28", "--take", "1")
    assert taken.code == exits.DONE, taken.err
    stand = valley("stand", "show", SPOT, "--json").json["stands"][-1]
    at_stand = valley(*words, "--json").json
    assert at_stand["wished_right_m"] == stand["x_m"]
    right_m, forward_m = at_stand["offset"]["right_m"], at_stand["offset"]["forward_m"]
    assert right_m == pytest.approx(offset["right_m"] - stand["x_m"], abs=1e-6)
    assert forward_m == pytest.approx(offset["forward_m"] - stand["y_m"], abs=1e-6)
    assert "the stand taken on 2027-11-02" in valley(*words).out


def test_too_few_surveyed_trunks_are_refused(valley: Run) -> None:
    told = valley("stand", "after", SPOT, "two.png", *marks(B), "--focal", "28",
                  "--sensor-width", "36")  # fmt: skip
    assert told.code != exits.DONE
    assert "0 trunks are too few" in told.err
