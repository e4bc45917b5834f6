"""From the forecast's wind, 10 m up in the open, to the air about a leaf in the wood."""

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray, IntArray
from shivelight.basis.errors import require_range

# Lower limits of Beaufort 1 to 12, WMO-No. 306, code table 1100, from memory. [m/s]
BEAUFORT_FROM_MPS = (0.3, 1.6, 3.4, 5.5, 8.0, 10.8, 13.9, 17.2, 20.8, 24.5, 28.5, 32.7)
STATES = ("still", "stirring", "moving")
# The states of the air at a leaf follow Beaufort 0, 1 and from 2 on, taken at the leaf.
STILL_BELOW_MPS = BEAUFORT_FROM_MPS[0]
MOVING_FROM_MPS = BEAUFORT_FROM_MPS[1]
# A gust over open country is about so much of the mean wind where none is given (a judgement).
USUAL_GUST_FRAC = 1.6


def leaf_height_wind_mps(wind_speed_mps: ArrayLike, *, stand_frac: ArrayLike) -> FloatArray:
    """Wind at the height of leaves near the ground inside a wood.

    Parameters
    ----------
    wind_speed_mps : array_like, broadcasting to S
        At 10 m in the open; below 0 gives NaN. [m/s]
    stand_frac : array_like, broadcasting to S
        Share of it that reaches the leaf: about 0.05 in a small opening of a tall stand, 0.1
        to 0.3 in a wood in leaf, 0.6 to 0.8 on open heath, by the stand's type.

    Returns
    -------
    ndarray of float64, shape S
        Mean wind at the leaf. At night less comes through than at noon. [m/s]

    Raises
    ------
    OutOfRangeError
        If a share is not 0 to 1.2.
    """
    share = np.asarray(stand_frac, dtype=np.float64)
    for one in np.unique(share):
        require_range("share of the wind in the stand", float(one), 0.0, 1.2)
    wind = np.asarray(wind_speed_mps, dtype=np.float64)
    return np.asarray(np.where(wind >= 0.0, wind, np.nan) * share)


def gusts_filled_mps(wind_gust_mps: ArrayLike, wind_speed_mps: ArrayLike) -> FloatArray:
    """Gusts, where none are given as 1.6 times the wind, and never below the wind. [m/s].

    Parameters
    ----------
    wind_gust_mps, wind_speed_mps : array_like, shapes that broadcast to S
        At 10 m. [m/s]
    """
    gust = np.asarray(wind_gust_mps, dtype=np.float64)
    wind = np.asarray(wind_speed_mps, dtype=np.float64)
    filled = np.where(np.isfinite(gust), gust, USUAL_GUST_FRAC * wind)
    return np.asarray(np.fmax(filled, wind))


def air_state(leaf_wind_mps: ArrayLike) -> IntArray:
    """State of the air at a leaf: 0 still, 1 stirring, 2 moving; −1 where the wind is missing.

    Parameters
    ----------
    leaf_wind_mps : array_like, shape S
        Wind at the leaf, from :func:`leaf_height_wind_mps`. [m/s]

    Returns
    -------
    ndarray of int64, shape S
        Index into :data:`STATES`.
    """
    wind = np.asarray(leaf_wind_mps, dtype=np.float64)
    state = np.digitize(np.nan_to_num(wind, nan=0.0), [STILL_BELOW_MPS, MOVING_FROM_MPS])
    return np.where(np.isfinite(wind), state, -1).astype(np.int64)


def beaufort(wind_speed_mps: ArrayLike) -> IntArray:
    """Beaufort number of a 10 m wind, 0 to 12; −1 where the wind is missing or below 0.

    Parameters
    ----------
    wind_speed_mps : array_like, shape S
        At 10 m in the open. [m/s]

    References
    ----------
    .. [1] WMO-No. 306, Manual on codes, code table 1100.
    """
    wind = np.asarray(wind_speed_mps, dtype=np.float64)
    # Limits are printed to a tenth: 1.55 m/s belongs to the step whose limit it rounds to.
    number = np.digitize(np.round(np.nan_to_num(wind, nan=-1.0), 1), BEAUFORT_FROM_MPS)
    return np.where(wind >= 0.0, number, -1).astype(np.int64)


def beaufort_wind_mps(number: ArrayLike) -> FloatArray:
    """Wind in the middle of a Beaufort step: 0.836 B^1.5. [m/s].

    Parameters
    ----------
    number : array_like, shape S
        0 to 12.
    """
    return np.asarray(0.836 * np.asarray(number, dtype=np.float64) ** 1.5)
