"""What a place shows of elements: boxes, what is hidden, spans of bearing. Compiled.

Private to ``search``: :class:`Wood` and :class:`Wish` are arrays that the kernels read.
"""

import math
from typing import NamedTuple

import numpy as np

from shivelight.basis.arrays import FloatArray, IntArray, kernel
from shivelight.scene.silhouettes import EDGES, Solids, bearing_kernel


class Wood(NamedTuple):
    """What stands there, as arrays.

    Attributes
    ----------
    solids : Solids
        Pieces of trunks and segments.
    trunks : int
        Elements before this number are trunks.
    holes_m : ndarray of float64, shape (H, 3)
        Middles of sky holes. [m]
    holes_rad : ndarray of float64, shape (H, 2)
        Half their width and height, in radians.
    """

    solids: Solids
    trunks: int
    holes_m: FloatArray
    holes_rad: FloatArray


class Wish(NamedTuple):
    """What is wished, as numbers of elements; sky hole h is element E + h.

    Attributes
    ----------
    pairs, keeps : ndarray of int64, shapes (P, 2), (K, 2)
        Pairs that should part, and whose overlap stays.
    parting : ndarray of int64, shape (Q,)
        Elements of ``pairs``, each once.
    boxes : ndarray of int64, shape (B,)
        The subject if there is one, then what should be whole, then what should not show.
    subject, whole : int
        How many of ``boxes`` are the subject (0 or 1), and how many should be whole.
    numbers : ndarray of float64, shape (10,)
        Tangents of the altitudes at which gaps matter, low and high; tangents beyond which
        nothing is drawn, low and high; border kept clear; share of the height free above the
        subject; its place across, down and miss (NaN where none); half the frame's height.
    """

    pairs: IntArray
    keeps: IntArray
    parting: IntArray
    boxes: IntArray
    subject: int
    whole: int
    numbers: FloatArray


@kernel
def _extent_kernel(
    wood: Wood, element: int, edges: FloatArray, place: FloatArray, out: FloatArray
) -> None:
    """Box of an element as c, k, c, k, low, high; a sky hole is one too."""
    count = len(wood.solids.first) - 1
    if element >= count:
        middle = wood.holes_m[element - count]
        x, y, z = middle[0] - place[0], middle[1] - place[1], middle[2] - place[2]
        bearing, altitude = math.atan2(x, y), math.atan2(z, math.hypot(x, y))
        across, up = wood.holes_rad[element - count, 0], wood.holes_rad[element - count, 1]
        out[0], out[1], out[2], out[3] = bearing - across, 0.0, bearing + across, 0.0
        out[4] = math.tan(max(-1.5, altitude - up))
        out[5] = math.tan(min(1.5, altitude + up))
        return
    first, last = wood.solids.first[element], wood.solids.first[element + 1]
    out[:] = edges[first]
    for piece in range(first + 1, last):
        middle_turn = 0.5 * (edges[piece, 0] + edges[piece, 2] - out[0] - out[2])
        turn = 2.0 * math.pi * math.floor(middle_turn / (2.0 * math.pi) + 0.5)
        out[0] = min(out[0], edges[piece, 0] - turn)
        out[2] = max(out[2], edges[piece, 2] - turn)
        out[4] = min(out[4], edges[piece, 4])
        out[5] = max(out[5], edges[piece, 5])


@kernel
def boxes_kernel(
    wood: Wood, wish: Wish, edges: FloatArray, place: FloatArray, corners: FloatArray
) -> int:
    """Write the corners of boxes as sine and cosine of bearing, and tangent of altitude.

    Those that need not show and are hidden or out of sight are left out. The corners of one kind
    of all boxes stand together: corner k of row r of ``n`` is in column k n + r.

    Returns
    -------
    int
        How many boxes there are, ``n``.
    """
    kept = wish.subject + wish.whole
    found = np.empty((len(wish.boxes), EDGES))
    used = 0
    for row in range(len(wish.boxes)):
        box = found[used]
        _extent_kernel(wood, wish.boxes[row], edges, place, box)
        box[4], box[5] = max(box[4], wish.numbers[2]), min(box[5], wish.numbers[3])
        if row < kept:
            used += 1
        elif box[4] <= box[5]:
            used += not _is_hidden_kernel(wood, wish.boxes[row], edges, box, place)
    for row in range(used):
        box = found[row]
        for corner in range(4):
            tangent = box[4] if corner < 2 else box[5]
            side = 0 if corner % 2 == 0 else 2
            bearing = bearing_kernel(box[side], box[side + 1], tangent)
            at = corner * used + row
            # A box with no height left has no depth before any camera.
            there = 1.0 if box[4] <= box[5] else 0.0
            corners[0, at], corners[1, at] = there * math.sin(bearing), there * math.cos(bearing)
            corners[2, at] = there * tangent
    return used


