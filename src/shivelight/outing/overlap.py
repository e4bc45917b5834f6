"""Do a spot's wishes meet this air and this light, all at once? Member by member.

Data flow: one wood's :class:`Conditions` and one spot's sun go in; every wish becomes a table of
yes and no over members and instants; the musts are joined member by member (never as a product
of chances, since mist, cloud and sun hang together), and the share of members in which they hold
for twenty minutes together is the chance of the morning.
"""

from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import BoolArray, FloatArray, UtcArray
from shivelight.light.beams import LEAST_BEAM_FRAC
from shivelight.light.reach import BACK_WITHIN_DEG, SunTrack
from shivelight.outing.conditions import STEP_MIN, Conditions
from shivelight.outing.found import AIR_WORDS
from shivelight.outing.habit import HabitModel, reaches_height
from shivelight.outing.judgement import Stretch
from shivelight.outing.wishes import LEAF_STAGES, Wish, WishKind
from shivelight.outing.woods import MistHabit
from shivelight.sky.refraction import apparent_altitude_deg

TOGETHER_MIN = 20.0
"""How long the musts must hold together to count as a morning: a house rule. [min]"""
HOAR_HOLDS_MIN = 20.0
"""Hoar falls within minutes to half an hour of sun on it (trade knowledge)."""
SKY_CLEAR_BELOW, SKY_OVERCAST_FROM = 0.3, 0.8
"""Cloud cover of "clear" and "overcast": 2 and 6½ oktas, common practice."""
FIRST_LIGHT_DEG = -6.0
"""Sun altitude from which there is light enough for soft pictures: civil dawn. [°]"""
FIRST_LIGHT_SEEN_DEG = float(apparent_altitude_deg(FIRST_LIGHT_DEG))
"""The same as ``SunTrack`` has it: with refraction, which is kept at its horizon value. [°]"""
CLEAR_AIR_FROM_M = 5000.0
"""Optical range from which air counts as clear of mist: the usual upper edge of mist. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """What the overlap needs to know of a spot besides its wishes."""

    ground_height_m: float
    habit: MistHabit
    wishes: tuple[Wish, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Overlap:
    """Answer for one spot and one morning.

    Attributes
    ----------
    chance_frac : float
        Share of members in which all musts hold :data:`TOGETHER_MIN` together.
    all_musts : ndarray of bool, shape (M, S)
        Whether every must holds.
    by_step_frac : ndarray, shape (S,)
        Share of members in which all musts hold at each instant.
    by_wish_frac : tuple of float
        For each wish by itself, the share of members in which it holds that long together.
    met : ndarray of bool, shape (M,)
        Which members have their twenty minutes.
    best : Stretch or None
        Where the chance is at least half of its greatest, around the greatest.
    best_low, best_high : datetime64 or None
        1 and 9 in 10 of the ends among members that have their twenty minutes.
    minutes : float
        Median of the longest stretch among those members. [min]
    would_like_met : float
        Mean number of would-likes met for twenty minutes while the musts hold, where they do.
    optical_range_m : ndarray, shape (M, S)
        Range at the spot's height, hill fog included. [m]
    """

    chance_frac: float
    all_musts: BoolArray
    by_step_frac: FloatArray
    by_wish_frac: tuple[float, ...]
    met: BoolArray
    best: Stretch | None
    best_low: np.datetime64 | None
    best_high: np.datetime64 | None
    minutes: float
    would_like_met: float
    optical_range_m: FloatArray


def overlap_at(
    conditions: Conditions, sun: SunTrack, place: Place, *, model: HabitModel
) -> Overlap:
    """Work out the overlap of a spot's wishes with one morning.

    A spot without musts is judged by all its would-likes together; one without any wish has a
    chance of nought, since nothing was asked. Before civil dawn and in rain nothing holds.

    Parameters
    ----------
    conditions : Conditions
        The wood's air.
    sun : SunTrack
        The spot's sun at the same instants.
    place : Place
        Height, habit and wishes.
    model : HabitModel
        How valley fog reaches a height.
    """
    from shivelight.outing.runs import longest_run  # noqa: PLC0415  loads the compiler

    range_m = range_at_spot(conditions, place, model=model)
    holds = [_holds(wish, conditions, sun, place, range_m) for wish in place.wishes]
    needed = [now for wish, now in zip(place.wishes, holds, strict=True) if wish.must] or holds
    if needed:
        lit = sun.altitude_deg >= FIRST_LIGHT_SEEN_DEG
        together = np.logical_and.reduce(needed) & lit & ~conditions.raining
    else:
        together = np.zeros(range_m.shape, dtype=np.bool_)
    longest = longest_run(together)
    enough = steps_for(TOGETHER_MIN)
    met = longest >= enough
    liked = [
        (longest_run(now & together) >= enough)[met].mean() if met.any() else 0.0
        for wish, now in zip(place.wishes, holds, strict=True)
        if not wish.must
    ]
    by_step = together.mean(axis=0)
    best = best_stretch(by_step, conditions.utc)
    low, high = _ends(together, met, conditions.utc)
    return Overlap(
        chance_frac=float(met.mean()),
        all_musts=together,
        by_step_frac=by_step,
        by_wish_frac=tuple(float((longest_run(now) >= enough).mean()) for now in holds),
        met=met,
        best=best,
        best_low=low,
        best_high=high,
        minutes=float(np.median(longest[met]) * STEP_MIN) if met.any() else 0.0,
        would_like_met=float(sum(liked)),
        optical_range_m=range_m,
    )


def range_at_spot(conditions: Conditions, place: Place, *, model: HabitModel) -> FloatArray:
    """Optical range at a spot's height: in the valley mist, above it, or inside the cloud.

    Returns
    -------
    ndarray of float64, shape (M, S)
        [m]
    """
    reached = reaches_height(
        place.ground_height_m, place.habit, wander=conditions.fog_top_wander, model=model
    )
    range_m = np.where(
        reached[:, None] > 0.0, conditions.optical_range_m, conditions.clear_range_m
    )
    # Inside cloud one sees some 50 to 200 m (common practice); 100 m stands for it.
    return np.where(conditions.hill_fog, np.minimum(range_m, 100.0), range_m)


def direct_light(
    conditions: Conditions, sun: SunTrack, *, depth_m: float, range_m: FloatArray
) -> BoolArray:
    """Whether a beam that can be seen reaches the subject.

    The sun must be past the skyline, free of cloud, and the beam left by crowns and mist at
    least ``light.beams.LEAST_BEAM_FRAC``. Mist of depth ``depth_m`` is crossed on the slant,
    with extinction 3/V (Koschmieder with a 5 % threshold, CIE e-ILV 17-772).
    """
    slant_m = depth_m / np.maximum(np.sin(np.radians(sun.altitude_deg)), 0.01)
    through_mist = np.exp(-3.0 * slant_m / np.maximum(range_m, 1.0))
    seen = through_mist * sun.beam_frac >= LEAST_BEAM_FRAC
    return np.asarray(seen & sun.past_skyline & conditions.sun_unclouded, dtype=np.bool_)


def steps_for(minutes: float) -> int:
    """How many instants in a row make up so many minutes."""
    return int(np.ceil(minutes / STEP_MIN))


def best_stretch(by_step_frac: FloatArray, utc: UtcArray) -> Stretch | None:
    """Span around the greatest chance in which it is at least half of that; None at nought."""
    if by_step_frac.size == 0 or by_step_frac.max() <= 0.0:
        return None
    top = int(by_step_frac.argmax())
    low = by_step_frac < 0.5 * by_step_frac[top]
    before = np.flatnonzero(low[:top])
    after = np.flatnonzero(low[top:])
    first = int(before[-1]) + 1 if before.size else 0
    last = top + int(after[0]) - 1 if after.size else by_step_frac.size - 1
    half = np.timedelta64(round(STEP_MIN * 30), "s")
    return Stretch(start_utc=utc[first] - half, end_utc=utc[last] + half)


def _ends(
    together: BoolArray, met: BoolArray, utc: UtcArray
) -> tuple[np.datetime64 | None, np.datetime64 | None]:
    """1 and 9 in 10 of when the musts last held, among members that had their time."""
    if not met.any():
        return None, None
    last = together.shape[1] - 1 - together[met][:, ::-1].argmax(axis=1)
    low, high = np.quantile(last, [0.1, 0.9], method="nearest").astype(int)
    half = np.timedelta64(round(STEP_MIN * 30), "s")  # a share holds about its instant
    return utc[low] + half, utc[high] + half


def _holds(
    wish: Wish, air: Conditions, sun: SunTrack, place: Place, range_m: FloatArray
) -> BoolArray:
    """Whether one wish holds, by member and instant."""
    shape = range_m.shape
    match wish.kind:
        case WishKind.MIST:
            now: BoolArray = (range_m >= (wish.low or 0.0)) & (range_m <= (wish.high or 0.0))
        case WishKind.CLEAR_AIR:
            now = range_m >= CLEAR_AIR_FROM_M
        case WishKind.SUN:
            now = (sun.altitude_deg >= (wish.low or 0.0)) & (
                sun.altitude_deg <= (wish.high if wish.high is not None else 90.0)
            )
        case WishKind.LIGHT:
            now = _light_holds(wish, air, sun, place.habit.depth_m, range_m)
        case WishKind.FACING:
            now = _facing_holds(wish, sun) & direct_light(
                air, sun, depth_m=place.habit.depth_m, range_m=range_m
            )
        case WishKind.LEAF:
            stages = [LEAF_STAGES.index(stage) for stage in wish.choices]
            now = np.isin(air.leaf_stage, stages)[:, None]
        case WishKind.SEASON:
            now = np.ones((1, 1), dtype=np.bool_)  # the day itself is tested by the caller
        case _:
            now = _state_holds(wish, air, sun, place.habit.depth_m, range_m)
    return np.broadcast_to(now, shape)


def _light_holds(
    wish: Wish, air: Conditions, sun: SunTrack, depth_m: float, range_m: FloatArray
) -> BoolArray:
    direct = direct_light(air, sun, depth_m=depth_m, range_m=range_m)
    now = np.zeros(range_m.shape, dtype=np.bool_)
    if "direct" in wish.choices:
        now |= direct
    if "soft" in wish.choices:
        now |= ~direct & (sun.altitude_deg >= FIRST_LIGHT_SEEN_DEG)
    return now


def _facing_holds(wish: Wish, sun: SunTrack) -> BoolArray:
    """Back, front or side light, by the limits of ``light.reach``."""
    back = sun.off_view_deg <= BACK_WITHIN_DEG
    front = sun.off_view_deg >= 180.0 - BACK_WITHIN_DEG
    facings = {"back": back, "front": front, "side": ~back & ~front}
    return _any_of(facings, wish.choices)


def _state_holds(
    wish: Wish, air: Conditions, sun: SunTrack, depth_m: float, range_m: FloatArray
) -> BoolArray:
    """Wishes for air, ground and sky: any of the states chosen."""
    tables: dict[str, BoolArray] = {}
    if wish.kind is WishKind.AIR:
        tables = {word: air.air_state == code for code, word in enumerate(AIR_WORDS)}
    elif wish.kind is WishKind.SKY:
        cloud = air.cloud_cover_frac
        tables = {
            "clear": cloud < SKY_CLEAR_BELOW,
            "broken": (cloud >= SKY_CLEAR_BELOW) & (cloud < SKY_OVERCAST_FROM),
            "overcast": cloud >= SKY_OVERCAST_FROM,
        }
    else:
        direct = direct_light(air, sun, depth_m=depth_m, range_m=range_m)
        sunned_min = np.cumsum(direct, axis=1) * STEP_MIN
        tables = {
            "wet": air.wet, "dry": ~air.wet, "frost": air.frost & (sunned_min <= HOAR_HOLDS_MIN),
            "hoar": air.hoar & (sunned_min <= HOAR_HOLDS_MIN),
        }  # fmt: skip
    return _any_of(tables, wish.choices)


def _any_of(tables: dict[str, BoolArray], words: tuple[str, ...]) -> BoolArray:
    """Where any of the chosen states holds."""
    return np.asarray(np.logical_or.reduce([tables[word] for word in words]), dtype=np.bool_)
