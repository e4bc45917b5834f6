"""Trunks from points that two photographs a step apart have placed in space."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from shivelight.basis.arrays import BoolArray, FloatArray
from shivelight.basis.errors import MissingDataError
from shivelight.scene.elements import Doubt, Trunk
from shivelight.scene.from_photos import DISAGREE, MeasuredTrunk, placed
from shivelight.scene.photo_marks import (
    PhotoView,
    TrunkMark,
    bearing_and_altitude_deg,
    edges_of,
)

NO_SCALE = (
    "None of the marked trunks is both seen on the two photos and surveyed, so that nothing tells "
    "how long a metre is; mark a surveyed trunk on the scouting photo."
)
LEAST_SHARE = 0.4
"""Share of the points on a trunk that lie at its distance, or it has none (a judgement)."""
MOST_SHARED = 0.7
"""Share of a trunk that another may overlap before the two cannot be told apart."""
RIVAL_SHARE = 0.25
"""Others beside the agreeing points from which they count as doubt (a judgement)."""
LEAST_POINTS = 5
"""Fewer points on a trunk than this give no distance (a judgement)."""
MOST_ALIKE = 20
"""More points on a trunk than this err alike, and are no better (a judgement)."""
HIGHEST_DEG = 25.0
"""Points higher above the level than this hang on the tilt, and are left out. [°]"""
BELOW_MARK_DEG = 2.0
"""How far below its mark a trunk without a marked foot is looked at (a judgement). [°]"""
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


def local_points(points_m: FloatArray, view: PhotoView) -> FloatArray:
    """Turn points of the camera's axes into the local frame, shape (N, 3). [m].

    The origin is on the ground under the lens: x right, y forward, z up.
    """
    turned = points_m @ view.camera.axes
    return np.asarray(turned + np.array([0.0, 0.0, view.camera.z_m]), dtype=np.float64)


def trunk_from_pair(
    mark: TrunkMark,
    view: PhotoView,
    placed_points: Placed,
    *,
    beside: Sequence[TrunkMark] = (),
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
    beside : sequence of TrunkMark
        Other trunks of the picture; where one overlaps this, its points are left alone.
    """
    middle_deg, half_deg = edges_of(mark, view)
    local = local_points(placed_points.points_m, view)
    on_it, axis_m = _on_trunk(local, (middle_deg, half_deg), eye_m=view.camera.z_m)
    on_it &= _above_deg(local, view) > _lowest_deg(mark, view)
    on_it &= _clear_of(local, (middle_deg, half_deg), [edges_of(one, view) for one in beside])
    kept = _agreeing(axis_m, placed_points.noise_m, on_it)
    if int(kept.sum()) < max(LEAST_POINTS, LEAST_SHARE * int(on_it.sum())):
        return None
    distance_m = float(np.median(axis_m[kept]))
    away = np.linalg.norm(placed_points.points_m[kept], axis=1)
    scale = axis_m[kept] / away
    spread = 1.4826 * float(np.median(np.abs(axis_m[kept] - distance_m)))
    own_m = max(spread, float(np.median(placed_points.noise_m[kept] * scale)))
    by_own = math.hypot(
        1.2533 * own_m / math.sqrt(min(int(kept.sum()), MOST_ALIKE)),
        _by_rivals_m(axis_m[on_it & ~kept], distance_m, count=int(kept.sum())),
    )
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


