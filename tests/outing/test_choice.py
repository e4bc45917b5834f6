import datetime as dt
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from shivelight.basis.arrays import BoolArray
from shivelight.basis.chances import Count
from shivelight.basis.places import Position
from shivelight.outing.choice import answer_of, plan_b_of, plan_c_of, ranked
from shivelight.outing.conditions import Conditions
from shivelight.outing.habit import HabitModel
from shivelight.outing.judge import Habits, Judged, SpotMorning, WoodMorning, judge_spot
from shivelight.outing.judgement import Almanac, ForecastNote, MistOutlook
from shivelight.outing.record import WoodRecord, record_of
from shivelight.outing.spots import Spot, SpotState
from shivelight.outing.woods import AccessFact, MistHabit, Wood
from tests.outing.morning import START, between, conditions, sun, wishes

DAY = dt.date(2027, 11, 3)
HERE = Position(latitude_deg=53.0, longitude_deg=-5.1, ground_height_m=100.0)


def wood(name: str = "Pinnet Heath", **changes: Any) -> Wood:
    usual: dict[str, Any] = {
        "name": name, "zone_name": "Europe/London", "parking": HERE, "ground_height_m": 100.0,
        "stand": "birch", "road_min": 20.0,
    }  # fmt: skip
    return Wood(**(usual | changes))


def wood_morning(air: Conditions, named: Wood | None = None, **changes: Any) -> WoodMorning:
    nothing = np.empty(0)
    usual: dict[str, Any] = {
        "wood": named or wood(),
        "conditions": air,
        "mist": MistOutlook(
            quarter_utc=np.empty(0, dtype="datetime64[us]"), mist_frac=nothing, fog_frac=nothing,
            range_low_m=nothing, range_mid_m=nothing, range_high_m=nothing,
            morning_mist_frac=0.3, forecast_frac=0.3, base_frac=0.08,
            lifting=(START + np.timedelta64(30, "m"), START + np.timedelta64(60, "m")),
            hill_fog_frac=0.0,
        ),
        "record": record_of([], forecast_frac=0.3),
        "forecast": ForecastNote(
            source="typed at 21:40", issued_utc=START, age_h=9.0, members=1, distance_km=0.0
        ),
        "almanac": Almanac(
            civil_dawn_utc=START, sunrise_utc=START + np.timedelta64(40, "m"),
            sunrise_azimuth_deg=114.0, moon_lit_frac=0.2, moon_up_at_dawn=False,
        ),
        "leaf_noted": True,
    }  # fmt: skip
    return WoodMorning(**(usual | changes))


def judged(
    name: str, *musts: str, air: Conditions | None = None, likes: tuple[str, ...] = (),
    at: WoodMorning | None = None, **spot: Any,
) -> Judged:  # fmt: skip
    there = at or wood_morning(air or conditions())
    made = Spot(
        name=name, wood=there.wood.name, position=HERE, view_azimuth_deg=120.0,
        wishes=wishes(*musts, likes=likes), **spot,
    )  # fmt: skip
    return judge_spot(
        there,
        SpotMorning(
            spot=made, ground_height_m=100.0, sun=sun(), light=(), skyline_deg=None, walk_min=18.0
        ),
        day=DAY,
        habits=Habits(),
        model=HabitModel(),
    )


def misty(members: BoolArray) -> Conditions:
    shape = (members.size, 24)
    return conditions(
        *shape, optical_range_m=np.where(members[:, None], 300.0, 20_000.0) * np.ones(shape)
    )


def test_best_chance_comes_first_and_would_likes_part_equals() -> None:
    half = misty(np.array([True, True, False, False]))
    order = ranked(
        [
            judged("mist", "mist 100 to 900 m", air=half),
            judged("still", "still air", air=half),
            judged("still and lit", "still air", likes=("direct light",), air=half),
        ]
    )
    assert [one.outlook.spot for one in order] == ["still and lit", "still", "mist"]


