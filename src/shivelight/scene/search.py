"""The search over places, heights, lenses and aims: every view is scored, compiled.

A view's score is **degrees of gap**: the smallest gap among the pairs that should part, less
prices, each given in the degrees of gap that it is worth (the prices are a judgement):

======================  ==========  ===========================================================
hard wishes             100° each   an overlap to keep is lost; trunks that should part leave
                                    the frame; the subject is cut, misplaced or without room; a
                                    thing that should be whole is cut
intruders, sky holes    0.2° each   that show, neither out of the frame nor hidden
border                  0.02° each  trunk that the left or right border cuts
aim                     0.1°        times how far the middle of the parting trunks is from the
                                    middle of the frame, in half frames (or the subject from
                                    its place, in widths)
moving                  0.02°       a metre from where the lens is now, height as well
lens                    0.02°       a doubling or halving of the focal length now
======================  ==========  ===========================================================

Hard wishes outweigh any gap, so the order is: hard wishes, gap, and among like gaps the rest. A
gap is a matter of the place alone, so a lens is never a way to a larger one. Closed ground,
rings and trunks are no places at all and are left out before the scoring (``ground``).

Work on a place is done once and shared by its lenses and aims, and an aim's by its lenses.
Nothing is left out or rounded by the sharing: the plain twin in ``tests/plain`` gives the same
scores. Lens distortion and roll play no part here.
"""

import itertools
import math
from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError
from shivelight.scene._view_scores import Views, gaps_kernel, score_kernel
from shivelight.scene._wish_boxes import Wish, Wood
from shivelight.scene.camera import Camera
from shivelight.scene.elements import EYE_M, Survey
from shivelight.scene.framing import (
    Framing,
    Reach,
    altitudes_deg,
    intruders_of,
    lenses_mm,
    name_in,
    offsets,
    subject_of,
)
from shivelight.scene.pairing import index_of, pair_rows, parting_pairs
from shivelight.scene.silhouettes import solids_of

THREADS = 2
"""Places are shared out over so many threads; the kernel lets go of the interpreter's lock."""

FEW_VIEWS = 20_000
"""Fewer views than this are scored in the one thread that asks. A judgement."""

WALK_DEG_PER_M = 0.02
LENS_DEG_PER_DOUBLING = 0.02

DRAWN_MORE_DEG = 5.0
"""How far beyond the altitudes of the frame an element is followed. [°]"""


def wood_of(survey: Survey) -> Wood:
    """Lay a survey out as arrays.

    Parameters
    ----------
    survey : Survey
        What stands there.
    """
    middles, halves = [], []
    for hole in survey.holes:
        turn, rise = math.radians(hole.angle_deg), math.radians(hole.altitude_deg)
        flat = hole.distance_m * math.cos(rise)
        middles.append(
            [
                flat * math.sin(turn),
                flat * math.cos(turn),
                EYE_M + hole.distance_m * math.sin(rise),
            ]
        )
        halves.append([math.radians(hole.width_deg) / 2.0, math.radians(hole.height_deg) / 2.0])
    return Wood(
        solids_of(survey),
        len(survey.trunks),
        np.array(middles, dtype=np.float64).reshape(-1, 3),
        np.array(halves, dtype=np.float64).reshape(-1, 2),
    )


def wish_of(survey: Survey, framing: Framing, reach: Reach, *, now: Camera) -> Wish:
    """Lay wishes out as arrays.

    Parameters
    ----------
    survey, framing, reach, now
        What stands there, what is wished, how far one goes, and the camera as it stands.

    Raises
    ------
    NotFoundError
        If a name is not in the survey.
    BadInputError
        If a sky hole or closed ground is asked for where an element with edges is needed.
    """
    pairs = pair_rows(survey, parting_pairs(survey, framing, now))
    subject = subject_of(survey, framing)
    whole = [name_in(survey, one) for one in framing.whole]
    rows = index_of(survey)
    rows |= {hole.name: len(rows) + number for number, hole in enumerate(survey.holes)}
    first = [] if subject is None else [subject]
    names = [*first, *whole, *intruders_of(survey, framing)]
    for name in names:
        if name not in rows:
            raise BadInputError(f"{name} is closed ground; it has no place in a frame.")
    low, high = altitudes_deg(framing, reach, now)
    wide = (max(-89.0, low - DRAWN_MORE_DEG), min(89.0, high + DRAWN_MORE_DEG))
    place = framing.subject_place or (math.nan, math.nan, math.nan)
    numbers = [
        *(math.tan(math.radians(one)) for one in (low, high, *wide)),
        framing.border_frac,
        framing.room_above_frac,
        place[0],
        math.nan if place[1] is None else place[1],
        place[2],
        now.half_height,
    ]
    return Wish(
        pairs,
        pair_rows(survey, framing.keeps),
        np.unique(pairs),
        np.array([rows[name] for name in names], dtype=np.int64),
        len(first),
        len(whole),
        np.array(numbers, dtype=np.float64),
    )


