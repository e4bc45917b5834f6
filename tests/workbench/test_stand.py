"""Where to put the tripod at a spot, from the survey to the drawing."""

from dataclasses import replace
from pathlib import Path

import pytest

from shivelight.basis.errors import BadInputError, MissingDataError, NotFoundError
from shivelight.outing.stand_words import answer_words, exact_words
from shivelight.scene.framing import Framing, Reach
from shivelight.workbench.bench import Workbench
from shivelight.workbench.demo_valley import valley
from shivelight.workbench.fields.stand import wished
from shivelight.workbench.stand import camera_of
from shivelight.workbench.stand_files import write_frame, write_stair, write_stand_picture
from shivelight.workbench.stand_found import StandFound

SPOT = "Plumb and Lean"


@pytest.fixture
def beeches(spots: Workbench) -> Workbench:
    """Survey the demo's five beeches as they are typed there."""
    for there in valley().surveyed:
        for said in there.elements:
            spots.add_element(there.spot, said)
        spots.note_mark(there.spot, transits=there.transits, distances=there.distances)
    return spots


@pytest.fixture
def found(beeches: Workbench) -> StandFound:
    """Find the demo's stand."""
    return beeches.find_stand(SPOT)


def test_the_demo_spot_says_which_way_and_how_far(found: StandFound) -> None:
    # DEMO 6.3: best sidestep +0.65 m right, gaps 0.54, 0.42, 0.37, 4.13 degrees.
    best = found.answer.answers[0]
    assert best.x_m == pytest.approx(0.65, abs=0.01)
    gaps = [gap.gap_deg for gap in best.gaps]
    assert gaps == pytest.approx([0.54, 0.42, 0.37, 4.13], abs=0.01)
    assert answer_words(found.answer, found.framing) == (
        "Go 65 cm to the right. Smallest gap 0.37° (Plumb, Lean): 5 mm on a 60 cm print."
    )
    assert exact_words(best)[0] == "Inches will do."
    assert "right" in exact_words(best)[1]


def test_left_never_works(beeches: Workbench) -> None:
    # DEMO 6.3: left never works within 0.8 m.
    reach = Reach(left_m=0.8, right_m=0.0)
    found = beeches.find_stand(SPOT, reach=reach)
    assert found.answer.answers == ()
    told = answer_words(found.answer, found.framing)
    assert told.startswith(found.answer.no_position)
    assert "The best there is:" in told
    with pytest.raises(NotFoundError, match="no stand of number 1; 0 were found"):
        beeches.find_stand(SPOT, reach=reach, take=1)


def test_what_is_wished_is_kept_and_used(beeches: Workbench) -> None:
    framing = Framing(parts=(("plumb", "Lean"),), least_gap_deg=0.2)
    page = beeches.wish_framing(SPOT, framing, Reach(left_m=0.0, right_m=0.4))
    assert page.framing == framing
    found = beeches.find_stand(SPOT)
    assert (found.framing, found.reach.right_m) == (framing, 0.4)
    assert beeches.stand(SPOT).reach.right_m == 0.4


def test_a_name_that_was_not_surveyed_is_told(beeches: Workbench) -> None:
    framing = Framing(parts=(("Plumb", "Oak"),))
    with pytest.raises(NotFoundError, match="No element is called Oak"):
        beeches.wish_framing(SPOT, framing, Reach())
    with pytest.raises(NotFoundError, match="No element is called Oak"):
        beeches.find_stand(SPOT, framing)


def test_a_stand_that_is_taken_is_kept(beeches: Workbench) -> None:
    found = beeches.find_stand(SPOT, take=1)
    (kept,) = beeches.stand(SPOT).stands
    assert kept == found.taken
    best = found.answer.answers[0]
    assert (kept.x_m, kept.pair_left, kept.pair_right) == (best.x_m, "Plumb", "Lean")
    assert kept.words.startswith("Go 65 cm to the right.")
    assert camera_of(kept, beeches.camera_at(SPOT)) == best.camera


def test_a_spot_without_trunks_is_told(spots: Workbench) -> None:
    with pytest.raises(BadInputError, match="Root Stair has 0 trunks surveyed, and two are"):
        spots.find_stand("Root Stair")


def test_the_camera_stands_as_the_spot_says(beeches: Workbench) -> None:
    camera = beeches.camera_at(SPOT)
    assert (camera.z_m, camera.focal_length_mm) == (1.1, 50.0)
    assert (camera.sensor_width_mm, camera.sensor_height_mm) == (36.0, 24.0)
    beeches.change_spot(SPOT, sensor_width_mm=33.0)
    assert beeches.camera_at(SPOT).sensor_height_mm == pytest.approx(22.0)
    for body in valley().kit.bodies:
        beeches.add_body(body)
    beeches.change_spot(SPOT, sensor_width_mm=24.0)
    assert beeches.camera_at(SPOT).sensor_height_mm == 36.0  # the same body held upright


