"""The compiled loop that turns the Earth under Sun and Moon; its twin is in ``tests/plain``.

Called by ``shivelight.sky.nodes`` only, which loads it when first needed.
"""

import math

import numpy as np

from shivelight.basis.arrays import FloatArray, kernel
from shivelight.sky.constants import (
    AU_M,
    EARTH_EQUATOR_M,
    EARTH_FLATTENING,
    LIGHT_MPS,
    TURN_RAD_S,
)


@kernel
def _cubic(pieces: FloatArray, column: int, along: float) -> float:
    """Value of one cubic piece."""
    p = pieces[:, column]
    return float(((p[0] * along + p[1]) * along + p[2]) * along + p[3])


@kernel
def topocentric_kernel(
    into_s: FloatArray,
    pieces: FloatArray,
    step_s: float,
    turn_at_start_rad: float,
    latitude_rad: float,
    ground_height_m: float,
) -> FloatArray:
    """Altitude [°], azimuth [°] and distance [au], shape (3, n), of instants after a node."""
    found = np.empty((3, into_s.size))
    sin_lat, cos_lat = math.sin(latitude_rad), math.cos(latitude_rad)
    flat = (1.0 - EARTH_FLATTENING) ** 2
    prime = 1.0 / math.sqrt(cos_lat * cos_lat + flat * sin_lat * sin_lat)
    axis_au = (EARTH_EQUATOR_M * prime + ground_height_m) * cos_lat / AU_M
    polar_au = (EARTH_EQUATOR_M * prime * flat + ground_height_m) * sin_lat / AU_M
    east_share = TURN_RAD_S * axis_au * AU_M / LIGHT_MPS
    last = pieces.shape[1] - 1
    for i in range(into_s.size):
        t = into_s[i]
        if not math.isfinite(t):
            found[0, i] = found[1, i] = found[2, i] = math.nan
            continue
        k = min(max(int(t / step_s), 0), last)
        u = t - k * step_s
        p = pieces[:, k]
        x, y, z = _cubic(p, 0, u), _cubic(p, 1, u), _cubic(p, 2, u)
        vx, vy, vz = _cubic(p, 4, u), _cubic(p, 5, u), _cubic(p, 6, u)
        angle = turn_at_start_rad + TURN_RAD_S * t + _cubic(p, 3, u)
        sin_turn, cos_turn = math.sin(angle), math.cos(angle)
        # Toward the local meridian, toward the east, along the axis; parallax taken off.
        out = x * cos_turn + y * sin_turn - axis_au
        east = y * cos_turn - x * sin_turn
        along = z - polar_au
        away = math.sqrt(out * out + east * east + along * along)
        # Aberration. The light to the observer leaves later than that to the Earth's centre when
        # the body is nearer, and the body has moved on with the Earth: both together are the
        # velocity times the geocentric distance. The spin adds up to 0.32 arcsec eastward.
        centre = math.sqrt(x * x + y * y + z * z)
        out += centre * (vx * cos_turn + vy * sin_turn)
        east += centre * (vy * cos_turn - vx * sin_turn) + away * east_share
        along += centre * vz
        up = cos_lat * out + sin_lat * along
        north = cos_lat * along - sin_lat * out
        found[0, i] = math.degrees(math.atan2(up, math.hypot(north, east)))
        azimuth_deg = math.degrees(math.atan2(east, north))
        if azimuth_deg < 0.0:
            azimuth_deg += 360.0
        found[1, i] = 0.0 if azimuth_deg >= 360.0 else azimuth_deg
        found[2, i] = away
    return found
