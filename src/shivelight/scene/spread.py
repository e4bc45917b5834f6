"""How far the best place moves when the measurements are drawn again from their doubts."""

import math
from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import require_range
from shivelight.scene._wish_boxes import Wish, Wood
from shivelight.scene.elements import Doubt, Segment, Survey, Trunk
from shivelight.scene.search import smallest_gaps_deg

NEAR_M = 0.6
"""The best place is looked for again within so much of the stand. A judgement. [m]"""

STEP_M = 0.01
SHARE = 0.8
"""Part of the tries between the two ends of a spread: 8 in 10."""

TRIES, SEED = 300, 20271103
"""How often the survey is drawn again unless said, and of what; the same seed, the same spread."""
NEAREST_M = 0.1
"""No redrawn trunk comes nearer to the mark than this. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Where the best place lies in 8 of 10 tries.

    Attributes
    ----------
    left_m, right_m : float
        Lower and upper end sideways, in the local frame. [m]
    back_m, front_m : float
        The same forward; both at the stand where only sideways was in reach. [m]
    tries : int
        How often everything was drawn again.
    closed : int
        In how many of them no place near the stand was open.
    """

    left_m: float
    right_m: float
    back_m: float
    front_m: float
    tries: int
    closed: int


def has_doubt(survey: Survey) -> bool:
    """Whether anything in a survey is in doubt.

    Parameters
    ----------
    survey : Survey
        What was surveyed.
    """
    every = _elements(survey)
    return survey.scale_doubt_frac > 0.0 or any(one.doubt != Doubt() for one in every)


def spread_at(
    place_m: FloatArray,
    survey: Survey,
    wood: Wood,
    *,
    wish: Wish,
    tries: int,
    seed: int,
    deep: bool = False,
) -> Spread:
    """Draw the survey again and again and find the best place near a stand each time.

    Parameters
    ----------
    place_m : ndarray of float64, shape (3,)
        The stand. [m]
    survey : Survey
        What was surveyed, with its doubts.
    wood, wish : Wood, Wish
        The same as arrays.
    tries : int
        How often.
    seed : int
        Of the draws: the same seed gives the same spread.
    deep : bool
        Whether to look forward and back as well.
    """
    require_range("number of tries", tries, 1, 100_000)
    random = np.random.default_rng(seed)
    half = round(NEAR_M / STEP_M)
    line = np.linspace(-half * STEP_M, half * STEP_M, 2 * half + 1, dtype=np.float64)
    sideways = _along(place_m, line, 0, survey)
    forward = _along(place_m, line, 1, survey)
    best_x, best_y, closed = np.empty(tries), np.empty(tries), 0
    for number in range(tries):
        drawn = redrawn(survey, wood, random)
        gaps = smallest_gaps_deg(drawn, wish, sideways)
        closed += bool(gaps.max() < 0.0)
        best_x[number] = place_m[0] + _best(gaps, line)
        best_y[number] = place_m[1]
        if deep:
            best_y[number] += _best(smallest_gaps_deg(drawn, wish, forward), line)
    ends = (0.5 - SHARE / 2.0, 0.5 + SHARE / 2.0)
    left, right = np.quantile(best_x, ends)
    back, front = np.quantile(best_y, ends)
    return Spread(
        left_m=float(left),
        right_m=float(right),
        back_m=float(back),
        front_m=float(front),
        tries=tries,
        closed=closed,
    )


def redrawn(survey: Survey, wood: Wood, random: np.random.Generator) -> Wood:
    """Draw every measurement again from its doubt, all distances by one shared factor as well.

    An element moves as a whole along its line of sight from the mark and across it; a trunk may
    come to stand in another, as measurements do.

    Parameters
    ----------
    survey, wood : Survey, Wood
        What was surveyed, and the same as arrays.
    random : numpy.random.Generator
        Source of the draws.
    """
    low, high = wood.solids.low_m.copy(), wood.solids.high_m.copy()
    radius = wood.solids.radius_m.copy()
    scale = math.exp(survey.scale_doubt_frac * random.standard_normal())
    for number, element in enumerate(_elements(survey)):
        pieces = slice(wood.solids.first[number], wood.solids.first[number + 1])
        foot = wood.solids.low_m[wood.solids.first[number], :2]
        away = max(float(np.hypot(*foot)), 1e-9)
        draws = random.standard_normal(3)
        new_away = max(NEAREST_M, away * scale + element.doubt.distance_m * draws[0])
        turn = math.radians(element.doubt.angle_deg * draws[1])
        sine, cosine = math.sin(turn), math.cos(turn)
        new = np.array([foot[0] * cosine + foot[1] * sine, foot[1] * cosine - foot[0] * sine])
        shift = new * (new_away / away) - foot
        low[pieces, :2] += shift
        high[pieces, :2] += shift
        width = element.width_m + element.doubt.width_m * draws[2]
        radius[pieces] = max(0.002, width / 2.0)
    return wood._replace(solids=wood.solids._replace(low_m=low, high_m=high, radius_m=radius))


def _elements(survey: Survey) -> tuple[Trunk | Segment, ...]:
    return (*survey.trunks, *survey.segments)


def _along(place: FloatArray, line: FloatArray, axis: int, survey: Survey) -> FloatArray:
    places = np.tile(np.asarray(place, dtype=np.float64), (len(line), 1))
    places[:, axis] += line
    rise = survey.slope.rise_right_frac if axis == 0 else survey.slope.rise_forward_frac
    places[:, 2] += rise * line
    return places


def _best(gaps: FloatArray, line: FloatArray) -> float:
    """Where the smallest gap is largest; the middle of the places where it is. [m]."""
    return float(np.mean(line[gaps >= gaps.max() - 1e-12]))
