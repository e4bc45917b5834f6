"""Edges of trunks and branches as a lens sees them, exactly, and the gap between two.

Seen from a point P a cylinder is bounded by two planes through P that touch it. A direction of
bearing b whose altitude has the tangent t lies in such a plane, with normal n, where

    n_x sin b + n_y cos b + n_z t = 0,    so    b = c + asin(k t),

with c and k fixed by n: each edge is two numbers, and k is 0 for an upright trunk. Between two
edges the gap c₂ + asin(k₂ t) − c₁ − asin(k₁ t) has no turning point in t (its slope is nought
only where k₁ = k₂, and then everywhere), so that **the smallest gap over the altitudes that two
trunks share stands at one end of them**. Nothing is sampled.

A leaning trunk or steep branch is one such piece. One nearer the level than 45° has no left and
right edge all along; it is cut in pieces, and each counts as the box of bearings and altitudes
that holds it: the gap is then never said to be larger than it is.
"""

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from shivelight.basis.arrays import BoolArray, FloatArray, IntArray, kernel
from shivelight.scene.elements import Survey

LEVEL_PIECES = 8
"""Pieces into which a branch nearer the level than 45° is cut. A judgement."""

EDGES = 6
"""Numbers of an outline: c and k of the left edge, c and k of the right, tangents low, high."""


class Solids(NamedTuple):
    """Pieces of trunks and segments as arrays; made by :func:`solids_of`.

    Attributes
    ----------
    low_m, high_m : ndarray of float64, shape (S, 3)
        Ends of the axis of each piece. [m]
    radius_m : ndarray of float64, shape (S,)
        Half of the width. [m]
    boxed : ndarray of bool, shape (S,)
        Whether the piece counts as a box.
    first : ndarray of int64, shape (E + 1,)
        Element e is made of the pieces from ``first[e]`` up to ``first[e + 1]``.
    """

    low_m: FloatArray
    high_m: FloatArray
    radius_m: FloatArray
    boxed: BoolArray
    first: IntArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """One trunk or segment as an axis and a width."""

    name: str
    ends_m: tuple[tuple[float, float, float], tuple[float, float, float]]
    width_m: float

    @property
    def is_steep(self) -> bool:
        """Whether its axis is nearer the upright than the level."""
        (x, y, z), (x2, y2, z2) = self.ends_m
        return abs(z2 - z) >= math.hypot(x2 - x, y2 - y)


def bodies_of(survey: Survey) -> tuple[Body, ...]:
    """Trunks and then segments of a survey, each as an axis and a width.

    Parameters
    ----------
    survey : Survey
        What was surveyed.
    """
    trunks = (
        Body(name=one.name, ends_m=one.ends_m(survey.slope), width_m=one.width_m)
        for one in survey.trunks
    )
    segments = (
        Body(name=one.name, ends_m=(one.start_m, one.end_m), width_m=one.width_m)
        for one in survey.segments
    )
    return (*trunks, *segments)


def solids_of(survey: Survey) -> Solids:
    """Pieces of all trunks and segments, in the order of :func:`bodies_of`.

    Parameters
    ----------
    survey : Survey
        What was surveyed.
    """
    low: list[FloatArray] = []
    high: list[FloatArray] = []
    radius: list[float] = []
    boxed: list[bool] = []
    first = [0]
    for body in bodies_of(survey):
        start, end = (np.array(one, dtype=np.float64) for one in body.ends_m)
        count = 1 if body.is_steep else LEVEL_PIECES
        cuts = start + (end - start) * np.linspace(0.0, 1.0, count + 1)[:, np.newaxis]
        if end[2] < start[2]:
            cuts = cuts[::-1]
        low += list(cuts[:-1])
        high += list(cuts[1:])
        radius += [body.width_m / 2.0] * count
        boxed += [not body.is_steep] * count
        first.append(len(low))
    return Solids(
        np.array(low, dtype=np.float64).reshape(-1, 3),
        np.array(high, dtype=np.float64).reshape(-1, 3),
        np.array(radius, dtype=np.float64),
        np.array(boxed, dtype=np.bool_),
        np.array(first, dtype=np.int64),
    )


def outlines(solids: Solids, position_m: FloatArray) -> FloatArray:
    """Edges of every piece from one place.

    Parameters
    ----------
    solids : Solids
        Pieces.
    position_m : ndarray of float64, shape (3,)
        Where the lens is. [m]

    Returns
    -------
    ndarray of float64, shape (S, 6)
        For each piece c and k of its left edge, c and k of its right edge, in radians, and the
        tangents of the altitudes between which it stands. A piece that the lens is in takes in
        every bearing.
    """
    out = np.empty((len(solids.radius_m), EDGES))
    outlines_kernel(solids, position_m, out)
    return out


