"""Scores of views. Compiled; private to ``search``, whose heading says what a score is."""

import math
from typing import NamedTuple

import numpy as np

from shivelight.basis.arrays import FloatArray, IntArray, kernel
from shivelight.scene._wish_boxes import Wish, Wood, boxes_kernel, spans_kernel
from shivelight.scene.pair_gaps import pair_gap_kernel
from shivelight.scene.silhouettes import (
    EDGES,
    bearing_kernel,
    outlines_kernel,
)

HARD_DEG = 100.0
SHOWING_DEG = 0.2
CUT_DEG = 0.02
AIM_DEG = 0.1
NEAREST = 1e-6
"""What is no deeper before the camera than this counts as behind it."""
ROUND_RAD = 1.5
"""Two whose bearings are farther apart than this may be nearer round the back."""
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
def gaps_kernel(wood: Wood, wish: Wish, places_m: FloatArray, out_deg: FloatArray) -> None:
    edges = np.empty((len(wood.solids.radius_m), EDGES))
    for number in range(len(places_m)):
        outlines_kernel(wood.solids, places_m[number], edges)
        out_deg[number] = _smallest_kernel(wood, wish, edges)


@kernel
def _smallest_kernel(wood: Wood, wish: Wish, edges: FloatArray) -> float:
    """Smallest gap of the pairs that should part, in degrees.

    A pair is worked out only where its widest bearings could better the smallest so far; those
    that may meet round the back are worked out always.
    """
    smallest = math.inf
    low, high = wish.numbers[0], wish.numbers[1]
    first = wood.solids.first
    spans = np.empty((len(first) - 1, 2))
    for row in range(len(wish.parting)):
        element = wish.parting[row]
        _widest_kernel(edges, first[element], first[element + 1], low, high, spans[element])
    for row in range(len(wish.pairs)):
        one, other = wish.pairs[row, 0], wish.pairs[row, 1]
        bound = max(spans[other, 0] - spans[one, 1], spans[one, 0] - spans[other, 1])
        if bound < smallest or bound > ROUND_RAD:
            gap = pair_gap_kernel(edges, first, wish.pairs[row], low, high)
            smallest = min(smallest, gap)
    return min(OPEN_DEG, math.degrees(smallest))


@kernel
def _widest_kernel(
    edges: FloatArray, first: int, last: int, low: float, high: float, out: FloatArray
) -> None:
    """Write the bearings between which an element stands at any altitude that matters."""
    out[0], out[1] = math.inf, -math.inf
    middle = 0.5 * (edges[first, 0] + edges[first, 2])
    for piece in range(first, last):
        own = 0.5 * (edges[piece, 0] + edges[piece, 2])
        turn = 2.0 * math.pi * math.floor((own - middle) / (2.0 * math.pi) + 0.5)
        under, over = max(low, edges[piece, 4]), min(high, edges[piece, 5])
        for end in (under, over):
            left = bearing_kernel(edges[piece, 0], edges[piece, 1], end) - turn
            right = bearing_kernel(edges[piece, 2], edges[piece, 3], end) - turn
            out[0], out[1] = min(out[0], left), max(out[1], right)


@kernel
def score_kernel(
    wood: Wood, wish: Wish, views: Views, start: int, stop: int, out_deg: FloatArray
) -> None:
    """Score the views of the places from ``start`` up to ``stop``."""
    edges = np.empty((len(wood.solids.radius_m), EDGES))
    count = len(wish.boxes)
    corners, turned, frames = (
        np.empty((3, 4 * count)),
        np.empty((2, 4 * count)),
        np.empty((6, count)),
    )
    lefts, rights, span = np.empty(wood.trunks), np.empty(wood.trunks), np.empty(2)
    lenses = len(views.focal_widths)
    halves = np.empty((len(views.tilts_rad), lenses))
    for tilt in range(len(views.tilts_rad)):
        for lens in range(lenses):
            reach = views.focal_widths[lens] * math.cos(views.tilts_rad[tilt])
            halves[tilt, lens] = math.atan(0.5 / reach)
    across = np.zeros((2 * len(views.tilts_rad) * lenses, 2), dtype=np.int64)
    for number in range(start, stop):
        place, base = views.places_m[number], views.base_yaw_rad[number]
        outlines_kernel(wood.solids, place, edges)
        worth = _smallest_kernel(wood, wish, edges) - views.place_price_deg[number]
        worth -= HARD_DEG * _lost_kernel(wood, wish, edges)
        used = boxes_kernel(wood, wish, edges, place, corners)
        spans_kernel(wood, wish, edges, base, lefts, rights, span)
        for turn in range(len(views.turns_rad)):
            yaw = base + views.turns_rad[turn]
            _turn_kernel(corners, used, yaw, turned)
            for tilt in range(len(views.tilts_rad)):
                _frame_kernel(corners[2], turned, used, views.tilts_rad[tilt], frames)
                for lens in range(lenses):
                    price = views.lens_price_deg[lens]
                    price += _box_price_kernel(wish, frames, used, views.focal_widths[lens])
                    half = halves[tilt, lens]
                    price += _span_price_kernel(wish, span, yaw, half)
                    at = 2 * (tilt * lenses + lens)
                    price += CUT_DEG * _cut_kernel(lefts, rights, yaw - half, across, at)
                    price += CUT_DEG * _cut_kernel(lefts, rights, yaw + half, across, at + 1)
                    out_deg[number, turn, tilt, lens] = worth - price


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
def _turn_kernel(corners: FloatArray, used: int, yaw: float, out: FloatArray) -> None:
    """Write how far ahead and how far right each corner is of a level camera, by its turn."""
    sine, cosine = math.sin(yaw), math.cos(yaw)
    for corner in range(4 * used):
        out[0, corner] = corners[1, corner] * cosine + corners[0, corner] * sine
        out[1, corner] = corners[0, corner] * cosine - corners[1, corner] * sine


