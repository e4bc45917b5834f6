"""Equinoxes and solstices."""

from dataclasses import dataclass

import numpy as np

from shivelight.basis.angles import signed_difference_deg
from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.sky.events import find_crossings
from shivelight.sky.sun import sun_longitude_deg

TURN_NAMES = ("March equinox", "June solstice", "September equinox", "December solstice")


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """One equinox or solstice and its instant."""

    name: str
    utc: np.datetime64


def find_turns(start_utc: np.datetime64, end_utc: np.datetime64) -> tuple[Turn, ...]:
    """Find the equinoxes and solstices of a span, in order.

    Parameters
    ----------
    start_utc, end_utc : datetime64
        The span.

    Returns
    -------
    tuple of Turn
        When the Sun's apparent longitude is 0°, 90°, 180° and 270°, within 5 s of the ephemeris.
    """
    found: list[Turn] = []
    for quarter, name in enumerate(TURN_NAMES):

        def past(utc: UtcArray, target_deg: float = 90.0 * quarter) -> FloatArray:
            return signed_difference_deg(sun_longitude_deg(utc), target_deg)

        crossings = find_crossings(past, start_utc, end_utc, step_s=5 * 86400.0, tolerance_s=0.5)
        found += [Turn(name=name, utc=moment) for moment in crossings.utc[crossings.is_rising]]
    return tuple(sorted(found, key=lambda turn: turn.utc))
