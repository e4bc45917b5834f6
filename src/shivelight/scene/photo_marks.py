"""Marks of trunks on a photograph, how the photograph was taken, and where its pixels look.

Pixels are those of the upright picture; (0, 0) is the middle of the top-left one. The camera
stands at the origin of the local frame and looks along +y, tilted as its view says.
"""

import math
from dataclasses import dataclass, replace

import numpy as np

from shivelight.basis.errors import BadInputError, require_range
from shivelight.scene.camera import Camera, rays
from shivelight.scene.elements import Role, Slope

LEAST_WIDTH_PX = 3.0
"""A trunk marked narrower than this has no width to measure (a judgement). [px]"""
FLAT = Slope()
"""Level ground."""
WIDEST_SHAPE = 2.4
"""Wider pictures than this, side to side, are taken for panoramas (a judgement)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrunkMark:
    """A trunk as marked on a photograph, in pixels of the upright picture.

    Attributes
    ----------
    name : str
        What it is called.
    left_px, right_px : float
        Columns of its two edges, at about the height of a chest. [px]
    row_px : float
        Row at which they were marked. [px]
    foot_px : (column, row) or None
        Where its near side meets the ground. [px]
    width_m : float or None
        Its diameter where that is known, by tape or by arm. [m]
    width_error_m : float
        Standard error of that. [m]
    role : Role
        What it is in the picture.
    """

    name: str
    left_px: float
    right_px: float
    row_px: float
    foot_px: tuple[float, float] | None = None
    width_m: float | None = None
    width_error_m: float = 0.02
    role: Role = Role.COMPANION

    def __post_init__(self) -> None:
        if not abs(self.right_px - self.left_px) >= LEAST_WIDTH_PX:
            raise BadInputError(
                f"{self.name} is marked {abs(self.right_px - self.left_px):.3g} px wide; draw "
                "the picture nearer and mark its two edges again."
            )
        if self.width_m is not None:
            require_range(f"width of {self.name}", self.width_m, 0.005, 20.0, "m")


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoView:
    """How a photograph was taken, and how sure that is.

    Attributes
    ----------
    camera : Camera
        Its place is the origin: x, y and yaw are 0; z is the height of the lens.
    width_px, height_px : int
        Size of the upright picture.
    slope : Slope
        The ground.
    pixel_error_px, height_error_m, pitch_error_deg, roll_error_deg, focal_error_frac, \
slope_error_frac : float
        Standard errors of a mark, the lens height, the tilt up, the tilt sideways, the focal
        length as a share of it, and the rise of the ground in m/m (judgements).
    """

    camera: Camera
    width_px: int
    height_px: int
    slope: Slope = FLAT
    pixel_error_px: float = 2.0
    height_error_m: float = 0.05
    pitch_error_deg: float = 1.0
    roll_error_deg: float = 1.0
    focal_error_frac: float = 0.01
    slope_error_frac: float = 0.02

    def __post_init__(self) -> None:
        require_range("width of the picture", self.width_px, 16, 100_000, "px")
        require_range("height of the picture", self.height_px, 16, 100_000, "px")
        require_range("height of the lens", self.camera.z_m, 0.02, 30.0, "m")
        if max(self.width_px / self.height_px, self.height_px / self.width_px) > WIDEST_SHAPE:
            raise BadInputError(
                f"The picture is {self.width_px} by {self.height_px} px, as panoramas are; their "
                "perspective is not that of one lens. Give a single frame."
            )


def bearing_and_altitude_deg(view: PhotoView, x_px: float, y_px: float) -> tuple[float, float]:
    """Angle off the lens axis, to the right, and altitude above the level, of a pixel. [°]."""
    right, forward, up = ray(view, x_px, y_px)
    return math.degrees(math.atan2(right, forward)), math.degrees(math.asin(up))


def edges_of(mark: TrunkMark, view: PhotoView) -> tuple[float, float]:
    """Bearing of the middle of a marked trunk and half the angle it takes up. [°]."""
    middle, half = edges(mark, view)
    return math.degrees(middle), math.degrees(half)


def tilt_from_horizon(
    camera: Camera, left: tuple[float, float], right: tuple[float, float]
) -> tuple[float, float]:
    """Tilt of a camera from two points of a level horizon, such as far water.

    Parameters
    ----------
    camera : Camera
        Its lens; how it is turned is not looked at.
    left, right : (u, v)
        Two points of the horizon, in widths of the frame from the middle.

    Returns
    -------
    pitch_deg, roll_deg : float
        Up, and clockwise from behind. [°]

    Raises
    ------
    BadInputError
        If both points are next to each other.
    """
    if math.hypot(right[0] - left[0], right[1] - left[1]) < 0.02:
        raise BadInputError("The two points of the horizon are the same; mark them far apart.")
    plain = replace(camera, yaw_deg=0.0, pitch_deg=0.0, roll_deg=0.0)
    one, other = rays(plain, left[0], left[1]), rays(plain, right[0], right[1])
    up = np.cross(other, one)
    up = up * np.sign(up[2]) / np.linalg.norm(up)
    # Up in the camera's own axes, which are those of space while it is turned by nothing.
    pitch = math.asin(max(-1.0, min(1.0, float(up[1]))))
    return math.degrees(pitch), math.degrees(math.atan2(-float(up[0]), float(up[2])))


def ray(view: PhotoView, x_px: float, y_px: float) -> tuple[float, float, float]:
    """Give the unit vector (right, forward, up) along which a pixel looks."""
    u = (x_px - (view.width_px - 1) / 2.0) / view.width_px
    v = (y_px - (view.height_px - 1) / 2.0) / view.width_px
    right, forward, up = rays(view.camera, u, v)
    return float(right), float(forward), float(up)


def edges(mark: TrunkMark, view: PhotoView) -> tuple[float, float]:
    """Middle and half of what an upright trunk takes up of the level circle. [rad].

    The plane through the lens and an upright edge is upright, so that any point of the edge has
    the edge's bearing, however the camera is tilted.
    """
    bearings = []
    for column in (mark.left_px, mark.right_px):
        right, forward, _up = ray(view, column, mark.row_px)
        bearings.append(math.atan2(right, forward))
    return sum(bearings) / 2.0, abs(bearings[1] - bearings[0]) / 2.0


def require_inside(mark: TrunkMark, view: PhotoView) -> None:
    """Refuse marks beside the picture."""
    points = [(mark.left_px, mark.row_px), (mark.right_px, mark.row_px)]
    if mark.foot_px is not None:
        points.append(mark.foot_px)
    for column, row in points:
        if not (-0.5 <= column <= view.width_px - 0.5 and -0.5 <= row <= view.height_px - 0.5):
            raise BadInputError(
                f"A mark of {mark.name} lies at column {column:.0f}, row {row:.0f}, outside the "
                f"picture of {view.width_px} by {view.height_px} px; mark it again."
            )
