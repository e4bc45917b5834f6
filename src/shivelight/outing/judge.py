"""The outlook of one spot for one morning, with its reasons and its times.

Data flow: the wood's conditions, mist and record and the spot's sun come in as values; the
overlap is worked out; out goes a :class:`SpotOutlook` with signs and times worked backward.
``choice`` ranks them and finds what else. Nothing here reads a clock or a file.
"""

import datetime as dt
from dataclasses import dataclass, replace

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.basis.instants import clock
from shivelight.light.reach import LightWindow, SunTrack
from shivelight.outing.conditions import STEP_MIN, Conditions
from shivelight.outing.found import AIR_WORDS
from shivelight.outing.habit import HabitModel
from shivelight.outing.judgement import (
    Almanac,
    ForecastNote,
    MistOutlook,
    SpotOutlook,
    WishOutlook,
)
from shivelight.outing.overlap import Overlap, Place, overlap_at, steps_for
from shivelight.outing.record import WoodRecord
from shivelight.outing.signs import Reasons, WhatIf, signs_of
from shivelight.outing.spots import Spot
from shivelight.outing.times import Times, backward_times, dark_share, slack_for
from shivelight.outing.wishes import LEAF_STAGES, WishKind
from shivelight.outing.woods import Wood

QUARTER_STEPS = round(15.0 / STEP_MIN)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WoodMorning:
    """All that the judgement knows of one wood on one morning.

    ``told_until_utc`` is when the forecast ends, where that is within the morning.
    """

    wood: Wood
    conditions: Conditions
    mist: MistOutlook
    record: WoodRecord
    forecast: ForecastNote
    almanac: Almanac
    what_if: tuple[WhatIf, ...] = ()
    leaf_noted: bool = False
    told_until_utc: np.datetime64 | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SpotMorning:
    """One spot's sun on one morning, and how it is reached."""

    spot: Spot
    ground_height_m: float
    sun: SunTrack
    light: tuple[LightWindow, ...]
    skyline_deg: float | None
    walk_min: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Habits:
    """The photographer's own times: set-up, and from waking to setting out [min]."""

    set_up_min: float = 10.0
    wake_min: float = 35.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Judged:
    """A spot's outlook with the tables that plan B needs."""

    outlook: SpotOutlook
    overlap: Overlap
    spot: Spot


def judge_spot(
    wood: WoodMorning, spot: SpotMorning, *, day: dt.date, habits: Habits, model: HabitModel
) -> Judged:
    """Judge one spot on one morning.

    Parameters
    ----------
    wood : WoodMorning
        Its wood's air, record and forecast.
    spot : SpotMorning
        Its sun and walk.
    day : date
        For season wishes and access facts.
    habits : Habits
        For the times worked backward.
    model : HabitModel
        How valley fog reaches a height.
    """
    place = Place(
        ground_height_m=spot.ground_height_m, habit=wood.wood.habit, wishes=spot.spot.wishes
    )
    overlap = overlap_at(wood.conditions, spot.sun, place, model=model)
    out_of_season = [wish for wish in spot.spot.wishes if not wish.in_season(day)]
    if any(wish.must for wish in out_of_season):
        overlap = _never(overlap)
    wishes = tuple(
        WishOutlook(
            words=wish.words, must=wish.must, chance_frac=0.0 if wish in out_of_season else chance
        )
        for wish, chance in zip(spot.spot.wishes, overlap.by_wish_frac, strict=True)
    )
    clears = next((one.start_utc for one in spot.light if one.starts_at_skyline), None)
    mist = mist_at_spot(wood.mist, overlap.optical_range_m, wood.conditions)
    reasons = Reasons(
        zone_name=wood.wood.zone_name, wishes=spot.spot.wishes, outlooks=wishes, light=spot.light,
        clears_utc=clears, skyline_deg=spot.skyline_deg, mist=mist, record=wood.record,
        forecast=wood.forecast, what_if=wood.what_if, notes=_spot_notes(wood, spot),
        closed=_closed(wood.wood, day),
    )  # fmt: skip
    times, road_known = _times(wood, spot, overlap, habits), wood.wood.road_min is not None
    return Judged(
        outlook=SpotOutlook(
            spot=spot.spot.name,
            wood=wood.wood.name,
            chance_frac=overlap.chance_frac,
            quarter_utc=wood.conditions.utc[::QUARTER_STEPS],
            chance_by_quarter_frac=by_quarter(overlap.by_step_frac),
            best=overlap.best,
            best_low=overlap.best_low,
            best_high=overlap.best_high,
            minutes=overlap.minutes,
            would_like_met=overlap.would_like_met,
            wishes=wishes,
            light=spot.light,
            clears_utc=clears,
            leaf_air=leaf_air_by_quarter(wood.conditions),
            mist=mist,
            signs=signs_of(reasons),
            rests_on=rests_on(wood),
            record=wood.record.like_this if wood.record.fair_mornings else None,
            alarm_utc=times.alarm_utc if times and road_known else None,
            set_out_utc=times.set_out_utc if times and road_known else None,
            park_utc=times.park_utc if times else None,
            in_place_utc=times.in_place_utc if times else None,
            walk_min=spot.walk_min,
            if_not=spot.spot.if_not,
            leaf=LEAF_STAGES[int(np.bincount(wood.conditions.leaf_stage).argmax())],
            ground=usual_ground(wood),
        ),
        overlap=overlap,
        spot=spot.spot,
    )


