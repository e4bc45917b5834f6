"""On arrival: three taps re-rank the spots, with reasons and without surprises."""

import itertools
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import BadInputError, OutOfRangeError
from shivelight.outing.arrive import (
    AIR_TAPS,
    GROUND_TAPS,
    LIGHT_TAPS,
    MIST_TAPS,
    Answers,
    ArrivalChoice,
    SpotChance,
    arrival_table,
    rerank,
)
from shivelight.outing.arrive_spans import where_within
from shivelight.outing.wishes import EXAMPLES, parse_wish

ZONE = "Europe/London"


@dataclass(frozen=True)
class Lit:
    start_utc: np.datetime64
    end_utc: np.datetime64
    facing: str = "side"


def instant(day: str, time: str) -> np.datetime64:
    return np.datetime64(f"{day}T{time}", "us")


def a_spot(name: str, *, day: str = "2027-11-03", **more: Any) -> SpotChance:
    """Make a spot whose sun climbs from −8° at 06:30 to 12° at 09:50, a tenth a minute."""
    musts = [parse_wish(text, must=True) for text in more.pop("musts", ())]
    likes = [parse_wish(text, must=False) for text in more.pop("likes", ())]
    light = more.pop("light", ())
    lifts = more.pop("lifts", ())
    minutes = np.arange(0, 201, 5)
    base: dict[str, Any] = {
        "spot": name,
        "wood": "Wennick",
        "zone_name": ZONE,
        "wishes": (*musts, *likes),
        "light": tuple(
            Lit(instant(day, start), instant(day, end), *facing) for start, end, *facing in light
        ),
        "sun_utc": instant(day, "06:30") + minutes * np.timedelta64(1, "m"),
        "sun_altitude_deg": -8.0 + 0.1 * minutes,
        "lifts_utc": tuple(instant(day, time) for time in lifts),
    }
    return SpotChance(**(base | more))


def taps(
    mist: str = "none", air: str = "still", light: str = "clear", ground: str = ""
) -> Answers:
    return Answers(mist=mist, air=air, light=light, ground=ground)


def only(spot: SpotChance, answers: Answers, *, walk_min: float = 0.0) -> ArrivalChoice:
    at_utc = instant("2027-11-03", "07:00")
    return rerank([spot], answers, at_utc=at_utc, here=[walk_min * 60.0])[0]


def order_of(spots: list[SpotChance], answers: Answers, **more: Any) -> list[str]:
    here = more.pop("here", [600.0] * len(spots))
    choices = rerank(spots, answers, at_utc=instant("2027-11-03", "07:00"), here=here)
    return [choice.spot for choice in choices]


def test_plan_a_is_dead_on_14_january_and_the_hoar_is_first() -> None:
    # Acceptance scene 13 of the trade notes, 06:55: clear, still, frost.
    day = "2028-01-14"
    spots = [
        a_spot(
            "Two Waters", day=day, musts=["mist 50 to 300 m", "still air"],
            light=[("08:55", "11:00")], lifts=("08:40", "09:30", "10:30"),
        ),
        a_spot("Root Stair", day=day, musts=["ground wet", "sky overcast"]),
        a_spot(
            "Breath of the Bottom", day=day, wood="Coldshaw Bottom", ground="hoar",
            musts=["ground hoar or frost", "still air"], likes=["direct light"],
            light=[("09:10", "11:30")],
        ),
        a_spot("White Post Gap", day=day, musts=["mist 100 to 1000 m", "back light"],
               light=[("08:40", "09:20", "back")]),
    ]  # fmt: skip
    choices = rerank(
        spots,
        taps(mist="none", air="still", light="clear", ground="frost"),
        at_utc=instant(day, "06:55"),
        here=[180.0, 2400.0, 22 * 60.0, 900.0],
    )
    first = choices[0]
    assert first.spot == "Breath of the Bottom"
    assert first.wood == "Coldshaw Bottom"
    assert first.walk_min == 22.0
    assert "hoar falls soon after sun on it: 09:10" in first.why
    assert first.why.startswith("go now: hoar, still air")
    assert first.from_utc == instant(day, "07:17")
    assert first.until_utc == instant(day, "09:30")
    last = {choice.spot: choice for choice in choices[1:]}
    assert last["Two Waters"].why == "wants mist: none here"
    assert last["Root Stair"].why == "wants wet ground: frost here"
    assert all(choice.from_utc is None for choice in last.values())


