"""How bright it is in the open, and what a meter makes of it.

Published daylight formulae differ by about 8 in 100 in full day and by a factor of 100 in
astronomical twilight (``docs/models.md``): take a quarter of a stop as the least doubt by day.
"""

from collections.abc import Callable
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import require_range
from shivelight.light._daylight_table import MOON_PIECES, SUN_PIECES

Formula: TypeAlias = Callable[[FloatArray], FloatArray]

INCIDENT_CONSTANT = 250.0
"""ISO 2720:1974, C for a flat receptor (the standard allows 240 to 400). [lx·s]"""
REFLECTED_CONSTANT = 12.5
"""ISO 2720:1974, K (usual range 10.6 to 13.4). [cd·s/m²]"""


def clear_illuminance_lux(
    apparent_altitude_deg: ArrayLike, *, sky_divisor: float = 1.0
) -> FloatArray:
    """Light on open level ground from sun and sky, the closed form of USNO Circular 171.

    Parameters
    ----------
    apparent_altitude_deg : array_like, shape S
        Altitude of the Sun's centre as seen. [°]
    sky_divisor : float
        1 clear (less than a third cloud), 2 thin veil, 3 average cloud, 10 dark stratus.

    Returns
    -------
    ndarray of float64, shape S
        Holds above −8°; lower down it is far too dark (100 times at −18°). [lx]

    References
    ----------
    .. [1] P. M. Janiczek and J. A. DeYoung, Computer programs for Sun and Moon illuminance,
       US Naval Observatory Circular 171, 1987.
    """
    require_range("sky divisor", sky_divisor, 1.0, 100.0)
    height_deg = np.asarray(apparent_altitude_deg, dtype=np.float64)
    height = np.radians(height_deg)
    earth = 753.66156  # radius of the Earth in heights of the air, ref. 1
    bend = np.arcsin(earth * np.cos(height) / (earth + 1.0))
    mass = earth * (np.cos(bend) - np.sin(height)) + np.cos(bend)
    glow = 1.0 + (height_deg + 90.0) * np.sin(height) / 57.29577951
    shine = np.exp(-0.21 * mass) * np.sin(height) + 0.0289 * np.exp(-0.042 * mass) * glow
    return np.asarray(133_775.0 * shine / sky_divisor)


def sun_illuminance_lux(altitude_deg: ArrayLike) -> FloatArray:
    """Light on open level ground under a clear sky, the Explanatory Supplement's polynomials.

    Parameters
    ----------
    altitude_deg : array_like, shape S
        Altitude of the Sun's centre, −18 to 90. [°]

    Returns
    -------
    ndarray of float64, shape S
        NaN outside the range. Coefficients from memory; they give the twilight values of the
        AMS Glossary. [lx]

    References
    ----------
    .. [1] P. K. Seidelmann (ed.), Explanatory Supplement to the Astronomical Almanac, 1992.
    """
    return _from_pieces(altitude_deg, SUN_PIECES)


def full_moon_illuminance_lux(altitude_deg: ArrayLike) -> FloatArray:
    """Light of a full Moon on open level ground, −0.8° to 90°; NaN outside.

    Parameters
    ----------
    altitude_deg : array_like, shape S
        Altitude of the Moon's centre. [°]

    Returns
    -------
    ndarray of float64, shape S
        For a clear sky and mean distance. [lx]

    References
    ----------
    .. [1] S. E. Urban and P. K. Seidelmann (eds), Explanatory Supplement, 2013, p. 518.
    """
    return _from_pieces(altitude_deg, MOON_PIECES)


def _from_pieces(
    altitude_deg: ArrayLike, pieces: tuple[tuple[float, tuple[float, ...]], ...]
) -> FloatArray:
    """Evaluate log10 E as a cubic of h/90, by the piece whose lower end h has reached."""
    height = np.asarray(altitude_deg, dtype=np.float64)
    share = height / 90.0
    log_lux = np.full(height.shape, np.nan)
    for low_deg, powers in reversed(pieces):  # from the lowest up, so that higher ones win
        cubic = powers[0] + share * (powers[1] + share * (powers[2] + share * powers[3]))
        log_lux = np.where((height >= low_deg) & (height <= 90.0), cubic, log_lux)
    return np.asarray(10.0**log_lux)


def open_daylight_lux(apparent_altitude_deg: ArrayLike, *, sky_divisor: float = 1.0) -> FloatArray:
    """Light on open level ground from high sun to the end of astronomical twilight.

    Parameters
    ----------
    apparent_altitude_deg : array_like, shape S
        Altitude of the Sun's centre as seen, −18 to 90. [°]
    sky_divisor : float
        As in :func:`clear_illuminance_lux`.

    Returns
    -------
    ndarray of float64, shape S
        Circular 171 above −4°, the polynomials below −8°, between them a blend of their
        logarithms (the blend is a judgement; both agree there within a third of a stop). [lx]
    """
    height = np.asarray(apparent_altitude_deg, dtype=np.float64)
    high = np.log(clear_illuminance_lux(np.maximum(height, -8.0)))
    low = np.log(sun_illuminance_lux(np.where(height < -4.0, height, -4.0)))
    share = np.clip((height + 8.0) / 4.0, 0.0, 1.0)
    mixed = np.where(share >= 1.0, high, share * high + (1.0 - share) * low)
    return np.asarray(np.exp(mixed) / sky_divisor)


