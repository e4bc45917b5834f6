"""The visiting order: the best plan, against trying everything, and what must always hold."""

import itertools
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, OutOfRangeError
from shivelight.outing.plan import Plan, Walk, visiting_order
from shivelight.outing.plan_search import NEVER, best_path, times_in_order, value_to_go
from shivelight.outing.plan_walk import WalkGrid
from tests.plain.visiting_order import best_by_trying_all

START = np.datetime64("2027-11-03T06:30", "us")
SPOTS = ("Plumb and Lean", "Root Stair", "White Post Gap", "Two Waters", "Rope and Fern")


def minutes(count: float) -> np.timedelta64:
    return np.timedelta64(round(count * 60e6), "us")


def a_walk(worth: Any, *, leg_min: float = 5.0, **more: Any) -> Walk:
    """Make a walk with all ways equally long, names from the demo valley."""
    values = np.array(worth, dtype=np.float64)
    count = len(values)
    base: dict[str, Any] = {
        "spots": SPOTS[:count],
        "start_utc": START,
        "worth": values,
        "walk_s": np.full((count + 1, count + 1), leg_min * 60.0),
        "earliest_start_utc": START - minutes(60),
    }
    return Walk(**(base | more))


def slots(*spans: tuple[int, int, float], length: int = 24) -> FloatArray:
    """Worth by five-minute slot: (first slot, slot after the last, worth)."""
    values = np.zeros(length)
    for first, after, worth in spans:
        values[first:after] = worth
    return values


@st.composite
def small_walks(draw: st.DrawFn) -> Walk:
    """Draw up to three spots and few slots, so that everything can be tried."""
    count = draw(st.integers(1, 3))
    length = draw(st.integers(3, 9))
    tenths = st.integers(0, 10).map(lambda tenth: tenth / 10.0)
    often = st.one_of(st.just(0.0), tenths)
    worth = [draw(st.lists(often, min_size=length, max_size=length)) for _ in range(count)]
    legs = st.one_of(st.integers(0, 25).map(lambda leg: leg * 60.0), st.just(float("nan")))
    size = count + 1
    walk_s = draw(st.lists(legs, min_size=size * size, max_size=size * size))
    walk_m = draw(st.lists(st.integers(0, 5), min_size=size * size, max_size=size * size))
    back = draw(st.one_of(st.none(), st.integers(10, 90)))
    return Walk(
        spots=tuple(draw(st.permutations(SPOTS[:count]))),
        start_utc=START,
        worth=np.array(worth),
        walk_s=np.array(walk_s).reshape(size, size),
        walk_m=draw(st.sampled_from([None, np.array(walk_m, dtype=float).reshape(size, size)])),
        earliest_start_utc=START + minutes(draw(st.integers(-40, 30))),
        stay_s=np.array([draw(st.sampled_from([300.0, 600.0, 1200.0])) for _ in range(count)]),
        set_up_s=draw(st.sampled_from([0.0, 300.0, 600.0])),
        tick_s=300.0,
        back_by_utc=None if back is None else START + minutes(back),
    )


@given(walk=small_walks())
@settings(max_examples=150, deadline=None)
def test_no_order_and_no_waiting_is_better(walk: Walk) -> None:
    plan = visiting_order(walk)
    worth, metres, stops, order = best_by_trying_all(walk)
    assert plan.worth_min == pytest.approx(float(worth), abs=1e-9)
    assert plan.bound_min == pytest.approx(float(worth), abs=1e-9)
    assert plan.proved
    assert (round(plan.way_m), len(plan.stops)) == (metres, stops)
    assert tuple(stop.spot for stop in plan.stops) == order


def test_four_spots_where_all_orders_were_tried() -> None:
    random = np.random.default_rng(4)
    for turns in ([0, 2, 4, 5], [4, 0, 1, 3], [1, 1, 4, 4]):
        walk = a_walk(
            [slots((turn, turn + 3, 0.1 * random.integers(3, 9)), length=7) for turn in turns],
            walk_s=random.integers(0, 6, (5, 5)) * 60.0,
            walk_m=random.integers(1, 9, (5, 5)) * 10.0,
            stay_s=300.0,
            set_up_s=0.0,
            tick_s=300.0,
        )
        plan = visiting_order(walk)
        worth, metres, _, order = best_by_trying_all(walk)
        assert plan.worth_min == pytest.approx(float(worth), abs=1e-9)
        assert (round(plan.way_m), tuple(stop.spot for stop in plan.stops)) == (metres, order)
        assert len(order) > 1  # the case is no trivial one


