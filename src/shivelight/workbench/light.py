"""Sun, Moon and the light on a spot: a day, a dark season, a year's carpet, and their pictures."""

import datetime as dt
import math

import numpy as np

from shivelight.basis.angles import compass_point
from shivelight.basis.arrays import BoolArray, UtcArray
from shivelight.basis.instants import clock, day_bounds, steps
from shivelight.basis.places import Position
from shivelight.drawing.carpet import season_carpet_svg
from shivelight.drawing.roll import SunPath, skyline_roll_svg
from shivelight.light.reach import LightWindow, View, direct_light_windows, sun_track
from shivelight.light.year import Carpet, dark_season, season_carpet
from shivelight.outing.spots import Spot
from shivelight.outing.woods import Wood
from shivelight.sky.moon import moon_illuminated_frac
from shivelight.sky.sun import sun_altitude_azimuth
from shivelight.sky.twilight import find_moon_events, find_sun_events
from shivelight.workbench.crowns import canopy_over
from shivelight.workbench.results import DarkSeason, LightDay, SunDay
from shivelight.workbench.skyline import SkylineDesk, at_subject

TRACK_STEP_S = 300.0
CROWNS_APART = "crowns are not counted here: they dim the sun, and change with the leaf"
ASSUMED_LEVEL = "where the skyline is not known it is taken as level: times there are too early"


class LightDesk(SkylineDesk):
    """When light reaches a spot."""

    @staticmethod
    def sun_on(position: Position, day: dt.date, zone_name: str) -> SunDay:
        """Sun and Moon of one civil day at a place, over a level horizon.

        Parameters
        ----------
        position : Position
            Where.
        day : date
            Civil day.
        zone_name : str
            Whose midnights bound the day.
        """
        start, end = day_bounds(day, zone_name)
        sun = find_sun_events(start, end, position=position)
        moon = find_moon_events(start, end, position=position)
        middle = start + (end - start) // 2
        return SunDay(
            day=day,
            zone_name=zone_name,
            position=position,
            astronomical_dawn_utc=sun.astronomical_dawn,
            nautical_dawn_utc=sun.nautical_dawn,
            civil_dawn_utc=sun.civil_dawn,
            sunrise_utc=sun.sunrise,
            sunrise_azimuth_deg=sun_azimuth_at(sun.sunrise, position),
            noon_utc=sun.transit,
            noon_altitude_deg=sun.noon_altitude_deg,
            sunset_utc=sun.sunset,
            sunset_azimuth_deg=sun_azimuth_at(sun.sunset, position),
            civil_dusk_utc=sun.civil_dusk,
            nautical_dusk_utc=sun.nautical_dusk,
            astronomical_dusk_utc=sun.astronomical_dusk,
            moonrise_utc=moon.moonrise,
            moonset_utc=moon.moonset,
            moon_lit_frac=float(moon_illuminated_frac(np.array([middle]))[0]),
            note="" if sun.sunrise or sun.sunset else _polar(sun.is_up_at_start),
        )

    def light_on(self, spot: str, day: dt.date) -> LightDay:
        """Direct light on a spot through one civil day, at the subject and the stand point.

        Parameters
        ----------
        spot : str
            Which spot.
        day : date
            Civil day on the wood's clock.
        """
        known = self.spot(spot)
        wood = self.wood_of(known)
        start, end = day_bounds(day, wood.zone_name)
        sun = find_sun_events(start, end, position=known.position)
        there = self.windows(known, wood, start, end)
        here = self.windows(known, wood, start, end, seen_from="stand point")
        utc = steps(start, end, step_s=TRACK_STEP_S)
        track = sun_track(
            self.skyline_of(known),
            position=known.position,
            utc=utc,
            view=view_of(known),
            unknown_as_level=True,
        )
        return LightDay(
            spot=known.name,
            wood=wood.name,
            day=day,
            zone_name=wood.zone_name,
            civil_dawn_utc=sun.civil_dawn,
            sunrise_utc=sun.sunrise,
            at_subject=there,
            at_stand_point=here,
            skyline=self.skyline(known.name),
            cautions=_cautions(there, known, wood, sun_in_frame(utc, track.in_frame)),
            track_utc=utc,
            track_altitude_deg=track.altitude_deg,
            track_azimuth_deg=track.azimuth_deg,
        )

    def dark_season(self, spot: str, year: int) -> DarkSeason:
        """Spans of a year in which no direct light reaches a spot's subject."""
        known = self.spot(spot)
        spans = dark_season(
            self.skyline_of(known, seen_from="subject"),
            position=at_subject(known),
            year=year,
            zone_name=self.wood_of(known).zone_name,
            unknown_as_level=True,
        )
        return DarkSeason(
            spot=known.name,
            year=year,
            spans=tuple((one.first_day, one.last_day) for one in spans),
            always=any(one.is_whole_year for one in spans),
            note="; ".join(
                filter(
                    None,
                    (
                        ASSUMED_LEVEL if any(one.skyline_assumed for one in spans) else "",
                        CROWNS_APART if self._crowned(known) else "",
                    ),
                )
            ),
        )

    def season_carpet(self, spot: str, year: int) -> Carpet:
        """Light on a spot's subject through a whole year: days by clock time."""
        known = self.spot(spot)
        wood = self.wood_of(known)
        kept = self.crowns_of(known)
        return season_carpet(
            self.skyline_of(known, seen_from="subject"),
            position=at_subject(known),
            year=year,
            zone_name=wood.zone_name,
            view=view_of(known),
            canopy_on=(
                (lambda day: canopy_over(known, wood, day, kept=kept))
                if self._crowned(known)
                else None
            ),
            unknown_as_level=True,
        )

    def light_picture(self, spot: str, day: dt.date) -> str:
        """Skyline roll of a spot on one day, as SVG."""
        known = self.spot(spot)
        answer = self.light_on(spot, day)
        path = SunPath(
            label=f"{day.day} {day:%B}",
            utc=answer.track_utc,
            azimuth_deg=answer.track_azimuth_deg,
            altitude_deg=answer.track_altitude_deg,
        )
        return skyline_roll_svg(
            answer.skyline.altitude_deg,
            paths=(path,),
            windows=answer.at_subject,
            view_azimuth_deg=known.view_azimuth_deg,
            angle_of_view_deg=view_of(known).angle_of_view_deg,
            zone_name=answer.zone_name,
        )

    def carpet_picture(self, spot: str, year: int) -> str:
        """Season carpet of a spot, as SVG."""
        known = self.spot(spot)
        return season_carpet_svg(
            self.season_carpet(spot, year),
            title=f"{known.name}, {year}",
            zone_name=self.wood_of(known).zone_name,
        )

    def _crowned(self, spot: Spot) -> bool:
        """Whether crowns are known to stand between a spot and the sun."""
        return spot.under_canopy or self.crowns_of(spot) is not None

    def windows(
        self,
        spot: Spot,
        wood: Wood,
        start_utc: np.datetime64,
        end_utc: np.datetime64,
        *,
        seen_from: str = "subject",
    ) -> tuple[LightWindow, ...]:
        """Windows of direct light on a spot between two instants."""
        position = at_subject(spot) if seen_from == "subject" else spot.position
        return direct_light_windows(
            self.skyline_of(spot, seen_from=seen_from),
            position=position,
            start_utc=start_utc,
            end_utc=end_utc,
            view=view_of(spot),
            canopy=canopy_over(
                spot, wood, start_utc, kept=self.crowns_of(spot, seen_from=seen_from)
            ),
            unknown_as_level=True,
        )