def level_edges(solids: Solids, edges: FloatArray, tangents: FloatArray) -> FloatArray:
    """Bearings of the left and right edge of each element at one altitude.

    Parameters
    ----------
    solids : Solids
        Pieces.
    edges : ndarray of float64, shape (S, 6)
        Their outlines.
    tangents : ndarray of float64, shape (E,)
        Tangent of the altitude for each element; a piece is read no farther than its ends.

    Returns
    -------
    ndarray of float64, shape (E, 2)
        Left and right, in radians.
    """
    sides = np.empty((len(tangents), 2))
    for row, tangent in enumerate(tangents):
        pieces = edges[solids.first[row] : solids.first[row + 1]]
        held = np.clip(tangent, pieces[:, 4], pieces[:, 5])
        sides[row, 0] = np.min(pieces[:, 0] + np.arcsin(np.clip(pieces[:, 1] * held, -1.0, 1.0)))
        sides[row, 1] = np.max(pieces[:, 2] + np.arcsin(np.clip(pieces[:, 3] * held, -1.0, 1.0)))
    return sides


@kernel
def outline_kernel(solids: Solids, piece: int, position_m: FloatArray, edges: FloatArray) -> None:
    """Write the outline of one piece from one place into ``edges``."""
    low, high = solids.low_m[piece], solids.high_m[piece]
    radius = solids.radius_m[piece]
    ax, ay, az = low[0] - position_m[0], low[1] - position_m[1], low[2] - position_m[2]
    bx, by, bz = high[0] - position_m[0], high[1] - position_m[1], high[2] - position_m[2]
    if solids.boxed[piece]:
        _box_kernel(ax, ay, bx, by, radius, edges)
        near = max(1e-9, min(math.hypot(ax, ay), math.hypot(bx, by)))
        far = max(1e-9, math.hypot(ax, ay), math.hypot(bx, by))
        under, over = az - radius, bz + radius
        edges[4] = under / (near if under < 0.0 else far)
        edges[5] = over / (far if over < 0.0 else near)
        return
    edges[4] = az / max(1e-9, math.hypot(ax, ay))
    edges[5] = bz / max(1e-9, math.hypot(bx, by))
    if ax == bx and ay == by:
        away = math.hypot(ax, ay)
        centre = math.atan2(ax, ay)
        half = math.asin(radius / away) if away > radius else math.pi
        edges[0], edges[1], edges[2], edges[3] = centre - half, 0.0, centre + half, 0.0
        return
    _lean_kernel(ax, ay, az, bx, by, bz, radius, edges)


@kernel
def outlines_kernel(solids: Solids, position_m: FloatArray, edges: FloatArray) -> None:
    """Write the outlines of all pieces from one place into ``edges``."""
    for piece in range(len(edges)):
        outline_kernel(solids, piece, position_m, edges[piece])


@kernel
def _box_kernel(
    ax: float, ay: float, bx: float, by: float, radius: float, out: FloatArray
) -> None:
    """Bearings that hold both ends with their half widths."""
    near, far = math.hypot(ax, ay), math.hypot(bx, by)
    first, last = math.atan2(ax, ay), math.atan2(bx, by)
    last += 2.0 * math.pi * math.floor((first - last) / (2.0 * math.pi) + 0.5)
    more = math.asin(radius / near) if near > radius else math.pi
    other = math.asin(radius / far) if far > radius else math.pi
    out[0], out[1] = min(first - more, last - other), 0.0
    out[2], out[3] = max(first + more, last + other), 0.0


@kernel
def _lean_kernel(
    ax: float,
    ay: float,
    az: float,
    bx: float,
    by: float,
    bz: float,
    radius: float,
    out: FloatArray,
) -> None:
    """Edges of a leaning cylinder: the two planes through the lens that touch it."""
    dx, dy, dz = bx - ax, by - ay, bz - az
    length = math.sqrt(dx * dx + dy * dy + dz * dz)
    dx, dy, dz = dx / length, dy / length, dz / length
    along = ax * dx + ay * dy + az * dz
    qx, qy, qz = ax - along * dx, ay - along * dy, az - along * dz
    away = math.sqrt(qx * qx + qy * qy + qz * qz)
    if away <= radius:
        out[0], out[1], out[2], out[3] = -math.pi, 0.0, math.pi, 0.0
        return
    qx, qy, qz = qx / away, qy / away, qz / away
    wx, wy, wz = dy * qz - dz * qy, dz * qx - dx * qz, dx * qy - dy * qx
    sine = radius / away
    cosine = math.sqrt(1.0 - sine * sine)
    centre = math.atan2(qx, qy)
    for side in range(2):
        turn = cosine if side == 0 else -cosine
        nx, ny, nz = sine * qx + turn * wx, sine * qy + turn * wy, sine * qz + turn * wz
        # Where the plane touches: at right angles to n and to the axis, on the cylinder's side.
        tip = -sine if side == 0 else sine
        touch = math.atan2(cosine * qx + tip * wx, cosine * qy + tip * wy)
        flat = math.hypot(nx, ny)
        turned = math.atan2(ny, nx)
        if math.cos(touch + turned) >= 0.0:
            edge, slant = -turned, -nz / flat
        else:
            edge, slant = math.pi - turned, nz / flat
        edge += 2.0 * math.pi * math.floor((centre - edge) / (2.0 * math.pi) + 0.5)
        # The axis points up, so w is to the left of q: its plane touches on the right.
        place = 0 if side == 1 else 2
        out[place], out[place + 1] = edge, slant


@kernel
def bearing_kernel(centre_rad: float, slant: float, tangent: float) -> float:
    """Bearing of an edge at an altitude, in radians."""
    if slant != 0.0:
        centre_rad += math.asin(min(1.0, max(-1.0, slant * tangent)))
    return centre_rad