def test_hoar_expected_by_the_evening_is_enough_when_nobody_looked_at_the_ground() -> None:
    spot = a_spot(
        "Breath of the Bottom", musts=["hoar"], ground="hoar", light=[("08:10", "09:00")]
    )
    assert "hoar falls soon after sun on it: 08:10" in only(spot, taps()).why
    assert only(replace(spot, ground=""), taps()).why == "ground not known: look"
    assert only(spot, taps(ground="dry")).why == "wants hoar: dry here"
    assert only(replace(spot, ground="frost"), taps()).why == "wants hoar: frost expected"


def test_hoar_on_which_the_sun_has_been_is_gone() -> None:
    spot = a_spot(
        "Breath of the Bottom", musts=["hoar"], ground="hoar", light=[("06:40", "09:00")]
    )
    assert only(spot, taps(), walk_min=25.0).why == "wants hoar: sun on it since 06:40"
    overcast = only(spot, taps(light="overcast"), walk_min=25.0)
    assert overcast.until_utc is None
    assert overcast.why == "go now: hoar"


@pytest.mark.parametrize(
    ("mist", "words"),
    [
        ("none", "wants mist: none here"),
        ("wisps", "wants mist 120 to 260 m: wisps here"),
        ("thin", "wants mist 120 to 260 m: thin here"),
        ("good", "go now: good mist; mist likely gone by 08:00"),
        ("thick", "go and wait: mist thinning from about 07:30; mist likely gone by 08:00"),
    ],
)
def test_a_wish_for_mist_is_held_against_the_word_for_it(mist: str, words: str) -> None:
    spot = a_spot("Plumb and Lean", musts=["mist 120 to 260 m"], lifts=("07:30", "08:00", "09:00"))
    assert only(spot, taps(mist=mist)).why == words


def test_the_limits_of_the_words_for_mist_belong_to_neither_neighbour() -> None:
    spot = a_spot("Two Waters", musts=["mist 100 to 300 m"], lifts=("07:30", "08:00", "09:00"))
    assert only(spot, taps("thin")).why == "wants mist 100 to 300 m: thin here"
    assert only(spot, taps("thick")).why.startswith("go and wait: mist thinning")


def test_a_wish_for_a_range_beyond_mist_outlives_the_mist() -> None:
    spot = a_spot("Far", musts=["mist 1 to 20 km"], lifts=("07:30", "08:00", "09:00"))
    assert only(spot, taps("wisps")).until_utc is None
    assert only(spot, taps("none")).why == "go now: mist 1000 to 20000 m"


def test_hoar_is_a_frost_and_frost_no_hoar() -> None:
    spot = a_spot("Breath of the Bottom", musts=["ground frost"])
    assert only(spot, taps(ground="hoar")).why == "go now: frost"
    hoar = a_spot("Breath of the Bottom", musts=["hoar"])
    assert only(hoar, taps(ground="frost")).why == "wants hoar: frost here"


def test_the_longest_of_several_windows_is_named() -> None:
    spot = a_spot(
        "White Post Gap", musts=["direct light"], light=[("07:05", "07:15"), ("08:00", "09:00")]
    )
    assert only(spot, taps()).from_utc == instant("2027-11-03", "08:00")


def test_mist_that_outstays_its_middle_time_is_given_until_the_latest() -> None:
    spot = a_spot("Two Waters", musts=["mist 50 to 300 m"], lifts=("06:00", "06:40", "08:20"))
    assert only(spot, taps("good")).until_utc == instant("2027-11-03", "08:20")
    past = replace(spot, lifts_utc=tuple(lift - np.timedelta64(3, "h") for lift in spot.lifts_utc))
    assert only(past, taps("good")).until_utc is None


def test_mist_that_is_gone_before_one_is_there_is_no_use() -> None:
    spot = a_spot("Two Waters", musts=["mist 50 to 300 m"], lifts=("07:10", "07:20", "07:30"))
    far = only(spot, taps("good"), walk_min=40.0)
    assert far.why == "wants good mist: gone before one is there"
    doubtful = only(spot, taps("good"), walk_min=25.0)
    assert doubtful.why == "only if the mist stays late"
    assert doubtful.from_utc is None


