"""Where nobody stands: closed ground, rings round old trees, and the trunks themselves."""

import numpy as np

from shivelight.basis.arrays import BoolArray, FloatArray
from shivelight.scene.elements import ClosedGround, Survey

ROOM_M = 0.25
"""Room that a tripod needs between the lens and a trunk's bark. A judgement. [m]"""


def is_open(survey: Survey, places_m: FloatArray) -> BoolArray:
    """Whether the lens can be put at places at all.

    This says only that nothing in the survey is against it, never that one may go there.

    Parameters
    ----------
    survey : Survey
        What stands there and what is closed.
    places_m : ndarray of float64, shape (N, 3)
        Where the lens would be. [m]

    Returns
    -------
    ndarray of bool, shape (N,)
        False inside closed ground and rings, on their edges, and where a trunk stands.
    """
    found = np.ones(len(places_m), dtype=np.bool_)
    for closed in survey.closed:
        found &= ~is_inside(closed, places_m[:, 0], places_m[:, 1])
    for trunk in survey.trunks:
        away = np.hypot(places_m[:, 0] - trunk.x_m, places_m[:, 1] - trunk.y_m)
        found &= away > trunk.width_m / 2.0 + ROOM_M
    return found


def is_inside(closed: ClosedGround, x_m: FloatArray, y_m: FloatArray) -> BoolArray:
    """Whether places lie in closed ground or on its edge.

    Parameters
    ----------
    closed : ClosedGround
        A ring, or ground between corners.
    x_m, y_m : ndarray of float64, shape (N,)
        Places. [m]

    Returns
    -------
    ndarray of bool, shape (N,)
    """
    if closed.radius_m > 0.0:
        away = np.hypot(x_m - closed.centre_m[0], y_m - closed.centre_m[1])
        return np.asarray(away <= closed.radius_m + 1e-9)
    inside = np.zeros(np.shape(x_m), dtype=np.bool_)
    edge = np.zeros(np.shape(x_m), dtype=np.bool_)
    corners = closed.corners_m
    for (ax, ay), (bx, by) in zip(corners, (*corners[1:], corners[0]), strict=True):
        crosses = (ay > y_m) != (by > y_m)
        if ay != by:
            inside ^= crosses & (x_m < ax + (y_m - ay) * (bx - ax) / (by - ay))
        length = max(np.hypot(bx - ax, by - ay), 1e-12)
        share = ((x_m - ax) * (bx - ax) + (y_m - ay) * (by - ay)) / length**2
        share = np.clip(share, 0.0, 1.0)
        off = np.hypot(x_m - ax - share * (bx - ax), y_m - ay - share * (by - ay))
        edge |= off <= 1e-9
    return inside | edge
