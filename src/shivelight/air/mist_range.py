"""From chances to metres: the optical range that belongs to a draw between 0 and 1."""

import numpy as np
from numpy.typing import ArrayLike

from shivelight.air.mist_model import MistModel
from shivelight.basis.arrays import FloatArray

MOST_STEPS = 100
MIST_M = 5_000.0
CLEAR_M = 40_000.0  # where the rough tail of clear air ends; a judgement


def range_quantile_m(
    u: ArrayLike, fog_frac: ArrayLike, mist_frac: ArrayLike, *, model: MistModel | None = None
) -> FloatArray:
    """Turn draws into optical ranges that honour both chances.

    Parameters
    ----------
    u : array_like, shape that broadcasts to S
        Draw from 0 (thickest) to 1 (clearest); NaN or outside gives NaN.
    fog_frac, mist_frac : array_like, shapes that broadcast to S
        Chance of a range under 1 km and under 5 km; the second counts as at least the first.
    model : MistModel, optional
        Whose tables of range inside fog and mist are used.

    Returns
    -------
    ndarray of float64, shape S
        Meteorological optical range. Inside fog and inside mist as at the training stations
        between an hour before and two after sunrise (inside a wood it is not measured); above
        5 km a rough log-straight tail to 40 km. [m]
    """
    table = model or MistModel.default()
    draw, fog, mist = np.broadcast_arrays(
        np.asarray(u, dtype=np.float64),
        np.asarray(fog_frac, dtype=np.float64),
        np.asarray(mist_frac, dtype=np.float64),
    )
    good = (draw >= 0.0) & (draw <= 1.0) & (fog >= 0.0) & (fog <= 1.0) & (mist <= 1.0)
    mist = np.maximum(mist, fog)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        in_fog = np.clip(np.where(fog > 0.0, draw / fog, 1.0), 0.0, 1.0)
        in_mist = np.clip(np.where(mist > fog, (draw - fog) / (mist - fog), 1.0), 0.0, 1.0)
        in_clear = np.clip(np.where(mist < 1.0, (draw - mist) / (1.0 - mist), 0.0), 0.0, 1.0)
    fog_m = _from_table(in_fog, table.fog_range_share, table.fog_range_m)
    mist_m = _from_table(in_mist, table.mist_range_share, table.mist_range_m)
    clear_m = MIST_M * (CLEAR_M / MIST_M) ** in_clear
    found = np.where(draw < fog, fog_m, np.where(draw < mist, mist_m, clear_m))
    return np.where(good, found, np.nan)


def _from_table(share: FloatArray, shares: FloatArray, knots_m: FloatArray) -> FloatArray:
    return np.asarray(np.exp(np.interp(share, shares, np.log(knots_m))), dtype=np.float64)


def recalibrate(member_frac: FloatArray, target_frac: ArrayLike) -> FloatArray:
    """Shift members' log-odds so that their mean becomes the chance that is told.

    Parameters
    ----------
    member_frac : ndarray, shape (M, ...)
        Each member's own chance.
    target_frac : array_like, shape (...)
        Mean wanted over the members.

    Returns
    -------
    ndarray, shape (M, ...)
        Order among members is kept; their mean is the target within 1e-9. Where the target is
        0 or 1 all members are. NaN in a column gives NaN there.
    """
    chance = np.clip(np.asarray(member_frac, dtype=np.float64), 1e-9, 1.0 - 1e-9)
    target = np.asarray(target_frac, dtype=np.float64)
    logit = np.log(chance / (1.0 - chance))
    low = np.full(logit.shape[1:], -60.0)
    high = np.full(logit.shape[1:], 60.0)
    shift = np.zeros(logit.shape[1:])
    for _ in range(MOST_STEPS):
        mean, slope = _mean_and_slope(logit, shift)
        low, high = np.where(mean > target, low, shift), np.where(mean > target, shift, high)
        with np.errstate(divide="ignore", invalid="ignore"):
            step = shift - (mean - target) / slope
        # Newton's step where it stays in the bracket, else its middle.
        inside = (step > low) & (step < high)
        moved_to = np.where(inside, step, 0.5 * (low + high))
        done = np.nanmax(np.abs(moved_to - shift), initial=0.0) < 1e-10
        shift = moved_to
        if done:
            break
    moved = 1.0 / (1.0 + np.exp(-(logit + shift)))
    moved = np.where(target <= 0.0, 0.0, np.where(target >= 1.0, 1.0, moved))
    return np.where(np.isfinite(target) & np.isfinite(logit).all(axis=0), moved, np.nan)


def _mean_and_slope(logit: FloatArray, shift: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Mean chance over the members after a shift, and how fast it rises with the shift."""
    chance = 1.0 / (1.0 + np.exp(-(logit + shift)))
    return chance.mean(axis=0), (chance * (1.0 - chance)).mean(axis=0)