@st.composite
def walks(draw: st.DrawFn) -> Walk:
    """Draw up to seven spots in one-minute steps, with windows."""
    seed = draw(st.integers(0, 2**32 - 1))
    random = np.random.default_rng(seed)
    count = draw(st.integers(1, 7))
    worth = np.zeros((count, 30))
    for spot, _ in itertools.product(range(count), range(2)):
        first = random.integers(0, 26)
        worth[spot, first : first + random.integers(2, 8)] = random.uniform(0.05, 1.0)
    place = random.uniform(0.0, 900.0, (count + 1, 2))
    walk_m = np.hypot(*(place[:, None] - place[None]).transpose(2, 0, 1))
    return Walk(
        spots=tuple(f"spot {letter}" for letter in "gfedcba"[:count]),
        start_utc=START,
        worth=worth,
        walk_s=walk_m / random.uniform(0.7, 1.1, walk_m.shape),
        walk_m=walk_m,
        earliest_start_utc=START - minutes(int(random.integers(0, 60))),
        set_up_s=draw(st.sampled_from([0.0, 300.0, 600.0])),
        back_by_utc=draw(st.sampled_from([None, START + minutes(120)])),
    )


@given(walk=walks())
@settings(max_examples=60, deadline=None)
def test_remembering_only_some_spots_loses_nothing(walk: Walk) -> None:
    plan = visiting_order(walk)
    everything = _with_all_remembered(walk)
    assert plan.proved
    assert plan.bound_min == pytest.approx(plan.worth_min, abs=1e-9)
    assert plan.worth_min == pytest.approx(everything, abs=1e-9)


def _with_all_remembered(walk: Walk) -> float:
    made = WalkGrid(walk)
    score, path = best_path(made.grid, tuple(range(made.grid.spots)))
    assert len(set(path)) == len(path)
    return made.minutes(score)


@given(walk=walks())
@settings(max_examples=60, deadline=None)
def test_a_plan_can_be_walked_and_its_worth_adds_up(walk: Walk) -> None:
    plan = visiting_order(walk)
    now, here, total = walk.earliest_start_utc, 0, 0.0
    for stop in plan.stops:
        there = walk.spots.index(stop.spot) + 1
        assert stop.arrive_utc >= now + minutes(walk.walk_s[here, there] / 60.0)
        assert stop.ready_utc == stop.arrive_utc + minutes(walk.set_up_s / 60.0)
        assert stop.leave_utc >= stop.ready_utc + minutes(20)
        total += stop.worth_min
        assert stop.worth_min == pytest.approx(_minutes_there(walk, there - 1, stop), abs=1e-3)
        now, here = stop.leave_utc, there
    assert plan.worth_min == pytest.approx(total)
    if plan.stops and walk.back_by_utc is not None:
        assert plan.back_utc is not None
        assert plan.back_utc <= walk.back_by_utc


def _minutes_there(walk: Walk, spot: int, stop: Any) -> float:
    edges = walk.start_utc + np.arange(walk.worth.shape[1] + 1) * minutes(walk.slot_s / 60.0)
    inside: Any = np.clip(edges, stop.ready_utc, stop.leave_utc)
    lengths = (inside[1:] - inside[:-1]) / np.timedelta64(60, "s")
    return float(np.sum(lengths * walk.worth[spot]))


@given(walk=walks(), seed=st.integers(0, 1000))
@settings(max_examples=40, deadline=None)
def test_the_order_in_which_spots_are_given_does_not_matter(walk: Walk, seed: int) -> None:
    mixed = np.random.default_rng(seed).permutation(len(walk.spots))
    nodes = np.ix_([0, *(mixed + 1)], [0, *(mixed + 1)])
    assert walk.walk_m is not None
    other = replace(
        walk,
        spots=tuple(walk.spots[spot] for spot in mixed),
        worth=walk.worth[mixed],
        walk_s=walk.walk_s[nodes],
        walk_m=walk.walk_m[nodes],
    )
    assert visiting_order(other).stops == visiting_order(walk).stops


@given(walk=walks(), seed=st.integers(0, 1000))
@settings(max_examples=40, deadline=None)
def test_more_worth_never_makes_the_best_plan_worse(walk: Walk, seed: int) -> None:
    more = walk.worth + np.random.default_rng(seed).uniform(0.0, 0.3, walk.worth.shape)
    assert (
        visiting_order(replace(walk, worth=more)).worth_min
        >= visiting_order(walk).worth_min - 1e-3
    )


