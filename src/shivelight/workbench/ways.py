"""How long it takes on foot: as timed by day, or worked out from the map in the dark."""

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.basis.places import Position, distance_and_azimuth
from shivelight.land.walking import walk_time_s
from shivelight.outing.spots import Spot
from shivelight.outing.woods import Wood

DETOUR = 1.3
"""A path is so much longer than the straight line: a judgement, where nothing was timed."""


def walk_to_min(spot: Spot, wood: Wood) -> float:
    """Walk from the parking place to a spot: as timed, else worked out in the dark. [min]."""
    if spot.walk_min is not None:
        return spot.walk_min
    return walk_between_min(wood.parking, spot.position)


def walk_between_min(start: Position, end: Position) -> float:
    """Walk between two positions in the dark, by Tobler on the mean slope. [min]."""
    straight_m, _ = distance_and_azimuth(start, end)
    rise_m = 0.0
    if start.ground_height_m is not None and end.ground_height_m is not None:
        rise_m = end.ground_height_m - start.ground_height_m
    return walk_time_s(straight_m * DETOUR, rise_m=rise_m, dark=True) / 60.0


def shortest_ways(ways_s: FloatArray) -> FloatArray:
    """Make every way the shortest, through other places where that is quicker.

    Parameters
    ----------
    ways_s : ndarray, shape (N, N)
        From row to column. [s]

    Returns
    -------
    ndarray of float64, shape (N, N)
        Floyd and Warshall's shortest ways; nought from a place to itself. [s]
    """
    best = ways_s.copy()
    np.fill_diagonal(best, 0.0)
    for through in range(best.shape[0]):
        best = np.minimum(best, best[:, through, None] + best[None, through, :])
    return np.asarray(best, dtype=np.float64)
