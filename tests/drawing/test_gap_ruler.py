"""The gap ruler: where gaps open and close, what is drawn for it, words, table, refusals."""

import dataclasses
import math
import re

import pytest

from shivelight.basis.errors import BadInputError
from shivelight.drawing.gap_ruler import FULL_LANE_DEG, gap_ruler_figure, gap_ruler_svg
from shivelight.drawing.gap_ruler_words import (
    GapRuler,
    Lane,
    place_words,
    ruler_readings,
    ruler_rows,
    ruler_sentence,
    span_words,
    spans_over,
)
from tests.drawing import plumb
from tests.pages.snapshots import compare

RULER = plumb.ruler(best_m=0.65)


def straight(*gaps: float, **more: object) -> GapRuler:
    positions = tuple(float(number) for number in range(len(gaps)))
    lane = Lane(left="A", right="B", gap_deg=gaps)
    return GapRuler(positions_m=positions, lanes=(lane,), **more)  # type: ignore[arg-type]


def test_the_demo_opens_and_closes_where_it_says() -> None:
    # The invented spot of the demo: at 65 cm right 0.54, 0.42, 0.37 and 4.13 degrees.
    said = ruler_sentence(RULER)
    assert "The gap between Plumb and Lean opens at 55 cm right." in said
    assert "The gap between Crook and Plumb closes at 82 cm right." in said
    assert "The gap between Lean and Pale is open all along." in said
    assert said.endswith(
        "All four gaps are 0.3° or wider from 63 to 70 cm right; best 65 cm right, 0.37°."
    )
    at_best = next(row for row in ruler_rows(RULER) if row[0] == "65 cm right")
    assert at_best[1:] == ("0.54°", "0.42°", "0.37°", "4.13°")


def test_readings_run_by_the_centimetre() -> None:
    readings = ruler_readings(RULER)
    assert len(readings) == 191
    assert readings[80] == "At your mark: closed, Plumb and Lean."
    assert readings[145] == "65 cm right: smallest gap 0.37°, Plumb and Lean."
    assert readings[160].endswith("Crook and Plumb, a kiss.")


def test_spans_end_where_a_straight_line_crosses() -> None:
    assert spans_over((0.0, 1.0, 2.0, 3.0), (-1.0, 1.0, 1.0, -3.0), 0.0) == ((0.5, 2.25),)
    assert spans_over((0.0, 1.0), (1.0, 2.0), 0.0) == ((0.0, 1.0),)
    assert spans_over((0.0, 1.0), (-1.0, -2.0), 0.0) == ()
    nan = math.nan
    assert spans_over((0.0, 1.0, 2.0, 3.0), (nan, 1.0, 1.0, nan), 0.0) == ((1.0, 2.0),)


def test_the_drift_is_the_stretch_round_the_best_place() -> None:
    two = straight(0.0, 0.6, 0.0, 0.6, 0.0)
    assert two.comfortable == ((0.5, 1.5), (2.5, 3.5))
    assert two.best == 1.0
    assert two.drift == (0.5, 1.5)
    assert dataclasses.replace(two, best_m=3.0).drift == (2.5, 3.5)
    assert dataclasses.replace(two, drift_m=(0.9, 1.1)).drift == (0.9, 1.1)


def test_nothing_clear_is_a_full_answer() -> None:
    closed = straight(-1.0, -0.5, -2.0)
    assert closed.best is None
    assert closed.drift is None
    assert ruler_sentence(closed).endswith("is closed all along. No place here clears it.")
    svg = gap_ruler_svg(closed)
    assert ">No place here clears it<" in svg
    assert ">stand here<" not in svg


def test_a_kiss_is_hatched_and_named() -> None:
    kiss = straight(0.1, 0.2, 0.1)
    assert "No place here gives every gap 0.3°; the best is 100 cm right" in ruler_sentence(kiss)
    assert gap_ruler_svg(kiss).count('stroke-width="2.4"') > 50
    open_wide = straight(1.0, 1.0, 1.0, best_m=1.0)
    assert gap_ruler_svg(open_wide).count('stroke-width="2.4"') < 5


def test_strides_are_said_from_a_metre() -> None:
    assert ruler_sentence(straight(0.1, 0.5, 0.1)).endswith("This needs strides.")
    assert "strides" not in ruler_sentence(RULER)


def test_a_slit_is_as_high_as_its_gap() -> None:
    for gap_deg in (FULL_LANE_DEG, FULL_LANE_DEG / 2.0, 5.0):
        svg = gap_ruler_svg(straight(gap_deg, gap_deg, best_m=0.0))
        slit = re.search(r'<path d="M([^"]*)Z" fill="#FBFBF6"/>', svg)
        assert slit is not None
        ys = [float(pair.split(" ")[1]) for pair in slit[1].split("L")]
        share = min(gap_deg / FULL_LANE_DEG, 1.0)
        assert max(ys) - min(ys) == pytest.approx(41.0 * share, abs=0.11)


def test_a_pair_not_seen_is_left_empty() -> None:
    nan = math.nan
    ruler = straight(0.5, 0.5, nan, nan)
    assert 'stroke-dasharray="3 4"' in gap_ruler_svg(ruler)
    assert 'stroke-dasharray="3 4"' not in gap_ruler_svg(straight(0.5, 0.5, 0.4, 0.4))
    assert ruler_readings(ruler)[3].endswith("no pair is seen.")
    assert ruler_rows(ruler)[3][1] == "not seen"


