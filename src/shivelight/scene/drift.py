"""How far one may drift from a stand before the first pair comes too close."""

import math
from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.scene._wish_boxes import Wish, Wood
from shivelight.scene.elements import Slope
from shivelight.scene.pair_gaps import course_kernel
from shivelight.scene.search import smallest_gaps_deg

FARTHEST_M = 2.0
"""Drift is followed no farther than this. [m]"""

STEP_M = 0.005
"""Steps in which a line is looked along before the root is closed in on. [m]"""

WAYS = {
    "left": (-1.0, 0.0, 0.0),
    "right": (1.0, 0.0, 0.0),
    "forward": (0.0, 1.0, 0.0),
    "back": (0.0, -1.0, 0.0),
    "up": (0.0, 0.0, 1.0),
    "down": (0.0, 0.0, -1.0),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Drift:
    """How far one may go each way until the smallest gap falls to a limit.

    Attributes
    ----------
    limit_deg : float
        0 for the first touch; the least gap for what is comfortable. [°]
    left_m, right_m, forward_m, back_m, up_m, down_m : float
        Infinite where nothing comes so close within 2 m (down: above the ground). [m]
    pairs : tuple of (str, int)
        Each way in which a pair comes so close, and its number in the wish.
    """

    limit_deg: float
    left_m: float
    right_m: float
    forward_m: float
    back_m: float
    up_m: float
    down_m: float
    pairs: tuple[tuple[str, int], ...]

    def way_m(self, way: str) -> float:
        """How far one may go one way ("left"). [m].

        Parameters
        ----------
        way : str
            left, right, forward, back, up or down.
        """
        return float(getattr(self, f"{way}_m"))

    def pair_of(self, way: str) -> int | None:
        """Which pair comes close first that way; None where none does.

        Parameters
        ----------
        way : str
            left, right, forward, back, up or down.
        """
        return dict(self.pairs).get(way)


def drift_from(
    place_m: FloatArray, wood: Wood, wish: Wish, *, slope: Slope, limit_deg: float = 0.0
) -> Drift:
    """How far one may drift from a place, by closing in on the root of the smallest gap.

    Sideways and forward the lens keeps its height above the ground.

    Parameters
    ----------
    place_m : ndarray of float64, shape (3,)
        Where the lens is. [m]
    wood, wish : Wood, Wish
        What stands there, what is wished.
    slope : Slope
        The ground.
    limit_deg : float
        Smallest gap at which drifting ends. [°]
    """
    found, pairs = {}, []
    for way, (dx, dy, dz) in WAYS.items():
        rise = slope.height_m(dx, dy) + dz
        step = np.array([dx, dy, rise])
        most = FARTHEST_M
        if way == "down":
            over = float(place_m[2]) - slope.height_m(float(place_m[0]), float(place_m[1]))
            most = max(0.0, min(most, over - 0.02))
        far = _first_root_m(place_m, step, wood, wish=wish, limit_deg=limit_deg, most_m=most)
        found[way] = far
        if math.isfinite(far):
            pairs.append((way, closest_pair(place_m + far * step, wood, wish)))
    return Drift(
        limit_deg=limit_deg,
        **{f"{way}_m": far for way, far in found.items()},
        pairs=tuple(pairs),
    )


def closest_pair(place_m: FloatArray, wood: Wood, wish: Wish) -> int:
    """Which of the pairs that should part has the smallest gap at a place.

    Parameters
    ----------
    place_m : ndarray of float64, shape (3,)
        Where the lens is. [m]
    wood, wish : Wood, Wish
        What stands there, what is wished; it names a pair or more.
    """
    places = np.asarray(place_m, dtype=np.float64)[np.newaxis]
    gaps = np.empty((len(wish.pairs), 1))
    low, high = wish.numbers[0], wish.numbers[1]
    course_kernel(wood.solids, places, wish.pairs, low, high, gaps)
    return int(np.argmin(gaps))


def _first_root_m(
    place: FloatArray,
    step: FloatArray,
    wood: Wood,
    *,
    wish: Wish,
    limit_deg: float,
    most_m: float,
) -> float:
    """Least distance along a step at which the smallest gap is at the limit. [m]."""
    count = max(2, math.ceil(most_m / STEP_M) + 1)
    along = np.linspace(0.0, most_m, count)
    gaps = smallest_gaps_deg(wood, wish, place + along[:, np.newaxis] * step)
    under = np.flatnonzero(gaps < limit_deg)
    if len(under) == 0:
        return math.inf
    first = int(under[0])
    if first == 0:
        return 0.0
    low, high = float(along[first - 1]), float(along[first])
    for _ in range(60):
        middle = 0.5 * (low + high)
        gap = smallest_gaps_deg(wood, wish, (place + middle * step)[np.newaxis])[0]
        if gap < limit_deg:
            high = middle
        else:
            low = middle
    return 0.5 * (low + high)
