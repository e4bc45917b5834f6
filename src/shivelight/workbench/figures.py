"""Figures of a spot's light as a page shows them: the roll of a day, the carpet of a year."""

import datetime as dt
import threading
from collections import OrderedDict
from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import BoolArray
from shivelight.basis.errors import require_range
from shivelight.basis.instants import clock
from shivelight.drawing.carpet import carpet_sentence, hours_drawn, season_carpet_svg
from shivelight.drawing.carpet_words import (
    carpet_readings,
    carpet_table,
    longest_min,
    spans_of,
)
from shivelight.drawing.figure import Figure
from shivelight.drawing.leaf_row import LeafYear
from shivelight.drawing.roll import SunPath, roll_sentence, skyline_roll_svg
from shivelight.drawing.roll_scale import scale_of
from shivelight.drawing.roll_words import roll_readings, roll_table
from shivelight.light.year import Carpet
from shivelight.outing.leafstage import stage_by_member
from shivelight.outing.overlap import TOGETHER_MIN
from shivelight.outing.spots import Spot
from shivelight.outing.wishes import LEAF_STAGES
from shivelight.outing.woods import Wood
from shivelight.wood.stands import find_stand
from shivelight.workbench.light import view_of
from shivelight.workbench.results import DarkSeason, LightDay
from shivelight.workbench.sketch import SketchDesk
from shivelight.workbench.wish_light import asks_of_the_day, wanted_days, wanted_sun

FIRST_YEAR, LAST_YEAR = 1900, 2049
"""Years that the ephemeris holds with a day to spare."""
MOST_YEARS = 4
"""Carpets remembered; one takes some 5 MB."""
_lock = threading.Lock()
_worked_out: "OrderedDict[tuple[object, ...], tuple[Carpet, DarkSeason]]" = OrderedDict()


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotYear:
    """A spot's year of light, with the spans in which its wishes can be met.

    Attributes
    ----------
    figure : Figure
        The season carpet.
    spans : tuple of (date, date)
        Days on which, in the hours drawn, the sun is as wanted for twenty minutes together, in
        season and leaf; every wish for mist, air, ground and sky left aside.
    asks_sun, asks_days : bool
        Whether a wish limits the sun, or the days.
    longest_min : int
        Longest stretch of such sun on any day, to the carpet's five minutes. [min]
    dark : DarkSeason
        Spans without direct light.
    sheds : bool
        Whether the stand sheds leaves, so that there is a row of them.
    """

    figure: Figure
    spans: tuple[tuple[dt.date, dt.date], ...]
    asks_sun: bool
    asks_days: bool
    longest_min: int
    dark: DarkSeason
    sheds: bool


