"""A small ray-caster: trunks, branches, sloping ground, mist and shafts of low sun.

Shapes are exact: trunks are leaning cylinders (with a cut cone for a flared foot), branches and
logs are cylinders with round ends, the ground is a plane, sky holes are ovals that face the
mark. Light is rough: dark trunks under an even sky, mist of one optical range, the sun scattered
once, and trunks' shadows in the mist. It shows what a frame will be like; it measures nothing.
"""

import math
from dataclasses import dataclass

import numpy as np

from shivelight.air.visibility import extinction_per_m
from shivelight.basis.arrays import FloatArray, IntArray
from shivelight.basis.errors import BadInputError, require_range
from shivelight.scene._cast_kernel import (
    GROUND_ID,
    SKY_ID,
    fill_air,
    fill_facing,
    fill_ground,
    fill_pieces,
)
from shivelight.scene.camera import Camera, rays
from shivelight.scene.elements import EYE_M, Segment, SkyHole, Slope, Survey, Trunk

__all__ = ["GROUND_ID", "SKY_ID", "Cast", "LowSun", "cast", "require_outside"]

TRUNK_TONE, GROUND_TONE, HOLE_TONE = 0.05, 0.14, 1.25
"""Near by, as shares of the even sky's luminance: judgements, but for the dark trunk's."""
FORWARD_BIAS = 0.55
"""Asymmetry of scattering in mist (Henyey and Greenstein), as in the renders: a judgement."""
SHAFT_STEPS = 32
_CONE, _BALL, _PATCH = 0, 1, 2
_Piece = tuple[int, int, tuple[float, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class LowSun:
    """A low sun.

    Attributes
    ----------
    angle_deg : float
        From the lens axis at the mark, to the right. [°]
    altitude_deg : float
        Above the level. [°]
    strength_frac : float
        Light it adds to the mist seen at right angles to it, as a share of the even sky's.
    """

    angle_deg: float
    altitude_deg: float
    strength_frac: float = 0.25

    def __post_init__(self) -> None:
        require_range("altitude of the sun", self.altitude_deg, -5.0, 90.0, "°")
        require_range("strength of the sun", self.strength_frac, 0.0, 10.0)

    @property
    def toward(self) -> FloatArray:
        """Unit vector to the sun, shape (3,)."""
        return _direction(self.angle_deg, self.altitude_deg)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cast:
    """What each pixel sees.

    Attributes
    ----------
    depth_m : ndarray of float64, shape (rows, columns)
        Along the lens axis; infinite for the sky. [m]
    element_id : ndarray of int64, shape (rows, columns)
        Place in ``names``; -1 for the ground, -2 for the sky.
    tone : ndarray of float64, shape (rows, columns)
        Luminance as a share of the even sky's; over 1 near the sun. Linear, not for a screen.
    names : tuple of str
        Trunks, segments and holes of the survey, in this order.
    """

    depth_m: FloatArray
    element_id: IntArray
    tone: FloatArray
    names: tuple[str, ...]


def cast(
    survey: Survey,
    camera: Camera,
    *,
    size: tuple[int, int],
    mist_range_m: float | None = None,
    sun: LowSun | None = None,
    flare_frac: float = 0.0,
) -> Cast:
    """Cast a ray through the middle of every pixel of a frame.

    Parameters
    ----------
    survey : Survey
        What stands there.
    camera : Camera
        From where, and how turned; its lens above the ground and outside every trunk.
    size : (int, int)
        Pixels across and down.
    mist_range_m : float, optional
        Optical range of the mist; left out for clear air. [m]
    sun : LowSun, optional
        A low sun, with shafts where there is mist.
    flare_frac : float
        How much wider a trunk is at its foot, over a height of one width; 0 for none.

    Raises
    ------
    BadInputError
        If the lens is in the ground or in a trunk.
    OutOfRangeError
        If the size, the range or the flare is outside its limits.
    """
    columns, rows = size
    require_range("width of the picture", columns, 1, 10_000, "px")
    require_range("height of the picture", rows, 1, 10_000, "px")
    require_range("flare of the foot", flare_frac, 0.0, 3.0)
    if mist_range_m is not None:
        require_range("optical range", mist_range_m, 1.0, 200_000.0, "m")
    require_outside(survey, camera)
    x, y = _pixel_rays(camera, columns, rows)
    eye, axes = np.array([camera.x_m, camera.y_m, camera.z_m]), camera.axes
    kinds, pieces = _pieces(survey, flare_frac)
    depth, element = np.full((rows, columns), np.inf), np.full((rows, columns), SKY_ID)
    piece = np.full((rows, columns), -1)
    fill_ground(eye, axes, x, y, _rise(survey.slope), depth, element)
    boxes = _boxes(camera, kinds, pieces, size=size)
    fill_pieces(eye, axes, x, y, kinds, pieces, boxes, depth, element, piece)
    names = survey.names[: len(survey.trunks) + len(survey.segments) + len(survey.holes)]
    tone = _own_tones(survey)[element]
    if sun is not None:
        facing = np.empty_like(depth)
        up = np.array([*-_rise(survey.slope), 1.0])
        toward = sun.toward
        fill_facing(eye, axes, x, y, depth, piece, kinds, pieces, toward, up, facing)
        tone = tone * (1.0 + sun.strength_frac * 4.0 * facing)
    if mist_range_m is not None:
        air, through = np.empty_like(depth), np.empty_like(depth)
        strength = 0.0 if sun is None else sun.strength_frac
        light = np.array(
            [float(extinction_per_m(mist_range_m)), 1.0, strength, FORWARD_BIAS, SHAFT_STEPS]
        )
        toward = np.array([0.0, 0.0, 1.0]) if sun is None else sun.toward
        fill_air(eye, axes, x, y, depth, kinds, pieces, toward, light, through, air)
        tone = tone * through + air
    return Cast(depth_m=depth, element_id=element, tone=tone, names=names)


def require_outside(survey: Survey, camera: Camera) -> None:
    """Refuse a lens in the ground or in a trunk."""
    ground_m = survey.slope.height_m(camera.x_m, camera.y_m)
    if camera.z_m <= ground_m:
        raise BadInputError(
            f"The lens would be in the ground, which is {ground_m:.2f} m high there; "
            f"it is at {camera.z_m:.2f} m. Raise it."
        )
    for trunk in survey.trunks:
        foot, axis, length_m = _axis(trunk, survey.slope)
        out = np.array([camera.x_m, camera.y_m, camera.z_m]) - foot
        along = float(out @ axis)
        off = math.sqrt(max(float(out @ out) - along * along, 0.0))
        if off <= trunk.width_m / 2.0 and along <= length_m:
            raise BadInputError(f"The lens would be inside {trunk.name}; stand beside it.")


def _axis(trunk: Trunk, slope: Slope) -> tuple[FloatArray, FloatArray, float]:
    """Foot, direction upward and length of a trunk's axis."""
    foot, top = (np.array(end) for end in trunk.ends_m(slope))
    length_m = float(np.linalg.norm(top - foot))
    return foot, (top - foot) / length_m, length_m


def _own_tones(survey: Survey) -> FloatArray:
    """Tones by element; the last two are the sky's and the ground's, reached as -2 and -1."""
    wood = len(survey.trunks) + len(survey.segments)
    tones = [TRUNK_TONE] * wood + [HOLE_TONE] * len(survey.holes)
    return np.array([*tones, 1.0, GROUND_TONE])


def _rise(slope: Slope) -> FloatArray:
    return np.array([slope.rise_right_frac, slope.rise_forward_frac])


def _direction(angle_deg: float, altitude_deg: float) -> FloatArray:
    turn, height = math.radians(angle_deg), math.radians(altitude_deg)
    flat = math.cos(height)
    return np.array([math.sin(turn) * flat, math.cos(turn) * flat, math.sin(height)])


def _pixel_rays(camera: Camera, columns: int, rows: int) -> tuple[FloatArray, FloatArray]:
    """Rays through the middles of pixels, as right and down for each metre forward."""
    u = (np.arange(columns) + 0.5) / columns - 0.5
    v = ((np.arange(rows) + 0.5) / rows - 0.5) * 2.0 * camera.half_height
    across, down = np.meshgrid(u, v)
    if camera.k1 == 0.0 and camera.k2 == 0.0:
        return across / camera.focal_in_widths, down / camera.focal_in_widths
    seen = rays(camera, across, down) @ camera.axes.T
    return seen[..., 0] / seen[..., 2], seen[..., 1] / seen[..., 2]


def _pieces(survey: Survey, flare_frac: float) -> tuple[IntArray, FloatArray]:
    """Every element as cut cones, balls and ovals: kinds (M, 2) and nine numbers each (M, 9)."""
    made: list[_Piece] = []
    elements: tuple[Trunk | Segment | SkyHole, ...]
    elements = (*survey.trunks, *survey.segments, *survey.holes)
    for number, one in enumerate(elements):
        if isinstance(one, Trunk):
            made += _trunk_pieces(one, survey.slope, flare_frac=flare_frac, number=number)
        elif isinstance(one, Segment):
            made += _segment_pieces(one, number)
        else:
            made.append(_hole_piece(one, number))
    kinds = np.array([one[:2] for one in made], dtype=np.int64).reshape(-1, 2)
    numbers = [one[2] for one in made] or [(0.0,) * 9]  # a row to point at where nothing stands
    return kinds, np.array(numbers, dtype=np.float64)


def _trunk_pieces(trunk: Trunk, slope: Slope, *, flare_frac: float, number: int) -> list[_Piece]:
    """Sink a trunk into the ground so that no gap shows under a leaning or sloping foot."""
    foot, axis, length_m = _axis(trunk, slope)
    radius = trunk.width_m / 2.0
    up = np.array([-slope.rise_right_frac, -slope.rise_forward_frac, 1.0])
    upright = max(float(axis @ up) / float(np.linalg.norm(up)), 0.05)
    sunk = radius * (1.0 + flare_frac) * math.sqrt(1.0 - min(upright, 1.0) ** 2) / upright
    start = foot - sunk * axis
    shape = (length_m + sunk, radius, radius)
    pieces: list[_Piece] = [(_CONE, number, (*start, *axis, *shape))]
    if flare_frac > 0.0:
        tall = min(trunk.width_m, length_m)
        wide = radius * (1.0 + flare_frac * (tall + sunk) / tall)
        pieces.append((_CONE, number, (*start, *axis, tall + sunk, wide, radius)))
    return pieces


def _segment_pieces(segment: Segment, number: int) -> list[_Piece]:
    start, end = np.array(segment.start_m), np.array(segment.end_m)
    length = float(np.linalg.norm(end - start))
    radius = segment.width_m / 2.0
    axis = (end - start) / length
    nothing = (0.0, 0.0, 0.0)
    return [
        (_CONE, number, (*start, *axis, length, radius, radius)),
        (_BALL, number, (*start, *nothing, radius, 0.0, 0.0)),
        (_BALL, number, (*end, *nothing, radius, 0.0, 0.0)),
    ]


def _hole_piece(hole: SkyHole, number: int) -> _Piece:
    toward = _direction(hole.angle_deg, hole.altitude_deg)
    turn = math.radians(hole.angle_deg)
    right = np.array([math.cos(turn), -math.sin(turn), 0.0])
    up = np.cross(right, toward)
    centre = hole.distance_m * toward + np.array([0.0, 0.0, EYE_M])
    wide = hole.distance_m * math.tan(math.radians(hole.width_deg / 2.0))
    tall = hole.distance_m * math.tan(math.radians(hole.height_deg / 2.0))
    return _PATCH, number, (*centre, *(wide * right), *(tall * up))


def _boxes(
    camera: Camera, kinds: IntArray, pieces: FloatArray, *, size: tuple[int, int]
) -> IntArray:
    """Rows and columns within which each piece can be seen, shape (M, 4); never too small."""
    columns, rows = size
    pieces = pieces[: len(kinds)]
    whole = np.tile(np.array([0, rows, 0, columns]), (len(kinds), 1))
    if camera.k1 != 0.0 or camera.k2 != 0.0 or not len(kinds):
        return whole
    is_cone, is_patch = kinds[:, 0] == _CONE, kinds[:, 0] == _PATCH
    start = pieces[:, 0:3]
    end = np.where(is_cone[:, None], start + pieces[:, 3:6] * pieces[:, 6:7], start)
    spread = np.linalg.norm(pieces[:, 3:9], axis=1)
    radius = np.where(is_cone, pieces[:, 7:9].max(axis=1), pieces[:, 6])
    radius = np.where(is_patch, spread, radius)[:, None]
    ends = np.stack([start, end], axis=1) - np.array([camera.x_m, camera.y_m, camera.z_m])
    right, down, depth = np.moveaxis(ends @ camera.axes.T, -1, 0)
    is_near = (depth - radius).min(axis=1) <= 1e-6
    edges = []
    for side, half, count in ((down, camera.half_height, rows), (right, 0.5, columns)):
        near, far = (
            np.where(is_near[:, None], 1.0, depth - radius),
            np.where(is_near[:, None], 1.0, depth + radius),
        )
        every = [(side + sign * radius) / way for sign in (-1.0, 1.0) for way in (near, far)]
        place = np.stack(every) * camera.focal_in_widths / (2.0 * half) + 0.5
        low, high = place.min(axis=(0, 2)) * count - 1.0, place.max(axis=(0, 2)) * count + 1.0
        edges += [np.clip(np.floor(low), 0, count), np.clip(np.ceil(high), 0, count)]
    found = np.stack(edges, axis=1).astype(np.int64)
    return np.where(is_near[:, None], whole, found)
