"""A place already chosen gives what the search said of it."""

import pytest

from shivelight.scene.camera import Camera
from shivelight.scene.framing import Framing, Reach
from shivelight.scene.stand_known import known_stand
from shivelight.scene.standpoint import find_standpoints
from tests.drawing.plumb import SURVEY

NOW = Camera(z_m=1.1, focal_length_mm=50.0, sensor_width_mm=36.0, sensor_height_mm=24.0)


def test_it_says_of_the_best_place_what_the_search_said() -> None:
    framing, reach = Framing(), Reach()
    best = find_standpoints(SURVEY, framing, reach, now=NOW).answers[0]
    again = known_stand(SURVEY, framing, reach, now=NOW, camera=best.camera)
    assert (again.x_m, again.y_m, again.z_m) == (best.x_m, best.y_m, best.z_m)
    assert again.smallest_gap_deg == best.smallest_gap_deg
    assert (again.pair, again.gaps, again.touch) == (best.pair, best.gaps, best.touch)
    assert (again.go, again.step, again.closes) == (best.go, best.step, best.closes)


def test_gaps_to_watch_are_named_whether_or_not_one_finishes_by_eye() -> None:
    camera = Camera(
        x_m=0.65, z_m=1.1, focal_length_mm=50.0, sensor_width_mm=36.0, sensor_height_mm=24.0
    )
    stand = known_stand(SURVEY, Framing(), Reach(), now=NOW, camera=camera)
    # Tripod moved 65 cm to the right: the gaps of the demo (invented, by the plain formula).
    assert stand.smallest_gap_deg == pytest.approx(0.37, abs=0.005)
    assert stand.touch is not None
    assert not stand.finish_by_eye  # nothing is doubted of this survey
    assert stand.watch == (("Plumb", "Lean"), ("Crook", "Plumb"))
