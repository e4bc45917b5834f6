"""The visiting order: our search against a general solver on the same walks, and its worst cases.

The peer is HiGHS through SciPy on a time-expanded network: every stay (spot, arrival, leaving)
and every way (from, leaving, to) is a yes-or-no variable. Both must find the same worth.
"""

import sys
import time

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from shivelight.basis.arrays import FloatArray
from shivelight.outing.plan import Plan, Walk, visiting_order
from shivelight.outing.plan_walk import WalkGrid

START = np.datetime64("2027-11-03T06:30", "us")
MEMBERS = 50


def windows(count: int, slots: int, random: np.random.Generator) -> FloatArray:
    """Two windows for each spot, as shares of members."""
    worth = np.zeros((count, slots))
    for spot in range(count):
        for _ in range(2):
            first = random.integers(0, slots - 3)
            share = random.integers(3, 45) / MEMBERS
            worth[spot, first : first + random.integers(2, 10)] = share
    return worth


def noise(count: int, slots: int, random: np.random.Generator) -> FloatArray:
    """Any share in any slot."""
    return random.integers(0, MEMBERS + 1, (count, slots)) / MEMBERS


def turns(count: int, slots: int, random: np.random.Generator) -> FloatArray:
    """Two spots take turns in being best, and most others do well: repeats tempt."""
    phase = np.arange(slots) // 5 + np.arange(count)[:, None]
    return np.where(phase % 2, random.integers(40, 50, (count, slots)) / MEMBERS, 0.1)


def a_walk(
    worth: FloatArray,
    seed: int,
    *,
    metres: float = 1200.0,
    set_up_s: float = 600.0,
    tick_s: float = 60.0,
) -> Walk:
    random = np.random.default_rng(seed)
    count = len(worth)
    place = random.uniform(0.0, metres, (count + 1, 2))
    walk_m = np.hypot(*(place[:, None] - place[None]).transpose(2, 0, 1))
    return Walk(
        spots=tuple(f"spot {number:02d}" for number in range(count)),
        start_utc=START,
        worth=worth,
        walk_s=walk_m / 0.9 * random.uniform(1.0, 1.3, walk_m.shape),
        walk_m=walk_m,
        earliest_start_utc=START - np.timedelta64(20, "m"),
        set_up_s=set_up_s,
        tick_s=tick_s,
    )


def timed(walk: Walk) -> tuple[float, Plan]:
    best = np.inf
    for _ in range(3):
        start = time.perf_counter()
        plan = visiting_order(walk)
        best = min(best, time.perf_counter() - start)
    return best, plan


class Network:
    """The time-expanded network of a walk as a mixed-integer program."""

    def __init__(self, walk: Walk) -> None:
        self.grid = WalkGrid(walk).grid
        self.nodes = self.grid.spots * (self.grid.ticks + 1)
        self.once = 2 * self.nodes  # rows that allow each spot once, and one way from the car
        self.worth: list[float] = []
        self.entries: list[tuple[int, int, float]] = []  # row, column, value
        for spot in range(self.grid.spots):
            if 0 <= self.grid.first[spot] <= self.grid.ticks:
                start = self.arrive(spot, int(self.grid.first[spot]))
                self.add(0.0, (start, -1.0), (self.once + self.grid.spots, 1.0))
            self.stays(spot)
            self.ways(spot)

    def arrive(self, spot: int, tick: int) -> int:
        return spot * (self.grid.ticks + 1) + tick

    def leave(self, spot: int, tick: int) -> int:
        return self.nodes + self.arrive(spot, tick)

    def add(self, worth: float, *parts: tuple[int, float]) -> None:
        self.entries += [(row, len(self.worth), value) for row, value in parts]
        self.worth.append(worth)

    def stays(self, spot: int) -> None:
        least, set_up = int(self.grid.stay[spot]), self.grid.set_up
        gathered = self.grid.gathered[spot]
        for came in range(self.grid.ticks + 1 - set_up - least):
            for left in range(came + set_up + least, self.grid.ticks + 1):
                self.add(
                    float(gathered[left] - gathered[came + set_up]),
                    (self.arrive(spot, came), 1.0),
                    (self.leave(spot, left), -1.0),
                    (self.once + spot, 1.0),
                )

    def ways(self, spot: int) -> None:
        for left in range(self.grid.ticks + 1):
            if left <= self.grid.last[spot]:
                self.add(0.0, (self.leave(spot, left), 1.0))
            for there in range(self.grid.spots):
                way = int(self.grid.walk[spot, there])
                if way >= 0 and left + way <= self.grid.ticks:
                    self.add(
                        0.0, (self.leave(spot, left), 1.0), (self.arrive(there, left + way), -1.0)
                    )


