"""Sun and Moon between nodes: Skyfield once a day or once in six hours, cubics between.

At each node Skyfield gives the geocentric astrometric place (light time included) and the
Earth's velocity, in the frame of the true equator and equinox of date. Their coordinates, what is
left of sidereal time once a steady turn is taken away, and the obliquity go through cubic pieces
that meet in value and slope. The Earth's rotation, the observer's parallax and the aberration,
annual and diurnal, are then worked out at each instant in a compiled loop. Parallax comes before
aberration: the other order costs 0.35″ on the Moon.
``docs/decisions/0002-sun-by-nodes.md`` has the measurements.
"""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.basis.errors import require_range
from shivelight.sky.constants import LIGHT_MPS, TURN_RAD_S
from shivelight.sky.timescale import (
    DAY_S,
    EPOCH,
    ephemeris,
    require_covered,
    skyfield_time,
    tt_seconds,
)

BLOCK_DAYS = 32
"""Spans are widened to whole blocks of this many days, so that near askings share their nodes."""
SLOPE_WEIGHTS = (45.0, -9.0, 1.0)
"""Seven-point slope: differences at one, two and three steps, over 60 steps (sixth order)."""
NODE_STEP_S = {"sun": DAY_S, "moon": DAY_S / 4.0}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BodyNodes:
    """Cubic pieces of one body's place over a span.

    Attributes
    ----------
    start_s, step_s : float
        TT seconds after J2000.0 of the first node, and between nodes. [s]
    pieces : ndarray of float64, shape (4, n, 8)
        Powers from the cube down, per interval, of x, y, z [au], the rest of the apparent
        sidereal time at Greenwich [rad], the Earth's velocity as a share of the speed of light
        (three) and the true obliquity [rad].
    """

    start_s: float
    step_s: float
    pieces: FloatArray


@lru_cache(maxsize=64)
def _nodes(body: str, first_block: int, last_block: int) -> BodyNodes:
    """Ask Skyfield at the nodes of whole blocks, and a few beside them for the slopes."""
    step_s, beside = NODE_STEP_S[body], len(SLOPE_WEIGHTS)
    start_s = first_block * BLOCK_DAYS * DAY_S
    count = round((last_block + 1 - first_block) * BLOCK_DAYS * DAY_S / step_s) + 1
    places_s = start_s + step_s * np.arange(-beside, count + beside, dtype=np.float64)
    pieces = _cubic_pieces(_place_and_turn(body, places_s), step_s)
    return BodyNodes(start_s=start_s, step_s=step_s, pieces=pieces)


def _cubic_pieces(values: FloatArray, step_s: float) -> FloatArray:
    """Cubics through the values with seven-point slopes, three rows lost at either end.

    With exact slopes such a piece is off by h⁴ f⁗ / 384 at most, a fifth of what a spline may be.
    """
    beside, last = len(SLOPE_WEIGHTS), len(values) - len(SLOPE_WEIGHTS)
    slope = np.zeros_like(values[beside:last])
    for reach, weight in enumerate(SLOPE_WEIGHTS, start=1):
        ahead, behind = (
            values[beside + reach : last + reach],
            values[beside - reach : last - reach],
        )
        slope += weight / (60.0 * step_s) * (ahead - behind)
    level = values[beside:last]
    mean = np.diff(level, axis=0) / step_s
    square = (3.0 * mean - 2.0 * slope[:-1] - slope[1:]) / step_s
    cube = (slope[:-1] + slope[1:] - 2.0 * mean) / step_s**2
    return np.ascontiguousarray(np.stack([cube, square, slope[:-1], level[:-1]]))


