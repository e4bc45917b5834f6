"""The visiting order the slow way: every order of every choice of spots, every time of leaving."""

import itertools
import math
from collections.abc import Iterator
from fractions import Fraction

import numpy as np

from shivelight.outing.plan import Walk

Answer = tuple[Fraction, int, int, tuple[str, ...]]


def best_by_trying_all(walk: Walk) -> Answer:
    """Worth [min], metres, stops and names of the best plan; nothing when nothing is worth it."""
    names = [name for name, worth in zip(walk.spots, walk.worth, strict=True) if worth.any()]
    best: Answer = (Fraction(0), 0, 0, ())
    for stops in range(1, len(names) + 1):
        for order in itertools.permutations(names, stops):
            for worth in _worths(walk, order):
                found = (worth, _metres(walk, order), stops, order)
                if worth > 0 and _is_better(found, best):
                    best = found
    return best


def _is_better(found: Answer, best: Answer) -> bool:
    return (-found[0], *found[1:]) < (-best[0], *best[1:])


def _node(walk: Walk, name: str) -> int:
    return walk.spots.index(name) + 1


def _metres(walk: Walk, order: tuple[str, ...]) -> int:
    ways = np.where(
        np.isnan(walk.walk_s), np.nan, walk.walk_s if walk.walk_m is None else walk.walk_m
    )
    nodes = [0, *(_node(walk, name) for name in order), 0]
    legs = [ways[a, b] for a, b in itertools.pairwise(nodes)]
    return sum(0 if math.isnan(leg) else round(leg) for leg in legs)


def _worths(walk: Walk, order: tuple[str, ...]) -> Iterator[Fraction]:
    """Worth of the order for every way to spend the time; ticks count from ``start_utc``."""
    early_s = float((walk.earliest_start_utc - walk.start_utc) / np.timedelta64(1, "s"))
    leg_s = walk.walk_s[0, _node(walk, order[0])]
    if math.isnan(leg_s):
        return
    first = math.ceil((early_s + leg_s) / walk.tick_s)
    end = round(walk.worth.shape[1] * walk.slot_s / walk.tick_s)
    # Beyond the longest stay after the last slot there is nothing to come or stay for.
    stays = np.broadcast_to(np.asarray(walk.stay_s), (len(walk.spots),))
    horizon = end + math.ceil(stays.max() / walk.tick_s)
    # Coming so early that one is set up before the first slot is no use, and only slows this.
    set_up = math.ceil(walk.set_up_s / walk.tick_s)
    for arrive in range(max(first, -set_up), horizon + 1):
        yield from _from_arrival(walk, order, arrive, horizon)


def _from_arrival(
    walk: Walk, order: tuple[str, ...], arrive: int, horizon: int
) -> Iterator[Fraction]:
    here = _node(walk, order[0])
    stays = np.broadcast_to(np.asarray(walk.stay_s), (len(walk.spots),))
    ready = arrive + math.ceil(walk.set_up_s / walk.tick_s)
    earliest = ready + math.ceil(stays[here - 1] / walk.tick_s)
    for leave in range(earliest, horizon + 1):
        gained = sum(
            (_worth_at(walk, here - 1, tick) for tick in range(ready, leave)), Fraction(0)
        )
        if len(order) == 1:
            if _is_back(walk, here, leave):
                yield gained
            continue
        leg_s = walk.walk_s[here, _node(walk, order[1])]
        if not math.isnan(leg_s):
            there = leave + math.ceil(leg_s / walk.tick_s)
            for more in _from_arrival(walk, order[1:], there, horizon):
                yield gained + more


def _worth_at(walk: Walk, spot: int, tick: int) -> Fraction:
    slot = math.floor(tick * walk.tick_s / walk.slot_s)
    if not 0 <= slot < walk.worth.shape[1]:
        return Fraction(0)
    per_minute = Fraction(round(walk.worth[spot, slot] * 1_000_000), 1_000_000)
    return per_minute * Fraction(walk.tick_s) / 60


def _is_back(walk: Walk, here: int, leave: int) -> bool:
    if walk.back_by_utc is None:
        return True
    left_s = float((walk.back_by_utc - walk.start_utc) / np.timedelta64(1, "s"))
    return bool(leave * walk.tick_s + walk.walk_s[here, 0] <= left_s)  # NaN: no way back