def test_light_through_mist_is_the_time_that_both_have() -> None:
    # Mist until about 08:00, back light from 07:43. Good mist, 173 m and 10 m deep, lets a beam
    # through from 3.3°, which this sun reaches at 08:23: too late; 1 m deep, from 0.33°.
    spot = a_spot(
        "White Post Gap", musts=["mist 100 to 1000 m", "back light", "still air"],
        light=[("07:43", "08:40", "back")], lifts=("07:45", "08:00", "08:30"), mist_depth_m=1.0,
    )  # fmt: skip
    shallow = only(spot, taps("good"))
    assert shallow.from_utc == instant("2027-11-03", "07:53") + np.timedelta64(19, "s")  # 0.331°
    assert shallow.until_utc == instant("2027-11-03", "08:00")
    assert shallow.why == "go and wait: back light from about 07:53; mist likely gone by 08:00"
    deep = only(replace(spot, mist_depth_m=10.0), taps("good"))
    assert deep.from_utc is None
    assert deep.why == "only if the mist stays late"


def test_thick_mist_can_hold_the_sun_back_all_morning() -> None:
    spot = a_spot("White Post Gap", musts=["direct light"], light=[("07:43", "08:40")])
    assert only(spot, taps("thick")).why == "wants direct light: the mist holds it back"
    assert only(spot, taps("none")).from_utc == instant("2027-11-03", "07:43")
    assert only(spot, taps(light="overcast")).why == "wants direct light: overcast here"
    assert only(spot, taps(), walk_min=120.0).why == "wants direct light: over for today"
    assert only(replace(spot, light=()), taps()).why == "wants direct light: none today"
    facing = replace(spot, wishes=(parse_wish("back light", must=True),))
    assert only(facing, taps()).why == "wants back light: none today"


def test_soft_light_is_daylight_without_sun_on_the_spot() -> None:
    spot = a_spot("Plumb and Lean", musts=["soft light"], light=[("08:00", "11:00")])
    clear = only(spot, taps())
    assert clear.from_utc == instant("2027-11-03", "07:00")  # the sun passes −6° at 06:50
    assert clear.until_utc == instant("2027-11-03", "08:00")
    assert clear.why == "go now: soft light; until about 08:00"
    assert only(spot, taps(light="overcast")).until_utc == instant("2027-11-03", "09:50")
    early = rerank([spot], taps(), at_utc=instant("2027-11-03", "06:30"), here=[0.0])[0]
    assert early.from_utc == instant("2027-11-03", "06:50")


@pytest.mark.parametrize(
    ("must", "answers", "why"),
    [
        ("still air", taps(air="moving"), "wants still air: moving here"),
        ("still air", taps(air="stirring"), "go now: lulls"),
        ("moving air", taps(air="still"), "wants moving air: still here"),
        ("sky overcast", taps(light="overcast"), "go now: sky overcast"),
        ("sky overcast", taps(light="broken"), "wants sky overcast: broken here"),
        ("leaf peak", taps(), "go now: leaf peak"),
        ("leaf bare", taps(), "wants leaf bare: peak now"),
        ("ground wet", taps(ground="wet"), "go now: wet ground"),
        ("from 15 Apr to 10 May", taps(), "wants from 15 Apr to 10 May: not in season"),
        ("from 15 Oct to 10 Nov", taps(), "go now: in season"),
        ("clear air", taps(), "go now: clear air"),
    ],
)
def test_states_are_held_against_what_was_tapped(must: str, answers: Answers, why: str) -> None:
    assert only(a_spot("Root Stair", musts=[must], leaf="peak"), answers).why == why


def test_clear_air_comes_when_the_mist_has_lifted() -> None:
    spot = a_spot("Rope and Fern", musts=["clear air"], lifts=("07:30", "08:00", "09:00"))
    later = only(spot, taps("thin"))
    assert later.from_utc == instant("2027-11-03", "08:00")
    assert later.why == "go and wait: clear air from about 08:00"
    unknown = only(replace(spot, lifts_utc=()), taps("thin"))
    assert unknown.why == "only if the mist lifts early"


