"""A wood's own record: what was said, what was found, and evenings like this one."""

import math
from dataclasses import dataclass

from shivelight.basis.chances import Count
from shivelight.outing.found import Found, SaidFound, said_against_found

LIKE_THIS_LOG_ODDS = 0.75
"""Evenings are alike when their chances lie within about a factor two of the odds: a judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodRecord:
    """What a wood's log says beside the model.

    Attributes
    ----------
    fair_mornings : int
        Logged mornings that had a chance said before and were not looked at because of mist.
    like_this : Count
        Mist found on evenings whose forecast chance was about the same as this one's.
    counts : SaidFound
        Said against found over all of them.
    """

    fair_mornings: int
    like_this: Count
    counts: SaidFound


def record_of(pairs: list[tuple[float, Found]], *, forecast_frac: float) -> WoodRecord:
    """Count a wood's fair mornings, and those on evenings like this one.

    Parameters
    ----------
    pairs : list of (chance_frac, Found)
        The forecast's chance of mist as given the evening before, and what was found.
    forecast_frac : float
        This evening's forecast chance for the wood.
    """
    fair = [(chance, log) for chance, log in pairs if log.why_looked != "mist seen"]
    near = [
        log.was_misty
        for chance, log in fair
        if abs(_log_odds(chance) - _log_odds(forecast_frac)) <= LIKE_THIS_LOG_ODDS
    ]
    return WoodRecord(
        fair_mornings=len(fair),
        like_this=Count(found=sum(near), mornings=len(near)),
        counts=said_against_found(pairs),
    )


def _log_odds(chance_frac: float) -> float:
    held = min(max(chance_frac, 0.01), 0.99)
    return math.log(held / (1.0 - held))
