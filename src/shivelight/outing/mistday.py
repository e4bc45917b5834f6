"""Mist in one wood on one morning: the model's chance, moved to the wood, ready to be drawn from.

Data flow: a forecast's mean and members around the night go to the mist model; its chance is
pulled toward the season's rate for mornings farther off, moved by the wood's habit (a judgement)
and by the wood's own record (``learn``); the members' own chances are then shifted so that their
mean is that chance, which keeps mist tied to each member's wind and cloud.
"""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from shivelight.air.forecast import Ensemble
from shivelight.air.mist import (
    MistChance,
    Night,
    lifting_given_seen,
    mist_chance,
    recalibrate,
    season_chance,
)
from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import MissingDataError
from shivelight.outing.found import MIST_WORDS
from shivelight.outing.habit import HabitModel, habit_log_odds, move_frac
from shivelight.outing.learn import SiteShift, shifted
from shivelight.outing.members import MistDraw
from shivelight.outing.signs import WhatIf
from shivelight.outing.woods import MistHabit

KEPT_PER_DAY_FRAC = 0.8
"""Share of the model's departure from the season's rate that is kept for each further day: a
judgement, since the model was made for the coming morning only."""
BEFORE_SUNRISE_H, AFTER_SUNRISE_H = 44, 10
"""Hours around sunrise that the model may use: back to the noon before last for rain. [h]"""
NEVER_MIN = 480.0
"""The model's word for "not within eight hours". [min]"""
CHANCE_ROWS = (
    "fog_frac", "mist_frac", "window_fog_frac", "window_mist_frac", "lift_quantiles_min",
    "lift_still_frac",
)  # fmt: skip
NIGHT_ROWS = (
    "temperature_degc", "dew_point_degc", "wind_speed_mps", "cloud_cover_frac",
    "precipitation_mm", "pressure_hpa",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class SunTimes:
    """The night's ends and the days ahead.

    Attributes
    ----------
    sunrise_utc, sunset_utc : datetime64
        This morning's sunrise and the sunset before it.
    latitude_deg : float
        [°]
    days_ahead : int
        1 for the coming morning.
    """

    sunrise_utc: np.datetime64
    sunset_utc: np.datetime64
    latitude_deg: float
    days_ahead: int = 1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MistDay:
    """Mist of a wood on a morning.

    Attributes
    ----------
    draw : MistDraw
        Chances by member, moved to the wood.
    forecast_frac, said_frac : float
        Chance of a range under 1 km at some hour from 1 h before to 2 h after sunrise, before
        and after the wood's own record.
    base_frac : float
        The season's rate at the stations of the model.
    lifting_utc : tuple of datetime64
        By when it has lifted in 10, 50 and 90 of 100 cases, given fog at sunrise; those that do
        not lift within eight hours are left out.
    seen : tuple of (str, tuple of datetime64)
        The same after each word for what is seen at sunrise.
    moved_by, missing, cost
        As in :class:`shivelight.air.mist.MistChance`.
    what_if : tuple of WhatIf
        The chance after changes of the evening.
    """

    draw: MistDraw
    forecast_frac: float
    said_frac: float
    base_frac: float
    lifting_utc: tuple[np.datetime64, ...]
    seen: tuple[tuple[str, tuple[np.datetime64, ...]], ...]
    moved_by: tuple[tuple[str, float], ...]
    missing: tuple[str, ...]
    cost: str
    what_if: tuple[WhatIf, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class NightChances:
    """What the mist model says of one forecast's night, before any wood is thought of.

    Attributes
    ----------
    changes : tuple of str
        Changes of the night in words; the first, of none, is the forecast's mean itself.
    of_changes : MistChance
        Chances of those, a member each.
    of_members : MistChance
        Chances of the forecast's members.
    seen_min : dict of str to ndarray, shape (5,)
        Lifting quantiles after each word for the mist seen at sunrise. [min]
    """

    changes: tuple[str, ...]
    of_changes: MistChance
    of_members: MistChance
    seen_min: dict[str, FloatArray]


def night_chances(members: Ensemble, sun: SunTimes) -> NightChances:
    """Ask the mist model once about a forecast's mean, changes of it, and its members.

    A forecast without any humidity gives the season's rate, named as such.

    Raises
    ------
    MissingDataError
        If temperature or dew point is missing around sunrise.
    """
    mean = night_of(members.mean(), sun)
    if np.isfinite(mean.dew_point_degc).any():
        changed = _changes(mean)
        whole = mist_chance(_stacked((*changed.values(), night_of(members, sun))))
    else:  # nothing is put in the place of humidity: the season's rate, and it says so
        changed = {"": mean}
        whole = season_chance(_stacked((mean, night_of(members, sun))))
    of_changes = _rows(whole, slice(0, len(changed)))
    headline = _rows(whole, slice(0, 1))
    return NightChances(
        changes=tuple(changed),
        of_changes=of_changes,
        of_members=_rows(whole, slice(len(changed), None)),
        seen_min={
            word: lifting_given_seen(headline, seen=word, minutes=0.0)[0] for word in MIST_WORDS
        },
    )


def mist_day(
    chances: NightChances,
    sun: SunTimes,
    *,
    habit: MistHabit,
    shift: SiteShift,
    model: HabitModel,
) -> MistDay:
    """Work out a wood's mist for one morning.

    Parameters
    ----------
    chances : NightChances
        What the mist model says of the night.
    sun : SunTimes
        The wood's own sunrise, and how many days ahead it is.
    habit : MistHabit
        The wood's habit.
    shift : SiteShift
        What its record has taught.
    model : HabitModel
        How much a habit counts.
    """
    headline, each = chances.of_changes, chances.of_members
    kept = KEPT_PER_DAY_FRAC ** (sun.days_ahead - 1)
    step = habit_log_odds(habit, model=model)

    def moved(chance: FloatArray, base: FloatArray | float) -> FloatArray:
        return move_frac(kept * chance + (1.0 - kept) * base, step)

    def said(chance: FloatArray, base: FloatArray | float) -> FloatArray:
        return np.asarray(shifted(moved(chance, base), shift), dtype=np.float64)

    def curve(name: str, base: float) -> FloatArray:
        now: FloatArray = getattr(headline, name)[0]
        window = float(getattr(headline, f"window_{name}")[0])
        # The season's rate of a quarter hour stands to its window's as in the forecast.
        base_now = base * now / window if window > 0.0 else now
        return recalibrate(getattr(each, name), said(now, base_now))

    fog = curve("fog_frac", headline.base_fog_frac)
    return MistDay(
        draw=MistDraw(
            minutes=each.minutes,
            fog_frac=fog,
            mist_frac=np.maximum(curve("mist_frac", headline.base_mist_frac), fog),
        ),
        forecast_frac=float(moved(headline.window_fog_frac, headline.base_fog_frac)[0]),
        said_frac=float(said(headline.window_fog_frac, headline.base_fog_frac)[0]),
        base_frac=headline.base_fog_frac,
        lifting_utc=_clock(headline.lift_quantiles_min[0], sun.sunrise_utc),
        seen=tuple(
            (word, _clock(minutes, sun.sunrise_utc)) for word, minutes in chances.seen_min.items()
        ),
        moved_by=headline.moved_by,
        missing=headline.missing,
        cost=headline.cost,
        what_if=tuple(
            WhatIf(
                words=words,
                chance_frac=float(
                    said(headline.window_fog_frac[row : row + 1], headline.base_fog_frac)[0]
                ),
            )
            for row, words in enumerate(chances.changes)
            if words
        ),
    )


def night_of(forecast: Ensemble, sun: SunTimes) -> Night:
    """Cut the hours around one sunrise out of a forecast, for the mist model."""
    hour = np.timedelta64(1, "h")
    near = forecast.between(
        sun.sunrise_utc - BEFORE_SUNRISE_H * hour, sun.sunrise_utc + AFTER_SUNRISE_H * hour
    )
    # A source with coarse steps has empty hours between them; the model joins up to six hours.
    told = np.isfinite(near.temperature_degc).any(axis=0)
    if not told.any():
        raise MissingDataError(
            f"The forecast from {forecast.source} holds no temperature around {sun.sunrise_utc} "
            "UTC, so nothing can be said of mist; fetch or type another."
        )
    rows: dict[str, Any] = {name: getattr(near, name)[:, told] for name in NIGHT_ROWS}
    return Night(
        utc=near.utc[told],
        **rows,
        sunrise_utc=sun.sunrise_utc,
        sunset_utc=sun.sunset_utc,
        latitude_deg=sun.latitude_deg,
    )


def _changes(night: Night) -> dict[str, Night]:
    """Give the night as forecast (under no words), and after single changes of it, in words."""
    dark = (night.utc >= night.sunset_utc).astype(np.float64)
    cloud, wind, dew = night.cloud_cover_frac, night.wind_speed_mps, night.dew_point_degc
    changes: dict[str, dict[str, Any]] = {
        "": {},
        "if cloud covers the sky all night": {"cloud_cover_frac": np.maximum(cloud, dark)},
        "if the sky is clear all night": {"cloud_cover_frac": cloud * (1.0 - dark)},
        "with 2 m/s more wind": {"wind_speed_mps": wind + 2.0 * dark},
        "with air 1.5 °C drier than forecast": {"dew_point_degc": dew - 1.5 * dark},
    }
    return {
        words: replace(night, **changed)
        for words, changed in changes.items()
        if all(np.isfinite(rows).any() for rows in changed.values())
    }


def _stacked(nights: tuple[Night, ...]) -> Night:
    """Put nights over the same hours into one, as members: one evaluation costs least."""
    rows: dict[str, Any] = {
        name: np.concatenate([getattr(one, name) for one in nights]) for name in NIGHT_ROWS
    }
    return replace(nights[0], **rows)


def _rows(chance: MistChance, rows: slice) -> MistChance:
    """Pick some members' chances out of many."""
    picked: dict[str, Any] = {name: getattr(chance, name)[rows] for name in CHANCE_ROWS}
    return replace(chance, **picked)


def _clock(minutes: FloatArray, sunrise_utc: np.datetime64) -> tuple[np.datetime64, ...]:
    """Give times by which 10, 50 and 90 of 100 fogs have lifted, of five quantiles."""
    return tuple(
        sunrise_utc + np.timedelta64(round(float(one) * 60.0), "s")
        for one in minutes[[0, 2, 4]]
        if one < NEVER_MIN
    )
