"""Perspective: agreement with OpenCV, round trips, turns, bad settings."""

import math

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shivelight.basis.errors import OutOfRangeError
from shivelight.scene.camera import (
    Camera,
    angle_of_view_deg,
    close_angle_of_view_deg,
    field_width_m,
    full_frame_focal_length_mm,
    project,
    rays,
)

cameras = st.builds(
    Camera,
    x_m=st.floats(-5.0, 5.0),
    y_m=st.floats(-5.0, 5.0),
    z_m=st.floats(0.2, 3.0),
    yaw_deg=st.floats(-180.0, 180.0),
    pitch_deg=st.floats(-80.0, 80.0),
    roll_deg=st.floats(-180.0, 180.0),
    focal_length_mm=st.floats(14.0, 400.0),
    sensor_width_mm=st.sampled_from([36.0, 24.0, 17.3]),
    sensor_height_mm=st.sampled_from([24.0, 36.0, 13.0]),
    k1=st.floats(-0.05, 0.15),
    k2=st.floats(-0.01, 0.05),
)
inside = st.floats(-0.5, 0.5)


@settings(max_examples=200)
@given(camera=cameras, seed=st.integers(0, 2**32 - 1))
def test_it_agrees_with_opencv_to_a_millionth_of_the_width(camera: Camera, seed: int) -> None:
    # OpenCV, calib3d: projectPoints with k1, k2 (an independent implementation).
    random = np.random.default_rng(seed)
    on_frame = random.uniform(-0.5, 0.5, (20, 2)) / camera.focal_in_widths
    seen = np.column_stack([on_frame, np.ones(20)]) * random.uniform(1.0, 100.0, (20, 1))
    place = np.array([camera.x_m, camera.y_m, camera.z_m])
    points = seen @ camera.axes + place
    rotation = camera.axes  # rows: right, down, forward, as OpenCV's camera has them
    lens = np.diag([camera.focal_in_widths, camera.focal_in_widths, 1.0])
    theirs, _ = cv2.projectPoints(
        points.reshape(-1, 1, 3), cv2.Rodrigues(rotation)[0], -rotation @ place, lens,
        np.array([camera.k1, camera.k2, 0.0, 0.0]),
    )  # fmt: skip
    u, v, depth = project(camera, points)
    np.testing.assert_allclose(np.column_stack([u, v]), theirs[:, 0], atol=1e-6, rtol=0)
    np.testing.assert_allclose(depth, seen[:, 2], rtol=1e-9)


@settings(max_examples=200)
@given(camera=cameras, u=inside, v=inside, away_m=st.floats(0.5, 500.0))
def test_a_place_on_the_frame_comes_back_from_its_ray(
    camera: Camera, u: float, v: float, away_m: float
) -> None:
    ray = rays(camera, u, v)
    assert np.linalg.norm(ray) == pytest.approx(1.0)
    point = np.array([camera.x_m, camera.y_m, camera.z_m]) + away_m * ray
    back_u, back_v, depth = project(camera, point)
    np.testing.assert_allclose([back_u, back_v], [u, v], atol=1e-9, rtol=0)
    assert depth > 0.0


@given(camera=cameras)
def test_its_axes_are_square_and_right_handed(camera: Camera) -> None:
    np.testing.assert_allclose(camera.axes @ camera.axes.T, np.eye(3), atol=1e-12)
    assert np.linalg.det(camera.axes) == pytest.approx(1.0)


def test_turned_right_pitched_up_rolled_clockwise() -> None:
    straight = project(Camera(z_m=0.0), [0.0, 10.0, 0.0])
    np.testing.assert_allclose(straight, [0.0, 0.0, 10.0], atol=1e-12)
    u, _, _ = project(Camera(z_m=0.0, yaw_deg=10.0), [0.0, 10.0, 0.0])
    assert u < 0.0  # turned to the right, what was ahead is on the left
    _, v, _ = project(Camera(z_m=0.0, pitch_deg=10.0), [0.0, 10.0, 0.0])
    assert v > 0.0  # pitched up, it is lower
    _, v, _ = project(Camera(z_m=0.0, roll_deg=10.0), [1.0, 10.0, 0.0])
    assert v < 0.0  # rolled clockwise, what is on the right rises in the picture


def test_points_behind_the_camera_are_nowhere() -> None:
    u, v, depth = project(Camera(), [[0.0, -1.0, 1.4], [0.0, 0.0, 1.4]])
    assert np.isnan(u).all()
    assert np.isnan(v).all()
    assert (depth <= 0.0).all()


def test_shapes_scalar_array_empty_and_gaps() -> None:
    assert project(Camera(), np.empty((0, 3)))[0].shape == (0,)
    assert project(Camera(), np.ones((2, 4, 3)))[0].shape == (2, 4)
    assert np.isnan(project(Camera(), [np.nan, 1.0, 1.0])[0])
    assert rays(Camera(), np.zeros((3, 1)), np.zeros(2)).shape == (3, 2, 3)
    assert rays(Camera(k1=0.1), [], []).shape == (0, 3)


def test_a_distortion_that_folds_the_picture_has_no_ray() -> None:
    # r (1 - r²/2) is largest, 0.544, at r = 0.816: nothing beyond comes from anywhere.
    folded = Camera(focal_length_mm=18.0, k1=-0.5)
    assert np.isnan(rays(folded, 0.5, 0.0)).all()
    assert np.isfinite(rays(folded, 0.2, 0.0)).all()


def test_focused_close_the_angle_is_narrower() -> None:
    far = angle_of_view_deg(50.0, 36.0)
    near = close_angle_of_view_deg(50.0, 36.0, focus_m=[0.02, 0.5, 1e9])
    assert np.isnan(near[0])
    assert near[1] < far
    assert near[2] == pytest.approx(far)


def test_widths_and_equivalents_take_arrays() -> None:
    assert field_width_m([24.0, 48.0], 36.0, distance_m=10.0).tolist() == [15.0, 7.5]
    same = full_frame_focal_length_mm(50.0, sensor_width_mm=36.0, sensor_height_mm=24.0)
    assert same == pytest.approx(50.0)


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("focal_length_mm", 0.0, "focal length is 0 mm; it must be 1 to 2000 mm"),
        ("focal_length_mm", math.nan, "focal length is nan mm"),
        ("sensor_width_mm", 0.5, "sensor width is 0.5 mm"),
        ("pitch_deg", 91.0, "pitch is 91 °"),
    ],
)
def test_settings_that_mean_nothing_are_refused(name: str, value: float, said: str) -> None:
    with pytest.raises(OutOfRangeError, match=said):
        Camera(**{name: value})