def views_of(
    places_m: FloatArray, wish: Wish, *, wood: Wood, framing: Framing, reach: Reach, now: Camera
) -> Views:
    """List the views from places: each turned to its aim and about it, with each lens.

    Parameters
    ----------
    places_m : ndarray of float64, shape (N, 3)
        Where the lens is. [m]
    wish, wood, framing, reach, now
        What is wished, what stands there, how far the camera is turned, how it stands now.
    """
    lenses = lenses_mm(framing, now)
    moved = np.linalg.norm(places_m - np.array([now.x_m, now.y_m, now.z_m]), axis=1)
    turns = offsets(reach.turn_deg, reach.turn_deg, reach.turn_step_deg)
    tilts = (
        now.pitch_deg + one for one in offsets(reach.tilt_deg, reach.tilt_deg, reach.tilt_step_deg)
    )
    return Views(
        places_m,
        WALK_DEG_PER_M * moved,
        aims_rad(places_m, wish, wood=wood, now=now),
        np.radians(np.array(turns)),
        np.radians(np.array([one for one in tilts if -85.0 <= one <= 85.0])),
        np.array(lenses, dtype=np.float64) / now.sensor_width_mm,
        LENS_DEG_PER_DOUBLING * np.abs(np.log2(np.array(lenses) / now.focal_length_mm)),
    )


def aims_rad(places_m: FloatArray, wish: Wish, *, wood: Wood, now: Camera) -> FloatArray:
    """Bearings to aim at from places: the middle of what should part, or the subject.

    Where a place in the frame is wished for the subject, that is aimed off by as much, with the
    lens that is on. Without either, the camera stays turned as it is.

    Parameters
    ----------
    places_m : ndarray of float64, shape (N, 3)
        Where the lens is. [m]
    wish, wood, now
        What is wished, what stands there, how the camera is turned now.

    Returns
    -------
    ndarray of float64, shape (N,)
        In radians.
    """
    count = len(wood.solids.first) - 1
    placed = wish.subject == 1 and wish.boxes[0] < count
    side = wish.numbers[6]
    targets = list(wish.parting)
    if placed and (not math.isnan(side) or not targets):
        targets = [wish.boxes[0]]
    if not targets:
        return np.full(len(places_m), math.radians(now.yaw_deg))
    feet = wood.solids.low_m[wood.solids.first[np.array(targets)]]
    x = feet[:, 0] - places_m[:, np.newaxis, 0]
    y = feet[:, 1] - places_m[:, np.newaxis, 1]
    first = np.arctan2(x[:, :1], y[:, :1])
    turned = np.mod(np.arctan2(x, y) - first + math.pi, 2.0 * math.pi) - math.pi
    aims = first[:, 0] + (turned.min(axis=1) + turned.max(axis=1)) / 2.0
    if placed and not math.isnan(side):
        aims = aims - math.atan(side / now.focal_in_widths)
    return np.asarray(aims, dtype=np.float64)


def places_of(reach: Reach, now: Camera, survey: Survey) -> tuple[FloatArray, tuple[int, ...]]:
    """List every place in reach as a raster of sideways, forward and height.

    Parameters
    ----------
    reach, now, survey
        How far one goes, from where, on which ground.

    Returns
    -------
    places_m : ndarray of float64, shape (X * Y * Z, 3)
        Where the lens would be. [m]
    shape : (X, Y, Z)
        Of the raster, sideways first.
    """
    sideways = offsets(reach.left_m, reach.right_m, reach.step_m)
    forward = offsets(reach.back_m, reach.forward_m, reach.step_m)
    ground = survey.slope.height_m(now.x_m, now.y_m)
    heights = reach.heights_m(now.z_m - ground)
    raster: Iterable[tuple[float, float, float]] = itertools.product(sideways, forward, heights)
    places = [
        (now.x_m + dx, now.y_m + dy, survey.slope.height_m(now.x_m + dx, now.y_m + dy) + up)
        for dx, dy, up in raster
    ]
    return np.array(places, dtype=np.float64), (len(sideways), len(forward), len(heights))


def score_candidates(wood: Wood, wish: Wish, views: Views) -> FloatArray:
    """Score every view.

    Parameters
    ----------
    wood, wish, views : Wood, Wish, Views
        What stands there, what is wished, and the views.

    Returns
    -------
    ndarray of float64, shape (N, A, T, F)
        Degrees of gap less prices, as the module's heading says. [°]
    """
    counts = (len(views.turns_rad), len(views.tilts_rad), len(views.focal_widths))
    scores = np.empty((len(views.places_m), *counts))
    if scores.size == 0:
        return scores
    if scores.size < FEW_VIEWS:
        score_kernel(wood, wish, views, 0, len(scores), scores)
        return scores
    pieces = np.array_split(np.arange(len(scores)), min(4 * THREADS, len(scores)))
    with ThreadPoolExecutor(THREADS) as pool:
        runs = [
            pool.submit(score_kernel, wood, wish, views, int(one[0]), int(one[-1]) + 1, scores)
            for one in pieces
        ]
        for run in runs:
            run.result()
    return scores


def smallest_gaps_deg(wood: Wood, wish: Wish, places_m: FloatArray) -> FloatArray:
    """Smallest gap of the pairs that should part at each place.

    Parameters
    ----------
    wood, wish : Wood, Wish
        What stands there, what is wished.
    places_m : ndarray of float64, shape (N, 3)
        Where the lens is. [m]

    Returns
    -------
    ndarray of float64, shape (N,)
        At most 90. [°]
    """
    gaps = np.empty(len(places_m))
    gaps_kernel(wood, wish, places_m, gaps)
    return gaps