@kernel
def _frame_kernel(
    tangents: FloatArray, turned: FloatArray, used: int, pitch: float, out: FloatArray
) -> None:
    """Write where each box falls, in focal lengths: left, right, top, bottom, and its depths.

    What is behind the camera is infinitely far to the right and left of nothing; what is partly
    behind it takes in everything.
    """
    rise, level = math.sin(pitch), math.cos(pitch)
    left, right, top, bottom = out[0], out[1], out[2], out[3]
    least, most = out[4], out[5]
    out[::2] = math.inf
    out[1::2] = -math.inf
    for corner in range(4):
        start, stop = corner * used, (corner + 1) * used
        tangent, ahead, aside = tangents[start:stop], turned[0, start:stop], turned[1, start:stop]
        for row in range(used):
            depth = ahead[row] * level + tangent[row] * rise
            least[row], most[row] = min(least[row], depth), max(most[row], depth)
            inverse = np.divide(1.0, max(depth, NEAREST))
            u = aside[row] * inverse
            v = (ahead[row] * rise - tangent[row] * level) * inverse
            left[row], right[row] = min(left[row], u), max(right[row], u)
            top[row], bottom[row] = min(top[row], v), max(bottom[row], v)
    for row in range(used):
        if most[row] <= NEAREST:
            left[row], right[row], top[row], bottom[row] = math.inf, -math.inf, math.inf, -math.inf
        elif least[row] <= NEAREST:
            left[row], right[row], top[row], bottom[row] = -math.inf, math.inf, -math.inf, math.inf


@kernel
def _box_price_kernel(wish: Wish, frames: FloatArray, used: int, focal: float) -> float:
    """Price of the subject, of what should be whole and of what should not show. [°]."""
    border, tall = wish.numbers[4], wish.numbers[9]
    price = 0.0
    if wish.subject == 1:
        price += _subject_price_kernel(wish.numbers, frames, focal)
    kept = wish.subject + wish.whole
    for row in range(wish.subject, kept):
        left, right, bottom = (
            frames[0, row] * focal,
            frames[1, row] * focal,
            frames[3, row] * focal,
        )
        whole = left <= right and left >= border - 0.5 and right <= 0.5 - border
        price += HARD_DEG * (not (whole and bottom <= tall - border))
    showing = 0
    left, right, top, bottom = frames[0], frames[1], frames[2], frames[3]
    for row in range(kept, used):
        sideways = (left[row] * focal < 0.5) & (right[row] * focal > -0.5)
        upright = (top[row] * focal < tall) & (bottom[row] * focal > -tall)
        showing += sideways & upright
    return price + SHOWING_DEG * showing


@kernel
def _subject_price_kernel(numbers: FloatArray, frames: FloatArray, focal: float) -> float:
    """Price of how the subject sits. [°]."""
    if math.isinf(frames[0, 0]):
        return HARD_DEG
    left, right, top, bottom = (
        frames[0, 0] * focal, frames[1, 0] * focal, frames[2, 0] * focal, frames[3, 0] * focal,
    )  # fmt: skip
    border, room, tall = numbers[4], numbers[5], numbers[9]
    side, down, miss = numbers[6], numbers[7], numbers[8]
    across = left >= border - 0.5 and right <= 0.5 - border
    price = HARD_DEG * (not (across and bottom >= -tall and top <= tall))
    if room > 0.0 and top < -tall + 2.0 * tall * room:
        price += HARD_DEG
    if not math.isnan(side):
        off = abs(0.5 * (left + right) - side)
        missed = off > miss or (not math.isnan(down) and abs(bottom - down) > miss)
        price += HARD_DEG * missed + AIM_DEG * off
    return price


@kernel
def _span_price_kernel(wish: Wish, span: FloatArray, yaw: float, half: float) -> float:
    """Price of trunks that should part but leave the frame, and of the aim. [°]."""
    price = 0.0
    if span[0] <= span[1]:
        if span[0] < yaw - half or span[1] > yaw + half:
            price += HARD_DEG
        if math.isnan(wish.numbers[6]):
            price += AIM_DEG * abs(0.5 * (span[0] + span[1]) - yaw) / half
    return price


@kernel
def _cut_kernel(
    lefts: FloatArray, rights: FloatArray, border: float, begun: IntArray, row: int
) -> int:
    """How many trunks a border cuts: those that begin before it less those that end before it.

    A row of ``begun`` holds both counts from the view before, from which they are walked on:
    aims follow each other closely.
    """
    at, to = begun[row, 0], begun[row, 1]
    while at < len(lefts) and lefts[at] < border:
        at += 1
    while at > 0 and lefts[at - 1] >= border:
        at -= 1
    while to < len(rights) and rights[to] <= border:
        to += 1
    while to > 0 and rights[to - 1] > border:
        to -= 1
    begun[row, 0], begun[row, 1] = at, to
    return int(at - to)
