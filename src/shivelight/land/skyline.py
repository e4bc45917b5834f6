"""The skyline of a spot: how high terrain (and what was noted on it) stands, all round."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.angles import wrap_deg
from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Skyline:
    """Height of the skyline by true bearing, evenly sampled round the full turn.

    Attributes
    ----------
    altitude_deg : ndarray of float64, shape (N,)
        Apparent height above the level horizon; sample k looks toward ``360 k / N`` degrees
        clockwise from true north. NaN where it is not known. [°]
    origin : str
        Where it comes from, in words: "ground raster", "typed", "both", "level".
    reach_m : ndarray of float64, shape (N,), or None
        How far the ground was seen along each bearing; None for a typed skyline. [m]
    """

    altitude_deg: FloatArray
    origin: str
    reach_m: FloatArray | None = None

    def __post_init__(self) -> None:
        if self.altitude_deg.ndim != 1 or self.altitude_deg.size < 4:
            raise BadInputError("A skyline needs at least four evenly spaced heights in one row.")
        known = self.altitude_deg[np.isfinite(self.altitude_deg)]
        if known.size and not (known.min() >= -90.0 and known.max() <= 90.0):
            raise BadInputError(
                "A skyline height lies outside -90° to 90°; check the typed values."
            )
        self.altitude_deg.setflags(write=False)

    @property
    def azimuth_deg(self) -> FloatArray:
        """True bearings of the samples, shape (N,) [°]."""
        return np.arange(self.altitude_deg.size, dtype=np.float64) * (
            360.0 / self.altitude_deg.size
        )

    @property
    def is_whole(self) -> bool:
        """Whether every bearing is known."""
        return bool(np.isfinite(self.altitude_deg).all())

    def at(self, azimuth_deg: ArrayLike) -> FloatArray:
        """Height toward any bearings, straight between samples; NaN beside an unknown one.

        Parameters
        ----------
        azimuth_deg : array_like, shape S
            True bearings. [°]

        Returns
        -------
        ndarray of float64, shape S
            Skyline heights. [°]
        """
        count = self.altitude_deg.size
        place = wrap_deg(azimuth_deg) * (count / 360.0)
        low = np.floor(place).astype(np.int64) % count
        share = place - np.floor(place)
        below, above = self.altitude_deg[low], self.altitude_deg[(low + 1) % count]
        # A share of exactly nought must not touch an unknown neighbour.
        mixed = below + np.where(share > 0.0, share * (above - below), 0.0)
        return np.asarray(mixed, dtype=np.float64)


def level_skyline(*, step_deg: float = 0.5) -> Skyline:
    """Skyline of open level ground: nought all round."""
    return Skyline(altitude_deg=np.zeros(round(360.0 / step_deg)), origin="level")
