"""Layers in mist: how far apart in tone trunks stand, and the mist that parts them best.

Rough. It takes dark trunks, even light and even mist; low sun in the frame or a shallow layer of
mist break it, and the range is commonly paced to the last trunk that can just be made out.
"""

import math

import numpy as np
from numpy.typing import ArrayLike

from shivelight.air.visibility import contrast_frac
from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError

DARK_TRUNK_FRAC = 0.05
"""Tone of a dark trunk near by, as a share of the mist's own: a judgement."""
MERGES_UNDER_EV = 0.40
"""Layers nearer in tone than this read as one: a judgement."""
NEARLY_BEST_FRAC = 0.9
"""The window keeps nine tenths of the best smallest step: a judgement."""
RANGE_LIMITS_M = (5.0, 20_000.0)
_RANGES = 2_000


def tones(distances_m: ArrayLike, optical_range_m: ArrayLike) -> FloatArray:
    """Tone of dark trunks through mist, as a share of the mist's own luminance.

    Parameters
    ----------
    distances_m : array_like, shape (..., N)
        Distances of the layers; less than 0 gives NaN. [m]
    optical_range_m : array_like, broadcasting to the distances
        Optical range; 0 and less give NaN. [m]

    Returns
    -------
    ndarray of float64, shape (..., N)
        1 − 0.95 C, with C the contrast left. Share, 0.05 near by and 1 far off.
    """
    left = contrast_frac(distances_m, optical_range_m=optical_range_m)
    return np.asarray(1.0 - (1.0 - DARK_TRUNK_FRAC) * left)


def tone_steps(distances_m: ArrayLike, optical_range_m: ArrayLike) -> FloatArray:
    """Find the steps in tone from each layer to the next one behind, in stops.

    Parameters
    ----------
    distances_m : array_like, shape (N,)
        Distances of the layers, near to far; N of 1 or 0 has no step. [m]
    optical_range_m : array_like, shape S
        Optical range; 0 and less give NaN. [m]

    Returns
    -------
    ndarray of float64, shape (*S, max(N - 1, 0))
        Stops, positive where the layer behind is lighter.

    Raises
    ------
    BadInputError
        If the distances do not run from near to far.
    """
    layers = _near_to_far(distances_m)
    reach = np.asarray(optical_range_m, dtype=np.float64)[..., np.newaxis]
    return np.diff(np.log2(tones(layers, reach)), axis=-1)


def best_range_m(distances_m: ArrayLike) -> tuple[float, float, float]:
    """Optical ranges in which the layers part best: the smallest step is largest.

    Parameters
    ----------
    distances_m : array_like, shape (N,)
        Distances of the layers, near to far; two or more. [m]

    Returns
    -------
    low_m, best_m, high_m : float
        The best range, and where the smallest step keeps nine tenths of its best. Ranges are
        tried from 5 m to 20 km, 0.4 % apart.

    Raises
    ------
    BadInputError
        If there are fewer than two layers, or they do not run from near to far.
    """
    layers = _near_to_far(distances_m)
    if layers.size < 2:
        raise BadInputError("One trunk makes no layers; give the distance of a second one.")
    ranges = np.geomspace(*RANGE_LIMITS_M, _RANGES)
    smallest = tone_steps(layers, ranges).min(axis=-1)
    top = int(smallest.argmax())
    enough = smallest >= NEARLY_BEST_FRAC * smallest[top]
    low = top - int(np.argmin(np.append(enough[: top + 1][::-1], False))) + 1
    high = top + int(np.argmin(np.append(enough[top:], False))) - 1
    return float(ranges[low]), float(ranges[top]), float(ranges[high])


def distinct_layers_m(distances_m: ArrayLike, *, apart_frac: float = 0.2) -> tuple[float, ...]:
    """Layers of a wood: trunks nearly as far as one another are one layer.

    Parameters
    ----------
    distances_m : array_like, shape (N,)
        Distances of trunks, in any order; NaN and less than 0 are left out. [m]
    apart_frac : float
        The next layer begins this share farther than the last one began: a judgement.

    Returns
    -------
    tuple of float
        Distances near to far, the nearest trunk of each layer.
    """
    known = np.asarray(distances_m, dtype=np.float64).ravel()
    layers: list[float] = []
    for distance in np.sort(known[known > 0.0]):
        if not layers or distance > layers[-1] * (1.0 + apart_frac):
            layers.append(float(distance))
    return tuple(layers)


def wish_words(distances_m: ArrayLike) -> str:
    """Say the window as a wish: "mist 120 to 260 m", rounded to what a pace can tell.

    Parameters
    ----------
    distances_m : array_like, shape (N,)
        Distances of the layers, near to far; two or more. [m]
    """
    low_m, _, high_m = best_range_m(distances_m)
    return f"mist {_rounded(low_m):g} to {_rounded(high_m):g} m"


def _rounded(metres: float) -> float:
    """Round to two figures."""
    step = 10.0 ** (math.floor(math.log10(metres)) - 1)
    return round(metres / step) * step


def _near_to_far(distances_m: ArrayLike) -> FloatArray:
    layers = np.asarray(distances_m, dtype=np.float64)
    if layers.ndim != 1 or not (np.all(layers > 0.0) and np.all(np.diff(layers) > 0.0)):
        raise BadInputError(
            "Layers are given from near to far, each farther than the last and more than 0 m off."
        )
    return layers
