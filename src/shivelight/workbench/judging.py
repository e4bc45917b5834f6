"""One evening's judging: what is worked out once, and then each morning from it.

Data flow: each wood's forecast is read and spread once, each spot's skyline, position and walk
are fetched once; for each morning the mist model, the wood's habit and record give conditions by
member, each spot's sun gives its light, and ``outing.judge`` and ``outing.choice`` do the
thinking. Nothing is written here.
"""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from shivelight.air.forecast import Ensemble
from shivelight.air.spread import spread_members
from shivelight.basis.arrays import IntArray
from shivelight.basis.errors import BadInputError, MissingDataError
from shivelight.basis.instants import day_bounds
from shivelight.basis.places import Position
from shivelight.land.skyline import Skyline
from shivelight.light.reach import View, direct_light_windows, sun_track
from shivelight.outing.cautions import CautionFacts, cautions
from shivelight.outing.choice import (
    STAY_IN_BED,
    WALKING_DISTANCE_MIN,
    answer_of,
    plan_b_of,
    plan_c_of,
    ranked,
)
from shivelight.outing.conditions import STEP_MIN, Conditions, usual_peak
from shivelight.outing.found import Found
from shivelight.outing.judge import Habits, Judged, SpotMorning, WoodMorning, judge_spot
from shivelight.outing.judgement import ForecastNote, MistOutlook, Morning, Visit
from shivelight.outing.kept import StoredCrowns
from shivelight.outing.leafstage import stage_as_noted, stage_by_member
from shivelight.outing.learn import SiteShift, learn_site
from shivelight.outing.members import Rules, WoodAir, conditions_of, with_leaf
from shivelight.outing.mistday import (
    MistDay,
    NightChances,
    SunTimes,
    mist_day,
    night_chances,
)
from shivelight.outing.plan import Walk, visiting_order
from shivelight.outing.record import record_of
from shivelight.outing.spots import Spot
from shivelight.outing.woods import Wood
from shivelight.sky.sun import sun_altitude_azimuth
from shivelight.sky.twilight import CIVIL_DEG
from shivelight.store import found as found_rows
from shivelight.store import woods as wood_rows
from shivelight.wood.stands import find_stand, wind_share_frac
from shivelight.workbench.crowns import canopy_over
from shivelight.workbench.forecast import ForecastDesk
from shivelight.workbench.given import fair_pairs
from shivelight.workbench.light import view_of
from shivelight.workbench.morning import (
    DaySun,
    MorningSpan,
    almanac_of,
    clock_note,
    ends_of_night,
    on_five_minutes,
)
from shivelight.workbench.skyline import at_subject
from shivelight.workbench.ways import shortest_ways, walk_between_min, walk_to_min

