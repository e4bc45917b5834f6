"""Draws that are the same every time: smooth random walks of members through a morning.

A chance by the quarter hour says nothing about how one quarter hangs on the next. Members are
therefore given a rank that wanders slowly (a Gaussian copula over time): a member that is misty
at seven is likely misty at half past. At each instant the ranks are spread evenly over the
members, so that a share of members strays less from its chance than plain draws would.
"""

import numpy as np
from scipy.special import ndtri

from shivelight.basis.arrays import FloatArray


def wandering_ranks(
    members: int, instants: int, *, step_min: float, hold_h: float, seed: int
) -> FloatArray:
    """Uniform ranks that are even across members at every instant and correlated in time.

    Parameters
    ----------
    members, instants : int
        Shape (M, S) of the answer.
    step_min : float
        Minutes between instants. [min]
    hold_h : float
        Time over which the correlation falls to 1/e. [h]
    seed : int
        The same seed gives the same ranks.

    Returns
    -------
    ndarray of float64, shape (M, S)
        In (0, 1). At each instant the M values are exactly (k + 1/2) / M in some order.
    """
    random = np.random.default_rng(seed)
    hold = np.exp(-step_min / (60.0 * hold_h))
    kick = np.sqrt(1.0 - hold**2)
    walk = np.empty((members, instants))
    walk[:, 0] = ndtri((random.permutation(members) + 0.5) / members)
    fresh = random.standard_normal((members, instants))
    for step in range(1, instants):
        walk[:, step] = hold * walk[:, step - 1] + kick * fresh[:, step]
    order = walk.argsort(axis=0).argsort(axis=0)
    return np.asarray((order + 0.5) / members, dtype=np.float64)


def stratified_normal(members: int, *, seed: int) -> FloatArray:
    """Draw standard normal numbers, one a member, even across members, in a seeded order."""
    random = np.random.default_rng(seed)
    return np.asarray(ndtri((random.permutation(members) + 0.5) / members), dtype=np.float64)
