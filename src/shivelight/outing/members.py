"""Build the conditions of one wood and one morning from a forecast's members.

Data flow: hourly members (``air.forecast``) and the chances of fog and mist at each quarter hour,
already moved to this wood, come in; each member is drawn a few times over, its range, cloud and
wind are taken to five-minute instants, and the table of ``conditions`` goes out. Ranks come from
one seed, the same for all woods of a morning, since mist over one valley is mist over the next.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from shivelight.air.cloud import hill_fog_share, layer_cloud
from shivelight.air.forecast import Ensemble
from shivelight.air.mist import range_quantile_m
from shivelight.air.wind import air_state, gusts_filled_mps, leaf_height_wind_mps
from shivelight.basis.arrays import FloatArray, IntArray, UtcArray
from shivelight.outing.conditions import (
    CLOUD_HOLD_H,
    MIST_HOLD_H,
    STEP_MIN,
    AirRules,
    Conditions,
    raining_now,
    wet_now,
)
from shivelight.outing.draws import stratified_normal, wandering_ranks
from shivelight.outing.habit import HabitModel, hollow_cooling_k
from shivelight.outing.woods import MistHabit

BRIDGED_H = 6.0
"""Forecasts coarser than three hours are read straight between their hours up to this gap, as
the mist model does. [h]"""
DRAWS = 4
"""How often each member is drawn: the chance of 50 members is then known to about 0.03."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MistDraw:
    """Chances to draw ranges from, shape (M, Q) at Q minutes after sunrise, rising."""

    minutes: FloatArray
    fog_frac: FloatArray
    mist_frac: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodAir:
    """What the air in a wood depends on besides the forecast.

    Attributes
    ----------
    ground_height_m, forecast_height_m : float
        Height of the wood, and of the ground the forecast was made for. [m]
    habit : MistHabit
        Hollow and water.
    wind_share_frac : float
        Wind at leaf height as a share of the open 10 m wind.
    """

    ground_height_m: float
    forecast_height_m: float
    habit: MistHabit
    wind_share_frac: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """The judgements of a morning in one place."""

    habit: HabitModel = HabitModel()
    air: AirRules = AirRules()
    seed: int = 20_271_103


def conditions_of(
    forecast: Ensemble,
    mist: MistDraw,
    wood: WoodAir,
    *,
    utc: UtcArray,
    sunrise_utc: np.datetime64,
    rules: Rules,
) -> Conditions:
    """Draw what each member finds in a wood.

    Parameters
    ----------
    forecast : Ensemble
        M members, hourly.
    mist : MistDraw
        Chances by member, already moved to this wood.
    wood : WoodAir
        Lie, height, stand.
    utc : ndarray of datetime64, shape (S,)
        Instants, five minutes apart.
    sunrise_utc : datetime64
        From which the minutes of ``mist`` count.
    rules : Rules
        Judgements and the seed.

    Returns
    -------
    Conditions
        Of 4 M members; ``leaf_stage`` is full leaf until it is replaced.
    """
    count = forecast.members * DRAWS
    mist_rank, cloud_rank, hill_rank = _ranks(count, utc.size, rules.seed)
    minutes = (utc - sunrise_utc) / np.timedelta64(60, "s")
    fog = _drawn(_at_minutes(mist.fog_frac, mist.minutes, minutes))
    misty = np.maximum(_drawn(_at_minutes(mist.mist_frac, mist.minutes, minutes)), fog)
    range_m = range_quantile_m(mist_rank, fog, misty)
    air = {
        name: _drawn(forecast.at(utc, name, bridge_h=BRIDGED_H))
        for name in (
            "temperature_degc", "dew_point_degc", "wind_speed_mps", "wind_gust_mps",
            "cloud_cover_frac", "low_cloud_frac",
        )
    }  # fmt: skip
    cloud = np.nan_to_num(air["cloud_cover_frac"], nan=0.5)
    spread = air["temperature_degc"] - air["dew_point_degc"]
    hill = hill_fog_share(
        spread,
        wind_speed_mps=air["wind_speed_mps"],
        layer_cloud_frac=layer_cloud(air["low_cloud_frac"], air["cloud_cover_frac"]),
        station_height_m=wood.forecast_height_m,
        wood_height_m=wood.ground_height_m,
    )
    wind = leaf_height_wind_mps(air["wind_speed_mps"], stand_frac=wood.wind_share_frac)
    rain = _drawn(forecast.precipitation_mm)
    return Conditions(
        utc=utc,
        optical_range_m=range_m,
        clear_range_m=range_quantile_m(mist_rank, np.zeros_like(fog), np.zeros_like(fog)),
        hill_fog=hill_rank < np.nan_to_num(hill.chance_frac),
        fog_top_wander=stratified_normal(count, seed=rules.seed + 2),
        cloud_cover_frac=cloud,
        sun_unclouded=cloud_rank >= cloud,
        leaf_wind_mps=wind,
        wind_speed_mps=air["wind_speed_mps"],
        gust_mps=gusts_filled_mps(air["wind_gust_mps"], air["wind_speed_mps"]),
        air_state=air_state(wind),
        floor_temperature_degc=air["temperature_degc"]
        - hollow_cooling_k(
            wood.habit, cloud, np.nan_to_num(air["wind_speed_mps"]), model=rules.habit
        ),
        spread_k=spread,
        wet=wet_now(rain, forecast.utc, utc, optical_range_m=range_m, rules=rules.air),
        raining=raining_now(rain, forecast.utc, utc, rules=rules.air),
        leaf_stage=np.full(count, 2, dtype=np.int64),
    )


def with_leaf(conditions: Conditions, leaf_stage: IntArray) -> Conditions:
    """Give the members their leaf stages, shape (M,)."""
    return replace(conditions, leaf_stage=leaf_stage)


@lru_cache(maxsize=8)
def _ranks(members: int, instants: int, seed: int) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Ranks for mist, for cloud before the sun, and for the cloud's base."""
    mist, cloud, hill = (
        wandering_ranks(members, instants, step_min=STEP_MIN, hold_h=hold_h, seed=seed + offset)
        for offset, hold_h in ((0, MIST_HOLD_H), (1, CLOUD_HOLD_H), (3, MIST_HOLD_H))
    )
    return mist, cloud, hill


def _drawn(values: FloatArray) -> FloatArray:
    """Repeat each member; draws of one member stand apart, so that ranks mix."""
    return np.tile(values, (DRAWS, 1))


def _at_minutes(chance: FloatArray, at: FloatArray, wanted: FloatArray) -> FloatArray:
    """Chances by member at other minutes, straight between quarters and held at the ends."""
    return np.stack([np.interp(wanted, at, row) for row in chance])
