"""Drift and spread: roots, draws, the error that all distances share."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shivelight.basis.errors import OutOfRangeError
from shivelight.scene.camera import Camera
from shivelight.scene.drift import WAYS, drift_from
from shivelight.scene.elements import Doubt, Segment, Slope, Survey, trunk_at
from shivelight.scene.framing import Framing, Reach
from shivelight.scene.gaps import gaps_at
from shivelight.scene.search import wish_of, wood_of
from shivelight.scene.spread import Spread, has_doubt, redrawn, spread_at
from tests.scene.valley import plumb_and_lean

MARK = Camera(z_m=1.1)
BEST = np.array([0.65, 0.0, 1.1])


def spread_of(survey: Survey, *, tries: int = 100, seed: int = 3, deep: bool = False) -> Spread:
    wish = wish_of(survey, Framing(), Reach(), now=MARK)
    return spread_at(BEST, survey, wood_of(survey), wish=wish, tries=tries, seed=seed, deep=deep)


@settings(max_examples=10)
@given(limit=st.sampled_from([0.0, 0.3]), slope=st.floats(-0.3, 0.3))
def test_at_the_end_of_the_drift_the_smallest_gap_is_at_the_limit(
    limit: float, slope: float
) -> None:
    survey = dataclasses.replace(plumb_and_lean(), slope=Slope(rise_right_frac=slope))
    wish = wish_of(survey, Framing(), Reach(), now=MARK)
    place = BEST + np.array([0.0, 0.0, 0.65 * slope])
    drift = drift_from(place, wood_of(survey), wish, slope=survey.slope, limit_deg=limit)
    for way, step in WAYS.items():
        far = drift.way_m(way)
        if math.isfinite(far):
            rise = np.array([0.0, 0.0, survey.slope.height_m(step[0], step[1])])
            end = place + far * (np.array(step) + rise)
            smallest = min(gap.gap_deg for gap in gaps_at(survey, end))
            assert smallest == pytest.approx(limit, abs=1e-9)
            assert drift.pair_of(way) is not None
    assert drift.up_m == drift.down_m == math.inf
    assert drift.pair_of("up") is None


def test_plumb_and_lean_stay_comfortable_from_63_to_70_cm() -> None:
    # LOOK mock "stand-point": you may drift from 63 to 70 cm; Crook closes at 82.
    survey = plumb_and_lean()
    wish = wish_of(survey, Framing(), Reach(), now=MARK)
    easy = drift_from(BEST, wood_of(survey), wish, slope=survey.slope, limit_deg=0.3)
    assert (round(65 - 100 * easy.left_m), round(65 + 100 * easy.right_m)) == (63, 70)
    touch = drift_from(BEST, wood_of(survey), wish, slope=survey.slope)
    assert round(65 + 100 * touch.right_m) == 82


def test_where_two_overlap_there_is_no_drift() -> None:
    survey = plumb_and_lean()
    wish = wish_of(survey, Framing(), Reach(), now=MARK)
    drift = drift_from(np.array([0.0, 0.0, 1.1]), wood_of(survey), wish, slope=survey.slope)
    assert [drift.way_m(way) for way in WAYS] == [0.0] * 6


def test_a_branch_limits_the_drift_down_and_no_lens_goes_under_ground() -> None:
    trunk = trunk_at("Oak", 0.0, distance_m=8.0, width_m=0.4, height_m=2.0)
    limb = Segment(name="Limb", start_m=(-1.0, 4.0, 2.2), end_m=(1.0, 4.0, 2.2), width_m=0.04)
    survey = Survey(trunks=(trunk,), segments=(limb,))
    framing = Framing(parts=(("Oak", "Limb"),))
    wish = wish_of(survey, framing, Reach(), now=MARK)
    drift = drift_from(np.array([0.0, 0.0, 1.1]), wood_of(survey), wish, slope=survey.slope)
    # Above the trunk's top the limb shares no altitude with it; raised enough, it meets it.
    assert drift.down_m == math.inf
    assert 0.0 < drift.up_m < 2.0


def test_no_doubt_is_no_spread() -> None:
    found = spread_of(plumb_and_lean(), tries=5, deep=True)
    assert found.left_m == found.right_m == pytest.approx(0.66)
    assert found.back_m == found.front_m
    assert not has_doubt(plumb_and_lean())


def test_more_doubt_spreads_wider_and_the_seed_decides() -> None:
    wide = [
        spread_of(plumb_and_lean(doubt=Doubt(distance_m=one, angle_deg=one)))
        for one in (0.02, 0.1, 0.3)
    ]
    sizes = [one.right_m - one.left_m for one in wide]
    assert sizes == sorted(sizes)
    assert sizes[0] < 0.06
    survey = plumb_and_lean(doubt=Doubt(distance_m=0.3))
    assert spread_of(survey) == spread_of(survey)
    assert spread_of(survey) != spread_of(survey, seed=4)


def test_a_pace_too_long_moves_everything_together() -> None:
    # All metres but widths by one factor: the best step is drawn out, by about as much.
    survey = dataclasses.replace(plumb_and_lean(), scale_doubt_frac=0.05)
    assert has_doubt(survey)
    drawn = [redrawn(survey, wood_of(survey), np.random.default_rng(n)) for n in range(200)]
    first = wood_of(survey).solids.low_m
    factors = np.array([one.solids.low_m[:, 1] / first[:, 1] for one in drawn])
    np.testing.assert_allclose(np.ptp(factors, axis=1), 0.0, atol=1e-12)
    assert np.std(np.log(factors[:, 0])) == pytest.approx(0.05, rel=0.2)
    found = spread_of(survey)
    assert 0.02 < found.right_m - found.left_m < 0.4


def test_draws_have_the_errors_that_were_given() -> None:
    doubt = Doubt(distance_m=0.3, angle_deg=0.8, width_m=0.04)
    survey = plumb_and_lean(doubt=doubt)
    wood = wood_of(survey)
    random = np.random.default_rng(2)
    drawn = [redrawn(survey, wood, random).solids for _ in range(1500)]
    feet = np.array([one.low_m[2, :2] for one in drawn])  # Plumb, straight ahead at 7 m
    assert np.std(np.hypot(*feet.T)) == pytest.approx(0.3, rel=0.08)
    assert np.std(np.degrees(np.arctan2(*feet.T))) == pytest.approx(0.8, rel=0.08)
    assert np.std([2.0 * one.radius_m[2] for one in drawn]) == pytest.approx(0.04, rel=0.08)
    assert np.mean(np.hypot(*feet.T)) == pytest.approx(7.0, abs=0.03)


def test_tries_that_close_everything_are_counted() -> None:
    found = spread_of(plumb_and_lean(doubt=Doubt(distance_m=0.4, angle_deg=0.8)))
    assert 0 < found.closed < found.tries


def test_no_tries_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="number of tries is 0"):
        spread_of(plumb_and_lean(), tries=0)
