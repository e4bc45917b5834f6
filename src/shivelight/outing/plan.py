"""In which order to visit the spots of one wood, by exact search over arrival times.

The walk begins at the parking place. A spot gives its worth (the chance that all its musts hold)
minute by minute while one stands there set up; coming early, waiting and leaving a spot out are
all allowed. The plan has the most expected minutes of met wishes; among equals the least way,
then the fewest stops, then the names in order.

The search remembers which spots were visited only for those spots that a laxer search, one that
lets spots be visited again, did visit again. When it visits none twice its answer is the best
plan, proved; see ``docs/decisions/0005-visiting-order.md``.

References
----------
.. [1] N. Christofides, A. Mingozzi, P. Toth, State-space relaxation procedures for the
   computation of bounds to routing problems, Networks 11, 145-164 (1981).
.. [2] G. Righini, M. Salani, New dynamic programming algorithms for the resource constrained
   elementary shortest path problem, Networks 51, 155-170 (2008).
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from shivelight.outing.plan_search import best_path, times_in_order
from shivelight.outing.plan_walk import Walk, WalkGrid, span

__all__ = ["MOST_STATES", "Plan", "Stop", "Walk", "visiting_order"]

MOST_STATES = 40_000_000
"""Search states held at most (eight bytes each); beyond, the plan comes with a bound instead."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One stop of the plan.

    Attributes
    ----------
    spot : str
        Where.
    walk_s : float
        The way there from the stop before, or from the car. [s]
    arrive_utc, ready_utc, leave_utc : datetime64
        There, set up, and away again.
    worth_min : float
        Expected minutes of met wishes. [min]
    """

    spot: str
    walk_s: float
    arrive_utc: np.datetime64
    ready_utc: np.datetime64
    leave_utc: np.datetime64
    worth_min: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """The best walk found.

    Attributes
    ----------
    stops : tuple of Stop
        In order; empty when nothing is worth going for, or nothing fits.
    worth_min, bound_min : float
        Expected minutes of met wishes, and what no plan in the same steps exceeds; equal when
        proved. [min]
    proved : bool
        Whether the search was carried through.
    set_out_utc, back_utc : datetime64 or None
        Leaving the car and back at it; None without stops or without a way back.
    way_m : float
        Metres walked, the way back with them; seconds where no distances were given.
    states : int
        Search states held at most.
    """

    stops: tuple[Stop, ...]
    worth_min: float
    bound_min: float
    proved: bool
    set_out_utc: np.datetime64 | None
    back_utc: np.datetime64 | None
    way_m: float
    states: int


def visiting_order(problem: Walk, *, most_states: int = MOST_STATES) -> Plan:
    """Find the walk with the most expected minutes of met wishes.

    Parameters
    ----------
    problem : Walk
        Spots, worth, ways and limits.
    most_states : int
        Search states allowed; a search that needs more stops with ``proved`` False, its best
        plan so far and an upper bound.

    Returns
    -------
    Plan
        The same for the same input, whatever the order of the spots.
    """
    made = WalkGrid(problem)
    grid = made.grid
    remembered: tuple[int, ...] = ()
    best: tuple[int, tuple[int, ...]] = (0, ())
    while True:
        states = (grid.ticks + 1) * grid.spots << len(remembered)
        bound, path = best_path(grid, remembered)
        order = tuple(dict.fromkeys(path))
        if order:
            best = max(best, (times_in_order(grid, order)[0], order), key=lambda one: one[0])
        again = {spot for spot in path if path.count(spot) > 1}
        if not again or states << len(again) > most_states:
            break
        remembered = tuple(sorted({*remembered, *again}))
    stops = _stops(made, best[1])
    home = best[1][-1] + 1 if best[1] else 0
    home_s = float(made.seconds[home, 0])
    nodes = [0, *(spot + 1 for spot in best[1]), 0]
    return Plan(
        stops=stops,
        worth_min=sum(stop.worth_min for stop in stops),
        bound_min=made.minutes(bound),
        proved=not again,
        set_out_utc=stops[0].arrive_utc - span(stops[0].walk_s) if stops else None,
        back_utc=stops[-1].leave_utc + span(home_s) if stops and home_s >= 0.0 else None,
        way_m=float(sum(made.ways[a, b] for a, b in pairwise(nodes))) if stops else 0.0,
        states=states,
    )


def _stops(made: WalkGrid, order: tuple[int, ...]) -> tuple[Stop, ...]:
    """Read the stops of an order off the grid."""
    if not order:
        return ()
    _, times = times_in_order(made.grid, order)
    stops = []
    before = 0
    for spot, (arrive, leave) in zip(order, times, strict=True):
        ready = arrive + made.grid.set_up
        gathered = made.grid.gathered[spot]
        stops.append(
            Stop(
                spot=made.walk.spots[made.used[spot]],
                walk_s=float(made.seconds[before, spot + 1]),
                arrive_utc=made.utc_at(arrive),
                ready_utc=made.utc_at(ready),
                leave_utc=made.utc_at(leave),
                worth_min=made.minutes(int(gathered[leave] - gathered[ready])),
            )
        )
        before = spot + 1
    return tuple(stops)
