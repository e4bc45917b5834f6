"""What a wood's own mornings teach about the forecast's chances there.

A wood may be mistier or clearer than the stations the model was fitted on. Two numbers are
learned, a step and a slope of the log-odds, both held back by a prior so that a few mornings
move little. Nothing is changed in place: learning gives a new :class:`SiteShift`, which the
caller keeps and passes in next time.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, OutOfRangeError

STEP_SD = 0.65  # spread of a site's log-odds among stations; docs/mist.md, a judgement from there
SLOPE_SD = 0.15
LEAST_FRAC = 0.001
"""Chances are held within 0.001 to 0.999 before their log-odds are taken."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteShift:
    """How one wood differs from the model: log-odds become ``a + (1 + b) * log-odds``.

    Attributes
    ----------
    a, b : float
        Step and change of slope, most probable values.
    var_a, var_b, cov_ab : float
        How unsure they are: variances and covariance.
    mornings : float
        Sum of the weights it was learned from.
    """

    a: float = 0.0
    b: float = 0.0
    var_a: float = STEP_SD**2
    var_b: float = SLOPE_SD**2
    cov_ab: float = 0.0
    mornings: float = 0.0

    def __post_init__(self) -> None:
        values = (self.a, self.b, self.var_a, self.var_b, self.cov_ab, self.mornings)
        if not all(math.isfinite(value) for value in values):
            raise BadInputError("A wood's shift must be made of finite numbers; learn it again.")
        if self.var_a < 0.0 or self.var_b < 0.0 or self.cov_ab**2 > self.var_a * self.var_b:
            raise BadInputError("A wood's shift has impossible variances; learn it again.")
        if self.mornings < 0.0:
            raise OutOfRangeError("mornings", self.mornings, 0.0, math.inf)


def learn_site(
    said_frac: ArrayLike, found: ArrayLike, weight: ArrayLike | None = None
) -> SiteShift:
    """Learn a wood's shift from what was said and what was found.

    Parameters
    ----------
    said_frac : array_like, shape (N,)
        Chance as the model gave it when the decision was made, before any shift. 0 to 1.
    found : array_like of bool, shape (N,)
        Whether it was found.
    weight : array_like, shape (N,), optional
        0 for a log made *because* mist was seen (such logs inflate the rate 1.6 to 2.5 times),
        1 for an evening's commitment or a daily look; 1 for all by default.

    Returns
    -------
    SiteShift
        The prior itself where no log has weight.

    Raises
    ------
    BadInputError
        If the three do not belong together.
    OutOfRangeError
        If a chance is outside 0 to 1 or a weight below 0.

    References
    ----------
    .. [1] D. J. C. MacKay, Neural Computation 4 (1992) 720: Laplace's approximation for logistic
       models and the moderated output used by :func:`shifted` (from memory).
    """
    said = np.atleast_1d(np.asarray(said_frac, dtype=np.float64))
    seen = np.atleast_1d(np.asarray(found, dtype=np.float64))
    weights = np.ones_like(said) if weight is None else np.asarray(weight, dtype=np.float64)
    weights = np.atleast_1d(weights)
    if said.ndim != 1 or said.shape != seen.shape or said.shape != weights.shape:
        raise BadInputError("Said, found and weight must be lists of the same length.")
    _check(said, seen, weights)
    if not weights.any():
        return SiteShift()
    columns = np.stack([np.ones_like(said), _wide_logit(said)], axis=1)
    return _laplace(columns, seen, weights)


def _check(said: FloatArray, seen: FloatArray, weights: FloatArray) -> None:
    bad = ~((said >= 0.0) & (said <= 1.0))
    if bad.any():
        raise OutOfRangeError("chance said", float(said[bad][0]), 0.0, 1.0)
    if not np.isin(seen, (0.0, 1.0)).all():
        raise BadInputError("What was found must be yes or no for every morning.")
    bad = ~((weights >= 0.0) & np.isfinite(weights))
    if bad.any():
        raise OutOfRangeError("weight", float(weights[bad][0]), 0.0, math.inf)


def _logit(chance_frac: FloatArray) -> FloatArray:
    held = np.clip(chance_frac, LEAST_FRAC, 1.0 - LEAST_FRAC)
    return np.asarray(np.log(held / (1.0 - held)), dtype=np.float64)


def _spread(logit: FloatArray, shift: SiteShift) -> FloatArray:
    """Variance of the log-odds at a wood."""
    return np.asarray(shift.var_a + 2.0 * logit * shift.cov_ab + logit**2 * shift.var_b)


def _wide_logit(chance_frac: FloatArray) -> FloatArray:
    """Log-odds at a site of average mistiness.

    The model's chance already averages over sites, which pulls it toward one half; taking that
    pull out here makes a wood without a record keep exactly the model's chance.
    """
    logit = _logit(chance_frac)
    return logit * np.sqrt(1.0 + np.pi * _spread(logit, SiteShift()) / 8.0)


def _laplace(columns: FloatArray, seen: FloatArray, weights: FloatArray) -> SiteShift:
    """Newton's method to the most probable (a, b), and the curvature there."""
    precision = np.diag([STEP_SD**-2, SLOPE_SD**-2])
    theta = np.zeros(2)
    for _ in range(50):
        chance = 1.0 / (1.0 + np.exp(-(columns @ theta + columns[:, 1])))
        slope = columns.T @ (weights * (seen - chance)) - precision @ theta
        bend = (columns * (weights * chance * (1.0 - chance))[:, None]).T @ columns + precision
        step = np.linalg.solve(bend, slope)
        theta = theta + step * min(1.0, 1.0 / max(float(np.abs(step).max()), 1e-12))
        if np.abs(step).max() < 1e-10:
            break
    covariance = np.linalg.inv(bend)
    return SiteShift(
        a=float(theta[0]),
        b=float(theta[1]),
        var_a=float(covariance[0, 0]),
        var_b=float(covariance[1, 1]),
        cov_ab=float(covariance[0, 1]),
        mornings=float(weights.sum()),
    )


def shifted(chance_frac: ArrayLike, shift: SiteShift) -> FloatArray:
    """Move the model's chances to a wood, allowing for how little is known of it.

    Parameters
    ----------
    chance_frac : array_like, shape S
        The model's chances; NaN gives NaN.
    shift : SiteShift
        What was learned; a new one leaves every chance as it is.

    Returns
    -------
    ndarray of float64, shape S
        Chances at the wood.
    """
    chance = np.asarray(chance_frac, dtype=np.float64)
    if np.any((chance < 0.0) | (chance > 1.0)):
        raise OutOfRangeError("chance", float(chance[(chance < 0) | (chance > 1)][0]), 0.0, 1.0)
    if shift.mornings == 0.0:
        return chance.copy()
    middle = shift.a + (1.0 + shift.b) * _wide_logit(chance)
    moderate = middle / np.sqrt(1.0 + np.pi * _spread(_logit(chance), shift) / 8.0)
    moved = 1.0 / (1.0 + np.exp(-moderate))
    return np.where((chance <= 0.0) | (chance >= 1.0), chance, moved)