def test_mist_that_thins_too_late_is_only_a_hope() -> None:
    spot = a_spot(
        "Plumb and Lean", musts=["mist 120 to 260 m", "sun -6 to -4 deg"],
        lifts=("07:30", "08:00", "09:00"),
    )  # fmt: skip
    assert only(spot, taps("thick")).why == "only if the mist thins in time"


def test_a_wish_for_the_sun_is_timed_by_its_altitude() -> None:
    spot = a_spot("White Post Gap", musts=["sun 2 to 6 deg"])
    choice = only(spot, taps())
    assert choice.from_utc == instant("2027-11-03", "08:10")
    assert choice.until_utc == instant("2027-11-03", "08:50")
    assert only(spot, taps(), walk_min=150.0).why == "wants sun at 2 to 6°: not from here on"
    unseen = replace(spot, sun_utc=spot.sun_utc[:0], sun_altitude_deg=spot.sun_altitude_deg[:0])
    assert only(unseen, taps()).why == "sun at 2 to 6° not known: look"


def test_leaf_not_known_is_said_and_not_counted_as_met() -> None:
    known = a_spot("Plumb and Lean", musts=["still air", "leaf turning or bare"], leaf="bare")
    unknown = replace(known, spot="Another", leaf="")
    assert order_of([unknown, known], taps()) == ["Plumb and Lean", "Another"]
    assert only(unknown, taps()).why == "go now: still air; leaf not known: look"


def test_where_one_must_fails_more_musts_met_come_first() -> None:
    few = a_spot("Few", musts=["still air", "hoar"])
    many = a_spot("Many", musts=["still air", "soft light", "hoar"], light=[("07:40", "10:00")])
    assert order_of([few, many], taps(ground="dry")) == ["Many", "Few"]


def test_minutes_beyond_enough_do_not_pay_for_a_longer_walk() -> None:
    near = a_spot("Near", musts=["soft light"], light=[("07:45", "10:00")])
    far = a_spot("Far", musts=["soft light"], light=[("09:30", "10:00")])
    assert order_of([far, near], taps(), here=[1500.0, 300.0]) == ["Near", "Far"]
    assert order_of([far, near], taps(), here=[660.0, 1500.0]) == ["Far", "Near"]


def test_minutes_come_before_would_likes_and_these_before_the_walk() -> None:
    long = a_spot("Long", musts=["soft light"], light=[("09:00", "10:00")])
    short = a_spot("Short", musts=["soft light"], likes=["still air"], light=[("07:20", "10:00")])
    assert order_of([short, long], taps()) == ["Long", "Short"]
    liked = replace(
        long, spot="Zealous", wishes=(*long.wishes, parse_wish("still air", must=False))
    )
    assert order_of([long, liked], taps()) == ["Zealous", "Long"]
    walks = [601.0, 600.0]
    calm, near = a_spot("Calm", musts=["still air"]), a_spot("Near", musts=["still air"])
    choices = order_of([calm, near], taps(light="overcast"), here=walks)
    assert choices == ["Near", "Calm"]


def test_a_broken_sky_and_stirring_air_halve_the_minutes() -> None:
    half = a_spot("Half", musts=["direct light"], light=[("07:20", "07:55")])
    whole = a_spot("Whole", musts=["soft light"], light=[("07:35", "11:00")])
    assert order_of([half, whole], taps(light="clear")) == ["Half", "Whole"]
    assert order_of([half, whole], taps(light="broken")) == ["Whole", "Half"]


def test_a_spot_without_musts_is_judged_by_its_would_likes() -> None:
    spot = a_spot("Root Stair", likes=["still air"])
    assert only(spot, taps()).why == "go now: still air"
    assert only(a_spot("Nothing asked"), taps()).why == "no wishes noted"
    assert only(a_spot("Nothing asked"), taps()).from_utc is None


def test_musts_that_each_come_but_never_at_once_are_said_to_part() -> None:
    spot = a_spot("Apart", musts=["soft light", "direct light"], light=[("07:30", "11:00")])
    assert only(spot, taps()).why == "soft light and direct light do not meet any more"


def test_times_are_printed_on_the_clock_of_the_wood() -> None:
    spot = a_spot("Far", musts=["direct light"], light=[("07:43", "08:40")])
    there = replace(spot, zone_name="Europe/Helsinki")
    assert "direct light from about 09:43; until about 10:40" in only(there, taps()).why


