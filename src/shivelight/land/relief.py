"""Shaded relief: how bright each piece of ground would be under a few lamps, mostly north-west.

Only for reading the lie of the land. It knows nothing of the sun: what light really reaches a
spot is worked out in ``light``.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, require_range
from shivelight.land.slope import slope_and_aspect_deg


@dataclass(frozen=True, slots=True, kw_only=True)
class Lamp:
    """One light from infinitely far.

    Attributes
    ----------
    azimuth_deg, altitude_deg : float
        Where it stands, from grid north and above the level. [°]
    share : float
        What it gives of all the light.
    """

    azimuth_deg: float
    altitude_deg: float
    share: float


LAMPS = tuple(
    Lamp(azimuth_deg=azimuth_deg, altitude_deg=30.0, share=share)
    for azimuth_deg, share in ((225.0, 0.2), (270.0, 0.2), (315.0, 0.4), (0.0, 0.2))
)
"""Four lamps about the north-west, where maps are lit from by custom, leaning to the west so that
a scarp that runs along the main lamp's beam shows too (the idea of several lamps: R. K. Mark,
USGS Open-File Report 92-422, 1992, from memory; these shares are a judgement). At 30° each gives
level ground sin 30°, a half."""
STEEP_RISE_M = 0.6
"""Rise over one metre to which the steeper ground of a picture is brought; a judgement. [m]"""
MOST_TIMES = 8


def shade_frac(
    heights_m: ArrayLike, *, cell_m: float, lamps: tuple[Lamp, ...] = LAMPS, times: int = 1
) -> FloatArray:
    """Brightness of ground that scatters light evenly (Lambert), without cast shadows.

    Parameters
    ----------
    heights_m : array_like, shape (rows, columns)
        On square cells, row 0 at the north edge; NaN for holes. [m]
    cell_m : float
        Side of a cell. [m]
    lamps : tuple of Lamp
        Their shares sum to one.
    times : int
        How many times as steep as it is the ground is drawn.

    Returns
    -------
    ndarray of float64, shape (rows, columns)
        0 (turned away from every lamp) to 1; level ground is a half under :data:`LAMPS`. NaN at
        the rim and beside holes.

    Raises
    ------
    BadInputError
        For fewer than three rows or columns, or lamps whose shares do not sum to one.
    OutOfRangeError
        For a cell or a steepening that makes no sense.

    References
    ----------
    .. [1] B. K. P. Horn, Hill shading and the reflectance map, Proc. IEEE 69 (1981) 14-47.
    """
    require_range("times as steep", times, 1, 100)
    if not math.isclose(sum(lamp.share for lamp in lamps), 1.0, abs_tol=1e-9):
        raise BadInputError("The shares of the lamps of a relief must sum to one.")
    require_range("cell side", cell_m, 1e-3, 1e6, "m")
    heights = np.asarray(heights_m, dtype=np.float64)
    if heights.ndim != 2 or min(heights.shape) < 3:
        raise BadInputError("A relief needs heights in at least three rows and three columns.")
    east, north = _downhill(heights, times / (8.0 * cell_m))
    upright = 1.0 / np.sqrt(1.0 + east**2 + north**2)
    lit_frac = np.zeros(east.shape)
    for lamp in lamps:
        azimuth, altitude = math.radians(lamp.azimuth_deg), math.radians(lamp.altitude_deg)
        toward = math.sin(azimuth) * east + math.cos(azimuth) * north
        lit = (math.sin(altitude) + math.cos(altitude) * toward) * upright
        lit_frac += lamp.share * np.maximum(lit, 0.0)  # NaN stays NaN
    shade = np.full(heights.shape, np.nan)
    shade[1:-1, 1:-1] = np.where(np.isnan(heights[1:-1, 1:-1]), np.nan, np.minimum(lit_frac, 1.0))
    return shade


def _downhill(heights_m: FloatArray, per_eighth: float) -> tuple[FloatArray, FloatArray]:
    """Fall to the east and to the north by Horn's eight neighbours, without the rim.

    The slopes of ``land.slope`` are these as angles; four times the time goes into turning them
    into angles and back.
    """
    down = heights_m[:-2] + 2.0 * heights_m[1:-1] + heights_m[2:]
    across = heights_m[:, :-2] + 2.0 * heights_m[:, 1:-1] + heights_m[:, 2:]
    return (down[:, :-2] - down[:, 2:]) * per_eighth, (across[2:] - across[:-2]) * per_eighth


def times_as_steep(heights_m: ArrayLike, *, cell_m: float) -> int:
    """How many times as steep a relief is best drawn, so that gentle ground shows too.

    Parameters
    ----------
    heights_m, cell_m
        As for :func:`shade_frac`.

    Returns
    -------
    int
        1 to :data:`MOST_TIMES`: what brings the slope that one cell in twenty exceeds to about
        :data:`STEEP_RISE_M`; 1 where no slope is known.
    """
    slope_deg, _ = slope_and_aspect_deg(heights_m, cell_m=cell_m)
    known = slope_deg[np.isfinite(slope_deg)]
    if not known.size:
        return 1
    steep = math.tan(math.radians(float(np.quantile(known, 0.95))))
    return MOST_TIMES if steep <= 0.0 else min(max(round(STEEP_RISE_M / steep), 1), MOST_TIMES)
