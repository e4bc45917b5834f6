"""Points that can be told again in another photograph, and which belong together.

Scale-invariant features are the ones that bear mist. Pictures are softened a little first, which
costs nothing in clear air and doubles the right matches where mist and grain are about alike, and
the points are spread over the picture, so that a pale trunk keeps its own beside a strong ground.

References
----------
.. [1] D. Lowe, Distinctive image features from scale-invariant keypoints, IJCV 60 (2004) 91.
.. [2] R. Arandjelovic, A. Zisserman, Three things everyone should know to improve object
   retrieval, CVPR 2012: the square root of the descriptors.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from shivelight.basis.arrays import FloatArray, IntArray

GreyImage = NDArray[np.uint8]

SOFTENED_PX = 1.2
"""Standard deviation of the softening: the best of 0, 0.8, 1.2, 1.8 on misty renders. [px]"""
CELLS = (12, 8)
"""Columns and rows of the grid over which points are spread."""
MOST_FEATURES = 6000
"""Kept of each picture; more cost time and give no better pose (a judgement)."""
LEAST_CONTRAST = 0.005
"""Of a feature on the detector's scale; an eighth of the usual, for mist (a judgement)."""
RATIO = 0.84
"""A match is kept when its distance is this much less than the next best one's [1]_."""
_CHUNK = 1024


@dataclass(frozen=True, slots=True, kw_only=True)
class Features:
    """Points of one picture with what tells them apart.

    Attributes
    ----------
    points_px : ndarray, shape (N, 2)
        Columns and rows. [px]
    sizes_px : ndarray, shape (N,)
        Diameter of the patch each is told by. [px]
    signs : ndarray of float32, shape (N, 128)
        Their descriptors, of unit length.
    """

    points_px: FloatArray
    sizes_px: FloatArray
    signs: NDArray[np.float32]

    def __len__(self) -> int:
        return len(self.points_px)


def find_features(grey: GreyImage, *, most: int = MOST_FEATURES) -> Features:
    """Find points of a picture that can be told again.

    Parameters
    ----------
    grey : ndarray of uint8, shape (rows, columns)
        The picture.
    most : int
        How many at most, the strongest first.
    """
    soft = cv2.GaussianBlur(grey, (0, 0), SOFTENED_PX)
    finder = cv2.SIFT.create(
        nfeatures=2 * most, contrastThreshold=LEAST_CONTRAST, edgeThreshold=14
    )
    found, signs = finder.detectAndCompute(soft, None)
    if len(found) == 0:
        return Features(
            points_px=np.empty((0, 2)),
            sizes_px=np.empty(0),
            signs=np.empty((0, 128), dtype=np.float32),
        )
    roots = np.sqrt(signs / np.maximum(signs.sum(axis=1, keepdims=True), 1e-9))
    points = np.array([one.pt for one in found], dtype=np.float64)
    strength = np.array([one.response for one in found], dtype=np.float64)
    kept = _spread(points, strength, shape=grey.shape, most=most)
    return Features(
        points_px=points[kept],
        sizes_px=np.array([one.size for one in found], dtype=np.float64)[kept],
        signs=np.ascontiguousarray(roots[kept], dtype=np.float32),
    )


def _spread(
    points: FloatArray, strength: FloatArray, *, shape: tuple[int, ...], most: int
) -> IntArray:
    """Give the rows to keep: the strongest of each cell, until there are as many as wanted."""
    if len(points) <= most:
        return np.arange(len(points))
    column = np.minimum(points[:, 0] * CELLS[0] / shape[1], CELLS[0] - 1).astype(int)
    row = np.minimum(points[:, 1] * CELLS[1] / shape[0], CELLS[1] - 1).astype(int)
    cell = row * CELLS[0] + column
    order = np.lexsort((-strength, cell))
    first = np.searchsorted(cell[order], cell[order], side="left")
    rank = np.empty(len(points))
    rank[order] = np.arange(len(points)) - first
    return np.sort(np.argsort(rank, kind="stable")[:most])


def match(
    a: Features,
    b: Features,
    *,
    ratio: float = RATIO,
) -> tuple[IntArray, FloatArray]:
    """Which points of one picture are which of another: each the other's best, and distinct.

    Parameters
    ----------
    a, b : Features
        Of the two pictures.
    ratio : float
        How much better than the next best, at least: distances, smaller is stricter.

    Returns
    -------
    pairs : ndarray of int64, shape (M, 2)
        Rows of ``a`` and of ``b``; each row of either stands there once at most.
    closeness : ndarray of float64, shape (M,)
        Distance over that of the next best; below ``ratio``.
    """
    if len(a) < 2 or len(b) < 2:
        return np.empty((0, 2), dtype=np.int64), np.empty(0)
    best_b = np.empty(len(a), dtype=np.int64)
    first, second = np.empty(len(a)), np.empty(len(a))
    best_a = np.zeros(len(b), dtype=np.int64)
    likest = np.full(len(b), -np.inf, dtype=np.float32)
    for start in range(0, len(a), _CHUNK):
        part = slice(start, start + _CHUNK)
        likeness = a.signs[part] @ b.signs.T
        rows = np.arange(len(likeness))
        down = likeness.argmax(axis=0)
        at_best = likeness[down, np.arange(len(b))]
        better = at_best > likest
        best_a[better], likest[better] = down[better] + start, at_best[better]
        across = likeness.argmax(axis=1)
        best_b[part], first[part] = across, likeness[rows, across]
        likeness[rows, across] = -1.0
        second[part] = likeness.max(axis=1)
    # Descriptors have unit length, so the distance squared is 2 - 2 (likeness).
    closeness = np.sqrt(np.maximum(1.0 - first, 0.0) / np.maximum(1.0 - second, 1e-9))
    mutual = best_a[best_b] == np.arange(len(a))
    kept = np.flatnonzero((closeness < ratio) & mutual)
    return np.stack([kept, best_b[kept]], axis=1), closeness[kept]
