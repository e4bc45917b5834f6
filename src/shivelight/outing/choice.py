"""The choice among judged spots: rank, answer, plan B and plan C.

Data flow: judged spots over the same members come in; since members are shared, what else comes
true *when the first fails* is counted, not guessed from separate chances.
"""

from collections.abc import Sequence

import numpy as np

from shivelight.basis.arrays import BoolArray
from shivelight.basis.chances import chance_in_words
from shivelight.basis.instants import clock
from shivelight.outing.conditions import Conditions, usual_peak
from shivelight.outing.judge import Judged
from shivelight.outing.judgement import OtherPlan

WALKING_DISTANCE_MIN = 35.0
"""Plan B is looked for within this walk, in the dark. A judgement. [min]"""
GALE_GUST_MPS, GALE_MEAN_MPS = 20.0, 13.9
"""Do not go: gusts of 20 m/s or mean Beaufort 7 (common practice)."""
WOULD_LIKE_FRAC = 0.02
"""What a would-like is worth beside a chance in the ranking. A house rule."""
GO_FROM_FRAC = 0.1
"""Under 1 in 10 for every spot the answer is to stay in bed. A house rule."""
STAY_IN_BED = OtherPlan(spot="", wood="", walk_min=None, words="stay in bed")
"""What else when nothing else is worth the alarm, or when the answer is to stay."""


def ranked(judged: Sequence[Judged]) -> tuple[Judged, ...]:
    """Best first: by chance, a would-like counting as much as a fiftieth of it; then minutes.

    Where those are equal too, the shorter walk comes first. Chances nearer than that cannot be
    told apart with so few members, so that what would be welcome decides between them. Spots
    marked made or lost come last.
    """
    return tuple(
        sorted(
            judged,
            key=lambda one: (
                one.spot.state.value != "waiting",
                -(one.outlook.chance_frac + WOULD_LIKE_FRAC * one.outlook.would_like_met),
                -one.outlook.minutes,
                one.outlook.walk_min,
                one.outlook.spot,
            ),
        )
    )


def answer_of(
    judged: Sequence[Judged], conditions: Conditions | None, *, zone_name: str
) -> tuple[str, bool]:
    """Put the choice in one sentence, and say whether it is to go.

    Parameters
    ----------
    judged : sequence of Judged
        Best first.
    conditions : Conditions or None
        Air of the first spot's wood.
    zone_name : str
        Clock of the sentence.
    """
    if not judged or conditions is None:
        return "No spots yet: add one with its wishes, then ask again.", False
    gust, mean = usual_peak(conditions.gust_mps), usual_peak(conditions.wind_speed_mps)
    if (gust or 0.0) >= GALE_GUST_MPS or (mean or 0.0) >= GALE_MEAN_MPS:
        blows = f"gusts of about {gust:.0f} m/s" if gust else f"a mean of about {mean:.0f} m/s"
        return f"Stay: {blows} at 10 m; limbs come down in a gale and after.", False
    first = judged[0].outlook
    if first.chance_frac <= 0.0:
        return "Stay in bed: no spot's wishes come together.", False
    if first.best is None or first.chance_frac < GO_FROM_FRAC:
        return (
            f"Stay in bed: no spot's wishes come together; {first.spot} comes nearest, "
            f"{chance_in_words(first.chance_frac)}.",
            False,
        )
    span = f"{clock(first.best.start_utc, zone_name)}–{clock(first.best.end_utc, zone_name)}"
    return (
        f"{first.spot}, {first.wood}: {chance_in_words(first.chance_frac)} that its wishes come "
        f"together for twenty minutes or more, best {span}.",
        True,
    )


def plan_b_of(
    judged: Sequence[Judged], walks_min: dict[str, float], *, within_min: float
) -> OtherPlan | None:
    """Find the spot within a walk that most often comes true when the first does not.

    Parameters
    ----------
    judged : sequence of Judged
        Best first; all over the same members.
    walks_min : dict of str to float
        Walk from the first spot to each other, in the dark; spots out of reach are left out.
    within_min : float
        How far to look. [min]
    """
    if not judged:
        return None
    first = judged[0]
    failed = ~first.overlap.met
    near = [one for one in judged[1:] if walks_min.get(one.outlook.spot, np.inf) <= within_min]
    if not near:
        return None
    rescue = max(near, key=lambda one: (_given(one.overlap.met, failed), -one.outlook.walk_min))
    chance = _given(rescue.overlap.met, failed)
    walk = walks_min[rescue.outlook.spot]
    if chance < 0.05:
        if not first.spot.if_not:
            return None
        return OtherPlan(
            spot=first.outlook.spot, wood=first.outlook.wood, walk_min=0.0,
            words=first.spot.if_not,
        )  # fmt: skip
    return OtherPlan(
        spot=rescue.outlook.spot,
        wood=rescue.outlook.wood,
        walk_min=walk,
        words=f"{walk:.0f} min on foot; {chance_in_words(chance)} when {first.outlook.spot} fails",
    )


def plan_c_of(
    judged: Sequence[Judged], plan_b: OtherPlan | None, *, zone_name: str
) -> OtherPlan | None:
    """Find the spot of another wood that most often comes true when the first does not."""
    if not judged:
        return None
    first = judged[0]
    taken = {first.outlook.wood} | ({plan_b.wood} if plan_b else set())
    others = [one for one in judged[1:] if one.outlook.wood not in taken]
    failed = ~first.overlap.met
    best = max(others, key=lambda one: _given(one.overlap.met, failed), default=None)
    if best is None or _given(best.overlap.met, failed) < 0.05:
        return STAY_IN_BED
    leave = best.outlook.set_out_utc
    when = f", leaving home at {clock(leave, zone_name)}" if leave is not None else ""
    return OtherPlan(
        spot=best.outlook.spot,
        wood=best.outlook.wood,
        walk_min=None,
        words=f"instead of the first, decided at home{when}; "
        f"{chance_in_words(_given(best.overlap.met, failed))} when {first.outlook.spot} fails",
    )


def _given(met: BoolArray, failed: BoolArray) -> float:
    return float(met[failed].mean()) if failed.any() else float(met.mean())
