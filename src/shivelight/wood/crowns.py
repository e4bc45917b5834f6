"""Crowns round one spot as a table: how far a beam from each direction runs inside them.

The table is worked out once from a canopy raster (``land.beams``) and kept; the season only
changes how much leaf a metre of path holds. Leaf is taken as spread evenly and at random inside
the crowns, so a beam is dimmed smoothly where the eye would see dapple.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.angles import wrap_deg
from shivelight.basis.arrays import BoolArray, FloatArray
from shivelight.basis.errors import BadInputError, require_range
from shivelight.wood.canopy import path_transmittance_frac, stops_from_frac

UNSEEN_MATTERS_FRAC = 0.5
"""A beam is called not known when what was not seen of it might leave less than this share of
what the table gives (a judgement: one stop)."""
HARDLY_DIMMED_FRAC = 0.9
"""From here on nothing is said of crowns: less than a sixth of a stop."""
_SHARES = (
    (4 / 5, "four fifths"), (2 / 3, "two thirds"), (1 / 2, "half"), (1 / 3, "a third"),
    (1 / 4, "a quarter"), (1 / 6, "a sixth"), (1 / 8, "an eighth"), (1 / 10, "a tenth"),
    (1 / 15, "a fifteenth"), (1 / 20, "a twentieth"),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CrownTable:
    """Crowns round one spot on one day.

    Attributes
    ----------
    azimuth_deg : ndarray of float64, shape (A,)
        True bearings, evenly round the full turn from 0. [°]
    altitude_deg : ndarray of float64, shape (B,)
        Apparent altitudes, rising, all above the level. [°]
    path_m : ndarray of float64, shape (A, B)
        Length inside crowns that are known; NaN where nothing is known. [m]
    leaf_area_per_m : float
        Leaf and wood by path on that day: plant area index over depth of crowns. [m²/m³]
    unseen_m : ndarray of float64, shape (A, B), or None
        Length below the tallest crown that no raster shows, besides ``path_m``. [m]
    """

    azimuth_deg: FloatArray
    altitude_deg: FloatArray
    path_m: FloatArray
    leaf_area_per_m: float
    unseen_m: FloatArray | None = None

    def __post_init__(self) -> None:
        require_range("leaf area density", self.leaf_area_per_m, 0.0, 20.0, "m²/m³")
        require_table(self.azimuth_deg, self.altitude_deg, self.path_m)
        if self.unseen_m is not None and self.unseen_m.shape != self.path_m.shape:
            raise BadInputError("A crown table's unseen lengths do not fit its paths.")


def require_table(azimuth_deg: FloatArray, altitude_deg: FloatArray, path_m: FloatArray) -> None:
    """Refuse a crown table whose parts do not fit.

    Parameters
    ----------
    azimuth_deg, altitude_deg, path_m
        As in :class:`CrownTable`.

    Raises
    ------
    BadInputError
        Naming what does not fit.
    """
    count = azimuth_deg.size
    if path_m.shape != (count, altitude_deg.size) or count < 4 or altitude_deg.size < 2:
        raise BadInputError("A crown table needs one row a bearing and one column an altitude.")
    if not np.allclose(azimuth_deg, np.arange(count) * 360.0 / count, atol=1e-9, rtol=0.0):
        raise BadInputError("The bearings of a crown table must go evenly round from north.")
    rising = np.diff(altitude_deg, prepend=0.0, append=90.0)
    if not (rising[:-1] > 0.0).all() or not rising[-1] >= 0.0:
        raise BadInputError("The altitudes of a crown table must rise from above 0° to 90°.")
    if (path_m < 0.0).any() or np.isinf(path_m).any():
        raise BadInputError("A path inside crowns cannot be negative or without end.")


def crown_beam_frac(
    table: CrownTable, azimuth_deg: ArrayLike, altitude_deg: ArrayLike
) -> FloatArray:
    """Share of the direct beam that the crowns round a spot leave.

    Crowns that are not known dim nothing: where the table is NaN the whole beam is given, and
    where part of a beam was not seen the share is the most that can be left. Ask
    :func:`is_crown_known` where that matters.

    Parameters
    ----------
    table : CrownTable
        From the spot.
    azimuth_deg, altitude_deg : array_like, shapes that broadcast to S
        Where the light comes from. [°]

    Returns
    -------
    ndarray of float64, shape S
        0 to 1. Straight between the bearings and altitudes of the table, in path times the sine
        of the altitude, which an even layer keeps the same. Below the lowest altitude its path
        holds; above the highest, its depth. NaN in gives NaN.
    """
    path_m = _between(table, table.path_m, azimuth_deg, altitude_deg)
    azimuth, altitude = np.broadcast_arrays(
        np.asarray(azimuth_deg, dtype=np.float64), np.asarray(altitude_deg, dtype=np.float64)
    )
    left = path_transmittance_frac(path_m, leaf_area_per_m=table.leaf_area_per_m)
    left = np.where(np.isnan(path_m), 1.0, left)
    return np.asarray(np.where(np.isnan(azimuth) | np.isnan(altitude), np.nan, left))


def is_crown_known(
    table: CrownTable, azimuth_deg: ArrayLike, altitude_deg: ArrayLike
) -> BoolArray:
    """Whether the rasters could tell what a beam meets, to one stop.

    Parameters
    ----------
    table, azimuth_deg, altitude_deg
        As in :func:`crown_beam_frac`.

    Returns
    -------
    ndarray of bool, shape S
        False where leaf as dense as in the crowns, along all that was not seen, would take
        another stop.
    """
    path_m = _between(table, table.path_m, azimuth_deg, altitude_deg)
    if table.unseen_m is None:
        return np.isfinite(path_m)
    unseen_m = _between(table, table.unseen_m, azimuth_deg, altitude_deg)
    more = path_transmittance_frac(unseen_m, leaf_area_per_m=table.leaf_area_per_m)
    return np.asarray(np.isfinite(path_m) & (more >= UNSEEN_MATTERS_FRAC))


def crowns_leave(beam_frac: float) -> str:
    """Say how much of the sun crowns leave, with its stops; "" when it is hardly dimmed.

    Parameters
    ----------
    beam_frac : float
        Share of the beam that is left, 0 to 1.
    """
    if not beam_frac < HARDLY_DIMMED_FRAC:
        return ""
    if beam_frac < 1.0 / 25.0:
        return "crowns leave less than a twentieth of the sun"
    near = min(_SHARES, key=lambda one: abs(math.log(one[0] / beam_frac)))
    stops = -float(stops_from_frac(beam_frac))
    if stops < 0.75:
        down = "half a stop" if stops >= 0.25 else "under half a stop"
    else:
        down = f"{stops:.0f} stop" + ("s" if round(stops) > 1 else "")
    return f"crowns leave about {near[1]} of the sun ({down} down)"


def _between(
    table: CrownTable, lengths_m: FloatArray, azimuth_deg: ArrayLike, altitude_deg: ArrayLike
) -> FloatArray:
    """Length in a direction, by the four entries round it [m]."""
    low, high = float(table.altitude_deg[0]), float(table.altitude_deg[-1])
    altitude = np.maximum(np.asarray(altitude_deg, dtype=np.float64), low)
    held = np.clip(altitude, low, high)
    place = wrap_deg(azimuth_deg) * (table.azimuth_deg.size / 360.0)
    place, held, altitude = np.broadcast_arrays(place, held, altitude)
    unknown = np.isnan(place) | np.isnan(held)
    place, held = np.where(unknown, 0.0, place), np.where(unknown, low, held)
    row = np.floor(place).astype(np.int64)
    across = place - row
    row, beyond = row % table.azimuth_deg.size, (row + 1) % table.azimuth_deg.size
    column = np.clip(
        np.searchsorted(table.altitude_deg, held, side="right") - 1, 0, table.altitude_deg.size - 2
    )
    below, above = table.altitude_deg[column], table.altitude_deg[column + 1]
    up = (held - below) / (above - below)
    deep_m = lengths_m * np.sin(np.radians(table.altitude_deg))
    here = deep_m[row, column] * (1.0 - up) + deep_m[row, column + 1] * up
    there = deep_m[beyond, column] * (1.0 - up) + deep_m[beyond, column + 1] * up
    depth_m = here * (1.0 - across) + there * across
    found = depth_m / np.sin(np.radians(np.minimum(altitude, 90.0)))
    return np.asarray(np.where(unknown, np.nan, found))
