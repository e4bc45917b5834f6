"""The mark of a spot: noted, found again, its anchors lost."""

import math

import pytest

from shivelight.basis.errors import BadInputError, MissingDataError, NotFoundError
from shivelight.workbench.bench import Workbench
from shivelight.workbench.mark import Measured

SPOT = "Plumb and Lean"
TRUNKS = (
    ("Plumb", 0.0, 7.0, 0.55),
    ("Lean", 1.1, 13.0, 0.42),
    ("ride gate", 80.0, 5.6, 0.15),
    ("stone", -143.0, 5.0, 0.4),
)
PLACES = {
    name: (away * math.sin(math.radians(turn)), away * math.cos(math.radians(turn)))
    for name, turn, away, _ in TRUNKS
}


@pytest.fixture
def marked(spots: Workbench) -> Workbench:
    """Survey four things and note the mark with three distances and a transit."""
    for name in spots.survey(SPOT).survey.names:
        spots.drop_element(SPOT, name)
    for anchor in {one.to for one in spots.mark(SPOT).anchors.distances}:
        spots.forget_anchor(SPOT, anchor)
    for line in spots.mark(SPOT).anchors.transits:
        spots.forget_anchor(SPOT, line.near)
    for name, turn, away, wide in TRUNKS:
        spots.add_element(
            SPOT, {"name": name, "angle": f"{turn}", "distance": f"{away}", "width": f"{wide}"}
        )
    spots.note_mark(
        SPOT,
        transits=("Plumb left / Lean right",),
        distances=("plumb=7 m ± 0.02", "ride gate=5.6 m ± 0.02", "stone=5 m ± 0.02"),
    )
    return spots


def taped(at: tuple[float, float], *names: str, off_m: float = 0.0) -> tuple[str, ...]:
    """Tape from a place."""
    return tuple(
        f"{name}={math.hypot(PLACES[name][0] - at[0], PLACES[name][1] - at[1]) + off_m:.4f} ± 0.02"
        for name in names
    )


def test_a_mark_tells_its_anchors_and_that_they_are_strong(marked: Workbench) -> None:
    page = marked.mark(SPOT)
    assert page.lines == (
        "Plumb's left edge in line with Lean's right edge",
        "7.00 m to the middle of Plumb",
        "5.60 m to the middle of ride gate",
        "5.00 m to the middle of stone",
    )
    assert page.notes == ()
    assert page.strength is not None
    assert page.strength.oval is not None
    assert page.strength.oval.long_m < 0.06


def test_one_is_told_where_one_stands_and_which_way_to_step(marked: Workbench) -> None:
    found = marked.find_mark(
        SPOT, Measured(distances=taped((-0.30, -0.10), "Plumb", "ride gate", "stone"))
    )
    assert found.words.startswith("You are 30 cm left and 10 cm back of the mark; likely error ")
    assert found.words.endswith("Step 30 cm right and 10 cm forward.")
    assert 0.01 < found.fix.likely_error_m < 0.08
    assert found.left_out == ()


def test_on_the_mark(marked: Workbench) -> None:
    found = marked.find_mark(
        SPOT,
        Measured(
            transits=("Plumb left / Lean right",),
            distances=taped((0.0, 0.0), "ride gate", "stone"),
        ),
    )
    assert found.words.startswith("You are on the mark")


def test_a_transit_that_is_open_says_how_far_aside_one_is(marked: Workbench) -> None:
    """A step to the right of 1 m turns Plumb to the left of Lean by some 3.7°."""
    found = marked.find_mark(
        SPOT,
        Measured(
            transits=("Plumb left / Lean right = 3.7 ± 0.05",),
            distances=taped((1.0, 0.0), "ride gate", "stone"),
        ),
    )
    assert found.fix.right_m == pytest.approx(1.0, abs=0.1)


def test_angles_and_bearings_help(marked: Workbench) -> None:
    found = marked.find_mark(
        SPOT,
        Measured(
            angles=("stone to Plumb=143",), bearings=("ride gate=285",), distances=("Plumb=7",)
        ),
    )
    assert found.words.startswith("You are on the mark")