def test_the_table_holds_every_set_of_taps_once_with_the_best_four() -> None:
    spots = [a_spot(f"Spot {count}", musts=["still air"]) for count in range(6)]
    at_utc = instant("2027-11-03", "07:00")
    here = [60.0 * count for count in range(6)]
    rows = arrival_table(spots, at_utc=at_utc, here=here)
    assert [(row.mist, row.air, row.light) for row in rows] == list(
        itertools.product(MIST_TAPS, AIR_TAPS, LIGHT_TAPS)
    )
    for row in rows:
        answers = Answers(mist=row.mist, air=row.air, light=row.light)
        assert row.choices == rerank(spots, answers, at_utc=at_utc, here=here)[:4]
    frost = [a_spot("Frosty", musts=["ground frost"])]
    tapped = arrival_table(frost, at_utc=at_utc, here=[0.0], ground="frost")
    assert all(row.choices[0].why == "go now: frost" for row in tapped)


def test_bad_input_is_refused_in_a_sentence() -> None:
    with pytest.raises(BadInputError, match="mist 'dense' is not one of: none, wisps, thin"):
        taps(mist="dense")
    with pytest.raises(BadInputError, match="ground 'mud' is not one of: dry, wet, frost, hoar"):
        taps(ground="mud")
    with pytest.raises(BadInputError, match="ground 'mud'"):
        a_spot("Root Stair", ground="mud")
    with pytest.raises(BadInputError, match="Lifting times"):
        a_spot("Root Stair", lifts=("08:00", "07:00"))
    with pytest.raises(BadInputError, match="two equal rows"):
        a_spot("Root Stair", sun_altitude_deg=np.zeros(3))
    with pytest.raises(BadInputError, match="1 spots need as many walking times; got 2"):
        order_of([a_spot("Root Stair")], taps(), here=[0.0, 0.0])
    with pytest.raises(OutOfRangeError, match="walk is nan s"):
        order_of([a_spot("Root Stair")], taps(), here=[float("nan")])


@given(
    values=st.lists(st.sampled_from([-2.0, -1.0, 0.0, 0.5, 1.0, 3.0, float("nan")]), max_size=8)
)
def test_spans_within_limits_are_those_that_small_steps_find(values: list[float]) -> None:
    at_s = np.arange(0.0, 10.0 * len(values), 10.0, dtype=np.float64)
    spans = where_within(at_s, np.array(values), low=-0.25, high=0.75)
    assert all(end < start for (_, end), (start, _) in itertools.pairwise(spans))
    for start, (first, last) in zip(at_s, itertools.pairwise(values), strict=False):
        for part in (0.013, 0.213, 0.487, 0.713, 0.987):  # at no crossing of these values
            value = first + part * (last - first)
            held = any(a <= start + 10.0 * part <= b for a, b in spans)
            assert held == (-0.25 <= value <= 0.75)


answers_drawn = st.builds(
    Answers,
    mist=st.sampled_from(MIST_TAPS),
    air=st.sampled_from(AIR_TAPS),
    light=st.sampled_from(LIGHT_TAPS),
    ground=st.sampled_from(("", *GROUND_TAPS)),
)


@st.composite
def spots_drawn(draw: st.DrawFn, name: str) -> SpotChance:
    """Draw a spot with any wishes, one window and any lifting times."""
    musts = draw(st.lists(st.sampled_from(EXAMPLES), max_size=4, unique=True))
    likes = draw(st.lists(st.sampled_from(EXAMPLES), max_size=2, unique=True))
    times = [f"{hour:02d}:{minute:02d}" for hour in range(6, 11) for minute in range(0, 60, 10)]
    start, end = sorted(
        draw(st.lists(st.sampled_from(times), min_size=2, max_size=2, unique=True))
    )
    lifts = sorted(draw(st.lists(st.sampled_from(times), max_size=3)))
    facing = draw(st.sampled_from(["front", "side", "back"]))
    return a_spot(
        name, musts=musts, likes=likes, light=[(start, end, facing)], lifts=tuple(lifts),
        leaf=draw(st.sampled_from(["", "bare", "full"])),
        ground=draw(st.sampled_from(("", *GROUND_TAPS))),
        mist_depth_m=draw(st.sampled_from([1.0, 10.0, 60.0])),
    )  # fmt: skip