def view_of(spot: Spot) -> View:
    """Bearing and horizontal angle of view of a spot's lens."""
    half = math.atan(spot.sensor_width_mm / (2.0 * spot.focal_length_mm))
    return View(
        azimuth_deg=spot.view_azimuth_deg % 360.0, angle_of_view_deg=2.0 * math.degrees(half)
    )


def sun_azimuth_at(utc: np.datetime64 | None, position: Position) -> float | None:
    """Bearing of the sun at an instant. [°]."""
    if utc is None:
        return None
    _, azimuth_deg = sun_altitude_azimuth(
        np.array([utc]),
        latitude_deg=position.latitude_deg,
        longitude_deg=position.longitude_deg,
        ground_height_m=position.ground_height_m or 0.0,
    )
    return float(azimuth_deg[0])


def _polar(is_up: bool) -> str:
    return "the sun does not set this day" if is_up else "the sun does not rise this day"


def sun_in_frame(
    utc: UtcArray, in_frame: BoolArray
) -> tuple[tuple[np.datetime64, np.datetime64], ...]:
    """Spans in which the sun's disc may stand inside the frame, to the step of ``utc``.

    Parameters
    ----------
    utc : ndarray of datetime64, shape (S,)
        Instants.
    in_frame : ndarray of bool, shape (S,)
        Whether it does at each.
    """
    edges = np.flatnonzero(np.diff(np.concatenate([[0], in_frame.astype(np.int8), [0]])))
    return tuple((utc[a], utc[b - 1]) for a, b in edges.reshape(-1, 2))


def _cautions(
    windows: tuple[LightWindow, ...],
    spot: Spot,
    wood: Wood,
    spans: tuple[tuple[np.datetime64, np.datetime64], ...],
) -> tuple[str, ...]:
    said = [
        f"The sun stands in the frame toward the {compass_point(spot.view_azimuth_deg)} from "
        f"{clock(start, wood.zone_name)} to {clock(end, wood.zone_name)}: do not look at it "
        "through the lens."
        for start, end in spans
    ]
    if any(one.skyline_assumed for one in windows):
        said.append(f"Note: {ASSUMED_LEVEL}.")
    return tuple(said)
