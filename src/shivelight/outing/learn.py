"""What a wood's own mornings teach about the forecast's chance of mist there.

The chance p becomes sigmoid(a + (1 + b) logit p), with a ~ N(0, 0.65²) and b ~ N(0, 0.15²): the
first says that a wood may be mistier or clearer than the model's stations, the second that the
model may be too bold or too timid there. From few mornings the answer stays near p, and its
uncertainty is integrated over. Looks made *because* mist was seen weigh nothing.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, require_range

LEAST_CHANCE = 1e-4
"""Chances are held this far from nought and one, where log-odds have no end."""
NEWTON_STEPS = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class SitePrior:
    """How far a wood may lie from the model's stations before anything was logged there.

    Attributes
    ----------
    level_sd, slope_sd : float
        Standard deviations of ``a`` and ``b``, from the spread between the model's own stations
        when each was left out (docs/mist.md).
    """

    level_sd: float = 0.65
    slope_sd: float = 0.15

    def __post_init__(self) -> None:
        require_range("spread of the level", self.level_sd, 0.01, 5.0)
        require_range("spread of the slope", self.slope_sd, 0.01, 2.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteShift:
    """What a wood's record has taught; made by :func:`learn_site`, never changed in place.

    Attributes
    ----------
    a, b : float
        Most likely shift of the log-odds, and of their slope.
    var_a, cov_ab, var_b : float
        Their covariance (Laplace's approximation at the most likely values).
    mornings : float
        Weight of the mornings behind it.
    """

    a: float = 0.0
    b: float = 0.0
    var_a: float = 0.0
    cov_ab: float = 0.0
    var_b: float = 0.0
    mornings: float = 0.0


NOTHING_LEARNT = SiteShift()
"""Of a wood without a record: chances stay exactly as they are."""


def learn_site(
    said_frac: ArrayLike,
    found: ArrayLike,
    *,
    weight: ArrayLike | None = None,
    prior: SitePrior | None = None,
) -> SiteShift:
    """Learn a wood's shift from what was said and what was found.

    Parameters
    ----------
    said_frac : array_like, shape (N,)
        Chances as they were said before the record was used.
    found : array_like of bool, shape (N,)
        Whether mist was there.
    weight : array_like, shape (N,), optional
        1 for a fair look, 0 for one made because mist was seen; all 1 when not given.
    prior : SitePrior, optional
        What is believed beforehand.

    Returns
    -------
    SiteShift
        :data:`NOTHING_LEARNT` without a single fair morning.

    Raises
    ------
    BadInputError
        If the rows differ in length or a chance lies outside 0 to 1.

    References
    ----------
    .. [1] D. J. C. MacKay, The evidence framework applied to classification networks, Neural
       Computation 4 (1992), 720-736: Laplace's approximation and the moderated output.
    """
    said = np.asarray(said_frac, dtype=np.float64)
    was = np.asarray(found, dtype=np.float64)
    weighs = np.ones_like(said) if weight is None else np.asarray(weight, dtype=np.float64)
    if said.shape != was.shape or said.shape != weighs.shape or said.ndim != 1:
        raise BadInputError("What was said and what was found must be two equal rows.")
    if said.size and not (np.all(said >= 0.0) and np.all(said <= 1.0)):
        raise BadInputError("A chance that was said lies outside 0 to 1.")
    if not weighs.sum() > 0.0:
        return NOTHING_LEARNT
    believed = prior or SitePrior()
    terms = np.stack([np.ones_like(said), _log_odds(said)])
    precision = np.diag([believed.level_sd**-2, believed.slope_sd**-2])
    shift = np.zeros(2)
    for _ in range(NEWTON_STEPS):
        chance = _sigmoid(terms[1] + shift @ terms)
        slope = terms @ (weighs * (was - chance)) - precision @ shift
        bend = (terms * (weighs * chance * (1.0 - chance))) @ terms.T + precision
        step = np.linalg.solve(bend, slope)
        shift = shift + step
        if np.abs(step).max() < 1e-10:
            break
    covariance = np.linalg.inv(bend)
    return SiteShift(
        a=float(shift[0]),
        b=float(shift[1]),
        var_a=float(covariance[0, 0]),
        cov_ab=float(covariance[0, 1]),
        var_b=float(covariance[1, 1]),
        mornings=float(weighs.sum()),
    )


def shifted(chance_frac: ArrayLike, shift: SiteShift) -> FloatArray:
    """Move chances by what a wood's record has taught, its uncertainty integrated over.

    Parameters
    ----------
    chance_frac : array_like, shape S
        Chances as the model gives them.
    shift : SiteShift
        What was learnt.

    Returns
    -------
    ndarray of float64, shape S
        sigmoid(m / sqrt(1 + pi v / 8)) (MacKay 1992), with m and v the mean and variance of the
        moved log-odds. Without a record the chances as they were.
    """
    chance = np.asarray(chance_frac, dtype=np.float64)
    if shift.mornings <= 0.0:
        return chance.copy()
    odds = _log_odds(chance)
    mean = odds + shift.a + shift.b * odds
    variance = shift.var_a + 2.0 * shift.cov_ab * odds + shift.var_b * odds**2
    return _sigmoid(mean / np.sqrt(1.0 + np.pi * variance / 8.0))


def _log_odds(chance_frac: FloatArray) -> FloatArray:
    held = np.clip(chance_frac, LEAST_CHANCE, 1.0 - LEAST_CHANCE)
    return np.asarray(np.log(held / (1.0 - held)), dtype=np.float64)


def _sigmoid(log_odds: FloatArray) -> FloatArray:
    return np.asarray(1.0 / (1.0 + np.exp(-log_odds)), dtype=np.float64)