def test_layers_and_the_mist_that_parts_them(beeches: Workbench) -> None:
    told = beeches.layers(SPOT, 120.0)
    assert told.names == ("Plumb", "Crook", "Lean", "Stub", "Pale")  # no gate post: not in frame
    assert told.distances_m == pytest.approx((7.0, 10.0, 13.0, 18.0, 24.0))
    # TRADE 3.11: luminance 1 - 0.95 C, C = 0.05^(d/V), step log2(L2/L1); by hand for 7 and 10 m.
    assert told.step_ev[0] == pytest.approx(0.362, abs=0.001)
    assert told.low_m < told.best_m < told.high_m
    assert told.wish.startswith("mist ")
    before = beeches.spot(SPOT).musts
    assert beeches.layers(SPOT, 120.0, wish=True).wished
    added = set(beeches.spot(SPOT).musts) - set(before)
    assert [one.words for one in added] == [told.wish]


def test_one_layer_is_none(beeches: Workbench) -> None:
    for name in ("Crook", "Lean", "Stub", "Pale"):
        beeches.drop_element(SPOT, name)
    with pytest.raises(BadInputError, match="The frame holds 1 layer"):
        beeches.layers(SPOT, 120.0)


def test_every_drawing_is_made_for_page_and_file(beeches: Workbench, found: StandFound) -> None:
    figures = (
        beeches.ruler_picture(SPOT),
        beeches.plan_picture(found),
        beeches.stair_picture(SPOT, (120.0, 260.0)),
        beeches.mark_figure(SPOT),
    )
    for figure in figures:
        assert figure.page.startswith("<svg")
        assert figure.phone.startswith("<svg")
        assert figure.sentence
        assert figure.rows
    assert "0.3° or wider from 63 to 70 cm right" in figures[0].sentence


@pytest.mark.parametrize("what", ["ruler", "plan", "frame", "mark"])
def test_drawings_are_written(beeches: Workbench, tmp_path: Path, what: str) -> None:
    out = tmp_path / f"{what}.svg"
    assert write_stand_picture(beeches, SPOT, what, out=out) == out
    assert out.read_text(encoding="utf-8").startswith("<svg")


def test_the_frame_is_written_as_a_picture(
    beeches: Workbench, found: StandFound, tmp_path: Path
) -> None:
    out = write_frame(beeches, found, tmp_path / "best.png")
    assert out.read_bytes().startswith(b"\x89PNG")
    clear = tmp_path / "clear.svg"
    write_stand_picture(beeches, SPOT, "frame", out=clear, right_m=0.65)
    misty = tmp_path / "misty.svg"
    write_stand_picture(beeches, SPOT, "frame", out=misty, right_m=0.65, mist_range_m=60.0)
    assert clear.read_text(encoding="utf-8") != misty.read_text(encoding="utf-8")
    stair = write_stair(beeches, SPOT, 120.0, out=tmp_path / "stair.svg")
    assert stair.read_text(encoding="utf-8").startswith("<svg")


def test_what_cannot_be_drawn_is_told(
    beeches: Workbench, found: StandFound, tmp_path: Path
) -> None:
    with pytest.raises(BadInputError, match="'map' is not one of: ruler, plan, frame, mark"):
        write_stand_picture(beeches, SPOT, "map", out=tmp_path / "map.svg")
    with pytest.raises(BadInputError, match=r"ruler.png should end in .svg"):
        write_stand_picture(beeches, SPOT, "ruler", out=tmp_path / "ruler.png")
    with pytest.raises(BadInputError, match=r"x.gif should end in .svg or .png"):
        write_frame(beeches, found, tmp_path / "x.gif")
    nowhere = replace(found, answer=replace(found.answer, answers=(), compromise=None))
    with pytest.raises(MissingDataError, match="no stand to draw"):
        write_frame(beeches, nowhere, tmp_path / "x.svg")


def test_what_was_typed_is_laid_over_what_is_kept(beeches: Workbench) -> None:
    kept = beeches.framing_of(SPOT)
    framing, reach = wished(
        {"print_width_cm": 90.0, "reach_m": 1.2, "left_m": 0.1, "heights_m": (0.6, 1.6)}, kept
    )
    assert framing == replace(kept.framing, print_width_m=0.9)
    assert (reach.left_m, reach.right_m) == (0.1, 1.2)
    assert (reach.low_m, reach.high_m) == (0.6, 1.6)