def peer_worth_min(walk: Walk) -> float:
    """Best worth by HiGHS, proved."""
    network = Network(walk)
    rows, columns, values = (np.array(part) for part in zip(*network.entries, strict=True))
    flows, counts, size = network.once, network.grid.spots + 1, len(network.worth)
    matrix = coo_array((values, (rows, columns)), shape=(flows + counts, size)).tocsr()
    gains = np.array(network.worth) / WalkGrid(walk).scale / 1e6 * walk.tick_s / 60.0
    answer = milp(
        -gains,
        constraints=LinearConstraint(
            matrix,
            np.concatenate([np.zeros(flows), np.full(counts, -np.inf)]),
            np.concatenate([np.zeros(flows), np.ones(counts)]),
        ),
        integrality=np.ones(size),
        bounds=Bounds(0.0, 1.0),
        options={"mip_rel_gap": 0.0, "time_limit": 120.0},
    )
    if answer.status != 0:
        raise RuntimeError(answer.message)
    return -float(answer.fun)


def against_the_peer() -> int:
    differ = 0
    for name, make in (("windows", windows), ("noise", noise), ("turns", turns)):
        for count in (6, 12):
            worth = make(count, 24, np.random.default_rng(count))
            walk = a_walk(worth, count, tick_s=300.0)
            ours_s, plan = timed(walk)
            start = time.perf_counter()
            peer_min = peer_worth_min(walk)
            peer_s = time.perf_counter() - start
            differ += abs(peer_min - plan.worth_min) > 1e-3
            print(
                f"{name:8} {count:2d} spots, 2 h in 5-minute steps: ours {ours_s * 1e3:6.1f} ms, "
                f"HiGHS {peer_s:6.2f} s, ratio {peer_s / ours_s:7.0f}; "
                f"worth {plan.worth_min:.2f} and {peer_min:.2f} min"
            )
    return differ


def worst_cases() -> None:
    for name, make in (("windows", windows), ("noise", noise), ("turns", turns)):
        for count, hours in ((12, 3), (20, 3), (20, 5)):
            runs = []
            for seed in range(5):
                worth = make(count, hours * 12, np.random.default_rng(seed))
                near = name == "turns"
                walk = a_walk(
                    worth, seed, metres=150.0 if near else 1200.0, set_up_s=0.0 if near else 600.0
                )
                runs.append(timed(walk))
            proved = sum(plan.proved for _, plan in runs)
            print(
                f"{name:8} {count:2d} spots, {hours} h in 1-minute steps: slowest of 5 "
                f"{max(took for took, _ in runs) * 1e3:7.1f} ms, "
                f"states up to {max(plan.states for _, plan in runs):9d}, proved {proved} of 5, "
                f"stops {min(len(plan.stops) for _, plan in runs)} to "
                f"{max(len(plan.stops) for _, plan in runs)}"
            )


def all_remembered() -> None:
    """Time the search with every spot remembered, the most that so many spots can cost."""
    from shivelight.outing.plan_search import value_to_go  # noqa: PLC0415  only here

    for count in (10, 12):
        grid = WalkGrid(a_walk(noise(count, 36, np.random.default_rng(1)), 1)).grid
        start = time.perf_counter()
        value_to_go(grid, tuple(range(count)))
        print(
            f"all {count} spots remembered, 3 h in 1-minute steps: "
            f"{time.perf_counter() - start:.2f} s, {(grid.ticks + 1) * count << count} states"
        )


if __name__ == "__main__":
    visiting_order(a_walk(windows(3, 24, np.random.default_rng(0)), 0))  # compile
    wrong = against_the_peer()
    worst_cases()
    all_remembered()
    sys.exit(wrong)
