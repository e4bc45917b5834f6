"""The ray-caster the slow way: look at small steps along a ray until a point lies in something.

It shares nothing with the compiled one: whether a point is inside a trunk, a branch or the ground
is asked of the shape itself, and the crossing is closed in on by halving.
"""

import math

import numpy as np

from shivelight.basis.arrays import FloatArray, IntArray
from shivelight.scene.elements import Survey

NOTHING = -9
SUN_PLACES = 200
"""Places looked at along a ray, and on the way from each to the sun."""
SUNK_M = 5.0
"""Trunks go on into the ground, where only the ground is seen."""


def inside(survey: Survey, points: FloatArray) -> IntArray:
    """Place among the trunks and segments of what holds each point; -1 ground, -9 nothing."""
    found = np.full(len(points), NOTHING)
    pieces = [(one.ends_m(survey.slope), one.width_m) for one in survey.trunks]
    pieces += [((one.start_m, one.end_m), one.width_m) for one in survey.segments]
    for number, (ends, width_m) in enumerate(pieces):
        start, end = map(np.array, ends)
        way = (end - start) / math.dist(start, end)
        along = (points - start) @ way
        if number < len(survey.trunks):
            off = np.linalg.norm(points - start - along[:, None] * way, axis=1)
            off[(along < -SUNK_M) | (along > math.dist(start, end))] = np.inf
        else:
            kept = np.clip(along, 0.0, math.dist(start, end))
            off = np.linalg.norm(points - start - kept[:, None] * way, axis=1)
        found[off <= width_m / 2.0] = number
    slope = survey.slope
    rise = slope.rise_right_frac * points[:, 0] + slope.rise_forward_frac * points[:, 1]
    found[points[:, 2] < rise] = -1
    return found


def march(
    survey: Survey, eye: FloatArray, ray: FloatArray, *, step: float, farthest: float
) -> tuple[float, int]:
    """How many rays long the way to the first thing is, and what it is; infinite for nothing."""
    ways = np.arange(1, round(farthest / step) + 1) * step
    first = inside(survey, eye + ways[:, None] * ray)
    if (first == NOTHING).all():
        return math.inf, NOTHING
    place = int((first != NOTHING).argmax())
    before, after, found = float(ways[place]) - step, float(ways[place]), int(first[place])
    for _ in range(50):
        middle = (before + after) / 2.0
        what = int(inside(survey, (eye + middle * ray)[None])[0])
        if what == NOTHING:
            before = middle
        else:
            after, found = middle, what
    return after, found


def sunlit_air(
    survey: Survey,
    eye: FloatArray,
    ray: FloatArray,
    *,
    way: float,
    per_m: float,
    toward: FloatArray,
) -> float:
    """Share of the mist's scattering along a ray, up to a way, on which the sun stands. [0, 1].

    Every place along the ray asks of many places toward the sun whether they lie in something.
    """
    edges = np.linspace(0.0, way, SUN_PLACES + 1)
    middles = (edges[1:] + edges[:-1]) / 2.0
    weights = np.exp(-per_m * edges[:-1]) - np.exp(-per_m * edges[1:])
    lit = 0.0
    for middle, weight in zip(middles, weights, strict=True):
        place = eye + middle * ray
        off = np.linspace(0.0, 80.0, 8 * SUN_PLACES)[1:]
        if (inside(survey, place + off[:, None] * toward) < 0).all():
            lit += weight
    return lit / float(weights.sum())
