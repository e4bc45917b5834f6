import math
from dataclasses import replace

import numpy as np
import pytest

from shivelight.basis.errors import MissingDataError
from shivelight.scene.camera import Camera
from shivelight.scene.elements import Doubt, Trunk
from shivelight.scene.from_pair import Placed, agreed, scale_of, trunk_from_pair
from shivelight.scene.from_photos import MeasuredTrunk
from shivelight.scene.photo_marks import PhotoView, TrunkMark
from tests.scene.test_from_photos import marked, view_of


def on_cylinder(
    x_m: float, y_m: float, *, width_m: float, view: PhotoView, count: int = 40, seed: int = 2
) -> Placed:
    """Points on the near side of a trunk, in the camera's axes, 1 in 100 out."""
    draws = np.random.default_rng(seed)
    back = math.atan2(-x_m, -y_m)
    turn = back + draws.uniform(-1.2, 1.2, count)
    points = np.stack(
        [
            x_m + width_m / 2.0 * np.sin(turn),
            y_m + width_m / 2.0 * np.cos(turn),
            draws.uniform(0.5, 2.5, count),
        ],
        axis=1,
    )
    seen = (points - [0.0, 0.0, view.camera.z_m]) @ view.camera.axes.T
    seen *= 1.0 + draws.normal(0.0, 0.01, (count, 1))
    away = np.linalg.norm(seen, axis=1)
    return Placed(
        points_m=seen,
        noise_m=0.01 * away,
        by_pose_m=np.stack([away**2, 0.0 * away], axis=1),
        covariance=np.diag([1e-6, 1.0]),
        step_m=0.6,
        step_error_m=0.01,
    )


def test_points_on_the_bark_give_the_axis_of_the_trunk() -> None:
    view = view_of()
    found = trunk_from_pair(
        marked(view, 1.0, 8.0, width_m=0.6), view, on_cylinder(1.0, 8.0, width_m=0.6, view=view)
    )
    assert found is not None
    assert found.trunk.distance_m == pytest.approx(math.hypot(1.0, 8.0), rel=0.01)
    assert found.trunk.width_m == pytest.approx(0.6, rel=0.02)


def test_the_errors_of_pose_and_step_come_through() -> None:
    view = replace(view_of(), pitch_error_deg=0.0)
    mark = marked(view, 0.0, 8.0, width_m=0.5)
    points = on_cylinder(0.0, 8.0, width_m=0.5, view=view)
    found = trunk_from_pair(mark, view, points)
    assert found is not None
    by_pose, by_step = 8.0**2 * 1e-3, 8.0 * 0.01 / 0.6
    assert found.trunk.doubt.distance_m == pytest.approx(math.hypot(by_pose, by_step), rel=0.08)


def test_too_few_points_give_no_distance() -> None:
    view = view_of()
    points = on_cylinder(0.0, 8.0, width_m=0.5, view=view, count=3)
    assert trunk_from_pair(marked(view, 0.0, 8.0, width_m=0.5), view, points) is None


def test_points_of_a_trunk_that_overlaps_are_left_alone() -> None:
    view = view_of()
    near, far = marked(view, 0.0, 4.0, width_m=0.5), marked(view, 0.6, 10.0, width_m=0.8)
    ours = on_cylinder(0.6, 10.0, width_m=0.8, view=view, count=12)
    theirs = on_cylinder(0.0, 4.0, width_m=0.5, view=view, count=200)
    both = replace(
        ours,
        points_m=np.concatenate([ours.points_m, theirs.points_m]),
        noise_m=np.concatenate([ours.noise_m, theirs.noise_m]),
        by_pose_m=np.concatenate([ours.by_pose_m, theirs.by_pose_m]),
    )
    found = trunk_from_pair(far, view, both, beside=[replace(near, name="Lean")])
    assert found is not None
    assert found.trunk.distance_m == pytest.approx(math.hypot(0.6, 10.0), rel=0.02)


def measured(distance_m: float, error_m: float, *ways: str) -> MeasuredTrunk:
    doubt = Doubt(distance_m=error_m)
    trunk = Trunk(name="Plumb", x_m=0.0, y_m=distance_m, width_m=0.5, doubt=doubt)
    return MeasuredTrunk(trunk=trunk, ways=ways)


def test_agreeing_ways_are_weighed_by_their_errors() -> None:
    both = agreed(measured(8.0, 0.3, "two photos"), measured(8.6, 0.6, "foot"))
    assert both.trunk.distance_m == pytest.approx((8.0 * 4 + 8.6) / 5)
    assert both.trunk.doubt.distance_m == pytest.approx(0.3 * 0.6 / math.hypot(0.3, 0.6))
    assert both.ways == ("two photos", "foot")
    assert not both.sentences


def test_ways_that_contradict_each_other_are_said() -> None:
    both = agreed(measured(8.0, 0.2, "two photos"), measured(11.0, 0.5, "foot"))
    assert both.trunk.distance_m == pytest.approx(8.0)
    assert both.trunk.doubt.distance_m == pytest.approx(1.5)
    assert "8.0 m off by the two photos and 11.0 m by its foot" in both.sentences[0]


def test_the_scale_is_that_of_the_known_trunks() -> None:
    told = [measured(10.0, 0.1).trunk]
    scale, error = scale_of(told, {"Plumb": measured(7.0, 0.14).trunk})
    assert scale == pytest.approx(0.7)
    assert error == pytest.approx(0.7 * math.hypot(0.01, 0.02))
    with pytest.raises(MissingDataError, match="how long a metre is"):
        scale_of([], {})


def test_a_mark_needs_no_order_of_its_edges() -> None:
    view = PhotoView(camera=Camera(), width_px=1500, height_px=1000)
    one = TrunkMark(name="Plumb", left_px=700.0, right_px=760.0, row_px=400.0)
    other = replace(one, left_px=760.0, right_px=700.0)
    points = on_cylinder(0.0, 8.0, width_m=0.5, view=view)
    assert trunk_from_pair(one, view, points) == trunk_from_pair(other, view, points)