@given(walk=walks())
@settings(max_examples=40, deadline=None)
def test_finer_steps_find_as_much_or_more(walk: Walk) -> None:
    coarse = visiting_order(replace(walk, tick_s=60.0))
    fine = visiting_order(replace(walk, tick_s=20.0))
    assert fine.worth_min >= coarse.worth_min - 1e-6


def test_two_spots_whose_windows_follow_each_other_are_both_visited() -> None:
    plan = visiting_order(a_walk([slots((0, 6, 0.6)), slots((10, 16, 0.8))], leg_min=8.0))
    first, second = plan.stops
    assert (first.spot, second.spot) == ("Plumb and Lean", "Root Stair")
    assert first.ready_utc == START
    assert first.leave_utc == START + minutes(30)
    assert second.arrive_utc == START + minutes(38)
    assert plan.worth_min == pytest.approx(30 * 0.6 + 30 * 0.8)
    assert plan.set_out_utc == START - minutes(18)
    assert plan.back_utc is not None
    assert plan.back_utc == second.leave_utc + minutes(8)


def test_of_two_windows_at_once_the_likelier_is_chosen() -> None:
    plan = visiting_order(a_walk([slots((4, 8, 0.3)), slots((4, 8, 0.5))]))
    assert [stop.spot for stop in plan.stops] == ["Root Stair"]
    assert plan.worth_min == pytest.approx(10.0)


def test_setting_up_counts_for_nothing() -> None:
    late = a_walk([slots((0, 4, 1.0), length=4)], earliest_start_utc=START, leg_min=0.0)
    assert visiting_order(late).worth_min == pytest.approx(10.0)
    assert visiting_order(replace(late, set_up_s=0.0)).worth_min == pytest.approx(20.0)


def test_a_spot_without_worth_is_left_out() -> None:
    plan = visiting_order(a_walk([slots(), slots((3, 9, 0.4))]))
    assert [stop.spot for stop in plan.stops] == ["Root Stair"]


@pytest.mark.parametrize("count", [0, 2])
def test_nothing_to_go_for_is_a_full_answer(count: int) -> None:
    plan = visiting_order(a_walk(np.zeros((count, 12))))
    assert plan == Plan(
        stops=(), worth_min=0.0, bound_min=0.0, proved=True,
        set_out_utc=None, back_utc=None, way_m=0.0, states=plan.states,
    )  # fmt: skip


def test_too_little_time_before_going_back_is_a_full_answer() -> None:
    plan = visiting_order(a_walk([slots((0, 24, 1.0))], back_by_utc=START + minutes(20)))
    assert plan.stops == ()
    assert plan.proved


def test_the_way_back_is_kept_to_the_minute() -> None:
    walk = a_walk([slots((0, 24, 1.0))], back_by_utc=START + minutes(60))
    plan = visiting_order(walk)
    assert plan.back_utc == START + minutes(60)
    assert plan.worth_min == pytest.approx(55.0)


def test_no_way_back_forbids_a_spot_only_when_there_is_a_time_to_be_back() -> None:
    walk_s = np.full((2, 2), 300.0)
    walk_s[1, 0] = np.nan
    walk = a_walk([slots((0, 24, 1.0))], walk_s=walk_s)
    assert visiting_order(walk).back_utc is None
    assert visiting_order(walk).worth_min == pytest.approx(120.0)
    assert visiting_order(replace(walk, back_by_utc=START + minutes(200))).stops == ()


def test_equal_plans_are_told_apart_by_way_and_then_by_name() -> None:
    same = [slots((4, 8, 0.5)), slots((4, 8, 0.5))]
    assert visiting_order(a_walk(same)).stops[0].spot == "Plumb and Lean"
    walk_m = np.array([[0.0, 900.0, 300.0], [900.0, 0.0, 100.0], [300.0, 100.0, 0.0]])
    shorter = visiting_order(a_walk(same, walk_m=walk_m))
    assert shorter.stops[0].spot == "Root Stair"
    assert shorter.way_m == 600.0


def test_every_leg_counts_when_equals_are_told_apart() -> None:
    same = [slots((4, 8, 0.5)), slots((4, 8, 0.5))]
    out = np.array([[0.0, 9.0, 1.0], [5.0, 0.0, 1.0], [5.0, 1.0, 0.0]])
    assert visiting_order(a_walk(same, walk_m=out)).stops[0].spot == "Root Stair"
    assert visiting_order(a_walk(same, walk_m=out.T)).stops[0].spot == "Root Stair"


