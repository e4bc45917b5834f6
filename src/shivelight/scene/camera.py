"""Perspective: an exact pinhole with optional radial distortion, turned any way.

The camera stands in the local frame of ``scene.elements`` (x right, y forward, z up). Turned by
nothing it looks along +y; yaw turns it to the right, pitch up, roll clockwise as seen from
behind. Image coordinates are in parts of the frame's **width**: ``u`` to the right and ``v``
down, both from the middle of the frame, so that the border stands at u = ±1/2 and
v = ±height/(2 width).
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import require_range

UNDISTORT_STEPS = 30
"""Newton steps at most that take a radial distortion back; a handful is usual."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """A camera at a place, turned a way, with a lens.

    Attributes
    ----------
    x_m, y_m, z_m : float
        Where the lens is. [m]
    yaw_deg, pitch_deg, roll_deg : float
        How it is turned: to the right, up, clockwise from behind. [°]
    focal_length_mm : float
        Focal length. [mm]
    sensor_width_mm, sensor_height_mm : float
        The frame as it is held. [mm]
    k1, k2 : float
        Radial distortion: r' = r (1 + k1 r² + k2 r⁴), r in focal lengths.
    """

    x_m: float = 0.0
    y_m: float = 0.0
    z_m: float = 1.4
    yaw_deg: float = 0.0
    pitch_deg: float = 0.0
    roll_deg: float = 0.0
    focal_length_mm: float = 50.0
    sensor_width_mm: float = 36.0
    sensor_height_mm: float = 24.0
    k1: float = 0.0
    k2: float = 0.0

    def __post_init__(self) -> None:
        require_range("focal length", self.focal_length_mm, 1.0, 2000.0, "mm")
        require_range("sensor width", self.sensor_width_mm, 1.0, 200.0, "mm")
        require_range("sensor height", self.sensor_height_mm, 1.0, 200.0, "mm")
        require_range("pitch", self.pitch_deg, -90.0, 90.0, "°")

    @property
    def focal_in_widths(self) -> float:
        """Focal length in widths of the frame."""
        return self.focal_length_mm / self.sensor_width_mm

    @property
    def half_height(self) -> float:
        """Half of the frame's height, in widths."""
        return self.sensor_height_mm / self.sensor_width_mm / 2.0

    @property
    def axes(self) -> FloatArray:
        """Rows (3, 3): the camera's right, down and forward, unit vectors of the local frame."""
        yaw, pitch, roll = (
            math.radians(one) for one in (self.yaw_deg, self.pitch_deg, self.roll_deg)
        )
        forward = np.array(
            [math.sin(yaw) * math.cos(pitch), math.cos(yaw) * math.cos(pitch), math.sin(pitch)]
        )
        level = np.array([math.cos(yaw), -math.sin(yaw), 0.0])
        up = np.cross(level, forward)
        right = level * math.cos(roll) - up * math.sin(roll)
        down = -(up * math.cos(roll) + level * math.sin(roll))
        return np.stack([right, down, forward])


def angle_of_view_deg(focal_length_mm: ArrayLike, size_mm: ArrayLike) -> FloatArray:
    """Angle that a side of the frame takes in, focused far away.

    Parameters
    ----------
    focal_length_mm, size_mm : array_like, shapes that broadcast to S
        Focal length, and the side of the frame. [mm]

    Returns
    -------
    ndarray of float64, shape S
        2 atan(size / 2f). [°]
    """
    focal, size = np.asarray(focal_length_mm, float), np.asarray(size_mm, float)
    return np.asarray(np.degrees(2.0 * np.arctan(size / (2.0 * focal))), dtype=np.float64)


def close_angle_of_view_deg(
    focal_length_mm: ArrayLike, size_mm: ArrayLike, *, focus_m: ArrayLike
) -> FloatArray:
    """Angle that a side of the frame takes in when a thin lens is focused close.

    Parameters
    ----------
    focal_length_mm, size_mm, focus_m : array_like, shapes that broadcast to S
        Focal length, the side of the frame, and the distance focused on. [mm, mm, m]

    Returns
    -------
    ndarray of float64, shape S
        2 atan(size / 2v) with v = f u / (u − f); NaN where nothing can be focused. [°]
    """
    focal, away = np.asarray(focal_length_mm, float), 1000.0 * np.asarray(focus_m, float)
    beyond = np.where(away > focal, away - focal, np.nan)
    return angle_of_view_deg(focal * away / beyond, size_mm)


