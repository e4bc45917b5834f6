"""The kernels of the stand point against their plain twin, few views, also uncompiled."""

import numpy as np
import pytest

from shivelight.scene.camera import Camera
from shivelight.scene.framing import Framing, Reach
from shivelight.scene.gaps import gap_course
from shivelight.scene.search import places_of, score_candidates, views_of, wish_of, wood_of
from tests.plain.standpoint_search import plain_scores
from tests.scene.test_search import a_wood
from tests.scene.valley import plumb_and_lean

REACH = Reach(
    left_m=1.0, right_m=0.0, step_m=1.0, turn_deg=12.0, turn_step_deg=12.0,
    tilt_deg=10.0, tilt_step_deg=10.0,
)  # fmt: skip
NOW = Camera(z_m=1.1)


@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_scores_are_those_of_the_plain_twin(seed: int) -> None:
    survey = a_wood(seed, trunks=6, branches=2, holes=2)
    framing = Framing(
        keeps=(("T2", "T4"),), subject_place=(0.1, 0.2, 0.3), room_above_frac=0.05,
        whole=("T1", "H0"), focal_lengths_mm=(28.0, 85.0),
    )  # fmt: skip
    wood, wish = wood_of(survey), wish_of(survey, framing, REACH, now=NOW)
    places, _ = places_of(REACH, NOW, survey)
    views = views_of(places, wish, wood=wood, framing=framing, reach=REACH, now=NOW)
    fast = score_candidates(wood, wish, views)
    plain = plain_scores(survey, framing, REACH, now=NOW, views=views)
    np.testing.assert_allclose(fast, plain, atol=1e-9, rtol=0)
    assert np.unique(fast.round(6)).size > 3


def test_a_course_of_plumb_and_lean() -> None:
    # DEMO.md, 6.3, spot 1: at +0.65 m the smallest gap is 0.37 degrees.
    course = gap_course(plumb_and_lean(), Framing(), span_m=(0.6, 0.7), step_m=0.05)
    assert course.smallest_deg[1] == pytest.approx(0.37, abs=0.01)
