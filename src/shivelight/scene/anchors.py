"""Anchors of a mark, and what can be measured to them: distances, transits, angles.

Everything is in the local frame of ``scene.elements``: metres to the right and forward of the
mark, angles from the lens axis to the right. An anchor is an upright thing that will still be
there: a trunk, a post, a stone.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, NotFoundError, require_range
from shivelight.scene.elements import FARTHEST_M

TRANSIT_DOUBT_DEG = 0.1
"""How well the eye brings two edges in line, a standard error. [°] A judgement."""


class Side(StrEnum):
    """Which edge of an anchor is meant, as seen from the mark."""

    LEFT = "left"
    MIDDLE = "middle"
    RIGHT = "right"


SIDE_SIGN = {Side.LEFT: -1.0, Side.MIDDLE: 0.0, Side.RIGHT: 1.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Anchor:
    """Something whose place is known from the survey.

    Attributes
    ----------
    name : str
        What it is called.
    x_m, y_m : float
        Its middle. [m]
    width_m : float
        Its thickness; 0 for a thin post. [m]
    doubt_along_m, doubt_across_m : float
        Standard errors of its place along and across the line from the mark. [m]
    """

    name: str
    x_m: float
    y_m: float
    width_m: float = 0.0
    doubt_along_m: float = 0.0
    doubt_across_m: float = 0.0

    def __post_init__(self) -> None:
        require_range(f"width of {self.name}", self.width_m, 0.0, 20.0, "m")
        require_range(f"doubt of {self.name}", self.doubt_along_m, 0.0, FARTHEST_M, "m")
        require_range(f"doubt of {self.name}", self.doubt_across_m, 0.0, FARTHEST_M, "m")
        if math.hypot(self.x_m, self.y_m) <= self.width_m / 2.0:
            raise BadInputError(f"{self.name} stands on the mark itself and fixes no place.")

    @property
    def covariance_m2(self) -> FloatArray:
        """Covariance of its place, shape (2, 2). [m²]."""
        distance_m = math.hypot(self.x_m, self.y_m)
        along = np.array([self.x_m, self.y_m]) / distance_m
        across = np.array([along[1], -along[0]])
        return np.asarray(
            np.outer(along, along) * self.doubt_along_m**2
            + np.outer(across, across) * self.doubt_across_m**2
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Taped:
    """A distance to the middle of an anchor, along the level.

    Attributes
    ----------
    to : str
        The anchor's name.
    distance_m, doubt_m : float
        Measured, and its standard error. [m]
    noted_m, noted_doubt_m : float or None, float
        The same as it was measured at the mark itself, with its standard error; None where only
        the survey says it. [m]
    """

    to: str
    distance_m: float
    doubt_m: float
    noted_m: float | None = None
    noted_doubt_m: float = 0.0

    def __post_init__(self) -> None:
        for what, value_m in (("distance to", self.distance_m), ("noted distance", self.noted_m)):
            if value_m is not None:
                require_range(f"{what} {self.to}", value_m, 0.05, FARTHEST_M, "m")
        require_range(f"doubt of the distance to {self.to}", self.doubt_m, 1e-4, FARTHEST_M, "m")
        require_range("doubt of the noted distance", self.noted_doubt_m, 0.0, FARTHEST_M, "m")


@dataclass(frozen=True, slots=True, kw_only=True)
class Transit:
    """Two edges in line, seen from the mark.

    Attributes
    ----------
    near, far : str
        The two anchors.
    near_side, far_side : Side
        Which edge of each.
    open_deg : float
        How far the far edge stands to the right of the near one; 0 where they are in line. [°]
    doubt_deg : float
        Standard error of that. [°]
    noted_deg, noted_doubt_deg : float or None, float
        The same at the mark itself; None where only the survey says it. [°]
    """

    near: str
    far: str
    near_side: Side = Side.MIDDLE
    far_side: Side = Side.MIDDLE
    open_deg: float = 0.0
    doubt_deg: float = TRANSIT_DOUBT_DEG
    noted_deg: float | None = 0.0
    noted_doubt_deg: float = TRANSIT_DOUBT_DEG

    def __post_init__(self) -> None:
        if self.near.casefold() == self.far.casefold():
            raise BadInputError(f"A transit wants two things in line, not {self.near} twice.")
        require_range("opening of a transit", self.open_deg, -180.0, 180.0, "°")
        require_range("doubt of a transit", self.doubt_deg, 1e-4, 45.0, "°")
        require_range("doubt of a noted transit", self.noted_doubt_deg, 0.0, 45.0, "°")


@dataclass(frozen=True, slots=True, kw_only=True)
class Between:
    """The angle from the middle of one anchor to that of another, to the right.

    Attributes
    ----------
    left, right : str
        The two anchors.
    angle_deg, doubt_deg : float
        Measured, and its standard error. [°]
    """

    left: str
    right: str
    angle_deg: float
    doubt_deg: float

    def __post_init__(self) -> None:
        if self.left.casefold() == self.right.casefold():
            raise BadInputError(f"An angle wants two things, not {self.left} twice.")
        require_range("angle between", self.angle_deg, -360.0, 360.0, "°")
        require_range("doubt of an angle", self.doubt_deg, 1e-4, 45.0, "°")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sighted:
    """The direction of an anchor's middle, by compass, from the bearing of view to the right.

    Attributes
    ----------
    to : str
        The anchor.
    angle_deg, doubt_deg : float
        Bearing less the bearing of view, and its standard error. [°]
    """

    to: str
    angle_deg: float
    doubt_deg: float

    def __post_init__(self) -> None:
        require_range(f"direction of {self.to}", self.angle_deg, -360.0, 360.0, "°")
        require_range("doubt of a direction", self.doubt_deg, 1e-4, 45.0, "°")


Measurement: TypeAlias = Taped | Transit | Between | Sighted


def names_in(one: Measurement) -> tuple[str, ...]:
    """Anchors that a measurement is made to."""
    if isinstance(one, Transit):
        return (one.near, one.far)
    return (one.left, one.right) if isinstance(one, Between) else (one.to,)


def words_of(one: Measurement) -> str:
    """Name a measurement: "the distance to Plumb"."""
    if isinstance(one, Taped):
        return f"the distance to {one.to}"
    if isinstance(one, Transit):
        return f"the transit of {one.near} and {one.far}"
    if isinstance(one, Between):
        return f"the angle from {one.left} to {one.right}"
    return f"the bearing of {one.to}"


def predicted(
    one: Measurement, anchors: Mapping[str, Anchor], points_m: FloatArray
) -> tuple[FloatArray, FloatArray, dict[str, FloatArray]]:
    """Work out what a measurement would read at places, and how that changes.

    Parameters
    ----------
    one : Measurement
        What is measured; only its anchors matter.
    anchors : mapping of str to Anchor
        By name.
    points_m : ndarray, shape (S, 2)
        Places. [m]

    Returns
    -------
    value : ndarray, shape (S,)
        Metres or degrees.
    slope : ndarray, shape (S, 2)
        Its change a metre to the right and forward.
    by_anchor : dict of str to ndarray, shape (S, 2)
        Its change a metre that an anchor moves.

    Raises
    ------
    NotFoundError
        If the place of an anchor is not known.
    """
    value = np.zeros(len(points_m))
    slope = np.zeros((len(points_m), 2))
    by_anchor: dict[str, FloatArray] = {}
    for name, weight, side in _terms(one):
        if name not in anchors:
            raise NotFoundError(f"The place of {name} is not known; survey it first.")
        anchor = anchors[name]
        if isinstance(one, Taped):
            part, change = _distance(anchor, points_m)
        else:
            part, change = _direction(anchor, points_m, SIDE_SIGN[side])
        value += weight * part
        slope += weight * change
        by_anchor[name] = by_anchor.get(name, np.zeros_like(slope)) - weight * change
    return value, slope, by_anchor


def _terms(one: Measurement) -> tuple[tuple[str, float, Side], ...]:
    if isinstance(one, Transit):
        return ((one.far, 1.0, one.far_side), (one.near, -1.0, one.near_side))
    if isinstance(one, Between):
        return ((one.right, 1.0, Side.MIDDLE), (one.left, -1.0, Side.MIDDLE))
    return ((one.to, 1.0, Side.MIDDLE),)


def _distance(anchor: Anchor, points_m: FloatArray) -> tuple[FloatArray, FloatArray]:
    off = np.array([anchor.x_m, anchor.y_m]) - points_m
    distance = np.maximum(np.hypot(off[:, 0], off[:, 1]), 1e-9)
    return distance, -off / distance[:, None]


def _direction(anchor: Anchor, points_m: FloatArray, sign: float) -> tuple[FloatArray, FloatArray]:
    """Direction of an edge: of the middle, less or more asin(w / 2D)."""
    off = np.array([anchor.x_m, anchor.y_m]) - points_m
    half_m = anchor.width_m / 2.0
    distance = np.maximum(np.hypot(off[:, 0], off[:, 1]), max(half_m * 1.000001, 1e-9))
    angle = np.arctan2(off[:, 0], off[:, 1]) + sign * np.arcsin(half_m / distance)
    turn = np.stack([-off[:, 1], off[:, 0]], axis=1) / distance[:, None] ** 2
    narrow = half_m / (distance * np.sqrt(distance**2 - half_m**2)) if half_m else 0.0 * distance
    swell = sign * narrow[:, None] * off / distance[:, None]
    return np.degrees(angle), np.degrees(turn + swell)