BEFORE_SUNRISE_MIN, AFTER_SUNRISE_MIN = 90.0, 300.0
"""The morning that is judged, around sunrise. [min]"""
LONG_ENOUGH_MIN = 180.0
"""A forecast that reaches so far past sunrise is not called short. A house rule. [min]"""
SIGN_QUANTITIES = ("temperature_degc", "dew_point_degc", "wind_speed_mps", "cloud_cover_frac")
HALF_MINUTE = np.timedelta64(30, "s")
HALF_STEP = np.timedelta64(round(STEP_MIN * 30.0), "s")
MOST_STOPS = 12
"""Spots of one wood that the walk is searched over; more cannot be visited in a morning."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WoodFacts:
    """A wood's forecast, spread, with its note and its record."""

    wood: Wood
    members: Ensemble
    note: ForecastNote
    pairs: list[tuple[float, Found]]
    shift: SiteShift
    logs: tuple[Found, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SpotFacts:
    """What does not change from one morning to the next."""

    spot: Spot
    wood: str
    skyline: Skyline
    position: Position
    view: View
    crowns: StoredCrowns | None
    ground_height_m: float
    walk_min: float


class Judging:
    """One evening over a field book.

    Parameters
    ----------
    desk : ForecastDesk
        The open book.
    spots : sequence of Spot
        What to judge.
    first : date
        The first morning; logs from then on are not used.
    """

    def __init__(self, desk: ForecastDesk, spots: Sequence[Spot], first: dt.date) -> None:
        self.desk = desk
        self.rules = Rules()
        self.habits = Habits(set_up_min=desk.settings.set_up_min, wake_min=desk.settings.wake_min)
        woods = {wood.name: wood for wood in wood_rows.every(desk.book)}
        named = dict.fromkeys(spot.wood for spot in spots)
        self.left_out: list[tuple[str, str]] = []
        self.woods = self._wood_facts([woods[name] for name in named], first)
        judged = {facts.wood.name for facts in self.woods}
        self.spots = [
            self._spot_facts(spot, woods[spot.wood]) for spot in spots if spot.wood in judged
        ]
        self._nights: dict[tuple[int, str, float], NightChances] = {}
        self._suns: dict[tuple[str, dt.date], DaySun] = {}

    def morning(self, day: dt.date) -> Morning:
        """Judge one morning.

        A wood whose forecast does not reach it is left out, with the reason.

        Raises
        ------
        MissingDataError
            If no forecast reaches it.
        """
        judged: list[Judged] = []
        woods: dict[str, WoodMorning] = {}
        left_out = list(self.left_out)
        for facts in self.woods:
            span = self.span(day, facts.wood, told_until_utc=facts.members.utc[-1])
            try:
                there = self._wood_morning(facts, span)
            except MissingDataError as why:
                left_out.append((facts.wood.name, str(why)))
                continue
            woods[facts.wood.name] = there
            judged += [
                self._judged(spot, there, span)
                for spot in self.spots
                if spot.wood == facts.wood.name
            ]
        if not woods:
            raise MissingDataError(left_out[-1][1])
        order = ranked(judged)
        first = order[0]
        air = woods[first.outlook.wood]
        zone_name = air.wood.zone_name
        answer, go = answer_of(order, air.conditions, zone_name=zone_name)
        walks = {
            one.outlook.spot: walk_between_min(first.spot.position, one.spot.position)
            for one in order[1:]
        }
        plan_b = plan_b_of(order, walks, within_min=WALKING_DISTANCE_MIN) if go else None
        return Morning(
            day=day,
            zone_name=zone_name,
            made_utc=self.desk.now_utc,
            answer=answer,
            go=go,
            spots=tuple(one.outlook for one in order),
            visits=self._visits(first, order, air),
            plan_b=plan_b,
            plan_c=plan_c_of(order, plan_b, zone_name=zone_name) if go else STAY_IN_BED,
            cautions=cautions(caution_facts(first, air, day)),
            almanac=air.almanac,
            forecasts=tuple((name, one.forecast) for name, one in woods.items()),
            clock_note=clock_note(day, zone_name),
            left_out=tuple(left_out),
        )

    def span(self, day: dt.date, wood: Wood, *, told_until_utc: np.datetime64) -> MorningSpan:
        """Sunrise and the instants of a morning; without a sunrise, about eight o'clock.

        What comes after the last hour that the forecast tells is not judged.
        """
        start, _ = day_bounds(day, wood.zone_name)
        today, before = self._sun(wood, day), self._sun(wood, day - dt.timedelta(days=1))
        sunrise = today.sunrise if today.sunrise is not None else start + np.timedelta64(8, "h")
        sunset = before.sunset if before.sunset is not None else sunrise - np.timedelta64(16, "h")
        usual_end = on_five_minutes(sunrise, AFTER_SUNRISE_MIN)
        end = min(usual_end, max(on_five_minutes(told_until_utc, 0.0), sunrise))
        return MorningSpan(
            day=day,
            sun=SunTimes(
                sunrise_utc=sunrise,
                sunset_utc=sunset,
                latitude_deg=wood.parking.latitude_deg,
                days_ahead=max((day - self.desk.today(wood)).days, 1),
            ),
            almanac=almanac_of(today.civil_dawn, today.sunrise, wood.parking),
            start_utc=on_five_minutes(sunrise, -BEFORE_SUNRISE_MIN),
            end_utc=end,
            is_cut_short=bool(end < on_five_minutes(sunrise, LONG_ENOUGH_MIN)),
        )

    def evening_signs(self) -> dict[str, dict[str, float]]:
        """Numbers of this evening by wood: spread, wind and cloud now, where they are known."""
        signs: dict[str, dict[str, float]] = {}
        for facts in self.woods:
            mean = facts.members.mean()
            now = np.array([self.desk.now_utc])
            values = {name: float(mean.at(now, name)[0, 0]) for name in SIGN_QUANTITIES}
            values["spread_k"] = values.pop("temperature_degc") - values.pop("dew_point_degc")
            signs[facts.wood.name] = {
                name: round(value, 2) for name, value in values.items() if np.isfinite(value)
            }
        return signs

    # --- once an evening --------------------------------------------------------------------

    def _wood_facts(self, woods: Sequence[Wood], first: dt.date) -> list[WoodFacts]:
        """Read each wood's last forecast; woods with the same forecast share one spread."""
        made, spread = [], dict[str, Ensemble]()
        for wood in woods:
            try:
                forecast, note, fingerprint = self.desk.forecast_for(wood)
            except (MissingDataError, BadInputError) as why:
                self.left_out.append((wood.name, str(why)))
                continue
            if fingerprint not in spread:
                spread[fingerprint] = spread_members(
                    forecast, members=self.desk.settings.members, seed=first.toordinal()
                )
            pairs = fair_pairs(self.desk.book, wood.name, of="forecast", before=first)
            made.append(
                WoodFacts(
                    wood=wood, members=spread[fingerprint], note=note, pairs=pairs,
                    shift=shift_from(pairs), logs=found_rows.of_wood(self.desk.book, wood.name),
                )
            )  # fmt: skip
        if not made:
            raise MissingDataError(self.left_out[0][1])
        return made

    def _spot_facts(self, spot: Spot, wood: Wood) -> SpotFacts:
        return SpotFacts(
            spot=spot,
            wood=wood.name,
            skyline=self.desk.skyline_of(spot, seen_from="subject"),
            position=at_subject(spot),
            view=view_of(spot),
            crowns=self.desk.crowns_of(spot),
            ground_height_m=self.desk.ground_height_m(spot, wood),
            walk_min=walk_to_min(spot, wood),
        )

    def _sun(self, wood: Wood, day: dt.date) -> DaySun:
        key = (wood.name, day)
        if key not in self._suns:
            start, end = day_bounds(day, wood.zone_name)
            self._suns[key] = ends_of_night(start, end, wood.parking)
        return self._suns[key]

    def _chances(self, facts: WoodFacts, span: MorningSpan) -> NightChances:
        """Ask the mist model once for woods with one forecast and the same minute of sunrise."""
        minute = (span.sun.sunrise_utc + HALF_MINUTE).astype("datetime64[m]")
        latitude_deg = round(span.sun.latitude_deg, 1)
        key = (id(facts.members), str(minute), latitude_deg)
        if key not in self._nights:
            sun = replace(
                span.sun, sunrise_utc=minute.astype("datetime64[us]"), latitude_deg=latitude_deg
            )
            self._nights[key] = night_chances(facts.members, sun)
        return self._nights[key]

    # --- each morning -----------------------------------------------------------------------

    def _wood_morning(self, facts: WoodFacts, span: MorningSpan) -> WoodMorning:
        """Conditions, mist and record of one wood on one morning."""
        wood, members, rules = facts.wood, facts.members, self.rules
        mist = mist_day(
            self._chances(facts, span),
            span.sun,
            habit=wood.habit,
            shift=facts.shift,
            model=rules.habit,
        )
        share = wind_share_frac(
            find_stand(wood.stand),
            day_of_year=float(span.day.timetuple().tm_yday),
            latitude_deg=span.sun.latitude_deg,
        )
        height_m = members.ground_height_m
        air = WoodAir(
            ground_height_m=wood.ground_height_m,
            forecast_height_m=wood.ground_height_m if height_m is None else height_m,
            habit=wood.habit,
            wind_share_frac=float(share),
        )
        conditions = conditions_of(
            members, mist.draw, air, utc=span.utc, sunrise_utc=span.sun.sunrise_utc, rules=rules
        )
        noted = noted_leaf(facts.logs, span.day, members=conditions.fog_top_wander.size)
        leaf = noted if noted is not None else usual_leaf(wood, span, conditions)
        return WoodMorning(
            wood=wood,
            conditions=with_leaf(conditions, leaf),
            mist=mist_outlook(mist),
            record=record_of(facts.pairs, forecast_frac=mist.forecast_frac),
            forecast=facts.note,
            almanac=span.almanac,
            what_if=mist.what_if,
            leaf_noted=noted is not None,
            told_until_utc=span.end_utc if span.is_cut_short else None,
        )

    def _judged(self, facts: SpotFacts, wood: WoodMorning, span: MorningSpan) -> Judged:
        """Judge one spot."""
        canopy = canopy_over(facts.spot, wood.wood, span.start_utc, kept=facts.crowns)
        windows = direct_light_windows(
            facts.skyline, position=facts.position, start_utc=span.start_utc,
            end_utc=span.end_utc, view=facts.view, canopy=canopy, unknown_as_level=True,
        )  # fmt: skip
        skyline_deg = None
        if windows and windows[0].starts_at_skyline:
            skyline_deg = float(np.nan_to_num(facts.skyline.at(windows[0].start_azimuth_deg)))
        return judge_spot(
            wood,
            SpotMorning(
                spot=facts.spot,
                ground_height_m=facts.ground_height_m,
                sun=sun_track(
                    facts.skyline, position=facts.position, utc=wood.conditions.utc,
                    view=facts.view, canopy=canopy, unknown_as_level=True,
                ),
                light=windows,
                skyline_deg=skyline_deg,
                walk_min=facts.walk_min,
            ),
            day=span.day,
            habits=self.habits,
            model=self.rules.habit,
        )  # fmt: skip

    def _visits(
        self, first: Judged, order: Sequence[Judged], air: WoodMorning
    ) -> tuple[Visit, ...]:
        """Search the walk through the first spot's wood that meets most minutes of wishes."""
        inside = [
            one
            for one in order
            if one.outlook.wood == first.outlook.wood and one.overlap.chance_frac > 0.0
        ][:MOST_STOPS]
        if not inside:
            return ()
        places = [air.wood.parking, *(one.spot.position for one in inside)]
        ways_s = np.array([[walk_between_min(a, b) * 60.0 for b in places] for a in places])
        for index, one in enumerate(inside, start=1):
            ways_s[0, index] = ways_s[index, 0] = one.outlook.walk_min * 60.0
        plan = visiting_order(
            Walk(
                spots=tuple(one.outlook.spot for one in inside),
                start_utc=air.conditions.utc[0] - HALF_STEP,  # shares hold about their instants
                worth=np.stack([one.overlap.by_step_frac for one in inside]),
                walk_s=shortest_ways(ways_s),
                earliest_start_utc=air.conditions.utc[0] - HALF_STEP,
                set_up_s=self.habits.set_up_min * 60.0,
                slot_s=STEP_MIN * 60.0,
            )
        )
        return tuple(
            Visit(
                spot=stop.spot, arrive_utc=stop.arrive_utc, leave_utc=stop.leave_utc,
                walk_min=stop.walk_s / 60.0, worth=stop.worth_min,
            )
            for stop in plan.stops
        )  # fmt: skip


def shift_from(pairs: Sequence[tuple[float, Found]]) -> SiteShift:
    """Learn a wood's shift from what was said and found."""
    return learn_site(
        np.array([chance for chance, _ in pairs], dtype=np.float64),
        np.array([log.was_misty for _, log in pairs], dtype=np.bool_),
        weight=np.array([log.why_looked != "mist seen" for _, log in pairs], dtype=np.float64),
    )


def noted_leaf(logs: Sequence[Found], day: dt.date, *, members: int) -> IntArray | None:
    """Leaf stage as last noted in a wood, where that is fresh."""
    noted = [log for log in logs if log.leaf and log.day < day]
    if not noted:
        return None
    last = max(noted, key=lambda log: log.day)
    return stage_as_noted(last.leaf, last.day, day, members=members)


def usual_leaf(wood: Wood, span: MorningSpan, conditions: Conditions) -> IntArray:
    """Leaf stage that the stand type usually has on a day, early or late by member."""
    return stage_by_member(
        find_stand(wood.stand),
        span.day,
        latitude_deg=span.sun.latitude_deg,
        wander=conditions.fog_top_wander[::-1],
    )


def caution_facts(first: Judged, air: WoodMorning, day: dt.date) -> CautionFacts:
    """Collect what the cautions of the first spot's outing look at."""
    wood, conditions = air.wood, air.conditions
    dawn, leaves = air.almanac.civil_dawn_utc, first.outlook.set_out_utc
    floor = conditions.floor_temperature_degc
    return CautionFacts(
        day=day,
        gust_mps=usual_peak(conditions.gust_mps),
        mean_wind_mps=usual_peak(conditions.wind_speed_mps),
        outside_twilight=_is_dark(air, leaves)
        if dawn is None
        else leaves is None or bool(leaves < dawn),
        lowest_degc=float(np.nanquantile(floor, 0.1)) if np.isfinite(floor).any() else None,
        stands=(wood.stand,),
        hazards=(*wood.hazards, *first.spot.hazards),
        access=tuple(fact.what for fact in wood.access if fact.holds_on(day)),
        sun_in_frame=any(one.sun_in_frame for one in first.outlook.light),
        southern=wood.parking.latitude_deg < 0.0,
    )


def _is_dark(air: WoodMorning, leaves: np.datetime64 | None) -> bool:
    """Whether it is dark when one sets out on a day that has no civil dawn of its own."""
    when = air.conditions.utc[0] if leaves is None else leaves
    place = air.wood.parking
    altitude_deg, _ = sun_altitude_azimuth(
        np.array([when]), latitude_deg=place.latitude_deg, longitude_deg=place.longitude_deg
    )
    return bool(altitude_deg[0] < CIVIL_DEG)


def mist_outlook(mist: MistDay) -> MistOutlook:
    """Put a wood's mist into the form that is shown; the spots fill in their own ranges."""
    nothing = np.empty(0)
    return MistOutlook(
        quarter_utc=np.empty(0, dtype="datetime64[us]"),
        mist_frac=nothing,
        fog_frac=nothing,
        range_low_m=nothing,
        range_mid_m=nothing,
        range_high_m=nothing,
        morning_mist_frac=mist.said_frac,
        forecast_frac=mist.forecast_frac,
        base_frac=mist.base_frac,
        lifting=mist.lifting_utc,
        hill_fog_frac=0.0,
        moved_by=mist.moved_by,
        missing=mist.missing,
        cost=mist.cost,
        seen=mist.seen,
    )
