"""Outlines on the frame: silhouettes of trunks and branches, sky holes, bands of the ground."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.scene.camera import Camera
from shivelight.scene.elements import CHEST_M, EYE_M, Segment, SkyHole, Slope, Trunk

NEAREST_M = 0.05
"""What stands nearer than this along the lens axis is not drawn. [m]"""
FLARE_FRAC, TAPER_PER_M = 0.25, 0.012
"""How a trunk widens at its foot and narrows upward, from memory of grown beeches."""
_BANDS_M = (1e6, 120.0, 60.0, 30.0, 15.0, 8.0, 4.0, 2.0, NEAREST_M)


class View(NamedTuple):
    """A camera as outlines need it, worked out once for a frame; distortion is left out.

    ``place`` is the lens [m], ``axes`` its right, down and forward, ``focal`` the focal length in
    widths of the frame.
    """

    place: FloatArray
    axes: FloatArray
    focal: float


def view_of(camera: Camera) -> View:
    """Work out what the outlines of one frame share.

    Parameters
    ----------
    camera : Camera
        From where, and how turned.
    """
    place = np.array([camera.x_m, camera.y_m, camera.z_m])
    return View(place, camera.axes, camera.focal_in_widths)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """One thing on the frame.

    Attributes
    ----------
    name : str
        What it is called.
    uv : ndarray of float64, shape (N, 2)
        Its outline, in widths of the frame from the middle.
    distance_m : float
        From the lens to it. [m]
    is_wood : bool
        Whether it is a trunk or a branch, and no hole.
    """

    name: str
    uv: FloatArray
    distance_m: float
    is_wood: bool = True

    @property
    def left_u(self) -> float:
        """Left edge."""
        return float(self.uv[:, 0].min())

    @property
    def right_u(self) -> float:
        """Right edge."""
        return float(self.uv[:, 0].max())

    @property
    def middle_u(self) -> float:
        """Middle between its edges."""
        return (self.left_u + self.right_u) / 2.0

    def meets(self, half_width: float, half_height: float) -> bool:
        """Whether it can be seen within the frame."""
        low, high = self.uv[:, 1].min(), self.uv[:, 1].max()
        across = self.left_u < half_width and self.right_u > -half_width
        return across and bool(low < half_height and high > -half_height)


def silhouette(
    ends: FloatArray, radii: FloatArray, view: View
) -> tuple[FloatArray, FloatArray] | None:
    """Points of a round piece at which rays only graze it, on its two sides.

    Parameters
    ----------
    ends : ndarray, shape (N, 3)
        Points along its axis. [m]
    radii : ndarray, shape (N,)
        Its radius at each. [m]
    view : View
        From where.

    Returns
    -------
    one, other : ndarray of float64, shape (N, 3)
        Grazed points, left and right as seen; None where the lens is inside it. Exact for a
        cylinder; a taper of a few mm per metre moves them by less than its own slope. [m]
    """
    along = ends[-1] - ends[0]
    axis = along / math.hypot(*along)
    out = ends - view.place
    flat = out - (out @ axis)[:, None] * axis
    away = np.sqrt((flat * flat).sum(axis=1))
    if (away <= radii).any():
        return None
    toward = -flat / away[:, None]
    x, y, z = axis
    side = toward @ np.array([[0.0, z, -y], [-z, 0.0, x], [y, -x, 0.0]])  # axis × toward
    cosine = radii / away
    sine = np.sqrt(1.0 - cosine**2)
    middle = ends + (radii * cosine)[:, None] * toward
    reach = (radii * sine)[:, None] * side
    return middle - reach, middle + reach


def trunk_outline(trunk: Trunk, view: View, *, slope: Slope) -> Outline | None:
    """Outline of a trunk with a flared foot; None behind the lens."""
    foot, top = (np.array(end) for end in trunk.ends_m(slope))
    ends = _in_front(foot, top, view)
    if ends is None:
        return None
    heights = np.array([0.0, 0.12, 0.3, 0.8]) * min(trunk.width_m * 1.6, trunk.height_m)
    levels = np.concatenate([heights, [trunk.height_m]]) / trunk.height_m
    levels = np.clip(levels, ends[0], ends[1])
    points = foot + levels[:, None] * (top - foot)
    upright = levels * trunk.height_m
    taper = np.clip(1.0 - TAPER_PER_M * (upright - CHEST_M), 0.5, 1.0)
    flare = 1.0 + FLARE_FRAC * np.clip(1.0 - upright / max(heights[3], 1e-9), 0.0, 1.0) ** 2
    found = _outline(trunk.name, points, trunk.width_m / 2.0 * taper * flare, view)
    return None if found is None else _pinned(found, foot, view)


def _pinned(found: Outline, foot: FloatArray, view: View) -> Outline:
    """Order trunks by where they stand, whatever part of them is in front of the lens."""
    away_m = math.hypot(foot[0] - view.place[0], foot[1] - view.place[1])
    return replace(found, distance_m=away_m)


def segment_outline(segment: Segment, view: View) -> Outline | None:
    """Outline of a branch or log; None behind the lens."""
    start, end = np.array(segment.start_m), np.array(segment.end_m)
    ends = _in_front(start, end, view)
    if ends is None:
        return None
    points = start + np.array(ends)[:, None] * (end - start)
    return _outline(segment.name, points, np.full(2, segment.width_m / 2.0), view)


def hole_outline(hole: SkyHole, view: View) -> Outline | None:
    """Outline of a sky hole, an oval at its distance; None behind the lens."""
    turn = np.linspace(0.0, 2.0 * np.pi, 17)[:-1]
    angle = np.radians(hole.angle_deg + hole.width_deg / 2.0 * np.cos(turn))
    height = np.radians(hole.altitude_deg + hole.height_deg / 2.0 * np.sin(turn))
    ways = np.stack(
        [np.sin(angle) * np.cos(height), np.cos(angle) * np.cos(height), np.sin(height)], axis=1
    )
    uv, depth = _on_frame(hole.distance_m * ways + np.array([0.0, 0.0, EYE_M]), view)
    if uv is None or depth.min() < NEAREST_M:
        return None
    return Outline(name=hole.name, uv=uv, distance_m=hole.distance_m, is_wood=False)


def ground_bands(view: View, slope: Slope) -> Iterator[tuple[FloatArray, float]]:
    """Cut the ground into strips, far to near: outline in widths, and how far each is. [m]."""
    normal = np.array([-slope.rise_right_frac, -slope.rise_forward_frac, 1.0])
    right, down, forward = view.axes @ normal
    if abs(down) < 1e-6:
        return
    x = np.array([-0.6, 0.6]) / view.focal
    lines = [
        -(float(view.place @ normal) / depth + forward + x * right) / down * view.focal
        for depth in _BANDS_M
    ]
    for far, near, depth in zip(lines, lines[1:], _BANDS_M[1:], strict=False):
        corners = [(-0.6, far[0]), (0.6, far[1]), (0.6, near[1]), (-0.6, near[0])]
        yield np.array(corners), depth


def _in_front(start: FloatArray, end: FloatArray, view: View) -> tuple[float, float] | None:
    """Shares along a piece between which it stands in front of the lens."""
    forward = view.axes[2]
    low, high = float((start - view.place) @ forward), float((end - view.place) @ forward)
    if max(low, high) <= 2.0 * NEAREST_M:
        return None
    cross = (2.0 * NEAREST_M - low) / (high - low) if high != low else 0.0
    return (cross if low < 2.0 * NEAREST_M else 0.0), (cross if high < 2.0 * NEAREST_M else 1.0)


def _outline(name: str, points: FloatArray, radii: FloatArray, view: View) -> Outline | None:
    sides = silhouette(points, radii, view)
    if sides is None:
        return None
    uv, depth = _on_frame(np.concatenate([sides[0], sides[1][::-1]]), view)
    return None if uv is None else Outline(name=name, uv=uv, distance_m=float(depth.mean()))


def _on_frame(points: FloatArray, view: View) -> tuple[FloatArray | None, FloatArray]:
    """Points as they fall on the frame, in widths; None where one is not before the lens."""
    seen = (points - view.place) @ view.axes.T
    depth = seen[:, 2]
    if not depth.min() > 0.0:
        return None, depth
    return seen[:, :2] / depth[:, None] * view.focal, depth