def overcast_illuminance_lux(sun_altitude_deg: ArrayLike) -> FloatArray:
    """Light on open level ground under full cloud: 300 + 21 000 sin h, 0 below the horizon.

    Parameters
    ----------
    sun_altitude_deg : array_like, shape S
        [°]

    References
    ----------
    .. [1] J. Krochmann and M. Seidl, Lighting Research and Technology 6 (1974) 165; the IESNA
       calculation of daylight (RP-21). Coefficients from memory.
    """
    return _above_horizon(sun_altitude_deg, lambda sine: 300.0 + 21_000.0 * sine)


def clear_sky_diffuse_lux(sun_altitude_deg: ArrayLike) -> FloatArray:
    """Light of the clear sky alone on level ground: 800 + 15 500 √sin h (IESNA, from memory).

    Parameters
    ----------
    sun_altitude_deg : array_like, shape S
        0 lx below the horizon. [°]
    """
    return _above_horizon(sun_altitude_deg, lambda sine: 800.0 + 15_500.0 * np.sqrt(sine))


def clear_direct_lux(sun_altitude_deg: ArrayLike) -> FloatArray:
    """Light of the clear sun alone on level ground (IESNA, from memory).

    Parameters
    ----------
    sun_altitude_deg : array_like, shape S
        127 500 e^(−0.21/sin h) sin h; 0 lx at and below the horizon. [°]
    """
    return _above_horizon(sun_altitude_deg, lambda sine: sine * clear_beam_lux(sine))


def clear_beam_lux(sine: FloatArray) -> FloatArray:
    """Light of the clear sun on a surface that faces it, by the sine of its altitude [lx]."""
    return np.asarray(127_500.0 * np.exp(-0.21 / np.maximum(sine, 1e-6)))


def _above_horizon(altitude_deg: ArrayLike, formula: Formula) -> FloatArray:
    height = np.asarray(altitude_deg, dtype=np.float64)
    sine = np.sin(np.radians(np.maximum(height, 0.0)))
    return np.asarray(np.where(height < 0.0, 0.0, formula(sine)))


def ev100_from_lux(illuminance_lux: ArrayLike) -> FloatArray:
    """Exposure value at ISO 100 of light on a flat receptor, E = 2.5 · 2^EV [EV]."""
    return _log2(np.asarray(illuminance_lux, dtype=np.float64) * 100.0 / INCIDENT_CONSTANT)


def lux_from_ev100(
    exposure_ev: ArrayLike, *, constant_lux_s: float = INCIDENT_CONSTANT
) -> FloatArray:
    """Light on a flat receptor at an exposure value for ISO 100 [lx].

    Parameters
    ----------
    exposure_ev : array_like, shape S
        [EV]
    constant_lux_s : float
        The meter's C. [lx·s]
    """
    return np.asarray(constant_lux_s / 100.0 * 2.0 ** np.asarray(exposure_ev, dtype=np.float64))


def ev100_from_luminance(luminance_cd_m2: ArrayLike) -> FloatArray:
    """Exposure value at ISO 100 of a surface as a reflected-light meter reads it [EV]."""
    return _log2(np.asarray(luminance_cd_m2, dtype=np.float64) * 100.0 / REFLECTED_CONSTANT)


def luminance_from_ev100(
    exposure_ev: ArrayLike, *, constant_cd_s_m2: float = REFLECTED_CONSTANT
) -> FloatArray:
    """Luminance of a surface at an exposure value for ISO 100 [cd/m²].

    Parameters
    ----------
    exposure_ev : array_like, shape S
        [EV]
    constant_cd_s_m2 : float
        The meter's K. [cd·s/m²]
    """
    return np.asarray(constant_cd_s_m2 / 100.0 * 2.0 ** np.asarray(exposure_ev, dtype=np.float64))


def ev100_from_settings(
    f_number: ArrayLike, *, exposure_s: ArrayLike, iso: ArrayLike = 100.0
) -> FloatArray:
    """Exposure value at ISO 100 that a setting exposes for: log2(N²/t) − log2(S/100) [EV].

    Parameters
    ----------
    f_number, exposure_s, iso : array_like, shapes that broadcast to S
        NaN where one is not above 0. Stops are exact; the engraved numbers are rounded.
    """
    aperture, time_s, speed = np.broadcast_arrays(
        np.asarray(f_number, dtype=np.float64),
        np.asarray(exposure_s, dtype=np.float64),
        np.asarray(iso, dtype=np.float64),
    )
    good = (aperture > 0.0) & (time_s > 0.0) & (speed > 0.0)
    ratio = np.where(good, aperture**2 * 100.0, np.nan) / np.where(good, time_s * speed, np.nan)
    return np.asarray(np.log2(ratio))


def stops_from_density(density: ArrayLike) -> FloatArray:
    """Turn the optical density of a neutral filter into stops: density / log10 2 [EV]."""
    return np.asarray(np.asarray(density, dtype=np.float64) / np.log10(2.0))


def _log2(value: FloatArray) -> FloatArray:
    return np.asarray(np.log2(np.where(value > 0.0, value, np.nan)))
