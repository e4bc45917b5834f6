"""One morning's frame: its sun over a level horizon, its almanac, its span, its clock."""

import datetime as dt
from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import UtcArray
from shivelight.basis.instants import clock_change, steps
from shivelight.basis.places import Position
from shivelight.outing.conditions import STEP_MIN
from shivelight.outing.judgement import Almanac
from shivelight.outing.mistday import SunTimes
from shivelight.sky.moon import moon_altitude_azimuth, moon_illuminated_frac
from shivelight.sky.twilight import CIVIL_DEG, find_sun_crossings, first_of
from shivelight.workbench.light import sun_azimuth_at


@dataclass(frozen=True, slots=True, kw_only=True)
class MorningSpan:
    """A civil day in one wood: its sun, and the span that is judged.

    ``is_cut_short`` tells that the forecast ends so early that it must be said.
    """

    day: dt.date
    sun: SunTimes
    almanac: Almanac
    start_utc: np.datetime64
    end_utc: np.datetime64
    is_cut_short: bool = False

    @property
    def utc(self) -> UtcArray:
        """Instants, five minutes apart."""
        return steps(self.start_utc, self.end_utc, step_s=STEP_MIN * 60.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class DaySun:
    """What the judgement needs of a day's sun, over a level horizon; None where there is none."""

    civil_dawn: np.datetime64 | None
    sunrise: np.datetime64 | None
    sunset: np.datetime64 | None


def ends_of_night(start_utc: np.datetime64, end_utc: np.datetime64, place: Position) -> DaySun:
    """Find civil dawn, sunrise and sunset of a span; None where there is none."""
    flat = find_sun_crossings(start_utc, end_utc, position=place)
    civil = find_sun_crossings(start_utc, end_utc, position=place, altitude_deg=CIVIL_DEG)
    return DaySun(
        civil_dawn=first_of(civil.utc[civil.is_rising]),
        sunrise=first_of(flat.utc[flat.is_rising]),
        sunset=first_of(flat.utc[~flat.is_rising]),
    )


def almanac_of(
    civil_dawn: np.datetime64 | None, sunrise: np.datetime64 | None, place: Position
) -> Almanac:
    """Sun and Moon of a morning over a level horizon."""
    moment = civil_dawn if civil_dawn is not None else sunrise
    lit, up = 0.0, False
    if moment is not None:
        at = np.array([moment])
        lit = float(moon_illuminated_frac(at)[0])
        altitude_deg, _ = moon_altitude_azimuth(
            at, latitude_deg=place.latitude_deg, longitude_deg=place.longitude_deg
        )
        up = bool(altitude_deg[0] > 0.0)
    return Almanac(
        civil_dawn_utc=civil_dawn,
        sunrise_utc=sunrise,
        sunrise_azimuth_deg=sun_azimuth_at(sunrise, place),
        moon_lit_frac=lit,
        moon_up_at_dawn=up,
    )


def clock_note(day: dt.date, zone_name: str) -> str:
    """Say that the clocks changed, on the day and for the six days after."""
    for back in range(7):
        changed = day - dt.timedelta(days=back)
        moved = clock_change(changed, zone_name)
        if moved:
            way = "forward" if moved > dt.timedelta(0) else "back"
            when = "today" if back == 0 else f"on {changed:%A}"
            return f"Clocks went {way} {when}"
    return ""


def on_five_minutes(utc: np.datetime64, minutes: float) -> np.datetime64:
    """Move an instant and round it down to five minutes."""
    moved = (utc + np.timedelta64(round(minutes * 60.0), "s")).astype("datetime64[s]")
    down: np.datetime64 = moved - (moved.astype(np.int64) % 300) * np.timedelta64(1, "s")
    return down
