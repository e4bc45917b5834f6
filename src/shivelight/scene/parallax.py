"""Stepping aside: how things shift against each other, and how well that tells distances.

With the lens's focal length f and a step b aside, a thing at distance Z shifts on the sensor by
f b / Z. All distances are along the lens axis; no lens changes which things overlap.
"""

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import require_range


def stereo_depth_m(
    focal_length_mm: ArrayLike, step_m: ArrayLike, shift_mm: ArrayLike
) -> FloatArray:
    """How far a thing is that shifts by so much on the sensor when the lens steps aside.

    Parameters
    ----------
    focal_length_mm, step_m, shift_mm : array_like, shapes that broadcast to S
        Focal length, the step, and the shift on the sensor. [mm, m, mm]

    Returns
    -------
    ndarray of float64, shape S
        Z = f b / d; NaN where the shift is not positive. [m]
    """
    shift = np.asarray(shift_mm, dtype=np.float64)
    positive = np.where(shift > 0.0, shift, np.nan)
    return np.asarray(np.asarray(focal_length_mm) * np.asarray(step_m) / positive)


def depth_error_m(
    distance_m: ArrayLike,
    focal_length_mm: ArrayLike,
    *,
    step_m: ArrayLike,
    shift_error_mm: ArrayLike,
) -> FloatArray:
    """Propagate the error of a shift to the distance told from it.

    Parameters
    ----------
    distance_m, focal_length_mm, step_m, shift_error_mm : array_like, shapes that broadcast to S
        The distance, focal length, step, and standard error of the shift. [m, mm, m, mm]

    Returns
    -------
    ndarray of float64, shape S
        Z² σ / (f b), the first-order propagation of Z = f b / d; NaN without a step. [m]
    """
    distance = np.asarray(distance_m, dtype=np.float64)
    lever = np.asarray(focal_length_mm, dtype=np.float64) * np.asarray(step_m)
    lever = np.where(lever > 0.0, lever, np.nan)
    return np.asarray(distance**2 * np.asarray(shift_error_mm) / lever)


def image_shift_mm(
    focal_length_mm: ArrayLike, step_m: ArrayLike, *, near_m: ArrayLike, far_m: ArrayLike
) -> FloatArray:
    """How far a near thing moves against a far one on the sensor for a step aside.

    Parameters
    ----------
    focal_length_mm, step_m, near_m, far_m : array_like, shapes that broadcast to S
        Focal length, the step, and the two distances. [mm, m, m, m]

    Returns
    -------
    ndarray of float64, shape S
        f b (1/z₁ − 1/z₂). [mm]
    """
    near, far = np.asarray(near_m, dtype=np.float64), np.asarray(far_m, dtype=np.float64)
    return np.asarray(np.asarray(focal_length_mm) * np.asarray(step_m) * (1.0 / near - 1.0 / far))


def step_to_part_m(
    first: tuple[float, float, float], second: tuple[float, float, float], *, gap_tan: float = 0.0
) -> float:
    """Least step aside that parts two trunks, seen along the lens axis.

    Parameters
    ----------
    first, second : (x, z, width)
        To the right of the lens, along the lens axis, and the width of each. [m]
    gap_tan : float
        Gap to leave between them, as a tangent.

    Returns
    -------
    float
        To the right; negative to the left; 0 where they are parted; NaN where no step parts two
        at one distance. Where either side costs the same, the left one. [m]

    Raises
    ------
    OutOfRangeError
        If a trunk is not ahead of the lens or the gap is negative.

    Notes
    -----
    Edges in tangents, small trunks: |(x₁ − b)/z₁ − (x₂ − b)/z₂| ≥ w₁/2z₁ + w₂/2z₂ + gap, which
    is linear in b on either side.
    """
    (x1, z1, w1), (x2, z2, w2) = first, second
    for name, distance in (("first", z1), ("second", z2)):
        require_range(f"distance of the {name} trunk", distance, 1e-3, 1e5, "m")
    require_range("gap", gap_tan, 0.0, 10.0)
    needed = w1 / (2.0 * z1) + w2 / (2.0 * z2) + gap_tan
    apart = x1 / z1 - x2 / z2
    if abs(apart) >= needed:
        return 0.0
    turn = 1.0 / z1 - 1.0 / z2
    if turn == 0.0:
        return float("nan")
    steps = sorted(((apart - needed) / turn, (apart + needed) / turn))
    return min(steps, key=lambda step: round(abs(step), 12))
