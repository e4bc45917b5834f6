import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.outing.habit import (
    HabitModel,
    habit_log_odds,
    hollow_cooling_k,
    move_frac,
    reaches_height,
)
from shivelight.outing.woods import MistHabit

MODEL = HabitModel()


def test_a_plain_wood_leaves_the_forecast_as_it_is() -> None:
    chance = np.array([0.0, 0.2, 1.0])
    step = habit_log_odds(MistHabit(), model=MODEL)
    np.testing.assert_allclose(move_frac(chance, step), chance, atol=1e-12)


def test_hollow_and_water_raise_the_chance_within_their_bounds() -> None:
    deep = habit_log_odds(MistHabit(hollow_depth_m=500.0, near_water=True), model=MODEL)
    assert deep == pytest.approx(MODEL.most_hollow_log_odds + MODEL.water_log_odds)


@given(st.floats(0.01, 0.99), st.floats(-3.0, 3.0))
def test_moving_there_and_back_is_nothing(chance: float, step: float) -> None:
    there = move_frac(np.array([chance]), step)
    np.testing.assert_allclose(move_frac(there, -step), chance, atol=1e-9)


def test_fog_top_wanders_about_its_usual_height() -> None:
    wander = np.array([-2.0, -1.0, 0.0, 1.0, 2.0])
    habit = MistHabit(fog_top_m=160.0)
    assert reaches_height(160.0, habit, wander=wander, model=MODEL).tolist() == [0, 0, 1, 1, 1]
    assert reaches_height(131.0, habit, wander=wander, model=MODEL).tolist() == [0, 1, 1, 1, 1]
    assert reaches_height(900.0, MistHabit(), wander=wander, model=MODEL).all()


def test_a_hollow_cools_only_under_a_clear_still_sky() -> None:
    habit = MistHabit(hollow_depth_m=25.0)
    cloud, wind = np.array([0.0, 1.0, 0.0, 0.5]), np.array([0.0, 0.0, 5.0, 2.0])
    cooled = hollow_cooling_k(habit, cloud, wind, model=MODEL)
    np.testing.assert_allclose(cooled, [3.0, 0.0, 0.0, 0.75])
