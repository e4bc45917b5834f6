"""Two photographs of one wood, taken a step apart: how the cameras stood, or why none can say.

References
----------
.. [1] D. Barath and others, MAGSAC++, CVPR 2020: the robust search for the essential matrix.
.. [2] R. Hartley, A. Zisserman, Multiple View Geometry, 2nd ed. (2004), section 11.9: turned
   only, or one flat surface, the pictures are explained by a homography.
"""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import cv2
import numpy as np

from shivelight.basis.arrays import BoolArray, FloatArray
from shivelight.basis.errors import BadInputError
from shivelight.frames.depths import placed
from shivelight.frames.features import RATIO, Features, GreyImage, find_features, match
from shivelight.frames.pinhole import Pinhole, directions, pixels
from shivelight.frames.pose import PARAMETERS, Pose, off_px, refine
from shivelight.frames.quality import Quality, quality_of, same_picture

LEAST_MATCHES = 32
"""Fewer matches that agree are no overlap (a judgement)."""
LOOSE_RATIO = 0.92
"""As :data:`RATIO`, once lines of sight tell right matches from wrong ones (a judgement)."""
CLOSE_PX = 2.0
"""How far a right match may miss its line of sight, at the size worked at (a judgement). [px]"""
LEAST_SHIFT_PX = 2.5
"""What moves by less than this against what is far has not been seen to move. [px]"""
LEAST_MOVED = 25
"""So many points must be seen to move, or the cameras stood in one place (a judgement)."""
FLAT_FRAC = 0.92
"""Share of matches on one plane from which the scene is called flat (a judgement)."""
TURNS_TRIED = 120
"""Pairs of matches from which a mere turn of the camera is tried."""
WAYS = ("The first photo", "The second photo")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two photographs with what is known of how the cameras stood.

    Attributes
    ----------
    pose : Pose
        Of the second against the first.
    a_px, b_px : ndarray, shape (N, 2)
        Matches that agree with it. [px]
    features : (Features, Features)
        All points found.
    lenses : (Pinhole, Pinhole)
        Of the two pictures.
    is_flat : bool
        Whether nearly all of them lie on one plane.
    moved_px : float
        How far the 9th of ten points moved against what is far. [px]
    """

    pose: Pose
    a_px: FloatArray
    b_px: FloatArray
    features: tuple[Features, Features]
    lenses: tuple[Pinhole, Pinhole]
    is_flat: bool
    moved_px: float


class TurnedOnlyError(BadInputError):
    """Two photographs from one place, or from places too near to tell apart.

    Attributes
    ----------
    unseen_px : float
        What moved by less than this has not been seen to. [px]
    """

    def __init__(self, unseen_px: float) -> None:
        self.unseen_px = unseen_px
        super().__init__(
            "The two photos were taken from one place, or so near that nothing moves against "
            "what is behind it: the camera was only turned. Take a whole step aside between them."
        )


def pair_up(
    grey_a: GreyImage,
    grey_b: GreyImage,
    *,
    lenses: tuple[Pinhole, Pinhole],
    focal_doubt_frac: float = 0.01,
) -> Pair:
    """Find how two cameras stood from what both photographs show.

    Parameters
    ----------
    grey_a, grey_b : ndarray of uint8, shapes (rows, columns)
        The photographs, upright, at the size to work at.
    lenses : (Pinhole, Pinhole)
        Of the two, in pixels of that size.
    focal_doubt_frac : float
        Standard error of the focal lengths, as a share of them.

    Raises
    ------
    BadInputError
        If a picture is too dark, blank or blurred, both are one picture, they do not overlap, or
        were taken from one place (:class:`TurnedOnlyError`).
    """
    judged = (quality_of(grey_a), quality_of(grey_b))
    _require_seen(judged)
    if same_picture(grey_a, grey_b):
        raise BadInputError(
            "The two photos are the same picture; give two that were taken a step apart."
        )
    with ThreadPoolExecutor(2) as both:  # OpenCV lets go of the interpreter
        found = tuple(both.map(find_features, (grey_a, grey_b)))
    features = (found[0], found[1])
    pairs, closeness = match(*features, ratio=LOOSE_RATIO)
    loose = features[0].points_px[pairs[:, 0]], features[1].points_px[pairs[:, 1]]
    strict = closeness < RATIO
    a, b = loose[0][strict], loose[1][strict]
    start, agrees = _first_pose(a, b, lenses=lenses)
    if start is None or int(agrees.sum()) < LEAST_MATCHES:
        raise _no_overlap(judged, len(a))
    a, b = a[agrees], b[agrees]
    shift = _moved(a, b, lenses=lenses)
    if int((shift > LEAST_SHIFT_PX).sum()) < max(LEAST_MOVED, len(a) // 50):
        raise TurnedOnlyError(LEAST_SHIFT_PX)
    pose = refine(start, a, b, lenses=lenses, focal_doubt_frac=focal_doubt_frac)
    for _ in range(2):  # look again, less strictly, among those by each other's lines of sight
        a, b = _by_lines_of_sight(loose, pose, lenses=lenses)
        pose = refine(pose, a, b, lenses=lenses, focal_doubt_frac=focal_doubt_frac)
    a, b = _by_lines_of_sight(loose, pose, lenses=lenses)
    return Pair(
        pose=pose,
        a_px=a,
        b_px=b,
        features=features,
        lenses=lenses,
        is_flat=_on_one_plane(a, b),
        moved_px=float(np.percentile(shift, 90.0)),
    )


def _first_pose(
    a: FloatArray, b: FloatArray, *, lenses: tuple[Pinhole, Pinhole]
) -> tuple[Pose | None, BoolArray]:
    """Robust first pose, and which matches agree with it and lie ahead."""
    none = np.zeros(len(a), dtype=bool)
    if len(a) < LEAST_MATCHES:
        return None, none
    flat_a, flat_b = (
        np.ascontiguousarray(directions(one, lens)[:, :2])
        for one, lens in zip((a, b), lenses, strict=True)
    )
    focal_px = float(np.sqrt(lenses[0].focal_px * lenses[1].focal_px))
    cv2.setRNGSeed(1)  # the same pictures always give the same answer
    essential, agrees = cv2.findEssentialMat(
        flat_a, flat_b, np.eye(3), cv2.USAC_MAGSAC, 0.99999, CLOSE_PX / focal_px, 20_000
    )
    if essential is None or essential.shape != (3, 3):
        return None, none
    _count, turn, step, ahead = cv2.recoverPose(
        essential, flat_a, flat_b, np.eye(3), distanceThresh=1e4, mask=agrees.copy()
    )[:4]
    pose = Pose(
        turn=np.asarray(turn, dtype=np.float64),
        step=np.asarray(step, dtype=np.float64).ravel(),
        covariance=np.zeros((PARAMETERS, PARAMETERS)),
    )
    return pose, np.asarray((ahead.ravel() > 0) & (agrees.ravel() > 0))


def _by_lines_of_sight(
    loose: tuple[FloatArray, FloatArray], pose: Pose, *, lenses: tuple[Pinhole, Pinhole]
) -> tuple[FloatArray, FloatArray]:
    """Give the matches that lie on each other's lines of sight, before both cameras."""
    within_px = min(max(1.0, 3.0 * pose.noise_px), 1.5 * CLOSE_PX)
    close = np.abs(off_px(pose, *loose, lenses=lenses)) < within_px
    ahead = np.isfinite(placed(pose, *loose, lenses=lenses)[:, 2])
    far = ~ahead & (_apart_px(pose, *loose, lenses=lenses) < CLOSE_PX)
    kept = close & (ahead | far)
    return loose[0][kept], loose[1][kept]


