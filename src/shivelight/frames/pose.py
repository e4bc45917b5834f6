"""How one camera stood and was turned against another: refined, with its covariance.

Seven numbers are fitted together to the matches: the turn (3), the direction of the step (2),
one radial distortion and one factor on both focal lengths. The last two are held by what is known
of them beforehand, so that what is not known of the lens widens the errors of the distances.

References
----------
.. [1] R. Hartley, A. Zisserman, Multiple View Geometry, 2nd ed. (2004): section 11.4.3, the
   Sampson distance; section 9.6, the essential matrix.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike
from scipy.optimize import OptimizeResult, least_squares
from scipy.spatial.transform import Rotation

from shivelight.basis.arrays import FloatArray
from shivelight.frames.pinhole import Pinhole, directions

PARAMETERS = 7
LEAST_NOISE_PX = 0.25
"""No point is told better than this, whatever the fit says (a judgement). [px]"""
LIKE_FAULTS = 2.0
"""Factor on the errors of the pose: neighbouring points err alike (a judgement)."""
DISTORTION = 0.02
"""Standard error of k1 before the pictures are looked at (a judgement)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pose:
    """Camera b against camera a: X_b = turn · X_a + step, the step being one unit long.

    Attributes
    ----------
    turn : ndarray, shape (3, 3)
        Rotation from a's axes to b's.
    step : ndarray, shape (3,)
        Unit vector, in b's axes.
    k1 : float
        Radial distortion of both lenses.
    focal_frac : float
        Natural logarithm of the factor on both focal lengths.
    covariance : ndarray, shape (7, 7)
        Of the turn (3), the step's direction (2), k1 and focal_frac.
    noise_px : float
        Standard error of a matched point. [px]
    """

    turn: FloatArray
    step: FloatArray
    k1: float = 0.0
    focal_frac: float = 0.0
    covariance: FloatArray
    noise_px: float = 0.5

    @property
    def place(self) -> FloatArray:
        """Where camera b stands in a's axes (right, down, forward), in steps."""
        return np.asarray(-self.turn.T @ self.step)

    def moved(self, by: ArrayLike) -> "Pose":
        """Give the pose with its seven numbers moved a little."""
        small = np.asarray(by, dtype=np.float64)
        step = self.step + _across(self.step) @ small[3:5]
        return replace(
            self,
            turn=Rotation.from_rotvec(small[:3]).as_matrix() @ self.turn,
            step=step / np.linalg.norm(step),
            k1=self.k1 + float(small[5]),
            focal_frac=self.focal_frac + float(small[6]),
        )

    def rays(
        self, a_px: ArrayLike, b_px: ArrayLike, lenses: tuple[Pinhole, Pinhole]
    ) -> tuple[FloatArray, FloatArray]:
        """Directions of matched points in each camera's own axes, shapes (N, 3)."""
        wider = tuple(
            replace(one, focal_px=one.focal_px * float(np.exp(self.focal_frac))) for one in lenses
        )
        return directions(a_px, wider[0], k1=self.k1), directions(b_px, wider[1], k1=self.k1)


def off_px(
    pose: Pose, a_px: ArrayLike, b_px: ArrayLike, *, lenses: tuple[Pinhole, Pinhole]
) -> FloatArray:
    """How far matched points miss each other's lines of sight, as standard errors of one point.

    Parameters
    ----------
    pose : Pose
        Of b against a.
    a_px, b_px : array_like, shape (N, 2)
        Columns and rows. [px]
    lenses : (Pinhole, Pinhole)
        Of the two pictures.

    Returns
    -------
    ndarray of float64, shape (N,)
        Signed Sampson distances. [px]
    """
    a, b = pose.rays(a_px, b_px, lenses)
    essential = _essential(pose)
    line_b, line_a = a @ essential.T, b @ essential
    focal_a, focal_b = (one.focal_px * np.exp(pose.focal_frac) for one in lenses)
    slope = np.sum((line_b[:, :2] / focal_b) ** 2, axis=1) + np.sum(
        (line_a[:, :2] / focal_a) ** 2, axis=1
    )
    return np.asarray(np.sum(b * line_b, axis=1) / np.sqrt(np.maximum(slope, 1e-18)))


def refine(
    start: Pose,
    a_px: FloatArray,
    b_px: FloatArray,
    *,
    lenses: tuple[Pinhole, Pinhole],
    focal_doubt_frac: float,
) -> Pose:
    """Fit the seven numbers to matches, robustly, and give their covariance.

    Parameters
    ----------
    start : Pose
        To begin from; its covariance is not looked at.
    a_px, b_px : ndarray, shape (N, 2)
        Matched points, few of them wrong. [px]
    lenses : (Pinhole, Pinhole)
        Of the two pictures.
    focal_doubt_frac : float
        Standard error of the focal lengths, as a share of them.
    """
    known = np.array([DISTORTION, max(focal_doubt_frac, 1e-4)])

    def misses(by: FloatArray, noise_px: float) -> FloatArray:
        now = start.moved(by)
        held = np.array([now.k1, now.focal_frac]) / known
        return np.concatenate([off_px(now, a_px, b_px, lenses=lenses) / noise_px, held])

    noise_px, by = 1.0, np.zeros(PARAMETERS)
    for _ in range(3):
        by = _fitted(misses, by, noise_px).x
        left = off_px(start.moved(by), a_px, b_px, lenses=lenses)
        noise_px = max(1.4826 * float(np.median(np.abs(left))), LEAST_NOISE_PX)
    fit = _fitted(misses, by, noise_px)
    covariance = np.linalg.pinv(fit.jac.T @ fit.jac) * LIKE_FAULTS**2
    return replace(start.moved(fit.x), covariance=covariance, noise_px=noise_px)


def _fitted(
    misses: Callable[[FloatArray, float], FloatArray], start: FloatArray, noise_px: float
) -> OptimizeResult:
    return least_squares(
        misses, start, args=(noise_px,), loss=_held_loss, x_scale=[1e-3] * 5 + [1e-2] * 2
    )


def _held_loss(squares: FloatArray) -> FloatArray:
    """Cauchy's loss for matches, which may be wrong; plain squares for what is known before."""
    loss = np.stack([np.log1p(squares), 1.0 / (1.0 + squares), -1.0 / (1.0 + squares) ** 2])
    loss[0, -2:], loss[1, -2:], loss[2, -2:] = squares[-2:], 1.0, 0.0
    return loss


def _essential(pose: Pose) -> FloatArray:
    x, y, z = pose.step
    return np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]]) @ pose.turn


def _across(step: FloatArray) -> FloatArray:
    """Two unit vectors at right angles to a step, as columns (3, 2)."""
    helper = np.eye(3)[int(np.argmin(np.abs(step)))]
    one = np.cross(step, helper)
    one = one / np.linalg.norm(one)
    return np.stack([one, np.cross(step, one)], axis=1)
