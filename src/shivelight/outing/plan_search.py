"""The search behind the visiting order: value to go, a path through it, times for an order.

Time is cut into ticks. Everything is whole numbers: a score is expected worth first, then less
way, then fewer stops, packed into one integer, so that ties are ties and nothing is lost to
rounding. ``Grid`` holds a walk in these terms; ``plan`` makes it and reads the answer.
"""

from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import BoolArray, IntArray, kernel

NEVER = -(2**62)
"""Score of what cannot be."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Grid:
    """A walk in ticks and scores; spots are in order of their names.

    Attributes
    ----------
    gathered : ndarray of int64, shape (N, T + 1)
        Score gathered at each spot from tick 0 up to each tick.
    walk, price : ndarray of int64, shape (N, N)
        Ticks and score it costs to go on to the next spot; −1 ticks where there is no way.
    first, first_price : ndarray of int64, shape (N,)
        Earliest tick at each spot from the parking place (−1 for no way), and its cost.
    last, home_price : ndarray of int64, shape (N,)
        Latest tick to leave for the car (−1 when too late), and the cost of the way there.
    set_up : int
        Ticks from arriving until pictures can be made.
    stay : ndarray of int64, shape (N,)
        Fewest ticks on the spot after that.
    """

    gathered: IntArray
    walk: IntArray
    price: IntArray
    first: IntArray
    first_price: IntArray
    last: IntArray
    home_price: IntArray
    set_up: int
    stay: IntArray

    @property
    def spots(self) -> int:
        """How many spots there are."""
        return int(self.gathered.shape[0])

    @property
    def ticks(self) -> int:
        """The last tick."""
        return int(self.gathered.shape[1]) - 1


@kernel
def _go_on_kernel(arrive: IntArray, best: IntArray, bit: int, price: int) -> None:
    """Raise the best score of each set by going on to one spot, whose arrivals are given."""
    for seen in range(best.shape[0]):
        if not seen & bit and arrive[seen | bit] > -(2**62):
            best[seen] = max(best[seen], arrive[seen | bit] - price)


@kernel
def _value_to_go_kernel(
    gathered: IntArray,
    walk: IntArray,
    price: IntArray,
    last: IntArray,
    home_price: IntArray,
    set_up: int,
    stay: IntArray,
    bit: IntArray,
    sets: int,
) -> IntArray:
    """Best score from each (spot, tick of arrival, spots remembered as visited) onward."""
    spots, length = gathered.shape
    never = -(2**62)
    arrive = np.full((spots, length, sets), never)
    leave = np.full((spots, sets), never)  # best of leaving now or later, running backward
    best = np.empty(sets, dtype=np.int64)
    for now in range(length - 1, -1, -1):
        for here in range(spots):
            ready = now - stay[here]
            if ready < set_up:
                continue
            best[:] = -home_price[here] if now <= last[here] else never
            for there in range(spots):
                way = walk[here, there]
                if way >= 0 and now + way < length:
                    _go_on_kernel(arrive[there, now + way], best, bit[there], price[here, there])
            for seen in range(sets):
                if bit[here] and not seen & bit[here]:
                    continue
                if best[seen] > never:
                    leave[here, seen] = max(leave[here, seen], best[seen] + gathered[here, now])
                if leave[here, seen] > never:
                    came = leave[here, seen] - gathered[here, ready]
                    arrive[here, ready - set_up, seen] = came
    return arrive


def value_to_go(grid: Grid, remembered: tuple[int, ...]) -> IntArray:
    """Best score from every arrival onward, remembering only some spots as visited.

    Spots that are not remembered may be visited again, so the result is an upper bound of the
    score with every spot visited once at most; with all remembered it is that score.

    Parameters
    ----------
    grid : Grid
        The walk.
    remembered : tuple of int
        Spots of which it is remembered whether they were visited.

    Returns
    -------
    ndarray of int64, shape (2 ** len(remembered), N, T + 1)
        By set of remembered spots visited (the present one among them), spot and tick of
        arrival; :data:`NEVER` where no plan fits.
    """
    by_spot = _value_to_go_kernel(
        grid.gathered,
        grid.walk,
        grid.price,
        grid.last,
        grid.home_price,
        grid.set_up,
        grid.stay,
        bits(grid, remembered),
        1 << len(remembered),
    )
    return np.moveaxis(by_spot, 2, 0)  # the sets lie together in memory, for speed


def bits(grid: Grid, remembered: tuple[int, ...]) -> IntArray:
    """One bit for each remembered spot, 0 for the others; shape (N,)."""
    bit = np.zeros(grid.spots, dtype=np.int64)
    for place, spot in enumerate(remembered):
        bit[spot] = 1 << place
    return bit


def best_path(grid: Grid, remembered: tuple[int, ...]) -> tuple[int, tuple[int, ...]]:
    """Best score and the spots in order, first by name among equals; may repeat spots."""
    arrive, bit = value_to_go(grid, remembered), bits(grid, remembered)
    starts = np.full(grid.spots, NEVER)
    for spot in range(grid.spots):
        tick = grid.first[spot]
        if 0 <= tick <= grid.ticks and arrive[bit[spot], spot, tick] > NEVER:
            starts[spot] = arrive[bit[spot], spot, tick] - grid.first_price[spot]
    if not grid.spots or starts.max() <= 0:
        return 0, ()  # going nowhere
    here = int(np.argmax(starts))
    came = np.zeros(grid.ticks + 1, dtype=np.bool_)
    came[grid.first[here]] = True
    seen, path = int(bit[here]), [here]
    while True:
        leaving = _leaving_ticks(grid, arrive[seen, here], here, came)
        # All that leave with the best score: some end here, others go on; lengths cannot mix,
        # because the number of stops is part of the score.
        following = _following(grid, arrive, bit, (seen, here), leaving)
        if following is None:
            return int(starts.max()), tuple(path)
        here, came = following
        seen |= int(bit[here])
        path.append(here)


def _leaving_ticks(grid: Grid, worth: IntArray, here: int, came: BoolArray) -> dict[int, set[int]]:
    """For each tick of leaving, the scores of going on that would make it one of the best."""
    found: dict[int, set[int]] = {}
    for tick in np.flatnonzero(came):
        ready = int(tick) + grid.set_up
        aim = int(worth[tick]) + int(grid.gathered[here, ready])
        for leave in range(ready + int(grid.stay[here]), grid.ticks + 1):
            found.setdefault(leave, set()).add(aim - int(grid.gathered[here, leave]))
    return found


def _following(
    grid: Grid, arrive: IntArray, bit: IntArray, at: tuple[int, int], leaving: dict[int, set[int]]
) -> tuple[int, BoolArray] | None:
    """Next spot, first by name, with the ticks of coming there; None when the walk ends."""
    seen, here = at
    for there in range(grid.spots):
        way = int(grid.walk[here, there])
        if way < 0 or seen & bit[there]:
            continue
        came = np.zeros(grid.ticks + 1, dtype=np.bool_)
        for leave, aims in leaving.items():
            if leave + way > grid.ticks:
                continue
            onward = int(arrive[seen | int(bit[there]), there, leave + way])
            came[leave + way] = onward > NEVER and onward - int(grid.price[here, there]) in aims
        if came.any():
            return there, came
    return None


def times_in_order(grid: Grid, order: tuple[int, ...]) -> tuple[int, tuple[tuple[int, int], ...]]:
    """Best score of visiting spots in a given order, with ticks of arriving and leaving.

    Nothing is lost by the times chosen: one leaves each spot as early and comes to the first
    spot as late as the best score allows. The score is :data:`NEVER`, with no times, when the
    order does not fit.
    """
    worth = np.full((len(order), grid.ticks + 1), NEVER)  # by tick of arrival
    going_on = np.full((len(order), grid.ticks + 1), NEVER)  # by tick of leaving
    for stop in range(len(order) - 1, -1, -1):
        here = order[stop]
        _go_on(grid, order, stop, worth=worth, going_on=going_on)
        total = np.where(going_on[stop] > NEVER, going_on[stop] + grid.gathered[here], NEVER)
        best = np.maximum.accumulate(total[::-1])[::-1]
        least = grid.set_up + int(grid.stay[here])
        came = np.arange(max(grid.ticks + 1 - least, 0))
        fits = best[came + least] > NEVER
        gained = best[came + least] - grid.gathered[here, came + grid.set_up]
        worth[stop, came] = np.where(fits, gained, NEVER)
    start = int(grid.first[order[0]])
    if not 0 <= start <= grid.ticks or worth[0, start] == NEVER:
        return NEVER, ()
    came_at = int(np.flatnonzero(worth[0] == worth[0, start])[-1])
    times = []
    for stop, here in enumerate(order):
        ready = came_at + grid.set_up
        aim = worth[stop, came_at] + grid.gathered[here, ready]
        leaves = np.flatnonzero(
            (going_on[stop] > NEVER) & (going_on[stop] + grid.gathered[here] == aim)
        )
        leave = int(leaves[leaves >= ready + grid.stay[here]][0])
        times.append((came_at, leave))
        if stop + 1 < len(order):
            came_at = leave + int(grid.walk[here, order[stop + 1]])
    return int(worth[0, start] - grid.first_price[order[0]]), tuple(times)


def _go_on(
    grid: Grid, order: tuple[int, ...], stop: int, *, worth: IntArray, going_on: IntArray
) -> None:
    """Fill the score of leaving a stop at each tick: home from the last, else to the next."""
    here = order[stop]
    if stop == len(order) - 1:
        going_on[stop, : int(grid.last[here]) + 1] = -grid.home_price[here]
        return
    there = order[stop + 1]
    way = int(grid.walk[here, there])
    if 0 <= way <= grid.ticks:
        onward = worth[stop + 1, way:]
        fits = onward > NEVER
        going_on[stop, : onward.size] = np.where(fits, onward - grid.price[here, there], NEVER)