def _apart_px(
    pose: Pose, a: FloatArray, b: FloatArray, *, lenses: tuple[Pinhole, Pinhole]
) -> FloatArray:
    """How far a match lies from where a point without end would be seen. [px]."""
    aim_a, _aim_b = pose.rays(a, b, lenses)
    seen = pixels(aim_a @ pose.turn.T, lenses[1], k1=pose.k1)
    apart: FloatArray = np.linalg.norm(seen - b, axis=1)
    return np.asarray(np.nan_to_num(apart, nan=np.inf), dtype=np.float64)


def _moved(a: FloatArray, b: FloatArray, *, lenses: tuple[Pinhole, Pinhole]) -> FloatArray:
    """How far each match moved beyond what a turn of the camera does. [px].

    The turn is the one that leaves most points unmoved, so that a far wood stands still.
    """
    aim_a, aim_b = (
        one / np.linalg.norm(one, axis=1, keepdims=True)
        for one in (directions(a, lenses[0]), directions(b, lenses[1]))
    )
    draws = np.random.default_rng(1)
    stillest, shift = -1, np.full(len(a), np.inf)
    for _ in range(TURNS_TRIED):
        two = draws.choice(len(a), 2, replace=False)
        turn = _turn_of(aim_a[two], aim_b[two])
        for _again in range(2):  # the second time from all that stood still
            found = np.hypot(*(pixels(aim_a @ turn.T, lenses[1]) - b).T)
            still = np.nan_to_num(found, nan=np.inf) < LEAST_SHIFT_PX
            if int(still.sum()) > stillest:
                stillest, shift = int(still.sum()), found
            if int(still.sum()) < 3:
                break
            turn = _turn_of(aim_a[still], aim_b[still])
    return np.asarray(np.nan_to_num(shift, nan=np.inf), dtype=np.float64)


def _turn_of(aim_a: FloatArray, aim_b: FloatArray) -> FloatArray:
    """Rotation that brings directions of a to those of b best (Kabsch)."""
    left, _size, right = np.linalg.svd(aim_b.T @ aim_a)
    mirror = np.diag([1.0, 1.0, np.sign(np.linalg.det(left @ right))])
    return np.asarray(left @ mirror @ right, dtype=np.float64)


def _on_one_plane(a: FloatArray, b: FloatArray) -> bool:
    """Whether one homography explains nearly all matches."""
    _plane, on = cv2.findHomography(a, b, cv2.RANSAC, 2.0 * CLOSE_PX)
    return on is not None and float(np.mean(on)) > FLAT_FRAC


def _require_seen(judged: tuple[Quality, Quality]) -> None:
    """Refuse pictures on which nothing can be seen."""
    for which, one in zip(WAYS, judged, strict=True):
        if one.is_dark:
            raise BadInputError(
                f"{which} is too dark to measure on: 9 in 10 of its pixels are below tone "
                f"{one.bright_tone:.0f} of 255. Take it lighter, or in better light."
            )
        if one.is_blank:
            raise BadInputError(
                f"{which} shows next to nothing: its tones lie within {one.spread_tone:.0f} of "
                "255. Take one with trunks on it."
            )


def _no_overlap(judged: tuple[Quality, Quality], count: int) -> BadInputError:
    """Say why too few matches agree, the likeliest reason first."""
    for which, one in zip(WAYS, judged, strict=True):
        if one.is_blurred:
            return BadInputError(
                f"{which} is too blurred to measure on; hold the camera still, or give it a "
                "shorter exposure, and take it again."
            )
    return BadInputError(
        f"The two photos do not overlap enough: of {count} points that look alike, fewer than "
        f"{LEAST_MATCHES} agree on how the cameras stood. Give two that show the same trunks, "
        "taken a step apart."
    )