def _place_and_turn(body: str, tt_s: FloatArray) -> FloatArray:
    """Skyfield's place, rest of sidereal time, velocity and obliquity, shape (n, 8)."""
    from skyfield.framelib import (  # noqa: PLC0415
        ecliptic_frame,
        true_equator_and_equinox_of_date,
    )

    times, bodies = skyfield_time(tt_s), ephemeris()
    earth = bodies["earth"].at(times)
    equator = true_equator_and_equinox_of_date.rotation_at(times)
    place = np.einsum("ijn,jn->in", equator, earth.observe(bodies[body]).xyz.au)
    speed_mps = earth.velocity.km_per_s * 1000.0
    share = np.einsum("ijn,jn->in", equator, speed_mps / LIGHT_MPS)
    # Take the steady turn away before unwrapping: between nodes hours apart it goes round often.
    rest = np.unwrap(np.mod(times.gast * (math.pi / 12.0) - TURN_RAD_S * tt_s, 2.0 * math.pi))
    tilt = np.einsum("ijn,kjn->ikn", ecliptic_frame.rotation_at(times), equator)
    return np.column_stack([*place, rest, *share, np.arctan2(tilt[1, 2], tilt[1, 1])])


def nodes_for(body: str, utc: UtcArray) -> BodyNodes:
    """Nodes that cover all of ``utc``; kept in the process, so that asking again is free.

    Raises
    ------
    OutOfRangeError
        If an instant lies outside the years 1900 to 2052.
    """
    known = utc[~np.isnat(utc)]
    first, last = (known.min(), known.max()) if known.size else (EPOCH, EPOCH)
    require_covered(first, last)
    span = np.timedelta64(BLOCK_DAYS, "D")
    # A minute of margin covers TT − UTC at a block's edge.
    low = (first - np.timedelta64(2, "m") - EPOCH) // span
    high = (last + np.timedelta64(2, "m") - EPOCH) // span
    return _nodes(body, int(low), int(high))


def geocentric_place(body: str, utc: UtcArray) -> FloatArray:
    """Geocentric apparent place, true equator and equinox of date.

    Parameters
    ----------
    body : "sun" or "moon"
        Which.
    utc : ndarray of datetime64, shape (n,)
        Instants.

    Returns
    -------
    ndarray of float64, shape (n, 4)
        x, y, z [au] and the true obliquity of the ecliptic [rad].
    """
    nodes = nodes_for(body, utc)
    into_s = tt_seconds(utc) - nodes.start_s
    known = np.isfinite(into_s)
    index = np.where(known, into_s // nodes.step_s, 0.0).astype(np.int64)
    along = (into_s - index * nodes.step_s)[:, None]
    cube, square, slope, level = nodes.pieces[:, index]
    values = ((cube * along + square) * along + slope) * along + level
    away = np.sqrt((values[:, :3] ** 2).sum(axis=1, keepdims=True))
    toward = values[:, :3] / away + values[:, 4:7]
    toward *= away / np.sqrt((toward**2).sum(axis=1, keepdims=True))
    return np.concatenate([toward, values[:, 7:]], axis=1)


def topocentric_place(
    body: str, utc: UtcArray, *, latitude_deg: float, longitude_deg: float, ground_height_m: float
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Airless altitude and true azimuth [°], and distance [au], at one place.

    Parameters
    ----------
    body : "sun" or "moon"
        Which.
    utc : ndarray of datetime64, shape S
        Instants. NaT gives NaN.
    latitude_deg, longitude_deg, ground_height_m : float
        Geodetic place on WGS 84. [°], [°], [m]

    Returns
    -------
    altitude_deg, azimuth_deg, distance_au : ndarray of float64, shape S
        Of the disc's centre.

    Raises
    ------
    OutOfRangeError
        If the place is not on Earth or an instant lies outside the ephemeris.
    """
    require_range("latitude", latitude_deg, -90.0, 90.0, "°")
    require_range("longitude", longitude_deg, -180.0, 360.0, "°")
    require_range("ground height", ground_height_m, -500.0, 9000.0, "m")
    # Numba takes up to a second to load: only where a place is really worked out.
    from shivelight.sky.turning import topocentric_kernel  # noqa: PLC0415

    moments = np.asarray(utc).astype("datetime64[us]")
    flat = moments.ravel()
    nodes = nodes_for(body, flat)
    found = topocentric_kernel(
        tt_seconds(flat) - nodes.start_s,
        nodes.pieces,
        nodes.step_s,
        nodes.start_s * TURN_RAD_S + math.radians(longitude_deg),
        math.radians(latitude_deg),
        ground_height_m,
    )
    return (
        found[0].reshape(moments.shape),
        found[1].reshape(moments.shape),
        found[2].reshape(moments.shape),
    )