def test_positions_in_words() -> None:
    assert place_words(0.65) == "65 cm right"
    assert place_words(-0.004) == "at your mark"
    assert place_words(-2.4) == "2.4 m left"
    assert place_words(0.3, "y") == "30 cm forward"
    assert span_words((-0.7, -0.63)) == "63 to 70 cm left"
    assert span_words((-0.05, 0.12)) == "5 cm left to 12 cm right"
    assert span_words((-0.1, 0.0)) == "10 cm left to your mark"
    assert span_words((-2.5, 3.0)) == "2.5 m left to 3.0 m right"


def test_the_figure_says_the_same_three_times() -> None:
    figure = gap_ruler_figure(RULER)
    for svg in (figure.page, figure.phone):
        assert figure.sentence in svg
        assert "65 cm right" in svg
        assert "drift 63 to 70 cm" in svg
    assert 'width="358"' in figure.phone
    assert (figure.back, figure.on) == ("left", "right")
    assert all(len(row) == len(figure.headers) for row in figure.rows)
    assert {"at your mark", "65 cm right"} <= {row[0] for row in figure.rows}


@pytest.mark.parametrize("style", ["paper", "print", "narrow"])
def test_as_last_looked_at(style: str) -> None:
    compare(f"gap-ruler-{style}.svg", gap_ruler_svg(RULER, style=style))


def test_what_makes_no_ruler_is_refused() -> None:
    lane = Lane(left="A", right="B", gap_deg=(1.0, 1.0))
    with pytest.raises(BadInputError, match="in rising order"):
        GapRuler(positions_m=(1.0, 0.0), lanes=(lane,))
    with pytest.raises(BadInputError, match="type two, near one first"):
        GapRuler(positions_m=(0.0, 1.0), lanes=())
    with pytest.raises(BadInputError, match="a gap at every position"):
        GapRuler(positions_m=(0.0, 1.0, 2.0), lanes=(lane,))
    with pytest.raises(BadInputError, match=r"9\.0 m right, lies off the ruler, your mark to 100"):
        GapRuler(positions_m=(0.0, 1.0), lanes=(lane,), best_m=9.0)
    with pytest.raises(BadInputError, match="along x, y or z"):
        GapRuler(positions_m=(0.0, 1.0), lanes=(lane,), along="w")


def test_the_course_of_the_scene_makes_the_same_ruler() -> None:
    from shivelight.drawing.gap_ruler_course import ruler_of
    from shivelight.scene.camera import Camera
    from shivelight.scene.framing import Framing
    from shivelight.scene.gaps import gap_course

    course = gap_course(plumb.SURVEY, Framing(), now=Camera(z_m=1.1))
    ruler = ruler_of(course, plumb.SURVEY, best_m=0.65)
    assert [(one.left, one.right) for one in ruler.lanes] == [
        (one.left, one.right) for one in RULER.lanes
    ]
    assert [one.nearer for one in ruler.lanes] == [one.nearer for one in RULER.lanes]
    assert ruler_sentence(ruler) == ruler_sentence(RULER)
    assert ruler_rows(ruler) == ruler_rows(RULER)


def test_a_pair_that_closes_where_neighbours_are_open_has_its_lane() -> None:
    from shivelight.drawing.gap_ruler_course import deciding_lanes

    def lane(left: str, right: str, *gaps: float) -> Lane:
        return Lane(left=left, right=right, gap_deg=gaps)

    near = (lane("A", "B", 1.0, 1.0), lane("B", "C", 1.0, -1.0))
    wide, closing = lane("A", "C", 3.0, -3.0), lane("A", "C", 0.1, 3.0)
    every = (near[0], wide, near[1])
    assert deciding_lanes(every, least_gap_deg=0.3) == near
    every = (near[0], closing, near[1])
    assert deciding_lanes(every, least_gap_deg=0.3) == every
    named = (lane("A", "C", 3.0, 3.0),)
    assert deciding_lanes(named, least_gap_deg=0.3) == named


def test_long_names_are_cut_to_the_margin() -> None:
    lane = Lane(left="The Broken Beech", right="The Other Broken Beech", gap_deg=(1.0, 1.0))
    svg = gap_ruler_svg(GapRuler(positions_m=(0.0, 1.0), lanes=(lane,)))
    assert re.search(r">The Broken[^<]*\.\.\.<", svg)


def test_a_pair_that_is_not_known_is_not_called_comfortable() -> None:
    lanes = (
        Lane(left="A", right="B", gap_deg=(1.0, 1.0, 1.0)),
        Lane(left="B", right="C", gap_deg=(1.0, 1.0, math.nan)),
    )
    ruler = GapRuler(positions_m=(-1.0, 0.0, 1.0), lanes=lanes)
    assert ruler.comfortable == ((-1.0, 0.0),)
    assert "from 100 cm left to your mark; best at your mark, 1.00°." in ruler_sentence(ruler)
    there = dataclasses.replace(ruler, best_m=1.0)
    assert "best 100 cm right, not seen." in ruler_sentence(there)
    assert ruler_readings(ruler)[2].startswith("100 cm right: smallest gap 1.00°, A and B")


def test_an_event_at_the_mark_reads_as_english() -> None:
    assert "B opens at your mark." in ruler_sentence(
        GapRuler(
            positions_m=(-1.0, 0.0, 1.0),
            lanes=(Lane(left="A", right="B", gap_deg=(-1.0, 0.0, 1.0)),),
        )
    )


def test_a_drift_past_the_end_is_cut_at_it() -> None:
    svg = gap_ruler_svg(straight(1.0, 1.0, best_m=0.5, drift_m=(-5.0, 5.0)))
    frame = re.search(r'd="M([\d.]+) [\d.]+L([\d.]+) [^"]*" fill="none" stroke="#A8481A"', svg)
    assert frame is not None
    assert (float(frame[1]), float(frame[2])) == (146.0, 914.0)
