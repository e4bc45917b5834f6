"""How far the camera stood from where it was meant to stand: in words, with the error.

The place comes from a second photograph, or from the bearings of three trunks or more whose
places were surveyed.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, MissingDataError
from shivelight.scene.elements import Trunk

LEAST_TRUNKS = 3
STEPS = 60
NEAR_ENOUGH = 2.0
"""An offset within so many standard errors is none that can be told (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offset:
    """Where the camera stood, counted from where it was meant to.

    Attributes
    ----------
    right_m, forward_m, up_m : float
        To the right of the wished place, before it, above it. [m]
    right_error_m, forward_error_m, up_error_m : float
        Standard errors; NaN where that way was not measured. [m]
    """

    right_m: float
    forward_m: float
    up_m: float
    right_error_m: float
    forward_error_m: float
    up_error_m: float

    @property
    def error_m(self) -> float:
        """Standard error over the ground. [m]."""
        return math.hypot(self.right_error_m, self.forward_error_m)

    @property
    def is_told(self) -> bool:
        """Whether the camera can be told to have stood elsewhere."""
        away = (
            (self.right_m, self.right_error_m),
            (self.forward_m, self.forward_error_m),
            (self.up_m, self.up_error_m),
        )
        return any(abs(off) > NEAR_ENOUGH * error for off, error in away)

    @property
    def words(self) -> str:
        """Say where the camera stood."""
        parts = [
            f"{_length(abs(off))} {plus if off > 0.0 else minus}"
            for off, error, plus, minus in (
                (self.right_m, self.right_error_m, "to the right", "to the left"),
                (self.forward_m, self.forward_error_m, "forward", "back"),
                (self.up_m, self.up_error_m, "higher", "lower"),
            )
            if abs(off) > max(NEAR_ENOUGH * error, 0.005)
        ]
        likely = _length(max(self.error_m, 0.01))
        if not parts:
            return f"The camera stood where it was meant to, as far as can be told: to {likely}."
        return f"The camera stood {_listed(parts)} of the wished place; likely error {likely}."


def place_from_bearings(
    trunks: Sequence[Trunk], bearings_deg: Sequence[float], *, errors_deg: Sequence[float]
) -> tuple[float, float, FloatArray]:
    """Where a camera stands that sees known trunks at bearings off an axis it does not know.

    Parameters
    ----------
    trunks : sequence of Trunk
        Surveyed from the mark.
    bearings_deg : sequence of float
        Of their middles off the camera's own axis, to the right. [°]
    errors_deg : sequence of float
        Standard errors of those. [°]

    Returns
    -------
    x_m, y_m : float
        Place in the frame of the survey. [m]
    covariance : ndarray, shape (2, 2)
        Of the place. [m²]

    Raises
    ------
    MissingDataError
        If fewer than three trunks are given.
    BadInputError
        If no place fits, or the trunks lie so that it cannot be told.
    """
    if len(trunks) < LEAST_TRUNKS:
        raise MissingDataError(
            f"{len(trunks)} trunks are too few to tell the place from; mark three or more whose "
            "places are surveyed."
        )
    at = np.array([(one.x_m, one.y_m) for one in trunks])
    seen = np.radians(np.asarray(bearings_deg, dtype=np.float64))
    away = np.hypot(at[:, 0], at[:, 1])
    own = np.radians([max(one.doubt.angle_deg, 0.0) for one in trunks])
    sigma = np.hypot(np.radians(np.asarray(errors_deg, dtype=np.float64)), own)
    place = np.array([0.0, 0.0, float(np.mean(np.arctan2(at[:, 0], at[:, 1]) - seen))])
    for _ in range(STEPS):
        apart = at - place[:2]
        square = np.sum(apart**2, axis=1)
        off = np.arctan2(apart[:, 0], apart[:, 1]) - place[2] - seen
        off = (off + math.pi) % (2.0 * math.pi) - math.pi
        slope = np.stack([-apart[:, 1] / square, apart[:, 0] / square, -np.ones(len(at))], axis=1)
        weighed = slope / sigma[:, None]
        move, *_rest = np.linalg.lstsq(weighed, -off / sigma, rcond=None)
        longest = max(1.0, float(np.hypot(move[0], move[1])) / (0.3 * float(away.min())))
        place = place + move / longest
        if float(np.abs(move).max()) < 1e-10:
            break
    if np.linalg.cond(weighed) > 1e6 or not np.isfinite(place).all():
        raise BadInputError(
            "From these trunks the place cannot be told: they lie on one circle with the camera. "
            "Mark one more, much nearer or farther."
        )
    misses = float(np.sqrt(np.mean((off / sigma) ** 2)))
    covariance = np.linalg.inv(weighed.T @ weighed)[:2, :2] * max(1.0, misses) ** 2
    return float(place[0]), float(place[1]), np.asarray(covariance, dtype=np.float64)


def _length(metres: float) -> str:
    return f"{metres * 100.0:.0f} cm" if metres < 0.995 else f"{metres:.1f} m"


def _listed(parts: Sequence[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
