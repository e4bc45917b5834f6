"""A trunk looked for again along its lines of sight, patch by patch, once the pose is known.

In mist a pale trunk has too few points of its own. Patches of it are laid at many distances, seen
from the other camera, and compared there; the distance at which they look most alike gives one
matched point each. A patch with no clear best gives none.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.frames.features import GreyImage
from shivelight.frames.pairs import Pair
from shivelight.frames.pinhole import pixels

LEAST_LIKENESS = 0.62
"""Correlation below which a patch was not found again (a judgement)."""
LEAST_LEAD = 0.04
"""By which the best distance beats any other well away from it (a judgement)."""
ACROSS, DOWN = 11, 15
"""Samples of a patch."""
NEAREST_STEPS, FARTHEST_STEPS = 1.2, 80.0
"""Distances tried, in steps between the cameras."""
APART_PX = 0.7
"""How far a patch moves from one tried distance to the next, about. [px]"""
MOST_PATCHES = 12
MOST_TRIED = 300


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """Where a trunk stands on the first picture, in pixels of the size worked at.

    Attributes
    ----------
    left_px, right_px : float
        Columns of its edges. [px]
    top_px, bottom_px : float
        Rows between which it is looked at. [px]
    """

    left_px: float
    right_px: float
    top_px: float
    bottom_px: float

    def count(self, points_px: FloatArray) -> int:
        """How many points fall on it."""
        low = points_px >= [self.left_px, self.top_px]
        high = points_px <= [self.right_px, self.bottom_px]
        return int(np.sum((low & high).all(axis=1)))


def found_again(
    grey_a: GreyImage, grey_b: GreyImage, pair: Pair, *, strip: Strip
) -> tuple[FloatArray, FloatArray]:
    """Match patches of a trunk along their lines of sight.

    Parameters
    ----------
    grey_a, grey_b : ndarray of uint8, shapes (rows, columns)
        The two pictures.
    pair : Pair
        How their cameras stood.
    strip : Strip
        The trunk on the first picture.

    Returns
    -------
    a_px, b_px : ndarray of float64, shape (N, 2)
        Middles of the patches that were found again, and where. [px]
    """
    wide = 0.8 * (strip.right_px - strip.left_px)
    tall = float(np.clip(1.6 * wide, 16.0, 0.12 * grey_a.shape[0]))
    rows = np.arange(strip.top_px + tall / 2.0, strip.bottom_px - tall / 2.0 + 1e-6, tall / 2.0)
    if wide < 2.0 or len(rows) == 0:
        return np.empty((0, 2)), np.empty((0, 2))
    if len(rows) > MOST_PATCHES:
        rows = rows[np.linspace(0, len(rows) - 1, MOST_PATCHES).astype(int)]
    soft_a, soft_b = (
        np.asarray(cv2.GaussianBlur(one, (0, 0), 1.0), dtype=np.uint8) for one in (grey_a, grey_b)
    )
    middle = (strip.left_px + strip.right_px) / 2.0
    found_a, found_b = [], []
    for row in rows:
        grid = np.stack(
            np.meshgrid(
                middle + np.linspace(-0.5, 0.5, ACROSS) * wide,
                row + np.linspace(-0.5, 0.5, DOWN) * tall,
            ),
            axis=-1,
        ).reshape(-1, 2)
        where = _along(soft_a, soft_b, pair, grid=grid)
        if where is not None:
            found_a.append([middle, row])
            found_b.append(where)
    return np.array(found_a).reshape(-1, 2), np.array(found_b).reshape(-1, 2)


def _along(
    grey_a: GreyImage, grey_b: GreyImage, pair: Pair, *, grid: FloatArray
) -> FloatArray | None:
    """Where the middle of a patch is found again on the second picture. [px]."""
    patch = _sampled(grey_a, grid)
    if patch.std() < 1.0:
        return None
    inverse = np.linspace(1.0 / NEAREST_STEPS, 1.0 / FARTHEST_STEPS, 60)
    ends = _seen(pair, grid.mean(axis=0)[None], inverse[[0, -1]])
    if not np.isfinite(ends).all():
        ends = _seen(pair, grid.mean(axis=0)[None], inverse[[20, -1]])
    across = float(np.nan_to_num(np.linalg.norm(ends[0] - ends[1]), nan=200.0))
    count = int(np.clip(across / APART_PX, 40, MOST_TRIED))
    inverse = np.linspace(1.0 / NEAREST_STEPS, 1.0 / FARTHEST_STEPS, count)
    where = _seen(pair, grid, inverse)
    rows, columns = grey_b.shape
    corners = [0, ACROSS - 1, -ACROSS, -1]
    inside = (
        np.isfinite(where[:, corners]).all(axis=(1, 2))
        & (where[:, corners] >= 0.0).all(axis=(1, 2))
        & (where[:, corners] <= [columns - 1.0, rows - 1.0]).all(axis=(1, 2))
    )
    if int(inside.sum()) < 8:
        return None
    likeness = np.full(count, -1.0)
    seen = _sampled(grey_b, where[inside].reshape(-1, 2)).reshape(-1, len(grid))
    likeness[inside] = _correlated(patch, seen)
    return _clear_best(likeness, where[:, len(grid) // 2])


def _seen(pair: Pair, grid: FloatArray, inverse: FloatArray) -> FloatArray:
    """Pixels of b on which a's pixels fall when they lie 1 / inverse steps ahead, (D, N, 2)."""
    aim, _same = pair.pose.rays(grid, grid[:1], pair.lenses)
    ahead = (aim @ pair.pose.turn.T)[None] + inverse[:, None, None] * pair.pose.step
    return pixels(ahead, pair.lenses[1], k1=pair.pose.k1)


def _sampled(grey: GreyImage, at_px: FloatArray) -> FloatArray:
    """Tones between pixels."""
    at = at_px.astype(np.float32)
    tall = at.reshape(-1, 1, 2)
    tones = [
        cv2.remap(grey, part[..., 0], part[..., 1], cv2.INTER_LINEAR)
        for part in np.array_split(tall, len(tall) // 30_000 + 1)
    ]
    return np.asarray(np.concatenate(tones).ravel(), dtype=np.float64)


def _correlated(patch: FloatArray, seen: FloatArray) -> FloatArray:
    """Correlation of a patch with each of many, shape (D,)."""
    mine = patch - patch.mean()
    theirs = seen - seen.mean(axis=1, keepdims=True)
    size = np.linalg.norm(theirs, axis=1) * np.linalg.norm(mine)
    return np.asarray(theirs @ mine / np.maximum(size, 1e-9))


def _clear_best(likeness: FloatArray, where: FloatArray) -> FloatArray | None:
    """Place of the best likeness, between samples; None where another is next to as good."""
    best = int(np.argmax(likeness))
    if likeness[best] < LEAST_LIKENESS or not 0 < best < len(likeness) - 1:
        return None
    away = np.linalg.norm(where - where[best], axis=1) > 4.0
    rivals = likeness[away & np.isfinite(likeness)]
    if rivals.size and float(rivals.max()) > likeness[best] - LEAST_LEAD:
        return None
    low, peak, high = likeness[best - 1 : best + 2]
    bend = low - 2.0 * peak + high
    shift = 0.5 * (low - high) / bend if bend < -1e-9 else 0.0
    beside = where[best + (1 if shift > 0.0 else -1)]
    return np.asarray(where[best] + abs(float(np.clip(shift, -0.5, 0.5))) * (beside - where[best]))
