"""Trunks from points placed by two photographs a step apart, and when the step is too short.

References
----------
.. [1] Depth from a step: Z = f B / d, and its error Z² sigma / (f B) (plain perspective).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import BoolArray, FloatArray
from shivelight.basis.errors import require_range
from shivelight.scene.elements import Doubt
from shivelight.scene.from_photos import MeasuredTrunk, placed
from shivelight.scene.photo_marks import PhotoView, TrunkMark, edges_of

LEAST_SHARE = 0.4
"""Share of the points on a trunk that lie at its distance, or it has none (a judgement)."""
LEAST_POINTS = 5
"""Fewer points on a trunk than this give no distance (a judgement)."""
MOST_ALIKE = 20
"""More points on a trunk than this err alike, and are no better (a judgement)."""
TOO_WIDE = 1.5
"""A step is too short where near and far ends of a distance (2 sigma) are this far apart."""
WANTED_DOUBT_FRAC = 0.045
"""Standard error that a step is advised for: 20 m told from 24 m (a judgement)."""
HIGHEST_DEG = 25.0
"""Points higher above the level than this hang on the tilt, and are left out. [°]"""
LOWEST_M = 0.15
"""Points nearer to the ground than this may be ground. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """Points in the first camera's axes, in metres, with what they hang on.

    Attributes
    ----------
    points_m : ndarray, shape (N, 3)
        Right, down, forward of the first camera. [m]
    noise_m : ndarray, shape (N,)
        Standard error of each one's distance from its own noise. [m]
    by_pose_m : ndarray, shape (N, P)
        What each one's distance changes by for each number of the pose. [m]
    covariance : ndarray, shape (P, P)
        Of those numbers.
    step_m, step_error_m : float
        Between the two cameras, and its standard error. [m]
    """

    points_m: FloatArray
    noise_m: FloatArray
    by_pose_m: FloatArray
    covariance: FloatArray
    step_m: float
    step_error_m: float

    @property
    def error_m(self) -> FloatArray:
        """Standard error of each distance, all told, shape (N,). [m]."""
        by_pose = np.einsum("ni,ij,nj->n", self.by_pose_m, self.covariance, self.by_pose_m)
        away = np.linalg.norm(self.points_m, axis=1)
        by_step = away * self.step_error_m / self.step_m
        return np.asarray(np.sqrt(self.noise_m**2 + by_pose + by_step**2))


@dataclass(frozen=True, slots=True, kw_only=True)
class StepDoubt:
    """How well a step tells a distance.

    Attributes
    ----------
    nearer_m, farther_m : float
        Between these the distance lies, 2 standard errors either way; infinite for no end. [m]
    wanted_step_m : float
        Step that tells it to 1 in 20 or so. [m]
    """

    nearer_m: float
    farther_m: float
    wanted_step_m: float

    @property
    def is_too_short(self) -> bool:
        """Whether the step says next to nothing of the distance."""
        return self.farther_m > TOO_WIDE * self.nearer_m


def local_points(points_m: FloatArray, view: PhotoView) -> FloatArray:
    """Turn points of the camera's axes into the local frame, shape (N, 3). [m].

    The origin is on the ground under the lens: x right, y forward, z up.
    """
    turned = points_m @ view.camera.axes
    return np.asarray(turned + np.array([0.0, 0.0, view.camera.z_m]), dtype=np.float64)


def step_doubt(distance_m: float, error_m: float, *, step_m: float) -> StepDoubt:
    """Say how well a step tells a distance, given the error that it left.

    Parameters
    ----------
    distance_m, error_m : float
        Measured, and its standard error. [m]
    step_m : float
        The step. [m]
    """
    inverse, off = 1.0 / distance_m, 2.0 * error_m / distance_m**2
    wanted_m = step_m * max(error_m / distance_m / WANTED_DOUBT_FRAC, 0.0)
    return StepDoubt(
        nearer_m=1.0 / (inverse + off),
        farther_m=1.0 / (inverse - off) if inverse > off else math.inf,
        wanted_step_m=math.ceil(wanted_m * 10.0) / 10.0,
    )


def expected_error_m(
    distance_m: float, *, step_m: float, focal_px: float, noise_px: float = 0.7
) -> float:
    """Give the standard error of a distance that a step aside can be hoped to have [1]_. [m].

    Parameters
    ----------
    distance_m, step_m : float
        Of the trunk, and between the cameras, at right angles to the view. [m]
    focal_px : float
        Focal length at the size worked at. [px]
    noise_px : float
        Standard error of a shift between the pictures, the pose's share included (a judgement).
        [px]
    """
    require_range("distance", distance_m, 0.1, 2000.0, "m")
    require_range("step", step_m, 0.01, 50.0, "m")
    return distance_m**2 * noise_px / (focal_px * step_m)


