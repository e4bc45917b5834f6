"""Frames from any place, rulers through stands, answers told apart, stands taken and put back."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.scene.framing import Framing, Reach
from shivelight.workbench import stand_view
from shivelight.workbench.bench import Workbench
from shivelight.workbench.mark_back import put_mark_back
from shivelight.workbench.stand_view import Aim
from shivelight.workbench.survey_words import typed_again
from tests.workbench.conftest import opened

SPOT = "Plumb and Lean"
EVENING = "2027-11-02T21:40"


@pytest.fixture
def bench(book: Path) -> Iterator[Workbench]:
    """Open a copy of the valley's book."""
    with opened(book, EVENING) as found:
        yield found


def test_a_camera_is_turned_alike_wherever_it_goes(bench: Workbench) -> None:
    survey, framing, now = stand_view.surveyed_at(bench, SPOT)
    turned = replace(now, yaw_deg=3.0, pitch_deg=-2.0)
    aim = stand_view.aim_of(survey, framing, turned)
    assert aim.off_deg == pytest.approx(3.0)  # Plumb stands straight ahead
    assert aim.pitch_deg == -2.0
    assert stand_view.aimed(survey, framing, now, aim).yaw_deg == pytest.approx(3.0)
    aside = stand_view.aimed(survey, framing, replace(now, x_m=0.7), Aim())
    assert aside.yaw_deg == pytest.approx(-5.7106, abs=1e-4)  # atan(0.7 / 7), by hand


def test_gaps_of_a_frame_do_not_hang_on_the_lens(bench: Workbench) -> None:
    survey, _, now = stand_view.surveyed_at(bench, SPOT)
    views = [
        stand_view.frame_from(survey, replace(now, x_m=0.65, focal_length_mm=focal_mm))
        for focal_mm in (35.0, 85.0)
    ]
    assert views[0].gaps == views[1].gaps
    assert views[0].page != views[1].page
    with pytest.raises(BadInputError, match="100 m from the mark"):
        stand_view.frame_from(survey, replace(now, x_m=101.0))


def test_every_change_of_the_question_has_its_own_fingerprint(bench: Workbench) -> None:
    seen = {stand_view.fingerprint(bench, SPOT)}
    assert seen == {stand_view.fingerprint(bench, SPOT)}
    bench.wish_framing(SPOT, Framing(least_gap_deg=0.2), Reach())
    seen.add(stand_view.fingerprint(bench, SPOT))
    bench.change_element(SPOT, "Crook", {"width": "64 cm"})
    seen.add(stand_view.fingerprint(bench, SPOT))
    bench.change_spot(SPOT, lens_height_m=1.3)
    seen.add(stand_view.fingerprint(bench, SPOT))
    assert len(seen) == 4


def test_the_ruler_ends_at_the_reach_where_nothing_clears(bench: Workbench) -> None:
    found = bench.find_stand(SPOT)
    assert stand_view.ruler_span_m(found) == ((-1.1, 1.1), 0.01)
    none = bench.find_stand(SPOT, reach=Reach(left_m=0.8, right_m=0.3))
    assert not none.answer.answers
    assert stand_view.ruler_span_m(none) == ((-0.8, 0.3), 0.01)
    wide = bench.find_stand(SPOT, reach=Reach(left_m=8.0, right_m=8.0, step_m=0.05))
    (low_m, high_m), step_m = stand_view.ruler_span_m(wide)
    assert (high_m - low_m) / step_m <= stand_view.MOST_POSITIONS


def test_a_ruler_goes_through_its_stand(bench: Workbench) -> None:
    found = bench.find_stand(SPOT)
    survey, _, now = stand_view.surveyed_at(bench, SPOT)
    figure = stand_view.ruler_through(found, survey, found.answer.answers[0], now=now)
    assert "65 cm right" in figure.sentence
    assert len(figure.readings) == 221


def test_a_stand_is_taken_dropped_and_put_back(bench: Workbench) -> None:
    found = bench.find_stand(SPOT)
    kept = stand_view.take_stand(bench, found, 1)
    assert bench.stand(SPOT).stands == (kept,)
    stand_view.drop_stand(bench, kept)
    assert bench.stand(SPOT).stands == ()
    with pytest.raises(NotFoundError, match="not kept with Plumb and Lean"):
        stand_view.drop_stand(bench, kept)
    stand_view.keep_stand(bench, kept)
    assert bench.stand(SPOT).stands == (kept,)
    with pytest.raises(NotFoundError, match="no stand of number 7"):
        stand_view.take_stand(bench, found, 7)


def test_anchors_are_put_back_whole(bench: Workbench) -> None:
    before = bench.mark(SPOT).anchors
    bench.forget_anchor(SPOT, "Crook")
    put_mark_back(bench, before)
    assert bench.mark(SPOT).anchors == before


def test_an_element_is_written_as_it_could_be_typed(bench: Workbench) -> None:
    bench.add_element(
        SPOT,
        {"kind": "closed", "name": "Bank", "corners": "10 left / 3 m | ahead / 3 m | ahead / 4 m"},
    )
    words = typed_again(bench.kept_survey(SPOT), "crook")
    assert (words["name"], words["angle"], words["width"]) == ("Crook", "-6", "0.6")
    assert typed_again(bench.kept_survey(SPOT), "Bank")["corners"].count("\n") == 2
