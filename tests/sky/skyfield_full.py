"""Full Skyfield at every instant: the outside reference for the fast Sun and Moon."""

from typing import Any

import numpy as np
from skyfield.api import wgs84

from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.sky.timescale import ephemeris, timescale


def full_time(utc: UtcArray) -> Any:
    """Skyfield's own way from calendar to time, not ours."""
    moments = [moment.item() for moment in utc.astype("datetime64[us]")]
    parts = [[getattr(one, name) for one in moments] for name in ("year", "month", "day")]
    clock = [[getattr(one, name) for one in moments] for name in ("hour", "minute")]
    seconds = [one.second + one.microsecond / 1e6 for one in moments]
    return timescale().utc(*map(np.array, (*parts, *clock, seconds)))


def full_altaz(
    body: str,
    utc: UtcArray,
    *,
    latitude_deg: float,
    longitude_deg: float,
    ground_height_m: float = 0.0,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Altitude and azimuth [°] and distance [km] of the apparent topocentric place."""
    bodies = ephemeris()
    place = bodies["earth"] + wgs84.latlon(latitude_deg, longitude_deg, ground_height_m)
    seen = place.at(full_time(utc)).observe(bodies[body]).apparent()
    altitude, azimuth, away = seen.altaz()
    return altitude.degrees, azimuth.degrees, away.km


def apart_arcsec(
    altitude_a: FloatArray, azimuth_a: FloatArray, altitude_b: FloatArray, azimuth_b: FloatArray
) -> FloatArray:
    """Angle on the sky between two places ["]."""
    a1, z1, a2, z2 = map(np.radians, (altitude_a, azimuth_a, altitude_b, azimuth_b))
    half = np.sin((a1 - a2) / 2) ** 2 + np.cos(a1) * np.cos(a2) * np.sin((z1 - z2) / 2) ** 2
    return np.asarray(np.degrees(2.0 * np.arcsin(np.sqrt(half))) * 3600.0)