several = st.tuples(*(spots_drawn(f"Spot {letter}") for letter in "ABCDE")).map(list)
walks_drawn = st.lists(st.integers(0, 90).map(lambda walk: walk * 60.0), min_size=5, max_size=5)


@given(spots=several, answers=answers_drawn, here=walks_drawn, mixed=st.permutations(range(5)))
def test_ranking_loses_nobody_and_does_not_depend_on_the_order_given(
    spots: list[SpotChance], answers: Answers, here: list[float], mixed: list[int]
) -> None:
    at_utc = instant("2027-11-03", "07:00")
    choices = rerank(spots, answers, at_utc=at_utc, here=here)
    again = rerank(
        [spots[place] for place in mixed], answers, at_utc=at_utc, here=[here[p] for p in mixed]
    )
    assert choices == again
    assert sorted(choice.spot for choice in choices) == [spot.spot for spot in spots]


@given(spots=several, answers=answers_drawn, here=walks_drawn)
def test_spans_begin_after_the_walk_and_reasons_are_short(
    spots: list[SpotChance], answers: Answers, here: list[float]
) -> None:
    at_utc = instant("2027-11-03", "07:00")
    walks = {spot.spot: walk for spot, walk in zip(spots, here, strict=True)}
    seen_failing = False
    for choice in rerank(spots, answers, at_utc=at_utc, here=here):
        assert choice.why
        assert "\n" not in choice.why
        assert choice.walk_min == walks[choice.spot] / 60.0
        failing = choice.why.startswith("wants ") or choice.why.endswith("meet any more")
        assert failing or not seen_failing  # what certainly fails comes last
        seen_failing = failing
        if choice.from_utc is not None:
            assert choice.from_utc >= at_utc + np.timedelta64(round(walks[choice.spot]), "s")
            assert not failing
        if choice.until_utc is not None:
            assert choice.from_utc is not None
            assert choice.until_utc > choice.from_utc


@given(
    others=st.lists(
        st.sampled_from(["still air", "soft light", "ground wet", "leaf bare", "sky overcast"]),
        min_size=4,
        max_size=4,
    ),
    air=st.sampled_from(AIR_TAPS),
    lifts=st.lists(st.sampled_from(["07:10", "07:50", "08:30"]), max_size=3).map(sorted),
)
def test_more_mist_never_helps_a_spot_that_wants_clear_air(
    others: list[str], air: str, lifts: list[str]
) -> None:
    spots = [a_spot(f"Other {n}", musts=[must], leaf="bare") for n, must in enumerate(others)]
    spots.append(a_spot("Clear", musts=["clear air"], lifts=tuple(lifts)))
    places = [
        order_of(spots, taps(mist, air, "overcast", ground="wet")).index("Clear")
        for mist in MIST_TAPS
    ]
    assert places == sorted(places)


@given(spots=several, answers=answers_drawn, here=walks_drawn, more_min=st.integers(1, 60))
def test_a_longer_walk_never_helps(
    spots: list[SpotChance], answers: Answers, here: list[float], more_min: int
) -> None:
    before = order_of(spots, answers, here=here).index("Spot A")
    farther = [here[0] + more_min * 60.0, *here[1:]]
    assert order_of(spots, answers, here=farther).index("Spot A") >= before


@given(
    others=st.lists(
        st.sampled_from(["still air", "ground wet", "leaf bare"]), min_size=4, max_size=4
    ),
    mist=st.sampled_from(MIST_TAPS),
    start=st.sampled_from(["06:40", "07:30", "09:00"]),
)
def test_less_sun_in_the_sky_never_helps_a_spot_that_wants_it(
    others: list[str], mist: str, start: str
) -> None:
    spots = [a_spot(f"Other {n}", musts=[must], leaf="bare") for n, must in enumerate(others)]
    spots.append(a_spot("Sunny", musts=["direct light"], light=[(start, "10:00")]))
    places = [
        order_of(spots, taps(mist, light=light, ground="wet")).index("Sunny")
        for light in ("clear", "broken", "overcast")
    ]
    assert places == sorted(places)
    assert places[-1] == 4