def mist_at_spot(mist: MistOutlook, range_m: FloatArray, conditions: Conditions) -> MistOutlook:
    """Mist as one spot has it: above the valley fog or inside the cloud it differs."""
    from shivelight.outing.runs import longest_run  # noqa: PLC0415  loads the compiler

    enough = steps_for(15.0)
    now = range_m[:, ::QUARTER_STEPS]
    low, mid, high = np.quantile(now, [0.1, 0.5, 0.9], axis=0)
    return replace(
        mist,
        quarter_utc=conditions.utc[::QUARTER_STEPS],
        mist_frac=by_quarter((range_m < 5000.0).mean(axis=0)),
        fog_frac=by_quarter((range_m < 1000.0).mean(axis=0)),
        range_low_m=low,
        range_mid_m=mid,
        range_high_m=high,
        hill_fog_frac=float((longest_run(conditions.hill_fog) >= enough).mean()),
    )


def by_quarter(by_step: FloatArray) -> FloatArray:
    """Mean over the instants of each quarter hour, shape (Q,); the last may be short."""
    starts = np.arange(0, by_step.size, QUARTER_STEPS)
    sizes = np.diff(np.append(starts, by_step.size))
    return np.asarray(np.add.reduceat(by_step, starts) / sizes, dtype=np.float64)


def leaf_air_by_quarter(conditions: Conditions) -> tuple[str, ...]:
    """Air at leaf height that most members have in each quarter hour."""
    words = []
    for state in conditions.air_state[:, ::QUARTER_STEPS].T:
        known = state[state >= 0]
        words.append(AIR_WORDS[int(np.bincount(known).argmax())] if known.size else "not known")
    return tuple(words)


def usual_ground(wood: WoodMorning) -> str:
    """State of the wood's floor at sunrise that most members have."""
    air, sunrise = wood.conditions, wood.almanac.sunrise_utc
    at = 0 if sunrise is None else min(int(np.searchsorted(air.utc, sunrise)), air.utc.size - 1)
    for word, state in (("hoar", air.hoar), ("frost", air.frost), ("wet", air.wet)):
        if state[:, at].mean() >= 0.5:
            return word
    return "dry"


def rests_on(wood: WoodMorning) -> str:
    """Say what a chance rests on."""
    note, record = wood.forecast, wood.record
    made = f"{note.members} members" if note.members > 1 else "one forecast, spread"
    values = "values " if note.source.startswith("typed") else ""
    text = f"the mist model and {values}{note.source} ({made})"
    if not record.fair_mornings:
        return f"{text}; {wood.wood.name} has no mornings logged yet"
    noun = "morning" if record.fair_mornings == 1 else "mornings"
    return f"{text}, and {record.fair_mornings} {noun} logged in {wood.wood.name}"


def _never(overlap: Overlap) -> Overlap:
    nothing = np.zeros_like(overlap.all_musts)
    return replace(
        overlap, chance_frac=0.0, all_musts=nothing, by_step_frac=nothing.mean(axis=0),
        met=np.zeros_like(overlap.met), best=None, best_low=None, best_high=None, minutes=0.0,
        would_like_met=0.0,
    )  # fmt: skip


def _closed(wood: Wood, day: dt.date) -> tuple[str, ...]:
    return tuple(
        f"{fact.what} (noted {fact.noted_on.day} {fact.noted_on:%B %Y})"
        for fact in wood.access
        if fact.closes and fact.holds_on(day)
    )


def _spot_notes(wood: WoodMorning, spot: SpotMorning) -> tuple[str, ...]:
    """Say what is not known about this spot in particular."""
    said = []
    if wood.told_until_utc is not None:
        ends = clock(wood.told_until_utc, wood.wood.zone_name)
        said.append(f"what comes after {ends}, where the forecast ends: it is not judged")
    if not wood.leaf_noted and any(one.kind is WishKind.LEAF for one in spot.spot.wishes):
        said.append("the leaf stage: none was noted here in ten days")
    if not spot.spot.wishes:
        said.append("what this spot waits for: no wish is written for it")
    habit = wood.wood.habit
    if habit.fog_top_m is not None and abs(spot.ground_height_m - habit.fog_top_m) <= 25.0:
        said.append(
            f"how high the valley fog fills: it usually stops at {habit.fog_top_m:.0f} m, "
            f"the spot stands at {spot.ground_height_m:.0f} m"
        )
    return tuple(said)


def _times(wood: WoodMorning, spot: SpotMorning, overlap: Overlap, habits: Habits) -> Times | None:
    if overlap.best is None:
        return None
    walk_s = spot.walk_min * 60.0
    return backward_times(
        overlap.best.start_utc,
        walk_s=walk_s,
        road_s=(wood.wood.road_min or 0.0) * 60.0,
        set_up_s=habits.set_up_min * 60.0,
        slack_s=slack_for(walk_s, dark_frac=_dark_frac(wood, overlap.best.start_utc, walk_s)),
        wake_s=habits.wake_min * 60.0,
    )


def _dark_frac(wood: WoodMorning, in_place_utc: np.datetime64, walk_s: float) -> float:
    """Share of the walk that falls before civil dawn; all of it where there is none."""
    dawn = wood.almanac.civil_dawn_utc
    if dawn is None:
        return 1.0
    return dark_share(in_place_utc, walk_s=walk_s, first_light_utc=dawn)
