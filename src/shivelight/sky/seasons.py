"""Equinoxes and solstices."""

from dataclasses import dataclass

import numpy as np

from shivelight.sky.events import find_quarters
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
    found = find_quarters(sun_longitude_deg, start_utc, end_utc, step_s=5 * 86400.0)
    return tuple(Turn(name=TURN_NAMES[quarter], utc=moment) for quarter, moment in found)
