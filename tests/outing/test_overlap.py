import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from shivelight.outing.habit import HabitModel
from shivelight.outing.overlap import (
    best_stretch,
    direct_light,
    overlap_at,
    range_at_spot,
    steps_for,
)
from shivelight.outing.runs import longest_run
from tests.outing.morning import START, between, conditions, place, sun
from tests.plain import overlap as plain

MODEL = HabitModel()
tables = hnp.arrays(np.bool_, st.tuples(st.integers(1, 6), st.integers(1, 30)))


@given(tables)
def test_longest_run_counts_as_by_hand(holds: np.ndarray) -> None:
    assert longest_run(holds).tolist() == plain.longest_run(holds)


@given(st.data())
def test_chance_is_the_share_of_members_with_all_musts_at_once(data: st.DataObject) -> None:
    shape = (data.draw(st.integers(1, 8)), data.draw(st.integers(4, 20)))
    misty = data.draw(hnp.arrays(np.bool_, shape))
    unclouded = data.draw(hnp.arrays(np.bool_, shape))
    air = conditions(
        *shape, optical_range_m=np.where(misty, 300.0, 20_000.0), sun_unclouded=unclouded
    )
    found = overlap_at(
        air, sun(shape[1]), place("mist 100 to 900 m", "direct light", depth_m=2.0), model=MODEL
    )
    assert found.chance_frac == pytest.approx(
        plain.chance([misty, unclouded], needed=steps_for(20.0))
    )


def test_musts_that_never_meet_have_no_chance_though_each_is_common() -> None:
    first = between(0, 12, members=10, instants=24)
    air = conditions(
        10, 24, optical_range_m=np.where(first, 300.0, 20_000.0), sun_unclouded=~first
    )
    found = overlap_at(
        air, sun(), place("mist 100 to 900 m", "direct light", depth_m=2.0), model=MODEL
    )
    assert found.by_wish_frac == (1.0, 1.0)
    assert found.chance_frac == 0.0
    assert found.best is None
    assert found.best_low is None


def test_fifteen_minutes_together_are_not_enough_and_twenty_are() -> None:
    for steps, chance in ((3, 0.0), (4, 1.0)):
        misty = between(5, 5 + steps, members=3, instants=24)
        air = conditions(3, 24, optical_range_m=np.where(misty, 300.0, 20_000.0))
        assert (
            overlap_at(air, sun(), place("mist 100 to 900 m"), model=MODEL).chance_frac == chance
        )


def test_rain_spoils_every_overlap() -> None:
    air = conditions(raining=np.ones((4, 24), dtype=np.bool_))
    assert overlap_at(air, sun(), place("still air"), model=MODEL).chance_frac == 0.0


def test_a_spot_without_musts_is_judged_by_its_would_likes() -> None:
    assert (
        overlap_at(conditions(), sun(), place(likes=("still air",)), model=MODEL).chance_frac == 1
    )
    windy = conditions(air_state=np.full((4, 24), 2))
    assert overlap_at(windy, sun(), place(likes=("still air",)), model=MODEL).chance_frac == 0


def test_a_spot_without_wishes_has_no_chance_since_nothing_was_asked() -> None:
    assert overlap_at(conditions(), sun(), place(), model=MODEL).chance_frac == 0.0


def test_would_likes_are_counted_where_the_musts_hold() -> None:
    found = overlap_at(
        conditions(), sun(), place("still air", likes=("back light", "frost")), model=MODEL
    )
    assert found.chance_frac == 1.0
    assert found.would_like_met == 1.0


def test_valley_fog_does_not_reach_a_spot_above_its_top() -> None:
    air = conditions(optical_range_m=np.full((4, 24), 200.0))
    low = range_at_spot(air, place("still air", fog_top_m=140.0), model=MODEL)
    high = range_at_spot(air, place("still air", fog_top_m=60.0), model=MODEL)
    assert np.all(low == 200.0)
    assert np.all(high == 20_000.0)


def test_inside_the_cloud_one_sees_little_at_any_height() -> None:
    air = conditions(hill_fog=np.ones((4, 24), dtype=np.bool_))
    assert np.all(range_at_spot(air, place("still air", fog_top_m=60.0), model=MODEL) == 100.0)


