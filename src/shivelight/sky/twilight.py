"""Rise, set, transit and twilight of Sun and Moon in any window; None where there is none.

All by the level horizon at sea level: what a ridge or a wood does to the light is the business
of ``shivelight.light``.
"""

from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.basis.places import Position
from shivelight.sky.events import Crossings, find_crossings
from shivelight.sky.moon import moon_altitude_azimuth, moon_limb_altitude_deg
from shivelight.sky.sun import place_of, sun_altitude_azimuth

SUNRISE_DEG = -0.8333
"""Centre of the disc at rise and set: 34′ of refraction and 16′ of semidiameter (convention of
the Astronomical Almanac, from memory; the same number stands in Skyfield's almanac module)."""
CIVIL_DEG, NAUTICAL_DEG, ASTRONOMICAL_DEG = -6.0, -12.0, -18.0
"""Twilight limits (AMS Glossary of Meteorology)."""
MOONRISE_LIMB_DEG = -34.0 / 60.0
"""Upper limb of the Moon at rise and set, airless."""

_STEP_S = 600.0
_TOLERANCE_S = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SunEvents:
    """First of each event of the Sun in a window; None where it does not happen.

    Attributes
    ----------
    sunrise, sunset, transit, civil_dawn, civil_dusk, nautical_dawn, nautical_dusk, \
astronomical_dawn, astronomical_dusk : datetime64[us] or None
        UTC, to a second of the ephemeris.
    noon_altitude_deg : float or None
        Airless altitude of the centre at the transit. [°]
    is_up_at_start : bool
        Whether the Sun is up when the window opens; with no rise and no set this tells polar
        day from polar night.
    """

    sunrise: np.datetime64 | None
    sunset: np.datetime64 | None
    transit: np.datetime64 | None
    civil_dawn: np.datetime64 | None
    civil_dusk: np.datetime64 | None
    nautical_dawn: np.datetime64 | None
    nautical_dusk: np.datetime64 | None
    astronomical_dawn: np.datetime64 | None
    astronomical_dusk: np.datetime64 | None
    noon_altitude_deg: float | None
    is_up_at_start: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MoonEvents:
    """First rise, set and transit of the Moon in a window; None where there is none."""

    moonrise: np.datetime64 | None
    moonset: np.datetime64 | None
    transit: np.datetime64 | None
    is_up_at_start: bool


def find_sun_crossings(
    start_utc: np.datetime64,
    end_utc: np.datetime64,
    *,
    position: Position,
    altitude_deg: float = SUNRISE_DEG,
) -> Crossings:
    """Find every passage of the Sun's centre through an airless altitude.

    Parameters
    ----------
    start_utc, end_utc : datetime64
        The window.
    position : Position
        Where; its height above the sea is used for the parallax only.
    altitude_deg : float
        Airless altitude of the centre. [°]

    Returns
    -------
    Crossings
        In order, to 1 s; rising and falling passages that graze are found too.
    """

    def above(utc: UtcArray) -> FloatArray:
        return sun_altitude_azimuth(utc, **place_of(position))[0] - altitude_deg

    return find_crossings(above, start_utc, end_utc, step_s=_STEP_S, tolerance_s=_TOLERANCE_S)


def find_moon_crossings(
    start_utc: np.datetime64, end_utc: np.datetime64, *, position: Position
) -> Crossings:
    """Find every rise and set of the Moon.

    Parameters
    ----------
    start_utc, end_utc : datetime64
        The window.
    position : Position
        Where.

    Returns
    -------
    Crossings
        Upper limb at 34′ below the level horizon, airless, true semidiameter and parallax.
    """

    def above(utc: UtcArray) -> FloatArray:
        return moon_limb_altitude_deg(utc, **place_of(position)) - MOONRISE_LIMB_DEG

    return find_crossings(above, start_utc, end_utc, step_s=_STEP_S, tolerance_s=_TOLERANCE_S)


def find_transits(
    start_utc: np.datetime64, end_utc: np.datetime64, *, position: Position, body: str = "sun"
) -> UtcArray:
    """Find the upper transits of "sun" or "moon" over the local meridian.

    Parameters
    ----------
    start_utc, end_utc : datetime64
        The window.
    position : Position
        Where. At a pole the meridian of its longitude is meant.
    body : str
        "sun" or "moon".

    Returns
    -------
    ndarray of datetime64[us], shape (n,)
        When the body passes from the eastern to the western half of the sky.
    """
    where = sun_altitude_azimuth if body == "sun" else moon_altitude_azimuth

    def eastward(utc: UtcArray) -> FloatArray:
        altitude_deg, azimuth_deg = where(utc, **place_of(position))
        return np.asarray(np.sin(np.radians(azimuth_deg)) * np.cos(np.radians(altitude_deg)))

    found = find_crossings(eastward, start_utc, end_utc, step_s=_STEP_S, tolerance_s=_TOLERANCE_S)
    return found.utc[~found.is_rising]


def find_sun_events(
    start_utc: np.datetime64, end_utc: np.datetime64, *, position: Position
) -> SunEvents:
    """Find the first of each event of the Sun in a window.

    Parameters
    ----------
    start_utc, end_utc : datetime64
        The window, such as a civil day from :func:`shivelight.basis.instants.day_bounds`.
    position : Position
        Where.

    Returns
    -------
    SunEvents
        None for what does not happen (polar day and night, white nights).
    """
    at = {
        level: find_sun_crossings(start_utc, end_utc, position=position, altitude_deg=level)
        for level in (SUNRISE_DEG, CIVIL_DEG, NAUTICAL_DEG, ASTRONOMICAL_DEG)
    }
    transit = first_of(find_transits(start_utc, end_utc, position=position))
    noon_deg = None
    if transit is not None:
        noon_deg = float(sun_altitude_azimuth(np.array([transit]), **place_of(position))[0][0])
    return SunEvents(
        sunrise=_first(at[SUNRISE_DEG], rising=True),
        sunset=_first(at[SUNRISE_DEG], rising=False),
        transit=transit,
        civil_dawn=_first(at[CIVIL_DEG], rising=True),
        civil_dusk=_first(at[CIVIL_DEG], rising=False),
        nautical_dawn=_first(at[NAUTICAL_DEG], rising=True),
        nautical_dusk=_first(at[NAUTICAL_DEG], rising=False),
        astronomical_dawn=_first(at[ASTRONOMICAL_DEG], rising=True),
        astronomical_dusk=_first(at[ASTRONOMICAL_DEG], rising=False),
        noon_altitude_deg=noon_deg,
        is_up_at_start=at[SUNRISE_DEG].is_up_at_start,
    )


def find_moon_events(
    start_utc: np.datetime64, end_utc: np.datetime64, *, position: Position
) -> MoonEvents:
    """Find the first rise, set and transit of the Moon in a window.

    Parameters
    ----------
    start_utc, end_utc : datetime64
        The window.
    position : Position
        Where.

    Returns
    -------
    MoonEvents
        None for what does not happen; on some days the Moon does not rise, or does not set.
    """
    found = find_moon_crossings(start_utc, end_utc, position=position)
    return MoonEvents(
        moonrise=_first(found, rising=True),
        moonset=_first(found, rising=False),
        transit=first_of(find_transits(start_utc, end_utc, position=position, body="moon")),
        is_up_at_start=found.is_up_at_start,
    )


def first_of(utc: UtcArray) -> np.datetime64 | None:
    """First of some instants, or None."""
    return np.datetime64(utc[0]) if utc.size else None


def _first(found: Crossings, *, rising: bool) -> np.datetime64 | None:
    return first_of(found.utc[found.is_rising == rising])
