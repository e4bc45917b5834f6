"""Scores of views. Compiled; private to ``search``, whose heading says what a score is."""

import math
from typing import NamedTuple

import numpy as np

from shivelight.basis.arrays import BoolArray, FloatArray, kernel
from shivelight.scene._wish_boxes import Wish, Wood, boxes_kernel, spans_kernel
from shivelight.scene.silhouettes import EDGES, outline_kernel, pair_gap_kernel

HARD_DEG = 100.0
SHOWING_DEG = 0.2
CUT_DEG = 0.02
AIM_DEG = 0.1
OPEN_DEG = 90.0
"""Gap that counts where nothing should part. [°]"""


class Views(NamedTuple):
    """Where from, which way, and with which lens.

    Attributes
    ----------
    places_m : ndarray of float64, shape (N, 3)
        Where the lens is. [m]
    place_price_deg, base_yaw_rad : ndarray of float64, shape (N,)
        Price of each place [°], and the aim from which turns are counted there.
    turns_rad, tilts_rad : ndarray of float64, shapes (A,), (T,)
        Turns from that aim, and pitches.
    focal_widths, lens_price_deg : ndarray of float64, shape (F,)
        Focal length in widths of the frame, and the price of each. [°]
    """

    places_m: FloatArray
    place_price_deg: FloatArray
    base_yaw_rad: FloatArray
    turns_rad: FloatArray
    tilts_rad: FloatArray
    focal_widths: FloatArray
    lens_price_deg: FloatArray


@kernel
def gaps_kernel(wood: Wood, wish: Wish, places: FloatArray, out: FloatArray) -> None:
    edges = np.empty((len(wood.solids.radius_m), EDGES))
    for number in range(len(places)):
        for piece in range(len(edges)):
            outline_kernel(wood.solids, piece, places[number], edges[piece])
        out[number] = _smallest_kernel(wood, wish, edges)


@kernel
def _smallest_kernel(wood: Wood, wish: Wish, edges: FloatArray) -> float:
    """Smallest gap of the pairs that should part, in degrees."""
    smallest = math.inf
    low, high = wish.numbers[0], wish.numbers[1]
    for row in range(len(wish.pairs)):
        gap = pair_gap_kernel(edges, wood.solids.first, wish.pairs[row], low, high)
        smallest = min(smallest, gap)
    return min(OPEN_DEG, math.degrees(smallest))


@kernel
def score_kernel(
    wood: Wood, wish: Wish, views: Views, start: int, stop: int, out: FloatArray
) -> None:
    """Score the views of the places from ``start`` up to ``stop``."""
    edges = np.empty((len(wood.solids.radius_m), EDGES))
    corners = np.empty((len(wish.boxes), 4, 3))
    shown = np.empty(len(wish.boxes), dtype=np.bool_)
    lefts, rights = np.empty(wood.trunks), np.empty(wood.trunks)
    span = np.empty(2)
    frames = np.empty((len(wish.boxes), 5))
    for number in range(start, stop):
        place = views.places_m[number]
        base = views.base_yaw_rad[number]
        for piece in range(len(edges)):
            outline_kernel(wood.solids, piece, place, edges[piece])
        worth = _smallest_kernel(wood, wish, edges) - views.place_price_deg[number]
        worth -= HARD_DEG * _lost_kernel(wood, wish, edges)
        boxes_kernel(wood, wish, edges, place, corners, shown)
        spans_kernel(wood, wish, edges, base, lefts, rights, span)
        for turn in range(len(views.turns_rad)):
            yaw = base + views.turns_rad[turn]
            for tilt in range(len(views.tilts_rad)):
                pitch = views.tilts_rad[tilt]
                _frame_kernel(corners, shown, yaw, pitch, frames)
                for lens in range(len(views.focal_widths)):
                    focal = views.focal_widths[lens]
                    half = math.atan(0.5 / (focal * math.cos(pitch)))
                    price = views.lens_price_deg[lens]
                    price += _box_price_kernel(wish, frames, focal)
                    price += _span_price_kernel(wish, lefts, rights, span, yaw, half)
                    out[number, turn, tilt, lens] = worth - price


@kernel
def _lost_kernel(wood: Wood, wish: Wish, edges: FloatArray) -> int:
    """How many overlaps that should stay are open."""
    lost = 0
    for row in range(len(wish.keeps)):
        gap = pair_gap_kernel(
            edges, wood.solids.first, wish.keeps[row], wish.numbers[0], wish.numbers[1]
        )
        lost += gap > 0.0
    return lost


