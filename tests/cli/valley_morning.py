"""A morning in the invented valley as plain values, to be put into words (DEMO 6.4)."""

import datetime as dt
from dataclasses import replace

import numpy as np

from shivelight.basis.chances import Count
from shivelight.light.reach import LightWindow
from shivelight.outing.judgement import (
    Almanac,
    ForecastNote,
    MistOutlook,
    Morning,
    OtherPlan,
    Signs,
    SpotOutlook,
    Stretch,
    Visit,
)

DAY = dt.date(2027, 11, 3)
ZONE = "Europe/London"


def at(text: str) -> np.datetime64:
    """Instant of a GMT clock time on the demo morning."""
    return np.datetime64(f"2027-11-03T{text}", "us")


QUARTERS = np.arange(at("06:30"), at("09:30"), np.timedelta64(15, "m"))


def mist(chance_frac: float) -> MistOutlook:
    flat = np.full(QUARTERS.size, chance_frac)
    return MistOutlook(
        quarter_utc=QUARTERS,
        mist_frac=flat,
        fog_frac=flat * 0.7,
        range_low_m=flat * 100,
        range_mid_m=flat * 300,
        range_high_m=flat * 3000,
        morning_mist_frac=chance_frac,
        forecast_frac=chance_frac,
        base_frac=0.12,
        lifting=(at("07:50"), at("08:20"), at("09:10")),
        hill_fog_frac=0.02,
    )


def light(start: str, end: str) -> LightWindow:
    return LightWindow(
        start_utc=at(start),
        end_utc=at(end),
        start_azimuth_deg=118.0,
        end_azimuth_deg=150.0,
        start_altitude_deg=2.0,
        end_altitude_deg=15.0,
        facing="back",
        sun_in_frame=True,
    )


def outlook(
    name: str, wood: str, chance_frac: float, window: tuple[str, str] | None
) -> SpotOutlook:
    best = None if window is None else Stretch(start_utc=at(window[0]), end_utc=at(window[1]))
    return SpotOutlook(
        spot=name,
        wood=wood,
        chance_frac=chance_frac,
        quarter_utc=QUARTERS,
        chance_by_quarter_frac=np.full(QUARTERS.size, chance_frac),
        best=best,
        best_low=None if window is None else at("07:39"),
        best_high=None if window is None else at("08:12"),
        minutes=0.0 if best is None else best.minutes,
        would_like_met=0.5,
        wishes=(),
        light=(light("07:38", "11:20"),),
        clears_utc=at("07:38"),
        leaf_air=("still",) * QUARTERS.size,
        mist=mist(0.4),
        signs=Signs(
            for_it=(
                "mist 120 to 260 m: about 5 in 10; your own log has mist on 4 of 9 mornings like "
                "this",
                "the wind is light enough",
            ),
            against_it=("cloud keeps the ground warm until 01:00",),
            not_known=("whether a cloud bank stands low on the horizon at that minute",),
            would_change=("if the wind stays at 3 m/s: mist falls to about 2 in 10",),
        ),
        rests_on="50 members spread from the values typed at 21:40",
        record=Count(found=4, mornings=9),
        alarm_utc=at("05:20"),
        set_out_utc=at("05:55"),
        park_utc=at("06:35"),
        in_place_utc=at("06:55"),
        walk_min=14.0,
        if_not="bracken against the light, without mist",
    )


def morning() -> Morning:
    """Make the demo morning: two woods, four spots, one of them hopeless."""
    return Morning(
        day=DAY,
        zone_name=ZONE,
        made_utc=np.datetime64("2027-11-02T21:40", "us"),
        answer=(
            "White Post Gap, Pinnet Heath: about 4 in 10 that its wishes come together for twenty "
            "minutes or more, best 07:43–08:00."
        ),
        go=True,
        spots=(
            outlook("White Post Gap", "Pinnet Heath", 0.41, ("07:43", "08:00")),
            outlook("Plumb and Lean", "Sallowden Hanger", 0.33, ("07:10", "07:45")),
            outlook("Two Waters", "Ottermire Carr", 0.24, ("07:20", "08:05")),
            outlook("Rope and Fern", "Threll Clough", 0.0, None),
        ),
        visits=(
            Visit(spot="White Post Gap", arrive_utc=at("06:55"), leave_utc=at("08:05"),
                  walk_min=14.0, worth=7.0),
            Visit(spot="Heath Edge", arrive_utc=at("08:15"), leave_utc=at("08:45"),
                  walk_min=9.0, worth=2.0),
        ),
        plan_b=OtherPlan(spot="Heath Edge", wood="Pinnet Heath", walk_min=9.0,
                         words="bare birches under a grey sky"),
        plan_c=None,
        cautions=("It is dark until 06:45: a torch and a spare.", "Check local rules."),
        almanac=Almanac(civil_dawn_utc=at("06:45"), sunrise_utc=at("07:21"),
                        sunrise_azimuth_deg=114.0, moon_lit_frac=0.2, moon_up_at_dawn=False),
        forecasts=(
            ("Pinnet Heath", ForecastNote(source="typed at the window", issued_utc=None,
                                          age_h=0.0, members=50, distance_km=None,
                                          missing=("pressure",))),
            ("Sallowden Hanger", ForecastNote(source="typed at the window", issued_utc=None,
                                              age_h=0.0, members=50, distance_km=None,
                                              missing=("pressure",))),
        ),
        clock_note="clocks went back on Sunday",
    )  # fmt: skip


def week() -> tuple[Morning, ...]:
    """Make the demo morning and two more, the last with nothing to go for."""
    first = morning()
    day = np.timedelta64(1, "D")
    second = replace(first, day=dt.date(2027, 11, 4), made_utc=first.made_utc + day)
    third = replace(
        first, day=dt.date(2027, 11, 5), answer="Stay in bed: no spot's wishes come together.",
        go=False, spots=(first.spots[3],),
    )  # fmt: skip
    return first, second, third