def test_the_first_name_wins_at_every_stop() -> None:
    worth = [slots((14, 20, 0.5)), slots((14, 20, 0.5)), slots((0, 6, 0.9))]
    plan = visiting_order(a_walk(worth))
    assert [stop.spot for stop in plan.stops] == ["White Post Gap", "Plumb and Lean"]


def test_of_equal_plans_the_one_with_fewer_stops_is_taken() -> None:
    worth = [slots((4, 8, 0.5)), slots((0, 8, 0.5))]
    plan = visiting_order(a_walk(worth, leg_min=0.0, set_up_s=0.0))
    assert [stop.spot for stop in plan.stops] == ["Root Stair"]


def test_a_way_that_is_shorter_in_one_direction_is_used_in_that_direction() -> None:
    # Both spots wish for the same hour and a half; downhill between them takes 5 minutes, up 25.
    walk_s = 60.0 * np.array([[0, 10, 10], [10, 0, 25], [10, 5, 0]])
    plan = visiting_order(a_walk([slots((0, 7, 0.5)), slots((0, 18, 0.5))], walk_s=walk_s))
    alone = visiting_order(a_walk([slots((0, 18, 0.5))], walk_s=walk_s[:2, :2]))
    assert plan.worth_min >= alone.worth_min
    both = a_walk(
        [slots((12, 18, 0.9)), slots((0, 9, 0.9))], walk_s=walk_s, stay_s=[1200.0, 2700.0]
    )
    assert [stop.spot for stop in visiting_order(both).stops] == ["Root Stair", "Plumb and Lean"]
    assert visiting_order(both).worth_min == pytest.approx((45 + 30) * 0.9)


def tempting_walk() -> Walk:
    """Two spots take turns in being best, so that a lax search goes to and fro."""
    worth = np.full((5, 24), 0.5)
    worth[0] = np.where(np.arange(24) // 4 % 2, 0.9, 0.1)
    worth[1] = np.where(np.arange(24) // 4 % 2, 0.1, 0.9)
    return a_walk(worth, leg_min=1.0, set_up_s=0.0)


def test_a_search_cut_short_gives_a_plan_and_an_upper_bound() -> None:
    cut = visiting_order(tempting_walk(), most_states=1)
    full = visiting_order(tempting_walk())
    assert not cut.proved
    assert full.proved
    assert cut.worth_min <= full.worth_min <= cut.bound_min
    assert cut.stops
    assert cut.bound_min > full.bound_min
    assert len({stop.spot for stop in full.stops}) == len(full.stops)


def test_remembering_more_spots_only_lowers_the_bound() -> None:
    grid = WalkGrid(tempting_walk()).grid
    bounds = [best_path(grid, tuple(range(count)))[0] for count in range(6)]
    assert bounds == sorted(bounds, reverse=True)
    assert bounds[0] > bounds[-1]


def test_value_to_go_never_grows_with_a_later_arrival() -> None:
    grid = WalkGrid(tempting_walk()).grid
    onward = value_to_go(grid, (0, 1, 2, 3, 4))
    assert np.all(np.diff(onward, axis=2) <= 0)


def test_times_for_an_order_that_does_not_fit_are_none() -> None:
    grid = WalkGrid(a_walk([slots((0, 6, 0.6))], back_by_utc=START)).grid
    assert times_in_order(grid, (0,)) == (NEVER, ())


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"spots": ("Root Stair", "Root Stair")}, "names a spot twice"),
        ({"worth": np.full((2, 24), -0.1)}, "from 0 to 10"),
        ({"worth": np.full((2, 24), np.nan)}, "from 0 to 10"),
        ({"worth": np.zeros((3, 24))}, r"worth of the spots are an array of shape \(3, 24\)"),
        ({"walk_s": np.zeros((2, 2))}, r"walking times .* must be \(3, 3\)"),
        ({"walk_s": np.full((3, 3), -1.0)}, "0 s to 24 h"),
        ({"walk_m": np.zeros((2, 2))}, "walking distances"),
        ({"slot_s": 100.0}, "no multiple of the step"),
        ({"stay_s": 0.0}, "shortest stay"),
        ({"stay_s": [600.0]}, "shortest stay"),
    ],
)
def test_input_that_makes_no_sense_is_refused(change: dict[str, Any], words: str) -> None:
    with pytest.raises(BadInputError, match=words):
        replace(a_walk([slots(), slots()]), **change)


def test_numbers_outside_their_limits_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="set-up is -1 s"):
        a_walk([slots()], set_up_s=-1.0)
    with pytest.raises(OutOfRangeError, match="Take longer steps"):
        a_walk([slots()], tick_s=1.0)
