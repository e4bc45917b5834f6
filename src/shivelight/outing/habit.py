"""From the forecast's mist to this wood's mist: hollow, water, height, and how deep it lies.

The mist model knows lowland stations in the open (docs/mist.md); no wood, valley floor or lake
edge was in its data. What is added here is therefore **a judgement**, kept small, named on every
sheet, and overruled by the wood's own record (``outing.learn``) as soon as there is one.
"""

from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.outing.woods import MistHabit


@dataclass(frozen=True, slots=True, kw_only=True)
class HabitModel:
    """How a wood's lie moves the chance of mist; every value is a judgement.

    Attributes
    ----------
    log_odds_per_hollow_m, most_hollow_log_odds : float
        A hollow collects the coldest air first (standard meteorology); how much is a judgement.
    water_log_odds : float
        Near open water, pools or a carr.
    fog_top_sd_m : float
        How far the top of valley fog wanders from its usual height. [m]
    hollow_cooling_k_per_m, most_cooling_k : float
        How much colder a hollow is than the forecast on a clear still night. [K/m, K]
    """

    log_odds_per_hollow_m: float = 0.03
    most_hollow_log_odds: float = 0.6
    water_log_odds: float = 0.3
    fog_top_sd_m: float = 15.0
    hollow_cooling_k_per_m: float = 0.12
    most_cooling_k: float = 3.0


def habit_log_odds(habit: MistHabit, *, model: HabitModel) -> float:
    """Log-odds to add to the forecast's chance of mist in a wood."""
    hollow = min(habit.hollow_depth_m * model.log_odds_per_hollow_m, model.most_hollow_log_odds)
    return hollow + (model.water_log_odds if habit.near_water else 0.0)


def move_frac(chance_frac: FloatArray, log_odds: float) -> FloatArray:
    """Move chances by a step in log-odds; nought and one stay where they are."""
    held = np.clip(chance_frac, 1e-9, 1.0 - 1e-9)
    moved = 1.0 / (1.0 + np.exp(-(np.log(held / (1.0 - held)) + log_odds)))
    return np.where((chance_frac <= 0.0) | (chance_frac >= 1.0), chance_frac, moved)


def reaches_height(
    height_m: float, habit: MistHabit, *, wander: FloatArray, model: HabitModel
) -> FloatArray:
    """Whether valley fog reaches a height, for each member.

    Parameters
    ----------
    height_m : float
        Height of the spot above sea level. [m]
    habit : MistHabit
        The wood's habit; without a noted fog top every height is reached.
    wander : ndarray, shape (M,)
        Standard normal draws, one a member.
    model : HabitModel
        How far the top wanders.

    Returns
    -------
    ndarray of float64, shape (M,)
        1.0 where the fog reaches the spot, else 0.0.
    """
    if habit.fog_top_m is None:
        return np.ones_like(wander)
    top_m = habit.fog_top_m + model.fog_top_sd_m * wander
    return (height_m <= top_m).astype(np.float64)


def hollow_cooling_k(
    habit: MistHabit,
    cloud_cover_frac: FloatArray,
    wind_speed_mps: FloatArray,
    *,
    model: HabitModel,
) -> FloatArray:
    """How much colder the wood's floor is than the forecast's 2 m air.

    Parameters
    ----------
    habit : MistHabit
        Depth of the hollow.
    cloud_cover_frac, wind_speed_mps : ndarray, shapes that broadcast to S
        Cloud, and wind at 10 m. Cooling fades linearly to nothing at full cloud and at 4 m/s.

    Returns
    -------
    ndarray of float64, shape S
        [K]
    """
    full_k = min(habit.hollow_depth_m * model.hollow_cooling_k_per_m, model.most_cooling_k)
    clear = np.clip(1.0 - cloud_cover_frac, 0.0, 1.0)
    calm = np.clip(1.0 - wind_speed_mps / 4.0, 0.0, 1.0)
    return np.asarray(full_k * clear * calm, dtype=np.float64)