def test_an_anchor_that_fell_is_left_out(marked: Workbench) -> None:
    page = marked.lose_anchor(SPOT, "RIDE GATE")
    assert "ride gate is gone since 2 November 2027" in page.lines
    assert "5.60 m to the middle of ride gate" not in page.lines
    said = Measured(distances=taped((0.2, 0.0), "Plumb", "ride gate", "stone"))
    found = marked.find_mark(SPOT, said)
    assert found.left_out == (
        "The distance to ride gate was left out: ride gate is noted as gone.",
    )
    assert len(found.fix.misfits) == 2
    back = marked.lose_anchor(SPOT, "ride gate", stands=True)
    assert "5.60 m to the middle of ride gate" in back.lines


def test_when_too_many_are_gone_it_says_what_remains(marked: Workbench) -> None:
    marked.lose_anchor(SPOT, "stone")
    with pytest.raises(MissingDataError, match=r"Two measurements are wanted.*stone is noted as"):
        marked.find_mark(SPOT, Measured(distances=("Plumb=7", "stone=5")))


def test_the_one_that_contradicts_three_others_is_named(marked: Workbench) -> None:
    at = (0.1, 0.05)
    good = taped(at, "Plumb", "ride gate", "stone")
    bad = taped(at, "Lean", off_m=0.9)
    found = marked.find_mark(SPOT, Measured(distances=(*good, *bad)))
    assert "The distance to Lean does not fit the others, by" in found.words
    assert found.fix.right_m == pytest.approx(0.1, abs=0.02)


def test_what_is_not_surveyed_holds_in_words_only(marked: Workbench) -> None:
    page = marked.note_mark(SPOT, transits=("white post / split birch left",))
    assert any("holds in words only: split birch and white post" in one for one in page.notes)
    found = marked.find_mark(
        SPOT,
        Measured(
            transits=("white post / split birch left",), distances=("Plumb=7", "ride gate=5.6")
        ),
    )
    assert "the place of white post is not surveyed" in found.left_out[0]


def test_a_tape_to_the_bark(marked: Workbench) -> None:
    page = marked.note_mark(SPOT, distances=("Plumb=6.725 m to the bark",))
    assert "7.00 m to the middle of Plumb" in page.lines  # 6.725 m and half of 55 cm
    with pytest.raises(BadInputError, match="half its width cannot be added"):
        marked.note_mark(SPOT, distances=("fence=6.725 m to the bark",))


def test_an_anchor_noted_by_mistake_is_forgotten(marked: Workbench) -> None:
    page = marked.forget_anchor(SPOT, "Plumb")
    assert [one.to for one in page.anchors.distances] == ["ride gate", "stone"]
    assert page.anchors.transits == ()
    with pytest.raises(NotFoundError, match="has no anchor called 'Plumb'"):
        marked.forget_anchor(SPOT, "Plumb")


@pytest.mark.parametrize(
    ("transits", "distances", "sentence"),
    [
        ((), (), "Nothing was noted"),
        (("Plumb",), (), "is not read; write the near thing"),
        (("Plumb / Plumb",), (), "not Plumb twice"),
        (("Plumb / Lean = 2 right",), (), "on the mark note two edges that stand in line"),
        ((), ("Plumb 7",), "write a name, = and the distance"),
        ((), ("Plumb=near",), "write it like 7 m"),
    ],
)
def test_what_is_not_read_is_told(
    marked: Workbench, transits: tuple[str, ...], distances: tuple[str, ...], sentence: str
) -> None:
    before = marked.mark(SPOT).anchors
    with pytest.raises(BadInputError, match=sentence):
        marked.note_mark(SPOT, transits=transits, distances=distances)
    assert marked.mark(SPOT).anchors == before


def test_a_line_that_all_anchors_share_finds_nothing(marked: Workbench) -> None:
    found = marked.find_mark(SPOT, Measured(distances=("Plumb=7", "Lean=13")))
    assert found.words.startswith("These cannot tell where you stand")
