"""How much of the direct beam crowns leave, whichever way they are known."""

from collections.abc import Callable
from typing import TypeAlias

import numpy as np

from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.wood.canopy import Canopy, beam_through_frac
from shivelight.wood.crowns import CrownTable, crown_beam_frac

Crowned: TypeAlias = Canopy | CrownTable
"""Crowns between a spot and the sun on one day: an even layer, or a table by direction."""
CrownedBy: TypeAlias = Callable[[np.datetime64], Crowned | None]
"""Crowns by the day, as leaves come and go."""
LEAST_BEAM_FRAC = 0.05
"""Direct light weaker than this is not seen as a beam: the 5 % contrast of optical range."""
LOWEST_DEG = -1.0
"""With its centre this far below the level horizon the whole disc is down. [°]"""


def beam_left_frac(
    azimuth_deg: FloatArray, altitude_deg: FloatArray, *, canopy: Crowned | None
) -> FloatArray:
    """Share of the beam that crowns leave, whichever way they are known.

    Parameters
    ----------
    azimuth_deg, altitude_deg : ndarray of float64, shape S
        Of the sun's centre; below the level counts as on it. [°]
    canopy : Canopy, CrownTable or None
        None for the open.

    Returns
    -------
    ndarray of float64, shape S
        0 to 1.
    """
    if canopy is None:
        return np.ones(np.shape(altitude_deg))
    if isinstance(canopy, CrownTable):
        return crown_beam_frac(canopy, azimuth_deg, altitude_deg)
    return beam_through_frac(canopy, np.maximum(altitude_deg, 0.0))


def beam_by_day(
    days: UtcArray, azimuth_deg: FloatArray, *, altitude_deg: FloatArray, canopy_on: CrownedBy
) -> FloatArray:
    """Share of the beam that crowns leave on many days, by the crowns of each.

    Parameters
    ----------
    days : ndarray of datetime64[D], shape (D,)
        Civil days.
    azimuth_deg, altitude_deg : ndarray of float64, shape (D, T)
        Of the sun's centre at instants of those days. [°]
    canopy_on : callable
        Crowns by the day.

    Returns
    -------
    ndarray of float64, shape (D, T)
        0 to 1; 1 where the sun is down.
    """
    left = np.ones(altitude_deg.shape)
    for row, day in enumerate(days):
        up = np.flatnonzero(altitude_deg[row] > LOWEST_DEG)
        left[row, up] = beam_left_frac(
            azimuth_deg[row, up], altitude_deg[row, up], canopy=canopy_on(day)
        )
    return left
