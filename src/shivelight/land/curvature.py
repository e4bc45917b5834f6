"""What the Earth's curve and the air's bending of light do to heights seen far off."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import require_range


@dataclass(frozen=True, slots=True, kw_only=True)
class EarthCurve:
    """A round Earth with light bent along it.

    Attributes
    ----------
    radius_m : float
        Radius of the Earth; infinite for a flat one. [m]
    refraction_frac : float
        Curvature of the ray as a share of the Earth's (k). 0.13 is the surveyors' mean for
        daytime; over cold ground at dawn it is often larger, 0.2 or more (from memory), which
        lifts a ridge 10 km off by about 0.003°.

    References
    ----------
    .. [1] C. F. Gauss's k = 0.13, as in surveying textbooks (from memory).
    """

    radius_m: float = 6_371_000.0
    refraction_frac: float = 0.13

    def __post_init__(self) -> None:
        require_range("Earth radius", self.radius_m, 1_000.0, math.inf, "m")
        require_range("refraction coefficient", self.refraction_frac, -2.0, 0.999)

    @property
    def bend_per_m(self) -> float:
        """Half the curvature left after refraction: the drop is this times distance squared."""
        return (1.0 - self.refraction_frac) / (2.0 * self.radius_m)


STANDARD_CURVE = EarthCurve()
FLAT = EarthCurve(radius_m=math.inf)


def drop_m(distance_m: ArrayLike, *, curve: EarthCurve = STANDARD_CURVE) -> FloatArray:
    """How far a level sight line rises above the sea at a distance, shape as given [m].

    Parameters
    ----------
    distance_m : array_like, shape S
        Along the ground. [m]
    curve : EarthCurve
        Radius and refraction.
    """
    return curve.bend_per_m * np.square(np.asarray(distance_m, dtype=np.float64))


def dip_deg(height_m: ArrayLike, *, curve: EarthCurve = STANDARD_CURVE) -> FloatArray:
    """How far below level the sea's edge lies, seen from a height, shape as given [°].

    Parameters
    ----------
    height_m : array_like, shape S
        Of the eye above the sea or plain; negative gives NaN. [m]
    curve : EarthCurve
        Radius and refraction.
    """
    height = _not_negative(height_m)
    return np.degrees(np.sqrt(4.0 * curve.bend_per_m * height))


def horizon_distance_m(height_m: ArrayLike, *, curve: EarthCurve = STANDARD_CURVE) -> FloatArray:
    """How far off the sea's edge lies, seen from a height, shape as given [m].

    Parameters
    ----------
    height_m : array_like, shape S
        Of the eye above the sea or plain; negative gives NaN. [m]
    curve : EarthCurve
        Radius and refraction; a flat Earth gives an infinite distance.
    """
    height = _not_negative(height_m)
    if curve.bend_per_m == 0.0:
        return np.where(np.isnan(height), np.nan, np.inf)
    return np.sqrt(height / curve.bend_per_m)


def elevation_angle_deg(
    rise_m: ArrayLike, distance_m: ArrayLike, *, curve: EarthCurve = STANDARD_CURVE
) -> FloatArray:
    """Apparent height of a far point above the level horizon.

    Parameters
    ----------
    rise_m, distance_m : array_like, shapes that broadcast to S
        Height of the point above the eye, and its distance; a distance of nought or less
        gives NaN. [m]
    curve : EarthCurve
        Radius and refraction.

    Returns
    -------
    ndarray of float64, shape S
        Negative below the level horizon. [°]
    """
    distance = np.asarray(distance_m, dtype=np.float64)
    distance = np.where(distance > 0.0, distance, np.nan)
    rise = np.asarray(rise_m, dtype=np.float64)
    return np.degrees(np.arctan2(rise - drop_m(distance, curve=curve), distance))


def _not_negative(height_m: ArrayLike) -> FloatArray:
    height = np.asarray(height_m, dtype=np.float64)
    return np.where(height >= 0.0, height, np.nan)
