"""Gaps of pairs by number, compiled: the inner part of ``gaps``, ``drift`` and ``search``."""

import math

import numpy as np

from shivelight.basis.arrays import FloatArray, IntArray, kernel
from shivelight.scene.silhouettes import EDGES, Solids, bearing_kernel, outlines_kernel

EVERY_ALTITUDE_DEG = (-89.0, 89.0)
"""All altitudes at which anything can be seen. [°]"""


def pair_gaps(
    solids: Solids,
    places_m: FloatArray,
    *,
    pairs: IntArray,
    altitudes_deg: tuple[float, float] = EVERY_ALTITUDE_DEG,
) -> FloatArray:
    """Gaps of pairs of elements by number, without names, at many places.

    Parameters
    ----------
    solids : Solids
        Trunks and segments.
    places_m : ndarray of float64, shape (N, 3)
        Where the lens is. [m]
    pairs : ndarray of int64, shape (P, 2)
        Numbers of elements, trunks before segments.
    altitudes_deg : (low, high)
        Altitudes that matter. [°]

    Returns
    -------
    ndarray of float64, shape (P, N)
        Angles; infinite where two share no altitude. [°]
    """
    low, high = (math.tan(math.radians(one)) for one in altitudes_deg)
    gaps = np.empty((len(pairs), len(places_m)))
    course_kernel(solids, places_m, pairs, low, high, gaps)
    return np.degrees(gaps)


@kernel
def gap_kernel(
    one: FloatArray, other: FloatArray, low_tangent: float, high_tangent: float
) -> float:
    """Smallest gap between two pieces over the altitudes they share within limits, in radians.

    Negative where they overlap; infinite where they share no altitude.
    """
    low = max(one[4], other[4], low_tangent)
    high = min(one[5], other[5], high_tangent)
    if low > high:
        return math.inf
    middle = 0.5 * (other[0] + other[2] - one[0] - one[2])
    turn = 2.0 * math.pi * math.floor(middle / (2.0 * math.pi) + 0.5)
    if one[1] == 0.0 and one[3] == 0.0 and other[1] == 0.0 and other[3] == 0.0:
        upright: float = max(other[0] - turn - one[2], one[0] - other[2] + turn)
        return upright
    ahead = min(
        bearing_kernel(other[0], other[1], low) - bearing_kernel(one[2], one[3], low),
        bearing_kernel(other[0], other[1], high) - bearing_kernel(one[2], one[3], high),
    )
    behind = min(
        bearing_kernel(one[0], one[1], low) - bearing_kernel(other[2], other[3], low),
        bearing_kernel(one[0], one[1], high) - bearing_kernel(other[2], other[3], high),
    )
    gap: float = max(ahead - turn, behind + turn)
    return gap


@kernel
def pair_gap_kernel(
    edges: FloatArray, first: IntArray, pair: IntArray, low_tangent: float, high_tangent: float
) -> float:
    """Smallest gap between any piece of one element and any of another, in radians."""
    smallest = math.inf
    for one in range(first[pair[0]], first[pair[0] + 1]):
        for other in range(first[pair[1]], first[pair[1] + 1]):
            gap = gap_kernel(edges[one], edges[other], low_tangent, high_tangent)
            smallest = min(smallest, gap)
    return smallest


@kernel
def course_kernel(
    solids: Solids,
    places_m: FloatArray,
    pairs: IntArray,
    low_tangent: float,
    high_tangent: float,
    out_rad: FloatArray,
) -> None:
    """Write the gap of each pair (rows) at each place (columns), in radians."""
    edges = np.empty((len(solids.radius_m), EDGES))
    for number in range(len(places_m)):
        outlines_kernel(solids, places_m[number], edges)
        for row in range(len(pairs)):
            out_rad[row, number] = pair_gap_kernel(
                edges, solids.first, pairs[row], low_tangent, high_tangent
            )