def test_a_spot_that_is_made_or_lost_comes_last() -> None:
    order = ranked(
        [judged("made", "still air", state=SpotState.MADE), judged("waiting", "moving air")]
    )
    assert [one.outlook.spot for one in order] == ["waiting", "made"]


def test_plan_b_is_what_comes_true_when_plan_a_fails() -> None:
    # Of two others with the same chance, one fails with the first and one makes up for it.
    early = np.array([True, True, True, False, False, False])
    first = judged("first", "mist 100 to 900 m", air=misty(early))
    with_it = judged("fails with it", "mist 100 to 900 m", air=misty(early))
    instead = judged("comes instead", "mist 100 to 900 m", air=misty(~early))
    walks = {"fails with it": 5.0, "comes instead": 25.0}
    plan = plan_b_of([first, with_it, instead], walks, within_min=35.0)
    assert plan is not None
    assert plan.spot == "comes instead"
    assert "more than 19 in 20 when first fails" in plan.words


def test_plan_b_is_never_farther_than_a_walk() -> None:
    first, other = judged("first", "still air"), judged("other", "still air")
    assert plan_b_of([first, other], {"other": 36.0}, within_min=35.0) is None
    assert plan_b_of([], {}, within_min=35.0) is None


def test_plan_b_falls_back_on_what_else_the_first_spot_offers() -> None:
    first = judged("first", "hoar", if_not="Stay: the pines are lit from the side.")
    other = judged("other", "hoar")
    plan = plan_b_of([first, other], {"other": 5.0}, within_min=35.0)
    assert plan is not None
    assert plan.spot == "first"
    assert plan.words.startswith("Stay")


def test_plan_c_is_another_wood_or_bed() -> None:
    first = judged("first", "hoar")
    elsewhere = judged("other", "still air", at=wood_morning(conditions(), wood("Threll Clough")))
    plan = plan_c_of([first, elsewhere], None, zone_name="Europe/London")
    assert plan is not None
    assert plan.wood == "Threll Clough"
    alone = plan_c_of([first], None, zone_name="Europe/London")
    assert alone is not None
    assert alone.words == "stay in bed"


def test_a_gale_says_stay_whatever_the_chance() -> None:
    air = conditions(gust_mps=np.full((4, 24), 23.0))
    answer, go = answer_of([judged("first", "still air", air=air)], air, zone_name="UTC")
    assert answer.startswith("Stay: gusts of about 23 m/s")
    assert not go


def test_a_mean_of_beaufort_7_is_a_gale_without_gusts_too() -> None:
    blown = replace(
        conditions(),
        wind_speed_mps=np.full_like(conditions().gust_mps, 15.0),
        gust_mps=np.full_like(conditions().gust_mps, np.nan),
    )
    answer, go = answer_of([judged("first", "still air")], blown, zone_name="UTC")
    assert answer.startswith("Stay: a mean of about 15 m/s at 10 m")
    assert not go


def test_no_chance_at_all_says_bed_and_names_no_spot_as_nearest() -> None:
    answer, go = answer_of([judged("first", "hoar")], conditions(), zone_name="UTC")
    assert answer == "Stay in bed: no spot's wishes come together."
    assert not go


def test_a_small_chance_says_bed_and_names_what_came_nearest() -> None:
    one = judged("first", "still air")
    slight = replace(one, outlook=replace(one.outlook, chance_frac=0.06))
    answer, go = answer_of([slight], conditions(), zone_name="UTC")
    assert answer.startswith("Stay in bed: no spot's wishes come together; first comes nearest")
    assert not go


def test_nothing_within_a_walk_is_no_plan_b() -> None:
    first, other = judged("first", "still air"), judged("other", "hoar")
    assert plan_b_of([first, other], {"other": 5.0}, within_min=35.0) is None


def test_of_equal_spots_the_nearer_on_foot_comes_first() -> None:
    near, far = judged("Z near", "still air"), judged("A far", "still air")
    far = replace(far, outlook=replace(far.outlook, walk_min=near.outlook.walk_min + 9.0))
    assert [one.outlook.spot for one in ranked([far, near])] == ["Z near", "A far"]