def test_mist_dims_the_beam_by_extinction_along_the_slant() -> None:
    # Koschmieder at the 5 % threshold (CIE e-ILV 17-772): at a slant as long as the optical
    # range the beam has fallen to e^-3 = 0.0498, just under what counts as a beam.
    air = conditions(1, 2)
    slant_m = 10.0 / np.sin(np.radians(5.0))
    shorter = direct_light(air, sun(2), depth_m=10.0, range_m=np.full((1, 2), slant_m * 0.99))
    longer = direct_light(air, sun(2), depth_m=10.0, range_m=np.full((1, 2), slant_m * 1.01))
    assert not shorter.any()
    assert longer.all()


@pytest.mark.parametrize(
    ("wish", "off_view_deg", "holds"),
    [
        ("back light", 59.0, True),
        ("back light", 61.0, False),
        ("side light", 90.0, True),
        ("side light", 121.0, False),
        ("front light", 121.0, True),
        ("back or side light", 100.0, True),
    ],
)
def test_facing_goes_by_the_limits_of_the_room_light(
    wish: str, off_view_deg: float, holds: bool
) -> None:
    track = sun(off_view_deg=np.full(24, off_view_deg))
    assert overlap_at(conditions(), track, place(wish), model=MODEL).chance_frac == float(holds)


def test_hoar_falls_soon_after_the_sun_is_on_it() -> None:
    cold = conditions(floor_temperature_degc=np.full((4, 24), -4.0))
    shade = sun(past_skyline=np.zeros(24, dtype=np.bool_))
    assert overlap_at(cold, shade, place("hoar"), model=MODEL).by_step_frac.all()
    sunned = overlap_at(cold, sun(), place("hoar"), model=MODEL)
    assert sunned.by_step_frac[:4].all()
    assert not sunned.by_step_frac[5:].any()


def test_soft_light_is_any_time_after_first_light_without_a_beam() -> None:
    dark = sun(altitude_deg=np.full(24, -8.0), past_skyline=np.zeros(24, dtype=np.bool_))
    dawn = sun(altitude_deg=np.full(24, -3.0), past_skyline=np.zeros(24, dtype=np.bool_))
    wish = place("soft light")
    assert overlap_at(conditions(), dark, wish, model=MODEL).chance_frac == 0.0
    assert overlap_at(conditions(), dawn, wish, model=MODEL).chance_frac == 1.0
    assert overlap_at(conditions(), sun(), wish, model=MODEL).chance_frac == 0.0


def test_unknown_wind_meets_no_wish_for_air() -> None:
    air = conditions(air_state=np.full((4, 24), -1))
    wish = place("still or stirring or moving air")
    assert overlap_at(air, sun(), wish, model=MODEL).chance_frac == 0.0


def test_best_stretch_is_where_the_chance_is_at_least_half_its_greatest() -> None:
    by_step = np.array([0.0, 0.1, 0.5, 0.8, 0.6, 0.3, 0.5])
    utc = START + np.arange(7) * np.timedelta64(300, "s")
    found = best_stretch(by_step, utc)
    assert found is not None
    half = np.timedelta64(150, "s")
    assert (found.start_utc, found.end_utc) == (utc[2] - half, utc[4] + half)
    assert best_stretch(np.zeros(7), utc) is None


@given(st.floats(100.0, 900.0), st.floats(1.0, 2.0))
def test_a_wider_wish_never_has_a_smaller_chance(high: float, factor: float) -> None:
    random = np.random.default_rng(7)
    air = conditions(20, 24, optical_range_m=random.uniform(50.0, 3000.0, (20, 24)))
    narrow = overlap_at(air, sun(), place(f"mist 50 to {high:g} m"), model=MODEL)
    wide = overlap_at(air, sun(), place(f"mist 50 to {high * factor:g} m"), model=MODEL)
    assert wide.chance_frac >= narrow.chance_frac


def test_nothing_holds_before_civil_dawn() -> None:
    night = sun(altitude_deg=np.full(24, -6.1), past_skyline=np.zeros(24, dtype=np.bool_))
    assert overlap_at(conditions(), night, place("still air"), model=MODEL).chance_frac == 0.0