@kernel
def _away_kernel(solids: Solids, piece: int, place: FloatArray) -> float:
    """How far the middle of a piece is on the level. [m]."""
    low, high = solids.low_m[piece], solids.high_m[piece]
    x = 0.5 * (low[0] + high[0]) - place[0]
    return math.hypot(x, 0.5 * (low[1] + high[1]) - place[1])


@kernel
def _is_hidden_kernel(
    wood: Wood, element: int, edges: FloatArray, box: FloatArray, place: FloatArray
) -> bool:
    """Whether one nearer piece of something else covers a box altogether."""
    first, last, away = -1, -1, 0.0
    count = len(wood.solids.first) - 1
    if element < count:
        first, last = wood.solids.first[element], wood.solids.first[element + 1]
        away = _away_kernel(wood.solids, first, place)
        for piece in range(first + 1, last):
            away = max(away, _away_kernel(wood.solids, piece, place))
    else:
        middle = wood.holes_m[element - count]
        away = math.hypot(middle[0] - place[0], middle[1] - place[1])
    for piece in range(len(edges)):
        if first <= piece < last or edges[piece, 4] > box[4] or edges[piece, 5] < box[5]:
            continue
        if _covers_kernel(edges[piece], box) and _away_kernel(wood.solids, piece, place) < away:
            return True
    return False


@kernel
def _covers_kernel(piece: FloatArray, box: FloatArray) -> bool:
    """Whether a piece takes in all bearings of a box, low and high."""
    middle = 0.5 * (piece[0] + piece[2] - box[0] - box[2])
    turn = 2.0 * math.pi * math.floor(middle / (2.0 * math.pi) + 0.5)
    for end in range(4, 6):
        left = bearing_kernel(piece[0], piece[1], box[end]) - turn
        right = bearing_kernel(piece[2], piece[3], box[end]) - turn
        if left > bearing_kernel(box[0], box[1], box[end]):
            return False
        if right < bearing_kernel(box[2], box[3], box[end]):
            return False
    return True


@kernel
def spans_kernel(
    wood: Wood,
    wish: Wish,
    edges: FloatArray,
    base_rad: float,
    lefts_rad: FloatArray,
    rights_rad: FloatArray,
    span_rad: FloatArray,
) -> None:
    """Write sorted left and right edges of trunks at the level, and the span of what parts."""
    first = wood.solids.first
    for trunk in range(wood.trunks):
        lefts_rad[trunk], rights_rad[trunk] = _level_kernel(
            edges, first[trunk], first[trunk + 1], base_rad
        )
    lefts_rad.sort()
    rights_rad.sort()
    span_rad[0], span_rad[1] = math.inf, -math.inf
    for row in range(len(wish.parting)):
        element = wish.parting[row]
        left, right = _level_kernel(edges, first[element], first[element + 1], base_rad)
        span_rad[0], span_rad[1] = min(span_rad[0], left), max(span_rad[1], right)


@kernel
def _level_kernel(edges: FloatArray, first: int, last: int, base: float) -> tuple[float, float]:
    """Edges of an element at the level or its nearest end, within half a turn of the aim."""
    left, right = math.inf, -math.inf
    for piece in range(first, last):
        held = min(max(0.0, edges[piece, 4]), edges[piece, 5])
        one = bearing_kernel(edges[piece, 0], edges[piece, 1], held)
        other = bearing_kernel(edges[piece, 2], edges[piece, 3], held)
        turn = 2.0 * math.pi * math.floor((0.5 * (one + other) - base) / (2.0 * math.pi) + 0.5)
        left, right = min(left, one - turn), max(right, other - turn)
    return left, right
