"""Gaps between trunks as seen from a place: angles that no lens changes.

A gap is the angle, on the level, from the right edge of the one to the left edge of the other,
where it is smallest over the altitudes at which both are seen. Below nought they overlap.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, require_range
from shivelight.scene.camera import Camera
from shivelight.scene.elements import Point, Survey
from shivelight.scene.framing import Framing, Pair, Reach, altitudes_deg
from shivelight.scene.pair_gaps import EVERY_ALTITUDE_DEG, pair_gaps
from shivelight.scene.pairing import index_of, neighbours, pair_rows, parting_pairs
from shivelight.scene.silhouettes import (
    Solids,
    bodies_of,
    level_edges,
    outlines,
    solids_of,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """How far two elements stand apart, seen from a place.

    Attributes
    ----------
    left, right : str
        Which is on the left and on the right, by their middles.
    gap_deg : float
        Angle between their edges; negative where they overlap, infinite where they share no
        altitude. [°]
    left_is_nearer : bool
        Whether the one on the left is in front.
    is_hidden : bool
        Whether the farther one is hidden altogether at the lens's height.
    """

    left: str
    right: str
    gap_deg: float
    left_is_nearer: bool
    is_hidden: bool

    @property
    def nearer(self) -> str:
        """Name of the one in front."""
        return self.left if self.left_is_nearer else self.right

    @property
    def farther(self) -> str:
        """Name of the one behind."""
        return self.right if self.left_is_nearer else self.left

    def words(self, least_gap_deg: float = 0.3) -> str:
        """Say how the two stand: open, a kiss, one in front of the other, one hidden.

        Parameters
        ----------
        least_gap_deg : float
            Gap from which two trunks read as parted. [°]
        """
        if self.gap_deg >= least_gap_deg:
            return "open"
        if self.gap_deg >= 0.0:
            return "a kiss"
        if self.is_hidden:
            return f"{self.nearer} hides {self.farther}"
        return f"{self.nearer} stands in front of {self.farther}"


def edges_deg(
    survey: Survey, position_m: ArrayLike, *, height_m: float | None = None
) -> dict[str, tuple[float, float]]:
    """Bearings of the left and right edge of every trunk and segment.

    Parameters
    ----------
    survey : Survey
        What stands there.
    position_m : array_like, shape (3,)
        Where the lens is. [m]
    height_m : float or None
        Height, in the local frame, at which edges are read; None for level with the lens. A
        trunk that does not reach so high or low is read at its end. [m]

    Returns
    -------
    dict of str to (float, float)
        From the lens axis at the mark, to the right. [°]
    """
    place = _place(position_m)
    solids = solids_of(survey)
    edges = outlines(solids, place)
    bodies = bodies_of(survey)
    tangents = np.array([_tangent(one.ends_m, place, height_m) for one in bodies])
    sides = np.degrees(level_edges(solids, edges, tangents))
    return {
        body.name: (float(left), float(right))
        for body, (left, right) in zip(bodies, sides, strict=True)
    }


def gaps_at(
    survey: Survey,
    position_m: ArrayLike,
    *,
    pairs: Sequence[Pair] | None = None,
    altitudes_deg: tuple[float, float] = EVERY_ALTITUDE_DEG,
) -> tuple[Gap, ...]:
    """Gaps of pairs as seen from a place, from left to right.

    Parameters
    ----------
    survey : Survey
        What stands there.
    position_m : array_like, shape (3,)
        Where the lens is. [m]
    pairs : sequence of (str, str) or None
        Which; None for neighbours among the trunks that are no intruders.
    altitudes_deg : (low, high)
        Altitudes that matter. [°]

    Raises
    ------
    NotFoundError
        If a pair names what the survey does not hold.
    BadInputError
        If it names a sky hole or closed ground, which have no gap.
    """
    place = _place(position_m)
    edges = edges_deg(survey, place)
    solids = solids_of(survey)
    rows = index_of(survey)
    if pairs is None:
        pairs = neighbours(survey, edges)
    numbers = pair_rows(survey, pairs)
    gaps = pair_gaps(solids, place[np.newaxis], pairs=numbers, altitudes_deg=altitudes_deg)[:, 0]
    away_m = {name: _away_m(solids, row, place) for name, row in rows.items()}
    names = list(rows)
    found = [
        _gap(names[one], names[other], gap_deg=float(gap), edges=edges, away_m=away_m)
        for (one, other), gap in zip(numbers, gaps, strict=True)
    ]
    return tuple(sorted(found, key=lambda gap: sum(edges[gap.left]) + sum(edges[gap.right])))


@dataclass(frozen=True, slots=True, kw_only=True)
class GapCourse:
    """Gaps of pairs at places along a line, for the gap ruler.

    Attributes
    ----------
    offsets_m : ndarray of float64, shape (N,)
        How far from where the camera stands now. [m]
    pairs : tuple of (str, str)
        As :func:`parting_pairs` gives them.
    gaps_deg : ndarray of float64, shape (P, N)
        Gap of each pair at each place. [°]
    smallest_deg : ndarray of float64, shape (N,)
        The smallest of them; infinite where there is no pair. [°]
    """

    offsets_m: FloatArray
    pairs: tuple[Pair, ...]
    gaps_deg: FloatArray
    smallest_deg: FloatArray


def gap_course(
    survey: Survey,
    framing: Framing,
    *,
    along: str = "x",
    span_m: tuple[float, float] = (-0.8, 1.1),
    step_m: float = 0.01,
    now: Camera | None = None,
) -> GapCourse:
    """Gaps of all pairs that should part, at each place along a line through the lens.

    Parameters
    ----------
    survey, framing : Survey, Framing
        What stands there and what is wished.
    along : str
        "x" for sideways, "y" for forward, "z" for up.
    span_m : (low, high)
        From where to where, from the lens's place now. [m]
    step_m : float
        Between two places. [m]
    now : Camera or None
        Where the lens is; None for the mark.

    Raises
    ------
    BadInputError
        If the line, the span or the step make no sense.
    """
    if along not in ("x", "y", "z"):
        raise BadInputError(f"A line runs along x, y or z; {along} is none of them.")
    require_range("step of the line", step_m, 1e-4, 10.0, "m")
    if not span_m[0] < span_m[1]:
        raise BadInputError("The line ends before it begins; give the lower end first.")
    camera = now or Camera()
    pairs = parting_pairs(survey, framing, camera)
    rows = pair_rows(survey, pairs)
    solids = solids_of(survey)
    count = round((span_m[1] - span_m[0]) / step_m)
    line = np.asarray(span_m[0] + step_m * np.arange(count + 1), dtype=np.float64)
    places = np.tile([camera.x_m, camera.y_m, camera.z_m], (len(line), 1))
    places[:, "xyz".index(along)] += line
    band = altitudes_deg(framing, Reach(), camera)
    gaps = pair_gaps(solids, places, pairs=rows, altitudes_deg=band)
    smallest = gaps.min(axis=0, initial=math.inf)
    return GapCourse(offsets_m=line, pairs=pairs, gaps_deg=gaps, smallest_deg=smallest)


def _place(position_m: ArrayLike) -> FloatArray:
    place = np.asarray(position_m, dtype=np.float64)
    if place.shape != (3,) or not np.isfinite(place).all():
        raise BadInputError("The place of a lens is three numbers of metres: x, y and z.")
    return place


def _tangent(ends_m: tuple[Point, Point], place: FloatArray, height_m: float | None) -> float:
    """Tangent of the altitude at which a height is seen against the middle of an axis."""
    if height_m is None:
        return 0.0
    middle = np.mean(np.array(ends_m), axis=0)
    away_m = max(1e-9, math.hypot(middle[0] - place[0], middle[1] - place[1]))
    return float((height_m - place[2]) / away_m)


def _away_m(solids: Solids, row: int, place: FloatArray) -> float:
    """How far an element's axis is from the lens, at its nearest end or upright. [m]."""
    pieces = slice(solids.first[row], solids.first[row + 1])
    low, high = solids.low_m[pieces], solids.high_m[pieces]
    along = high - low
    share = np.sum((place - low) * along, axis=1) / np.sum(along * along, axis=1)
    nearest = low + np.clip(share, 0.0, 1.0)[:, np.newaxis] * along
    return float(np.min(np.linalg.norm(nearest - place, axis=1)))


def _gap(
    one: str,
    other: str,
    *,
    gap_deg: float,
    edges: Mapping[str, tuple[float, float]],
    away_m: Mapping[str, float],
) -> Gap:
    left, right = sorted((one, other), key=lambda name: sum(edges[name]))
    near, far = sorted((left, right), key=lambda name: away_m[name])
    hidden = edges[near][0] <= edges[far][0] and edges[far][1] <= edges[near][1]
    return Gap(
        left=left,
        right=right,
        gap_deg=gap_deg,
        left_is_nearer=away_m[left] <= away_m[right],
        is_hidden=hidden and gap_deg < 0.0,
    )