@kernel
def _frame_kernel(
    corners: FloatArray, shown: BoolArray, yaw: float, pitch: float, out: FloatArray
) -> None:
    """Write where each box falls, in focal lengths: left, right, top, bottom, and how it stands.

    How it stands: 0 before the camera, 1 partly beside it, 2 behind or not there.
    """
    sine, cosine = math.sin(yaw), math.cos(yaw)
    rise, level = math.sin(pitch), math.cos(pitch)
    for row in range(len(corners)):
        out[row, 4] = 2.0
        if not shown[row]:
            continue
        behind = 0
        out[row, 0], out[row, 1], out[row, 2], out[row, 3] = (
            math.inf, -math.inf, math.inf, -math.inf,
        )  # fmt: skip
        for corner in range(4):
            s, c, t = corners[row, corner, 0], corners[row, corner, 1], corners[row, corner, 2]
            ahead = c * cosine + s * sine
            depth = ahead * level + t * rise
            if depth <= 1e-6:
                behind += 1
                continue
            u, v = (s * cosine - c * sine) / depth, (ahead * rise - t * level) / depth
            out[row, 0], out[row, 1] = min(out[row, 0], u), max(out[row, 1], u)
            out[row, 2], out[row, 3] = min(out[row, 2], v), max(out[row, 3], v)
        out[row, 4] = 2.0 if behind == 4 else (1.0 if behind > 0 else 0.0)


@kernel
def _box_price_kernel(wish: Wish, frames: FloatArray, focal: float) -> float:
    """Price of the subject, of what should be whole and of what should not show. [°]."""
    border, tall = wish.numbers[4], wish.numbers[9]
    price = 0.0
    if wish.subject == 1:
        price += _subject_price_kernel(wish.numbers, frames[0], focal)
    for row in range(wish.subject, wish.subject + wish.whole):
        box = frames[row]
        cut = box[4] != 0.0 or box[3] * focal > tall - border
        cut = cut or box[0] * focal < border - 0.5 or box[1] * focal > 0.5 - border
        price += HARD_DEG * cut
    for row in range(wish.subject + wish.whole, len(frames)):
        box = frames[row]
        if box[4] == 2.0:
            continue
        across = box[1] * focal > -0.5 and box[0] * focal < 0.5
        if box[4] == 1.0 or (across and box[3] * focal > -tall and box[2] * focal < tall):
            price += SHOWING_DEG
    return price


@kernel
def _subject_price_kernel(numbers: FloatArray, box: FloatArray, focal: float) -> float:
    """Price of how the subject sits. [°]."""
    if box[4] != 0.0:
        return HARD_DEG
    border, room, tall = numbers[4], numbers[5], numbers[9]
    side, down, miss = numbers[6], numbers[7], numbers[8]
    faults = 0
    across = box[0] * focal >= border - 0.5 and box[1] * focal <= 0.5 - border
    if not across or box[3] * focal < -tall or box[2] * focal > tall:
        faults += 1
    if room > 0.0 and box[2] * focal < -tall + 2.0 * tall * room:
        faults += 1
    price = HARD_DEG * faults
    if side == side:  # noqa: PLR0124  not NaN
        off = abs(0.5 * (box[0] + box[1]) * focal - side)
        missed = off > miss or (down == down and abs(box[3] * focal - down) > miss)  # noqa: PLR0124
        price += HARD_DEG * missed + AIM_DEG * off
    return price


@kernel
def _span_price_kernel(
    wish: Wish, lefts: FloatArray, rights: FloatArray, span: FloatArray, yaw: float, half: float
) -> float:
    """Price of trunks that the sides of the frame cut, and of the aim. [°]."""
    price = 0.0
    for side in range(2):
        border = yaw - half if side == 0 else yaw + half
        # Those that begin before the border less those that end before it: those across it.
        begun = np.searchsorted(lefts, border, side="left")
        ended = np.searchsorted(rights, border, side="right")
        price += CUT_DEG * (begun - ended)
    if span[0] <= span[1]:
        if span[0] < yaw - half or span[1] > yaw + half:
            price += HARD_DEG
        if wish.numbers[6] != wish.numbers[6]:  # NaN: no place is wished
            price += AIM_DEG * abs(0.5 * (span[0] + span[1]) - yaw) / half
    return price