def test_a_fair_chance_says_where_how_likely_and_when() -> None:
    answer, go = answer_of([judged("first", "still air")], conditions(), zone_name="UTC")
    assert go
    assert answer == (
        "first, Pinnet Heath: more than 19 in 20 that its wishes come together for twenty "
        "minutes or more, best 05:58–07:58."
    )


def test_times_go_backward_from_the_stretch() -> None:
    air = conditions(optical_range_m=np.where(between(12, 24, members=4, instants=24), 300, 2e4))
    out = judged("first", "mist 100 to 900 m", air=air).outlook
    assert out.best is not None
    times = [out.alarm_utc, out.set_out_utc, out.park_utc, out.in_place_utc, out.best.start_utc]
    known = [one for one in times if one is not None]
    assert len(known) == 5
    assert np.all(np.diff(known) > np.timedelta64(0, "s"))


def test_without_a_road_time_no_alarm_is_set() -> None:
    out = judged("first", "still air", at=wood_morning(conditions(), wood(road_min=None))).outlook
    assert out.alarm_utc is None


def test_a_season_wish_out_of_season_ends_the_matter() -> None:
    out = judged("bells", "from 20 Apr to 12 May", "still air").outlook
    assert out.chance_frac == 0.0
    assert out.best is None
    assert [one.chance_frac for one in out.wishes] == [0.0, 1.0]


def test_a_closed_wood_speaks_against_going() -> None:
    fact = AccessFact(what="shut for felling", noted_on=dt.date(2027, 10, 1), closes=True)
    out = judged("first", "still air", at=wood_morning(conditions(), wood(access=(fact,)))).outlook
    assert out.signs.against_it[0] == "shut for felling (noted 1 October 2027)"
    gone = replace(fact, to_day=dt.date(2027, 11, 2))
    out = judged("first", "still air", at=wood_morning(conditions(), wood(access=(gone,)))).outlook
    assert not out.signs.against_it


def test_signs_name_the_record_beside_the_mist() -> None:
    record = WoodRecord(
        fair_mornings=9,
        like_this=Count(found=4, mornings=9),
        counts=record_of([], forecast_frac=0.3).counts,
    )
    there = wood_morning(conditions(), record=record)
    out = judged("first", "mist 100 to 900 m", at=there).outlook
    assert "your own log has mist on 4 of 9 mornings like this" in out.signs.against_it[0]
    assert out.record == Count(found=4, mornings=9)
    assert out.rests_on.endswith("and 9 mornings logged in Pinnet Heath")


def test_a_spot_in_the_top_of_the_fog_says_that_its_height_decides() -> None:
    there = wood_morning(conditions(), wood(habit=MistHabit(fog_top_m=110.0)))
    out = judged("first", "mist 100 to 900 m", at=there).outlook
    assert any("how high the valley fog fills" in one for one in out.signs.not_known)


@pytest.mark.parametrize("age_h", [2.0, 40.0])
def test_an_old_forecast_is_named_as_not_known(age_h: float) -> None:
    note = ForecastNote(source="x", issued_utc=START, age_h=age_h, members=1, distance_km=3.0)
    out = judged("first", "still air", at=wood_morning(conditions(), forecast=note)).outlook
    assert any("newer forecast" in one for one in out.signs.not_known) is (age_h > 18.0)


def test_hill_fog_is_named_where_mist_is_wished_for() -> None:
    air = conditions(
        hill_fog=np.array([True, True, False, False])[:, None] * np.ones((1, 24), bool)
    )
    out = judged("first", "mist 50 to 200 m", air=air).outlook
    assert out.mist.hill_fog_frac == 0.5
    assert "the wood may stand inside the cloud (hill fog), about 5 in 10" in out.signs.for_it
    assert not any(
        "hill fog" in one for one in judged("x", "still air", air=air).outlook.signs.for_it
    )
