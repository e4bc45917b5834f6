"""Contour lines of a grid of heights, by marching squares."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, require_range

INTERVALS_M = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0)
MOST_LEVELS = 15
_TOP, _RIGHT, _BOTTOM, _LEFT = range(4)
_JOINS: dict[int, tuple[tuple[int, int], ...]] = {
    1: ((_LEFT, _TOP),), 2: ((_TOP, _RIGHT),), 3: ((_LEFT, _RIGHT),), 4: ((_RIGHT, _BOTTOM),),
    6: ((_TOP, _BOTTOM),), 7: ((_LEFT, _BOTTOM),), 8: ((_BOTTOM, _LEFT),), 9: ((_BOTTOM, _TOP),),
    11: ((_BOTTOM, _RIGHT),), 12: ((_RIGHT, _LEFT),), 13: ((_RIGHT, _TOP),), 14: ((_TOP, _LEFT),),
}  # fmt: skip
"""Sides of a cell that a line joins, by which corners reach the level: 1 top left, 2 top right,
4 bottom right, 8 bottom left. The saddles 5 and 10 depend on the middle."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Contour:
    """One unbroken line of equal height.

    Attributes
    ----------
    level_m : float
        Its height. [m]
    x_px, y_px : ndarray of float64, shape (N,)
        Right and down from the outer corner of the first cell. [px]
    closed : bool
        Whether it comes back to its start, which is then its last point too.
    """

    level_m: float
    x_px: FloatArray
    y_px: FloatArray
    closed: bool


def contour_interval_m(lowest_m: float, highest_m: float) -> float:
    """Round step (1, 2 or 5 by tens) that gives at most :data:`MOST_LEVELS` steps. [m]."""
    span = highest_m - lowest_m
    return next((step for step in INTERVALS_M if span <= step * MOST_LEVELS), INTERVALS_M[-1])


def find_contours(
    heights_m: ArrayLike, *, interval_m: float, cell_px: float = 1.0
) -> tuple[Contour, ...]:
    """Find the lines at whole multiples of an interval.

    Parameters
    ----------
    heights_m : array_like, shape (rows, columns)
        At cell centres; NaN for holes, beside which lines end. [m]
    interval_m : float
        Between lines. [m]
    cell_px : float
        Side of a cell in the picture. [px]

    Returns
    -------
    tuple of Contour
        By height. Their points lie where the sides between neighbouring cell centres, taken as
        straight, pass the height.

    Raises
    ------
    BadInputError
        For fewer than two rows or columns.

    References
    ----------
    .. [1] W. E. Lorensen, H. E. Cline, Marching cubes, Computer Graphics 21 (1987) 163-169, in
       the plane (from memory).
    """
    heights = np.asarray(heights_m, dtype=np.float64)
    if heights.ndim != 2 or min(heights.shape) < 2:
        raise BadInputError("Contours need heights in at least two rows and two columns.")
    require_range("contour interval", interval_m, 0.01, 10_000.0, "m")
    if not np.isfinite(heights).any():
        return ()
    first = math.ceil(float(np.nanmin(heights)) / interval_m)
    last = math.floor(float(np.nanmax(heights)) / interval_m)
    return tuple(
        Contour(
            level_m=number * interval_m,
            x_px=(points[:, 1] + 0.5) * cell_px,
            y_px=(points[:, 0] + 0.5) * cell_px,
            closed=closed,
        )
        for number in range(first, last + 1)
        for points, closed in _lines(heights, number * interval_m)
    )


def _lines(heights: FloatArray, level_m: float) -> Iterator[tuple[FloatArray, bool]]:
    """Rows and columns along each line of one level."""
    rows, columns = heights.shape
    links: dict[int, list[int]] = {}
    for one, other in _segments(heights, level_m):
        links.setdefault(one, []).append(other)
        links.setdefault(other, []).append(one)
    # Lines with ends first; what is then left goes round.
    ends = [side for side, met in links.items() if len(met) == 1]
    seen: set[int] = set()
    for start in (*ends, *links):
        if start in seen:
            continue
        chain = [start]
        seen.add(start)
        while (onward := [one for one in links[chain[-1]] if one not in seen]) != []:
            chain.append(onward[0])
            seen.add(onward[0])
        closed = len(links[start]) == 2
        sides = np.array([*chain, start] if closed else chain)
        yield _crossings(heights, level_m, sides, cells=rows * columns, columns=columns), closed


def _segments(heights: FloatArray, level_m: float) -> Iterator[tuple[int, int]]:
    """Pairs of sides joined within a cell.

    A side is named by the number of its first corner, an upright one by that past all corners.
    """
    rows, columns = heights.shape
    high = heights >= level_m
    corners = (high[:-1, :-1], high[:-1, 1:], high[1:, 1:], high[1:, :-1])
    case: NDArray[np.int64] = sum(
        (corner.astype(np.int64) << bit for bit, corner in enumerate(corners)),
        start=np.zeros((rows - 1, columns - 1), dtype=np.int64),
    )
    middle = (heights[:-1, :-1] + heights[:-1, 1:] + heights[1:, 1:] + heights[1:, :-1]) / 4.0
    case[np.isnan(middle)] = 0  # a hole at a corner
    at_row, at_column = np.nonzero((case > 0) & (case < 15))
    first = at_row * columns + at_column
    upright = rows * columns
    sides = np.stack([first, first + 1 + upright, first + columns, first + upright], axis=1)
    kinds = case[at_row, at_column]
    joined = middle[at_row, at_column] >= level_m
    for kind, is_joined, four in zip(kinds.tolist(), joined.tolist(), sides.tolist(), strict=True):
        for one, other in _JOINS.get(kind) or _saddle(kind, is_joined):
            yield four[one], four[other]


def _saddle(kind: int, joined: bool) -> tuple[tuple[int, int], ...]:
    """Cut off the two low corners when the middle is high, else the two high ones."""
    cuts_top_right = joined == (kind == 5)
    if cuts_top_right:
        return (_TOP, _RIGHT), (_BOTTOM, _LEFT)
    return (_LEFT, _TOP), (_RIGHT, _BOTTOM)


def _crossings(
    heights: FloatArray, level_m: float, sides: NDArray[np.int64], *, cells: int, columns: int
) -> FloatArray:
    """Where the level passes along sides, as rows and columns, shape (N, 2)."""
    upright = sides >= cells
    row, column = np.divmod(np.where(upright, sides - cells, sides), columns)
    down, right = upright.astype(np.int64), 1 - upright.astype(np.int64)
    here, there = heights[row, column], heights[row + down, column + right]
    share = (level_m - here) / (there - here)
    return np.column_stack([row + down * share, column + right * share])
