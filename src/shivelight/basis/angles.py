"""Angles on the compass and the names of directions."""

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray

COMPASS_POINTS = (
    "north", "north-north-east", "north-east", "east-north-east",
    "east", "east-south-east", "south-east", "south-south-east",
    "south", "south-south-west", "south-west", "west-south-west",
    "west", "west-north-west", "north-west", "north-north-west",
)  # fmt: skip


def wrap_deg(angle_deg: ArrayLike) -> FloatArray:
    """Bring angles into [0, 360).

    Parameters
    ----------
    angle_deg : array_like, shape S
        Any angles. [°]

    Returns
    -------
    ndarray of float64, shape S
        The same directions in [0, 360). NaN stays NaN. [°]
    """
    wrapped = np.mod(np.asarray(angle_deg, dtype=np.float64), 360.0)
    # np.mod(-1e-17, 360) is 360.0 after rounding.
    return np.where(wrapped >= 360.0, 0.0, wrapped)


def signed_difference_deg(to_deg: ArrayLike, from_deg: ArrayLike) -> FloatArray:
    """Turn from one bearing to another, clockwise positive, in [-180, 180).

    Parameters
    ----------
    to_deg, from_deg : array_like, shapes that broadcast to S
        Bearings. [°]

    Returns
    -------
    ndarray of float64, shape S
        How far to turn clockwise. [°]
    """
    difference = np.asarray(to_deg, dtype=np.float64) - np.asarray(from_deg, dtype=np.float64)
    return np.asarray(np.mod(difference + 180.0, 360.0) - 180.0, dtype=np.float64)


def compass_point(azimuth_deg: float) -> str:
    """Name the nearest of the sixteen compass points ("south-east").

    Parameters
    ----------
    azimuth_deg : float
        Bearing clockwise from true north. [°]
    """
    return COMPASS_POINTS[int(np.floor(float(wrap_deg(azimuth_deg)) / 22.5 + 0.5)) % 16]