def agreed(pair: MeasuredTrunk, alone: MeasuredTrunk) -> MeasuredTrunk:
    """Bring together what two photographs and the first of them alone say of a trunk.

    Both are weighed by their errors. Where they contradict each other by more than three standard
    errors, the surer one stands, as doubtful as they are apart, and a sentence says so.
    """
    one, other = pair.trunk, alone.trunk
    errors = np.array([one.doubt.distance_m, other.doubt.distance_m])
    away = np.array([one.distance_m, other.distance_m])
    apart_m = abs(float(away[0] - away[1]))
    sentences = (*pair.sentences, *alone.sentences)
    if apart_m > DISAGREE * float(np.hypot(*errors)):
        best = int(np.argmin(errors))
        distance_m, error_m = float(away[best]), apart_m / 2.0
        sentences = (
            *sentences,
            f"{one.name} is {away[0]:.1f} m off by the two photos and {away[1]:.1f} m by its "
            f"{' and '.join(alone.ways)}; check its marks, the tilt and the step.",
        )
    else:
        weights = 1.0 / errors**2
        distance_m = float(np.sum(weights * away) / weights.sum())
        error_m = float(weights.sum() ** -0.5)
    share = distance_m / one.distance_m
    trunk = replace(
        one,
        x_m=one.x_m * share,
        y_m=one.y_m * share,
        width_m=one.width_m * share,
        doubt=replace(one.doubt, distance_m=error_m),
    )
    return MeasuredTrunk(trunk=trunk, ways=(*pair.ways, *alone.ways), sentences=sentences)


def scale_of(told: Sequence[Trunk], known: Mapping[str, Trunk]) -> tuple[float, float]:
    """Metres for each step between two cameras, from trunks whose distance is known.

    Parameters
    ----------
    told : sequence of Trunk
        As measured with a step of 1.
    known : mapping of name to Trunk
        As surveyed.

    Returns
    -------
    scale_m, error_m : float
        And its standard error. [m]

    Raises
    ------
    MissingDataError
        If none of them is both measured and known.
    """
    if not told:
        raise MissingDataError(NO_SCALE)
    ratios, shares = [], []
    for one in told:
        sure = known[one.name]
        ratios.append(sure.distance_m / one.distance_m)
        shares.append(
            math.hypot(
                one.doubt.distance_m / one.distance_m,
                max(sure.doubt.distance_m, 0.005 * sure.distance_m) / sure.distance_m,
            )
        )
    weights = 1.0 / np.array(shares) ** 2
    scale = float(np.exp(np.sum(weights * np.log(ratios)) / weights.sum()))
    # The pose errs for all alike, so that many trunks are little better than the best of them.
    return scale, scale * min(shares)


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


def _lowest_deg(mark: TrunkMark, view: PhotoView) -> float:
    """Altitude down to which a trunk's points are looked for. [°].

    Ground before a trunk has its bearing too. Above the foot there is none of it; where no foot
    was marked, points well below the mark are left out, as they may be ground.
    """
    _bearing, at_mark = bearing_and_altitude_deg(view, mark.left_px, mark.row_px)
    if mark.foot_px is None:
        return at_mark - BELOW_MARK_DEG
    _bearing, at_foot = bearing_and_altitude_deg(view, *mark.foot_px)
    return min(at_foot + 0.1 * abs(at_mark - at_foot), at_mark)


def _above_deg(local: FloatArray, view: PhotoView) -> FloatArray:
    """Altitude of points above the level through the lens. [°]."""
    level = np.hypot(local[:, 0], local[:, 1])
    return np.asarray(np.degrees(np.arctan2(local[:, 2] - view.camera.z_m, level)))


def _clear_of(
    local: FloatArray, edges_deg: tuple[float, float], others: Sequence[tuple[float, float]]
) -> BoolArray:
    """Which points do not fall between another trunk's edges, unless that would leave too few."""
    bearing = np.degrees(np.arctan2(local[:, 0], local[:, 1]))
    clear = np.ones(len(local), dtype=bool)
    middle, half = edges_deg
    for other, its_half in others:
        shared = min(middle + half, other + its_half) - max(middle - half, other - its_half)
        if 0.0 < shared < MOST_SHARED * 2.0 * half:
            clear &= np.abs(bearing - other) > its_half
    return clear


def _by_rivals_m(others_m: FloatArray, distance_m: float, *, count: int) -> float:
    """Give the doubt that comes of points on a trunk that lie at another distance. [m].

    They may be the right ones, the more likely the more they are: a half-hidden trunk gives two
    clusters.
    """
    if len(others_m) < RIVAL_SHARE * count:
        return 0.0
    share = len(others_m) / (len(others_m) + count)
    return float(np.median(np.abs(others_m - distance_m))) * share


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
