"""A skyline roll in words: one line for each degree of the compass, and all of it as a table."""

from collections.abc import Sequence

import numpy as np

from shivelight.basis.angles import compass_point, signed_difference_deg, wrap_deg
from shivelight.basis.arrays import FloatArray
from shivelight.basis.instants import clock
from shivelight.drawing.roll_scale import SunPath

TABLE_STEP_DEG = 5
SEMI_DIAMETER_DEG = 0.27
"""Of the sun's disc, to a hundredth of a degree through the year (common practice). [°]"""


def roll_readings(
    altitude_deg: FloatArray, path: SunPath, *, start_deg: float, zone_name: str
) -> tuple[str, ...]:
    """Say of each whole degree how high the skyline stands and when the sun is there.

    Parameters
    ----------
    altitude_deg : ndarray, shape (N,)
        Skyline heights, evenly spaced from true north; NaN where not known. [°]
    path : SunPath
        The chosen date.
    start_deg : float
        Bearing at the left edge of the roll. [°]
    zone_name : str
        Clock of the sun's times.

    Returns
    -------
    tuple of str
        360 lines, clockwise from ``start_deg``.
    """
    return tuple(
        _reading(float(wrap_deg(start_deg + turn)), altitude_deg, path, zone_name)
        for turn in range(360)
    )


def roll_table(
    altitude_deg: FloatArray, paths: Sequence[SunPath], *, zone_name: str
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Write the roll as a table: every five degrees the skyline, and each date's sun.

    Returns
    -------
    headers, rows : tuple
    """
    headers = (
        "bearing, true",
        "skyline",
        *(f"sun there, {path.label.split(',')[0]}" for path in paths),
    )
    rows = tuple(
        (
            f"{bearing}° {compass_point(bearing)}",
            _height(skyline_at(altitude_deg, bearing)),
            *(_sun_cell(path, bearing, zone_name) for path in paths),
        )
        for bearing in range(0, 360, TABLE_STEP_DEG)
    )
    return headers, rows


def skyline_at(altitude_deg: FloatArray, azimuth_deg: float) -> float:
    """Height of a skyline toward one bearing, straight between its samples; NaN if unknown."""
    count = altitude_deg.size
    place = float(wrap_deg(azimuth_deg)) * count / 360.0
    low = int(place) % count
    share = place - int(place)
    below, above = float(altitude_deg[low]), float(altitude_deg[(low + 1) % count])
    return below if share == 0.0 else below + share * (above - below)


def sun_over(path: SunPath, azimuth_deg: float) -> tuple[np.datetime64, float] | None:
    """When the sun first stands over a bearing on its way, and how high; None if it never does."""
    off = signed_difference_deg(path.azimuth_deg, azimuth_deg)
    here, there = off[:-1], off[1:]
    crosses = (here * there <= 0.0) & (np.abs(here - there) < 90.0) & (here != there)
    crosses &= path.is_up[:-1] & path.is_up[1:]
    if not crosses.any():
        return None
    first = int(crosses.argmax())
    share = float(here[first] / (here[first] - there[first]))
    utc = path.utc[first] + (path.utc[first + 1] - path.utc[first]) * share
    height = path.altitude_deg[first] + share * (
        path.altitude_deg[first + 1] - path.altitude_deg[first]
    )
    return utc, float(height)


def _reading(azimuth_deg: float, altitude_deg: FloatArray, path: SunPath, zone_name: str) -> str:
    skyline_deg = skyline_at(altitude_deg, azimuth_deg)
    where = f"{azimuth_deg:.0f}° true, {compass_point(azimuth_deg)}"
    known = np.isfinite(skyline_deg)
    edge = f"skyline {skyline_deg:.1f}° high" if known else "skyline not known"
    sun = sun_over(path, azimuth_deg)
    if sun is None:
        return f"{where}: {edge}; the sun does not come here."
    at = f"the sun stands here at {clock(sun[0], zone_name)}, {sun[1]:.1f}° high"
    if not known:
        return f"{where}: {edge}; {at}."
    past = "past the skyline" if sun[1] + SEMI_DIAMETER_DEG > skyline_deg else "behind it"
    return f"{where}: {edge}; {at}, {past}."


def _sun_cell(path: SunPath, azimuth_deg: float, zone_name: str) -> str:
    sun = sun_over(path, azimuth_deg)
    return "not here" if sun is None else f"{clock(sun[0], zone_name)}, {sun[1]:.1f}°"


def _height(height_deg: float) -> str:
    return f"{height_deg:.1f}°" if np.isfinite(height_deg) else "not known"
