"""When fog lifts: a hazard by the quarter hour, its quantiles, and what a look out does to them.

Lifting means that the optical range reaches 1 km and stays so for two hours. Everything here is
*given* that there is fog at sunrise.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, MissingDataError, require_range

STEP_MIN = 15.0
LONGEST_MIN = 480.0
BIN_END_MIN = np.arange(STEP_MIN, LONGEST_MIN + 1.0, STEP_MIN)
"""Ends of the quarter hours after sunrise. Shape (32,). [min]"""

QUANTILES = (0.10, 0.25, 0.50, 0.75, 0.90)

SEEN = ("none", "wisps", "thin", "good", "thick")
"""What the log calls mist, from nothing to most."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenShift:
    """What a look at sunrise adds to the log-odds of lifting in each quarter hour.

    Attributes
    ----------
    thin_shift, good_shift, thick_shift : float
        For an optical range of 500 m to 1 km, 200 to 500 m, under 200 m; which word stands for
        which range is a judgement, the shifts are fitted at the training stations.
    wisps_shift : float
        For 1 to 2 km; then "lifted" means 2 km and more.
    """

    thin_shift: float
    good_shift: float
    thick_shift: float
    wisps_shift: float

    def of(self, seen: str) -> float:
        """Shift that belongs to a word of :data:`SEEN` other than "none"."""
        if seen not in SEEN[1:]:
            raise BadInputError(f"Seen mist is {seen!r}; say one of: {', '.join(SEEN)}.")
        return float(getattr(self, f"{seen}_shift"))


def survival(hazard_logit: FloatArray) -> FloatArray:
    """Share of fogs still there after each quarter hour.

    Parameters
    ----------
    hazard_logit : ndarray, shape (..., 32)
        Log-odds of lifting within the quarter hour that ends at :data:`BIN_END_MIN`.

    Returns
    -------
    ndarray, shape (..., 33)
        At 0, 15, ... 480 minutes after sunrise; starts at 1 and never rises.
    """
    stay = 1.0 / (1.0 + np.exp(np.clip(hazard_logit, -30.0, 30.0)))
    still = np.cumprod(stay, axis=-1)
    return np.concatenate([np.ones((*still.shape[:-1], 1)), still], axis=-1)


def lift_quantiles_min(still_frac: FloatArray, *, after_min: float = 0.0) -> FloatArray:
    """Read quantiles of the lifting time off a survival curve.

    Parameters
    ----------
    still_frac : ndarray, shape (M, 33)
        As :func:`survival` gives it.
    after_min : float
        Fog is known to stand at this time; the curve is cut and scaled there. [min]

    Returns
    -------
    ndarray, shape (M, 5)
        Minutes after sunrise by which 10, 25, 50, 75 and 90 in a hundred such fogs have lifted,
        straight within a quarter hour; 480 where that is not within 8 h.
    """
    require_range("minutes after sunrise", after_min, 0.0, LONGEST_MIN, "min")
    edges_min = np.concatenate([[0.0], BIN_END_MIN])
    found = np.full((still_frac.shape[0], len(QUANTILES)), LONGEST_MIN)
    for row, still in enumerate(still_frac):
        start = float(np.interp(after_min, edges_min, still))
        if start <= 0.0:
            found[row] = after_min
            continue
        gone = 1.0 - np.minimum(still / start, 1.0)
        for column, share in enumerate(QUANTILES):
            found[row, column] = _first_reach(gone, edges_min, share)
    return np.asarray(np.maximum(found, after_min), dtype=np.float64)


def _first_reach(gone: FloatArray, edges_min: FloatArray, share: float) -> float:
    """Time at which a rising curve first reaches a share; 480 if it does not."""
    after = int(np.searchsorted(gone, share, side="left"))
    if after >= gone.size:
        return LONGEST_MIN
    if after == 0:
        return float(edges_min[0])
    low, high = gone[after - 1], gone[after]
    part = (share - low) / (high - low)
    return float(edges_min[after - 1] + part * (edges_min[after] - edges_min[after - 1]))


def shifted_survival(still_frac: FloatArray, shift: ArrayLike) -> FloatArray:
    """Move the log-odds of lifting in every quarter hour by the same step.

    Parameters
    ----------
    still_frac : ndarray, shape (M, 33)
        As :func:`survival` gives it.
    shift : array_like, shape () or (M,)
        Positive lifts sooner.

    Returns
    -------
    ndarray, shape (M, 33)
    """
    before = np.maximum(still_frac[:, :-1], 1e-300)
    hazard = np.clip(1.0 - still_frac[:, 1:] / before, 1e-9, 1.0 - 1e-9)
    logit = np.log(hazard / (1.0 - hazard)) + np.reshape(shift, (-1, 1))
    return survival(logit)


def quantiles_given_seen(
    still_frac: FloatArray, *, seen: str, minutes: float, shifts: SeenShift
) -> FloatArray:
    """Quantiles of lifting after a look out of the door or on arrival.

    Parameters
    ----------
    still_frac : ndarray, shape (M, 33)
        Survival curves given fog at sunrise.
    seen : str
        One of :data:`SEEN`.
    minutes : float
        When it was seen, after sunrise; before sunrise counts as sunrise. [min]
    shifts : SeenShift
        Fitted shifts.

    Returns
    -------
    ndarray, shape (M, 5)
        Minutes after sunrise at 10, 25, 50, 75, 90 in a hundred; all equal ``minutes`` when
        nothing is seen, for then nothing is left to lift.
    """
    if still_frac.ndim != 2 or still_frac.shape[1] != BIN_END_MIN.size + 1:
        raise MissingDataError("There is no lifting curve to update; judge the morning first.")
    require_range("minutes after sunrise", minutes, -240.0, LONGEST_MIN, "min")
    when_min = max(float(minutes), 0.0)
    if seen == "none":
        return np.full((still_frac.shape[0], len(QUANTILES)), when_min)
    moved = shifted_survival(still_frac, shifts.of(seen))
    return lift_quantiles_min(moved, after_min=when_min)