class FigureDesk(SketchDesk):
    """Figures with their words and numbers."""

    def light_figure(self, spot: str, day: dt.date) -> Figure:
        """Draw the skyline roll of a spot for one day, beside the longest and shortest days.

        Parameters
        ----------
        spot : str
            Which spot.
        day : date
            Civil day on the wood's clock.
        """
        known = self.spot(spot)
        answer = self.light_on(spot, day)
        others = (dt.date(day.year, 6, 21), dt.date(day.year, 12, 21))
        days = [answer, *(self.light_on(spot, one) for one in others if one != day)]
        paths = tuple(_path(one, chosen=one is answer) for one in days)
        view = view_of(known)
        skyline = answer.skyline.altitude_deg
        page, phone = (
            skyline_roll_svg(
                skyline,
                paths=paths,
                windows=answer.at_subject,
                view_azimuth_deg=known.view_azimuth_deg,
                angle_of_view_deg=view.angle_of_view_deg,
                zone_name=answer.zone_name,
                style=style,
            )
            for style in ("page", "narrow")
        )
        frame = (known.view_azimuth_deg, view.angle_of_view_deg or 0.0)
        wide, narrow = (
            scale_of(skyline, paths, narrow=one, frame_deg=frame) for one in (False, True)
        )
        headers, rows = roll_table(skyline, paths, zone_name=answer.zone_name)
        # The readings begin at the left edge of the wide roll; a tap on the narrow one, which
        # begins elsewhere, finds its reading by where that edge would lie.
        back = float(wide.turn_deg(narrow.start_deg)) if narrow.span_deg < 360.0 else 0.0
        left, right = narrow.x_of(-back), narrow.width_px - narrow.x_of(360.0 - back)
        return Figure(
            page=page,
            phone=phone,
            sentence=roll_sentence(
                answer.at_subject, known.view_azimuth_deg, zone_name=answer.zone_name
            ),
            readings=roll_readings(
                skyline, paths[0], start_deg=wide.start_deg, zone_name=answer.zone_name
            ),
            headers=headers,
            rows=rows,
            page_left_px=wide.room_px[0],
            page_right_px=wide.room_px[1],
            phone_left_px=left,
            phone_right_px=right,
            back="a degree left",
            on="a degree right",
        )

    def carpet_figure(self, spot: str, year: int, *, chosen: dt.date | None = None) -> Figure:
        """Draw the season carpet of a spot; see :meth:`spot_year`."""
        return self.spot_year(spot, year, chosen=chosen).figure

    def spot_year(self, spot: str, year: int, *, chosen: dt.date | None = None) -> SpotYear:
        """Work out a spot's year: its carpet, its dark season, and when its wishes can be met.

        Parameters
        ----------
        spot : str
            Which spot.
        year : int
            Civil year.
        chosen : date, optional
            Marked on the carpet where it lies in that year.
        """
        require_range("year", year, FIRST_YEAR, LAST_YEAR)
        known = self.spot(spot)
        wood = self.wood_of(known)
        carpet, dark = self._year_once(known, wood, year)
        stand = find_stand(wood.stand)
        leaf = _leaf_year(carpet, wood)
        met = _in_drawn_hours(carpet, wanted_sun(carpet, known.wishes, leaf=leaf.stages))
        longest = longest_min(carpet, met) if met is not None else ()
        days = (
            wanted_days(carpet, known.wishes, leaf=leaf.stages)
            if met is None
            else np.array(longest) >= TOGETHER_MIN
        )
        dates = carpet.days.astype("datetime64[D]").tolist()
        sheds = not stand.evergreen and stand.leaf_area_index > 0.0
        stages = leaf.stages if sheds else ()
        headers, rows = carpet_table(carpet, zone_name=wood.zone_name, met=met, leaf=stages)
        page, phone = (
            season_carpet_svg(
                carpet,
                title=f"{known.name}, {year}",
                zone_name=wood.zone_name,
                style=style,
                met=met,
                chosen=chosen if chosen is not None and chosen.year == year else None,
                leaf=leaf if sheds else None,
            )
            for style in ("page", "narrow")
        )
        return SpotYear(
            figure=Figure(
                page=page,
                phone=phone,
                sentence=carpet_sentence(carpet, zone_name=wood.zone_name, met=met),
                readings=carpet_readings(carpet, zone_name=wood.zone_name, met=met, leaf=stages),
                headers=headers,
                rows=rows,
                page_left_px=58.0,
                page_right_px=8.0,
                phone_left_px=46.0,
                phone_right_px=4.0,
            ),
            spans=tuple((dates[first], dates[last]) for first, last in spans_of(days)),
            asks_sun=met is not None,
            asks_days=asks_of_the_day(known.wishes),
            longest_min=max(longest, default=0),
            dark=dark,
            sheds=sheds,
        )

    def _year_once(self, spot: Spot, wood: Wood, year: int) -> tuple[Carpet, DarkSeason]:
        """Work the year out, or take it as it was worked out from the same values before."""
        skyline = self.skyline_of(spot, seen_from="subject")
        crowns = self.crowns_of(spot)
        made = None if crowns is None else str(crowns.made_utc)
        key = (str(self.book.path), spot, wood, skyline.altitude_deg.tobytes(), made, year)
        with _lock:
            made_before = _worked_out.get(key)
        if made_before is not None:
            return made_before
        carpet = self.season_carpet(spot.name, year)
        worked_out = carpet, self._dark_of(spot, carpet, year)
        with _lock:
            _worked_out[key] = worked_out
            while len(_worked_out) > MOST_YEARS:
                _worked_out.popitem(last=False)
        return worked_out

    def _dark_of(self, spot: Spot, carpet: Carpet, year: int) -> DarkSeason:
        """Dark season beside a carpet, which without crowns knows already whether there is one."""
        if carpet.beam_frac is None and not np.isnat(carpet.first_sun_utc).any():
            return DarkSeason(spot=spot.name, year=year, spans=(), always=False)
        return self.dark_season(spot.name, year)


def _path(light: LightDay, *, chosen: bool) -> SunPath:
    label = f"{light.day.day} {light.day:%B}"
    first = light.at_subject[0] if light.at_subject else None
    if not chosen:
        said = f"clears {clock(first.start_utc, light.zone_name)}" if first else "no sun here"
        label = f"{light.day.day} {light.day:%b}, {said}"
    return SunPath(
        label=label,
        utc=light.track_utc,
        azimuth_deg=light.track_azimuth_deg,
        altitude_deg=light.track_altitude_deg,
    )


def _in_drawn_hours(carpet: Carpet, met: BoolArray | None) -> BoolArray | None:
    """Keep of the wanted sun what the carpet shows, so that words and picture agree."""
    if met is None:
        return None
    first, after = hours_drawn(carpet, met)
    drawn = (carpet.clock_min >= first) & (carpet.clock_min < after)
    return np.asarray(met & drawn[None, :], dtype=np.bool_)


def _leaf_year(carpet: Carpet, wood: Wood) -> LeafYear:
    """Usual stage of each day, and whether early and late years have the same."""
    stand = find_stand(wood.stand)
    wander = np.array([0.0, -1.0, 1.0])
    by_day = [
        stage_by_member(stand, day, latitude_deg=wood.parking.latitude_deg, wander=wander)
        for day in carpet.days.astype("datetime64[D]").tolist()
    ]
    return LeafYear(
        stages=tuple(LEAF_STAGES[int(one[0])] for one in by_day),
        is_sure=tuple(bool((one == one[0]).all()) for one in by_day),
    )
