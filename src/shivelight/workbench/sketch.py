"""A skyline while it is being typed: what it looks like, and rows of a table kept as heights."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from shivelight.basis.instants import to_local
from shivelight.drawing.roll import SunPath
from shivelight.drawing.skyline_sketch import Sketch, skyline_sketch
from shivelight.intake.sights import read_sight_lines
from shivelight.land.bearings import true_from_magnetic
from shivelight.outing.kept import StoredSkyline
from shivelight.outing.spots import Sight, Spot
from shivelight.store import skylines as skyline_rows
from shivelight.workbench.light import LightDesk, view_of
from shivelight.workbench.results import SkylineReport
from shivelight.workbench.skyline import above_level_where_near


@dataclass(frozen=True, slots=True, kw_only=True)
class SkylineRow:
    """One typed row.

    Attributes
    ----------
    bearing, height : str
        As typed; the first may hold both, as a line of a file does, when the second is empty.
    is_magnetic : bool
        Whether the bearing counts from magnetic north.
    """

    bearing: str
    height: str
    is_magnetic: bool = False

    @property
    def line(self) -> str:
        """Both as one line; empty for an empty row."""
        bearing, height = self.bearing.strip(), self.height.strip()
        return f"{bearing}: {height}" if height else bearing


class SketchDesk(LightDesk):
    """Typing a skyline."""

    def sketch(self, spot: str, day: dt.date) -> Sketch:
        """Draw what is typed over what is worked out, with the sun of one day.

        Parameters
        ----------
        spot : str
            Which spot.
        day : date
            Whose sun is drawn.
        """
        known = self.spot(spot)
        light = self.light_on(spot, day)
        kept = self.worked_skyline(spot)
        view = view_of(known)
        return skyline_sketch(
            None if kept is None else above_level_where_near(kept.skyline).altitude_deg,
            [(one.azimuth_deg, one.altitude_deg) for one in known.sights],
            path=SunPath(
                label=f"{day.day} {day:%B}",
                utc=light.track_utc,
                azimuth_deg=light.track_azimuth_deg,
                altitude_deg=light.track_altitude_deg,
            ),
            frame_deg=(known.view_azimuth_deg, view.angle_of_view_deg or 0.0),
            zone_name=light.zone_name,
        )

    def worked_skyline(self, spot: str) -> StoredSkyline | None:
        """Skyline that was worked out for a spot's stand point; None when none was."""
        return skyline_rows.get(self.book, self.spot(spot).name, "stand point")

    def set_skyline_rows(self, spot: str, rows: Sequence[SkylineRow]) -> SkylineReport:
        """Put the rows of a table in place of the heights typed before; empty rows are dropped.

        Parameters
        ----------
        spot : str
            Which spot.
        rows : sequence of SkylineRow
            As typed: degrees or hand-spans, toward true or magnetic bearings.

        Raises
        ------
        BadInputError
            If a row is not read, with its number, or the heights make no skyline.
        """
        known = self.spot(spot)
        day = to_local(self.now_utc, self.wood_of(known).zone_name).date()
        sights = []
        for is_magnetic in (False, True):
            lines = [row.line if row.is_magnetic is is_magnetic else "" for row in rows]
            if not any(lines):
                continue
            bearings, heights = read_sight_lines(lines, finger_deg=self.settings.finger_deg)
            if is_magnetic:
                bearings = true_from_magnetic(bearings, position=known.position, day=day)
            sights += [
                Sight(azimuth_deg=float(bearing), altitude_deg=float(height))
                for bearing, height in zip(np.atleast_1d(bearings), heights, strict=True)
            ]
        return self.set_skyline(spot, sights)

    def confirm_mark(self, spot: str) -> Spot:
        """Note that somebody stood at a spot today and its transits held."""
        known = self.spot(spot)
        day = self.today(self.wood_of(known))
        return self.change_spot(known.name, mark=replace(known.mark, last_confirmed=day))