def field_width_m(
    focal_length_mm: ArrayLike, size_mm: ArrayLike, *, distance_m: ArrayLike
) -> FloatArray:
    """How much a side of the frame takes in at a distance.

    Parameters
    ----------
    focal_length_mm, size_mm, distance_m : array_like, shapes that broadcast to S
        Focal length, the side of the frame, and the distance. [mm, mm, m]

    Returns
    -------
    ndarray of float64, shape S
        Distance times size / f. [m]
    """
    size = np.asarray(size_mm, float) * np.asarray(distance_m, float)
    return np.asarray(size / np.asarray(focal_length_mm, float), dtype=np.float64)


def full_frame_focal_length_mm(
    focal_length_mm: ArrayLike, *, sensor_width_mm: ArrayLike, sensor_height_mm: ArrayLike
) -> FloatArray:
    """Focal length that gives the same diagonal angle of view on 36 × 24 mm.

    Parameters
    ----------
    focal_length_mm, sensor_width_mm, sensor_height_mm : array_like, shapes that broadcast to S
        Focal length and the sides of the sensor. [mm]

    Returns
    -------
    ndarray of float64, shape S
        f times the ratio of diagonals (from memory: CIPA DCG-001). [mm]
    """
    diagonal = np.hypot(np.asarray(sensor_width_mm, float), np.asarray(sensor_height_mm, float))
    ratio = math.hypot(36.0, 24.0) / diagonal
    return np.asarray(np.asarray(focal_length_mm, float) * ratio, dtype=np.float64)


def project(camera: Camera, points_m: ArrayLike) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Where points of space fall on the frame.

    Parameters
    ----------
    camera : Camera
        From where.
    points_m : array_like, shape (..., 3)
        Points of the local frame. [m]

    Returns
    -------
    u, v : ndarray of float64, shape (...)
        To the right and down from the middle, in widths of the frame; NaN behind the camera.
    depth_m : ndarray of float64, shape (...)
        Along the lens axis. [m]
    """
    points = np.asarray(points_m, dtype=np.float64)
    place = np.array([camera.x_m, camera.y_m, camera.z_m])
    right, down, depth = np.moveaxis((points - place) @ camera.axes.T, -1, 0)
    with np.errstate(divide="ignore", invalid="ignore"):
        x = np.where(depth > 0.0, right / depth, np.nan)
        y = np.where(depth > 0.0, down / depth, np.nan)
    r2 = x * x + y * y
    stretch = camera.focal_in_widths * (1.0 + camera.k1 * r2 + camera.k2 * r2 * r2)
    return x * stretch, y * stretch, np.asarray(depth, dtype=np.float64)


def rays(camera: Camera, u: ArrayLike, v: ArrayLike) -> FloatArray:
    """Directions in space of places on the frame: :func:`project` taken back.

    Parameters
    ----------
    camera : Camera
        From where.
    u, v : array_like, shapes that broadcast to S
        To the right and down from the middle, in widths of the frame.

    Returns
    -------
    ndarray of float64, shape (*S, 3)
        Unit vectors of the local frame; NaN where the distortion cannot be taken back.
    """
    x, y = np.broadcast_arrays(
        np.asarray(u, float) / camera.focal_in_widths,
        np.asarray(v, float) / camera.focal_in_widths,
    )
    x, y = _undistorted(x, y, camera.k1, k2=camera.k2)
    seen = np.stack([x, y, np.ones_like(x)], axis=-1) @ camera.axes
    return np.asarray(seen / np.linalg.norm(seen, axis=-1, keepdims=True), dtype=np.float64)


def _undistorted(
    x: FloatArray, y: FloatArray, k1: float, *, k2: float
) -> tuple[FloatArray, FloatArray]:
    """Take a radial distortion back by Newton's steps on the radius."""
    if k1 == 0.0 and k2 == 0.0:
        return x, y
    given = np.hypot(x, y)
    r = given.copy()
    for _ in range(UNDISTORT_STEPS):
        off = r * (1.0 + k1 * r**2 + k2 * r**4) - given
        slope = 1.0 + 3.0 * k1 * r**2 + 5.0 * k2 * r**4
        r = r - off / np.where(slope > 1e-9, slope, np.nan)
    with np.errstate(invalid="ignore"):
        scale = np.where(given > 0.0, r / np.where(given > 0.0, given, 1.0), 1.0)
        scale = np.where(np.abs(r * (1.0 + k1 * r**2 + k2 * r**4) - given) < 1e-12, scale, np.nan)
    return x * scale, y * scale
