"""Pose and depths on points whose truth is known to the last digit."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from shivelight.basis.arrays import FloatArray
from shivelight.frames.depths import depths
from shivelight.frames.pinhole import Pinhole, pixels
from shivelight.frames.pose import PARAMETERS, Pose, off_px, refine

LENS = Pinhole(focal_px=900.0, width_px=1000, height_px=700)
LENSES = (LENS, LENS)


def made(seed: int, noise_px: float) -> tuple[Pose, FloatArray, FloatArray, FloatArray]:
    """Give the true pose, points in steps, and what both cameras see of them."""
    draws = np.random.default_rng(seed)
    away = draws.uniform(4.0, 40.0, 600)
    points = np.stack(
        [draws.uniform(-0.5, 0.5, 600) * away, draws.uniform(-0.3, 0.3, 600) * away, away], axis=1
    )
    turn = Rotation.from_euler("yxz", [2.0, -1.0, 0.7], degrees=True).as_matrix()
    place = np.array([0.98, -0.05, 0.15])
    place /= np.linalg.norm(place)
    pose = Pose(turn=turn, step=-turn @ place, covariance=np.zeros((PARAMETERS, PARAMETERS)))
    a = pixels(points, LENS) + draws.normal(0.0, noise_px, (600, 2))
    b = pixels(points @ turn.T + pose.step, LENS) + draws.normal(0.0, noise_px, (600, 2))
    return pose, points, a, b


def test_exact_points_lie_on_each_others_lines_of_sight_and_come_back() -> None:
    pose, points, a, b = made(1, 0.0)
    np.testing.assert_allclose(off_px(pose, a, b, lenses=LENSES), 0.0, atol=1e-9)
    np.testing.assert_allclose(depths(pose, a, b, lenses=LENSES).points, points, rtol=1e-7)


def test_a_pose_a_little_off_is_brought_back_among_wrong_matches() -> None:
    pose, _points, a, b = made(2, 0.4)
    b[:60] += np.random.default_rng(0).uniform(-80.0, 80.0, (60, 2))
    start = pose.moved([0.004, -0.003, 0.002, 0.03, -0.02, 0.0, 0.0])
    found = refine(start, a, b, lenses=LENSES, focal_doubt_frac=0.01)
    turned = np.degrees(np.arccos((np.trace(found.turn.T @ pose.turn) - 1.0) / 2.0))
    assert turned < 0.15
    assert np.degrees(np.arccos(found.step @ pose.step)) < 1.0
    assert found.noise_px == pytest.approx(0.4, rel=0.4)


def test_errors_of_the_depths_cover_the_truth() -> None:
    inside, total = 0, 0
    for seed in range(5):
        pose, points, a, b = made(10 + seed, 0.5)
        found = refine(pose, a, b, lenses=LENSES, focal_doubt_frac=0.01)
        got = depths(found, a, b, lenses=LENSES)
        by_pose = np.einsum("ni,ij,nj->n", got.by_pose, found.covariance, got.by_pose)
        error = np.sqrt(got.noise**2 + by_pose)
        off = np.linalg.norm(got.points, axis=1) - np.linalg.norm(points, axis=1)
        near = got.is_ahead & (points[:, 2] < 20.0)
        inside += int(np.sum(np.abs(off[near]) < 2.0 * error[near]))
        total += int(near.sum())
    # 2 standard errors hold 95 in 100; the errors are meant to be on the wide side.
    assert 0.90 < inside / total <= 1.0


def test_a_lens_known_badly_gives_wider_errors() -> None:
    pose, _points, a, b = made(3, 0.5)
    widths = []
    for doubt in (0.002, 0.03):
        found = refine(pose, a, b, lenses=LENSES, focal_doubt_frac=doubt)
        got = depths(found, a, b, lenses=LENSES)
        by_pose = np.einsum("ni,ij,nj->n", got.by_pose, found.covariance, got.by_pose)
        widths.append(float(np.nanmedian(np.sqrt(by_pose))))
    assert widths[1] > widths[0]


def test_points_behind_either_camera_have_no_place() -> None:
    pose, _points, a, b = made(4, 0.0)
    backwards = replace(pose, step=-pose.step)
    assert not depths(backwards, a, b, lenses=LENSES).is_ahead.any()
