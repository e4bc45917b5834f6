"""How far matched points are, in steps between the two cameras, and how sure that is."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import BoolArray, FloatArray
from shivelight.frames.pinhole import Pinhole
from shivelight.frames.pose import PARAMETERS, Pose

NUDGES = np.array([1e-4] * 5 + [1e-3] * 2)
"""How far each number of a pose is moved to see what it does."""
LEAST_TURN_DEG = 0.05
"""Lines of sight nearer to parallel than this give no distance (a judgement). [°]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Depths:
    """Matched points in space, the step between the cameras being one unit long.

    Attributes
    ----------
    points : ndarray, shape (N, 3)
        In camera a's axes (right, down, forward), in steps; NaN where lines of sight are parallel
        or meet behind a camera.
    noise : ndarray, shape (N,)
        Standard error of the distance from camera a that comes of each point's own noise, in
        steps.
    by_pose : ndarray, shape (N, 7)
        What the distance from camera a changes by for each number of the pose, in steps.
    """

    points: FloatArray
    noise: FloatArray
    by_pose: FloatArray

    @property
    def is_ahead(self) -> BoolArray:
        """Which points lie before both cameras."""
        return np.asarray(np.isfinite(self.points[:, 2]))


def depths(
    pose: Pose, a_px: ArrayLike, b_px: ArrayLike, *, lenses: tuple[Pinhole, Pinhole]
) -> Depths:
    """Place matched points in space, with what their errors come of.

    Parameters
    ----------
    pose : Pose
        Of b against a.
    a_px, b_px : array_like, shape (N, 2)
        Columns and rows. [px]
    lenses : (Pinhole, Pinhole)
        Of the two pictures.
    """
    a, b = np.asarray(a_px, dtype=np.float64), np.asarray(b_px, dtype=np.float64)
    points = placed(pose, a, b, lenses=lenses)
    away = np.linalg.norm(points, axis=1)

    def changed(now: Pose, b_now_px: FloatArray) -> FloatArray:
        return np.asarray(np.linalg.norm(placed(now, a, b_now_px, lenses=lenses), axis=1) - away)

    by_pose = np.stack(
        [
            changed(pose.moved(np.eye(PARAMETERS)[number] * nudge), b) / nudge
            for number, nudge in enumerate(NUDGES)
        ],
        axis=1,
    )
    nudge_px = 0.05
    per_px = np.hypot(
        *(changed(pose, b + np.array(way) * nudge_px) / nudge_px for way in ((1, 0), (0, 1)))
    )
    # The point errs in both pictures, by as much.
    return Depths(points=points, noise=per_px * pose.noise_px * np.sqrt(2.0), by_pose=by_pose)


def placed(
    pose: Pose, a_px: FloatArray, b_px: FloatArray, *, lenses: tuple[Pinhole, Pinhole]
) -> FloatArray:
    """Points on a's lines of sight where b's come nearest, in a's axes, in steps; shape (N, 3).

    NaN where the lines are next to parallel or meet behind a camera.
    """
    a, b = pose.rays(a_px, b_px, lenses)
    turned = a @ pose.turn.T
    over = np.cross(b, turned)
    square = np.sum(over**2, axis=1)
    apart = np.sqrt(square) / (np.linalg.norm(b, axis=1) * np.linalg.norm(turned, axis=1))
    with np.errstate(divide="ignore", invalid="ignore"):
        along = -np.sum(over * np.cross(b, pose.step), axis=1) / square
    points = a * along[:, None]
    ahead = (along > 0.0) & ((points @ pose.turn.T + pose.step)[:, 2] > 0.0)
    clear = apart > np.radians(LEAST_TURN_DEG)
    return np.where((ahead & clear)[:, None], points, np.nan)
