"""The air over one wood on one morning, member by member, every five minutes.

Data flow: the forecast's members and the mist model's chances go in as arrays; out comes one
table of what each member finds in the wood at each instant (how far one sees, whether cloud
hides the sun, wind at the leaf, frost, wet). The overlap asks it about wishes; nothing here
knows a spot. Chances of mist stay those of the model: each member's range is drawn so that the
share of members under 1 km is the model's chance at that instant, and hangs together in time.
"""

from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import BoolArray, FloatArray, IntArray, UtcArray

STEP_MIN = 5.0
"""Minutes between instants; a span is therefore known to within half of it at each end."""
MIST_HOLD_H = 6.0
"""Fog that is there stays: correlation time of a member's rank. At the stations of the mist model
ranks of visibility hold for 9 to 10 h around sunrise (design/mist_hold.py); a part of that is the
weather that the forecast knows of already, hence less: a judgement. [h]"""
CLOUD_HOLD_H = 1.0
"""Cloud breaks come and go faster, a judgement. [h]"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Conditions:
    """What each of M members finds in one wood at each of S instants.

    Attributes
    ----------
    utc : ndarray of datetime64, shape (S,)
        Instants, :data:`STEP_MIN` apart.
    optical_range_m : ndarray, shape (M, S)
        Optical range (5 % contrast) where valley mist reaches. [m]
    clear_range_m : ndarray, shape (M, S)
        Optical range above the valley mist. [m]
    hill_fog : ndarray of bool, shape (M, S)
        Whether the wood is inside the cloud.
    fog_top_wander : ndarray, shape (M,)
        Standard normal: how high the valley fog reaches in this member.
    cloud_cover_frac : ndarray, shape (M, S)
        0 to 1.
    sun_unclouded : ndarray of bool, shape (M, S)
        Whether no cloud stands before the sun.
    leaf_wind_mps, wind_speed_mps, gust_mps : ndarray, shape (M, S)
        Wind at leaf height in the wood; wind and gusts at 10 m in the open. [m/s]
    air_state : ndarray of int64, shape (M, S)
        0 still, 1 stirring, 2 moving; −1 where the wind is not known.
    floor_temperature_degc : ndarray, shape (M, S)
        Air over the wood's floor, hollow cooling taken off. [°C]
    spread_k : ndarray, shape (M, S)
        Air temperature minus dew point at 2 m. [K]
    wet : ndarray of bool, shape (M, S)
        Whether leaves and ground are wet from rain or drip.
    raining : ndarray of bool, shape (M, S)
        Whether it rains.
    leaf_stage : ndarray of int64, shape (M,)
        Index into ``wishes.LEAF_STAGES``.
    """

    utc: UtcArray
    optical_range_m: FloatArray
    clear_range_m: FloatArray
    hill_fog: BoolArray
    fog_top_wander: FloatArray
    cloud_cover_frac: FloatArray
    sun_unclouded: BoolArray
    leaf_wind_mps: FloatArray
    wind_speed_mps: FloatArray
    gust_mps: FloatArray
    air_state: IntArray
    floor_temperature_degc: FloatArray
    spread_k: FloatArray
    wet: BoolArray
    raining: BoolArray
    leaf_stage: IntArray

    @property
    def frost(self) -> BoolArray:
        """White frost on the ground: the floor at or below 1 °C screen air, under a clear sky.

        Grass is a few kelvin below screen air on a clear still night (common practice).
        """
        return (self.floor_temperature_degc <= 1.0) & (self.cloud_cover_frac < 0.6)

    @property
    def hoar(self) -> BoolArray:
        """Hoar on thin twigs: below −1 °C, moist, still, not in freezing fog (trade knowledge)."""
        return (
            (self.floor_temperature_degc <= -1.0)
            & (self.spread_k <= 2.5)
            & (self.air_state <= 0)
            & (self.optical_range_m >= 200.0)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class AirRules:
    """Thresholds of the conditions; common practice or a judgement, as said beside each."""

    wet_after_rain_h: float = 12.0  # leaves hold water for half a day in mist and shade: judgement
    wet_rain_mm: float = 0.2  # a trace does not wet a wood floor: judgement
    drip_range_m: float = 200.0  # thick fog drips off twigs (trade knowledge)
    rain_mm_per_h: float = 0.1  # the usual threshold of measurable rain, per hour


def wet_now(
    precipitation_mm: FloatArray,
    hours_utc: UtcArray,
    utc: UtcArray,
    *,
    optical_range_m: FloatArray,
    rules: AirRules,
) -> BoolArray:
    """Whether leaves are wet: rain enough in the hours before, or drip from thick fog.

    Parameters
    ----------
    precipitation_mm : ndarray, shape (M, T)
        In the hour before each of ``hours_utc``; NaN counts as none (and is named elsewhere).
    hours_utc, utc : ndarray of datetime64, shapes (T,) and (S,)
        Forecast hours, and instants asked for.
    optical_range_m : ndarray, shape (M, S)
        For the drip. [m]

    Returns
    -------
    ndarray of bool, shape (M, S)
    """
    fallen = np.nan_to_num(precipitation_mm).cumsum(axis=1)
    fallen = np.concatenate([np.zeros((fallen.shape[0], 1)), fallen], axis=1)
    until = np.searchsorted(hours_utc, utc, side="right")
    span = np.timedelta64(round(rules.wet_after_rain_h * 3600), "s")
    since = np.searchsorted(hours_utc, utc - span, side="right")
    rained = fallen[:, until] - fallen[:, since] >= rules.wet_rain_mm
    return np.asarray(rained | (optical_range_m <= rules.drip_range_m), dtype=np.bool_)


def raining_now(
    precipitation_mm: FloatArray, hours_utc: UtcArray, utc: UtcArray, *, rules: AirRules
) -> BoolArray:
    """Whether it rains: the hour that ends next after each instant has measurable rain.

    Shapes as in :func:`wet_now`.
    """
    place = np.minimum(np.searchsorted(hours_utc, utc, side="left"), hours_utc.size - 1)
    return np.asarray(
        np.nan_to_num(precipitation_mm)[:, place] >= rules.rain_mm_per_h, dtype=np.bool_
    )


def usual_peak(values: FloatArray) -> float | None:
    """Greatest value of the morning that half of the members reach; None when none is known.

    Parameters
    ----------
    values : ndarray, shape (M, S)
        Such as gusts; NaN where not known.
    """
    known = np.isfinite(values)
    if not known.any():
        return None
    return float(np.median(np.where(known, values, -np.inf).max(axis=1)))