def step_sentence(name: str, doubt: StepDoubt, *, step_m: float) -> str:
    """Say that a step is too short, and which one to take."""
    far = "any distance beyond" if math.isinf(doubt.farther_m) else f"{doubt.farther_m:.0f} m"
    return (
        f"{name}: a step of {step_m:g} m cannot tell {doubt.nearer_m:.0f} m from {far}; step "
        f"{min(doubt.wanted_step_m, 9.0):.1f} m."
    )


def trunk_from_pair(
    mark: TrunkMark, view: PhotoView, placed_points: Placed
) -> MeasuredTrunk | None:
    """Measure a marked trunk from the points that fall on it; None where too few do.

    Parameters
    ----------
    mark : TrunkMark
        On the first picture.
    view : PhotoView
        How that one was taken.
    placed_points : Placed
        Points of both pictures in space.
    """
    middle_deg, half_deg = edges_of(mark, view)
    local = local_points(placed_points.points_m, view)
    on_it, axis_m = _on_trunk(local, (middle_deg, half_deg), eye_m=view.camera.z_m)
    kept = _agreeing(axis_m, placed_points.noise_m, on_it)
    if int(kept.sum()) < max(LEAST_POINTS, LEAST_SHARE * int(on_it.sum())):
        return None
    distance_m = float(np.median(axis_m[kept]))
    away = np.linalg.norm(placed_points.points_m[kept], axis=1)
    scale = axis_m[kept] / away
    spread = 1.4826 * float(np.median(np.abs(axis_m[kept] - distance_m)))
    own_m = max(spread, float(np.median(placed_points.noise_m[kept] * scale)))
    by_own = 1.2533 * own_m / math.sqrt(min(int(kept.sum()), MOST_ALIKE))
    slope = np.median(placed_points.by_pose_m[kept] * scale[:, None], axis=0)
    by_pose = math.sqrt(max(float(slope @ placed_points.covariance @ slope), 0.0))
    by_step = distance_m * placed_points.step_error_m / placed_points.step_m
    tilt = np.median(np.abs(local[kept, 2] - view.camera.z_m)) * math.radians(view.pitch_error_deg)
    error_m = math.sqrt(by_own**2 + by_pose**2 + by_step**2 + float(tilt) ** 2)
    half = math.radians(half_deg)
    edge = view.pixel_error_px / (view.camera.focal_in_widths * view.width_px)
    width_m = 2.0 * distance_m * math.sin(half)
    doubt = Doubt(
        distance_m=error_m,
        angle_deg=math.degrees(edge) / math.sqrt(2.0),
        width_m=math.hypot(width_m * error_m / distance_m, math.sqrt(2.0) * distance_m * edge),
    )
    trunk = placed(mark, middle_deg, distance_m=distance_m, width_m=width_m, doubt=doubt)
    return MeasuredTrunk(trunk=trunk, ways=("two photos",))


def weighed(ways: Sequence[MeasuredTrunk]) -> tuple[float, float]:
    """Distance and its standard error from several ways of measuring, by their errors. [m]."""
    weights = np.array([1.0 / max(one.trunk.doubt.distance_m, 1e-6) ** 2 for one in ways])
    values = np.array([one.trunk.distance_m for one in ways])
    return float(np.sum(weights * values) / weights.sum()), float(weights.sum() ** -0.5)


def _on_trunk(
    local: FloatArray, edges_deg: tuple[float, float], *, eye_m: float
) -> tuple[BoolArray, FloatArray]:
    """Which points fall between a trunk's edges, and the distance of its axis by each. [m].

    A point of an upright cylinder, off its middle by d of a half width h, lies at
    D (cos d - sqrt(sin² h - sin² d)) along the level when the axis is D off.
    """
    level = np.hypot(local[:, 0], local[:, 1])
    off = np.arctan2(local[:, 0], local[:, 1]) - math.radians(edges_deg[0])
    half = math.radians(edges_deg[1])
    with np.errstate(invalid="ignore"):
        inside = np.abs(off) < 0.92 * half
        high = np.degrees(np.arctan2(local[:, 2] - eye_m, level))
        inside &= (np.abs(high) < HIGHEST_DEG) & (local[:, 2] > LOWEST_M)
        bulge = np.sqrt(np.maximum(math.sin(half) ** 2 - np.sin(off) ** 2, 0.0))
        axis_m = level / (np.cos(off) - bulge)
    return np.asarray(inside & np.isfinite(axis_m)), axis_m


def _agreeing(axis_m: FloatArray, noise_m: FloatArray, on_it: BoolArray) -> BoolArray:
    """Of points between the edges, those about the distance where they lie thickest."""
    if not on_it.any():
        return on_it
    logs = np.where(on_it, np.log(np.where(on_it, axis_m, 1.0)), np.nan)
    wide = np.maximum(0.03, noise_m / axis_m)
    ours = logs[on_it]
    near = np.abs(ours[:, None] - ours[None, :]) / np.hypot(wide[on_it], 0.03)
    best = ours[int(np.argmax(np.exp(-0.5 * near**2).sum(axis=1)))]
    with np.errstate(invalid="ignore"):
        return np.asarray(on_it & (np.abs(logs - best) < 2.5 * wide))
