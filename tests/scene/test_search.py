"""The compiled search against its plain twin, and what its scores mean."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.scene.camera import Camera
from shivelight.scene.elements import (
    ClosedGround,
    Role,
    Segment,
    SkyHole,
    Slope,
    Survey,
    trunk_at,
)
from shivelight.scene.framing import Framing, Reach, altitudes_deg
from shivelight.scene.gaps import gaps_at
from shivelight.scene.pair_gaps import pair_gaps
from shivelight.scene.pairing import index_of
from shivelight.scene.search import (
    places_of,
    score_candidates,
    smallest_gaps_deg,
    views_of,
    wish_of,
    wood_of,
)
from tests.plain.standpoint_search import plain_scores
from tests.scene.valley import plumb_and_lean

MARK = Camera(z_m=1.1)


def a_wood(seed: int, *, trunks: int = 7, branches: int = 3, holes: int = 2) -> Survey:
    """Anything: leaning trunks and branches all round, some behind the camera."""
    random = np.random.default_rng(seed)
    roles = (Role.SUBJECT, Role.COMPANION, Role.COMPANION, Role.INTRUDER)
    stems = tuple(
        trunk_at(
            f"T{number}",
            float(random.uniform(-170, 170) if number > 4 else random.uniform(-18, 18)),
            distance_m=float(4.0 + 2.5 * number + random.uniform(0, 1)),
            width_m=float(random.uniform(0.1, 0.8)),
            height_m=float(random.uniform(1.0, 25.0)),
            lean_right_deg=float(random.choice([0.0, random.uniform(-60, 60)])),
            lean_away_deg=float(random.choice([0.0, random.uniform(-20, 20)])),
            role=roles[number % 4],
        )
        for number in range(trunks)
    )
    limbs = tuple(
        Segment(
            name=f"S{number}",
            start_m=tuple(random.uniform([-4, 1, 0], [4, 9, 4])),
            end_m=tuple(random.uniform([-4, 1, 0], [4, 9, 4])),
            width_m=float(random.uniform(0.02, 0.3)),
        )
        for number in range(branches)
    )
    sky = tuple(
        SkyHole(
            name=f"H{number}",
            angle_deg=float(random.uniform(-25, 25)),
            altitude_deg=float(random.uniform(-5, 30)),
            width_deg=float(random.uniform(0.2, 4)),
            height_deg=float(random.uniform(0.2, 4)),
            distance_m=float(random.choice([2000.0, 30.0])),
        )
        for number in range(holes)
    )
    rise = float(random.uniform(-0.2, 0.2))
    return Survey(trunks=stems, segments=limbs, holes=sky, slope=Slope(rise_right_frac=rise))


def scored(
    survey: Survey, framing: Framing, reach: Reach, now: Camera
) -> tuple[FloatArray, FloatArray]:
    """Scores of the kernel and of the plain twin."""
    wood = wood_of(survey)
    wish = wish_of(survey, framing, reach, now=now)
    places, _ = places_of(reach, now, survey)
    views = views_of(places, wish, wood=wood, framing=framing, reach=reach, now=now)
    fast = score_candidates(wood, wish, views)
    return fast, plain_scores(survey, framing, reach, now=now, views=views)


@settings(max_examples=12)
@given(seed=st.integers(0, 10_000), data=st.data())
def test_every_view_scores_as_the_plain_twin_says(seed: int, data: st.DataObject) -> None:
    places = st.sampled_from([None, (-0.1, None, 0.2), (0.15, 0.1, 0.3)])
    framing = Framing(
        parts=data.draw(st.sampled_from([(), (("T0", "T1"), ("S0", "T2"))])),
        keeps=data.draw(st.sampled_from([(), (("T2", "T4"),)])),
        subject_place=data.draw(places),
        room_above_frac=data.draw(st.sampled_from([0.0, 0.1])),
        whole=data.draw(st.sampled_from([(), ("T1", "S1", "H0")])),
        focal_lengths_mm=(24.0, 70.0),
    )
    reach = Reach(
        left_m=1.0, right_m=1.0, forward_m=1.0, step_m=1.0, low_m=0.6, high_m=1.6,
        height_step_m=1.0, turn_deg=20.0, turn_step_deg=10.0, tilt_deg=12.0, tilt_step_deg=12.0,
    )  # fmt: skip
    fast, plain = scored(a_wood(seed), framing, reach, MARK)
    np.testing.assert_allclose(fast, plain, atol=1e-9, rtol=0)


@settings(max_examples=30)
@given(seed=st.integers(0, 10_000), x=st.floats(-2.0, 2.0), y=st.floats(-3.0, 3.0))
def test_the_smallest_gap_is_that_of_every_pair_all_round(seed: int, x: float, y: float) -> None:
    survey = a_wood(seed, trunks=9, branches=4)
    names = list(index_of(survey))
    pairs = tuple((one, other) for n, one in enumerate(names) for other in names[n + 1 :])
    wish = wish_of(survey, Framing(parts=pairs), Reach(), now=MARK)
    places = np.array([[x, y, 1.3]])
    band = altitudes_deg(Framing(), Reach(), MARK)
    every = pair_gaps(wood_of(survey).solids, places, pairs=wish.pairs, altitudes_deg=band)
    found = smallest_gaps_deg(wood_of(survey), wish, places)[0]
    assert found == pytest.approx(min(90.0, every.min()), abs=1e-12)


def test_many_views_in_two_threads_score_as_the_plain_twin_says() -> None:
    survey = a_wood(5, trunks=4, branches=1, holes=1)
    reach = Reach(left_m=1.0, right_m=1.0, step_m=0.5, turn_deg=30.0, turn_step_deg=0.0501)
    framing = Framing(focal_lengths_mm=(24.0, 35.0, 50.0, 70.0))
    wood, wish = wood_of(survey), wish_of(survey, framing, reach, now=MARK)
    places, _ = places_of(reach, MARK, survey)
    views = views_of(places, wish, wood=wood, framing=framing, reach=reach, now=MARK)
    fast = score_candidates(wood, wish, views)
    assert fast.size > 20_000
    some = views._replace(turns_rad=views.turns_rad[::200])
    plain = plain_scores(survey, framing, reach, now=MARK, views=some)
    np.testing.assert_allclose(fast[:, ::200], plain, atol=1e-9, rtol=0)


def test_the_best_place_of_plumb_and_lean_is_65_cm_right() -> None:
    # DEMO.md, 6.3, spot 1: best sidestep +0.65 m right.
    survey = plumb_and_lean()
    wood, wish = wood_of(survey), wish_of(survey, Framing(), Reach(), now=MARK)
    places, shape = places_of(Reach(), MARK, survey)
    assert shape == (33, 1, 1)
    gaps = smallest_gaps_deg(wood, wish, places)
    np.testing.assert_allclose(places[gaps.argmax()], [0.65, 0.0, 1.1])
    assert gaps.max() == pytest.approx(0.37, abs=0.01)


@settings(max_examples=20)
@given(seed=st.integers(0, 10_000), lens=st.floats(10.0, 400.0), x=st.floats(-1.0, 1.0))
def test_no_lens_changes_a_gap(seed: int, lens: float, x: float) -> None:
    survey = a_wood(seed)
    places = np.array([[x, 0.0, 1.4]])
    framing = Framing(focal_lengths_mm=(10.0, lens, 400.0))
    wood = wood_of(survey)
    wish = wish_of(survey, framing, Reach(), now=MARK)
    views = views_of(places, wish, wood=wood, framing=framing, reach=Reach(), now=MARK)
    only = views._replace(lens_price_deg=0.0 * views.lens_price_deg)
    scores = score_candidates(wood, wish, only)
    gap = smallest_gaps_deg(wood, wish, places)[0]
    # Whatever the lens, a view is worth the gap of its place less prices, never more.
    assert scores.max() <= gap + 1e-9


def test_a_longer_lens_gains_nothing_by_leaving_a_trunk_out() -> None:
    survey = plumb_and_lean()
    framing = Framing(focal_lengths_mm=(50.0, 200.0))
    reach = Reach(left_m=0.0, right_m=0.0)
    fast, _ = scored(survey, framing, reach, MARK)
    assert fast[..., 1].max() < fast[..., 0].max() - 50.0


def test_an_intruder_is_out_of_the_frame_hidden_or_paid_for() -> None:
    trunk = trunk_at("Oak", 0.0, distance_m=6.0, width_m=0.8, role=Role.SUBJECT)
    pole = trunk_at("Pole", 0.5, distance_m=15.0, width_m=0.1, height_m=6.0, role=Role.INTRUDER)
    survey = Survey(trunks=(trunk, pole))
    reach = Reach(left_m=2.0, right_m=2.0, step_m=2.0, turn_deg=0.0)
    fast, plain = scored(survey, Framing(), reach, MARK)
    np.testing.assert_allclose(fast, plain, atol=1e-9)
    left, here, right = fast[:, 0, 0, 0]
    assert here - max(left, right) == pytest.approx(0.2, abs=0.05)


def test_a_sky_hole_behind_a_trunk_costs_nothing() -> None:
    trunk = trunk_at("Oak", 0.0, distance_m=6.0, width_m=0.8, role=Role.SUBJECT)
    hole = SkyHole(name="Glare", angle_deg=0.0, altitude_deg=8.0, width_deg=2.0, height_deg=2.0)
    hidden = Survey(trunks=(trunk,), holes=(hole,))
    reach = Reach(left_m=0.8, right_m=0.8, step_m=0.8, turn_deg=0.0)
    fast, _ = scored(hidden, Framing(), reach, MARK)
    spared, _ = scored(hidden, Framing(hide=()), reach, MARK)
    np.testing.assert_allclose(spared - fast, [[[[0.2]]], [[[0.0]]], [[[0.2]]]], atol=1e-12)


def test_an_overlap_to_keep_outweighs_any_gap() -> None:
    survey = plumb_and_lean()
    framing = Framing(parts=(("Stub", "Pale"),), keeps=(("Plumb", "Lean"),))
    fast, plain = scored(survey, framing, Reach(step_m=0.4), MARK)
    np.testing.assert_allclose(fast, plain, atol=1e-9)
    best = int(fast.max(axis=(1, 2, 3)).argmax())
    places, _ = places_of(Reach(step_m=0.4), MARK, survey)
    kept = gaps_at(survey, places[best], pairs=framing.keeps)[0]
    assert kept.gap_deg < 0.0


def test_wishes_for_what_cannot_be_are_refused() -> None:
    survey = Survey(
        trunks=plumb_and_lean().trunks, closed=(ClosedGround(name="Bells", radius_m=1.0),)
    )
    with pytest.raises(BadInputError, match="Bells is closed ground"):
        wish_of(survey, Framing(whole=("Bells",)), Reach(), now=MARK)
    with pytest.raises(NotFoundError, match="No element is called Yew"):
        wish_of(survey, Framing(out=("Yew",)), Reach(), now=MARK)


def test_nothing_to_part_is_open_everywhere() -> None:
    wood = wood_of(Survey())
    wish = wish_of(Survey(), Framing(), Reach(), now=MARK)
    places, _ = places_of(Reach(), MARK, Survey())
    assert smallest_gaps_deg(wood, wish, places).tolist() == [90.0] * 33
    views = views_of(places, wish, wood=wood, framing=Framing(), reach=Reach(), now=MARK)
    assert score_candidates(wood, wish, views).max() == pytest.approx(90.0)
    none = views._replace(places_m=np.empty((0, 3)))
    assert score_candidates(wood, wish, none).shape[0] == 0


def test_a_place_wished_for_the_subject_turns_the_camera() -> None:
    framing = Framing(subject_place=(1.0 / 6.0, None, 0.02), parts=(("Plumb", "Pale"),))
    survey = plumb_and_lean()
    wood, wish = wood_of(survey), wish_of(survey, framing, Reach(), now=MARK)
    places, _ = places_of(Reach(left_m=0.0, right_m=0.0), MARK, survey)
    views = views_of(places, wish, wood=wood, framing=framing, reach=Reach(), now=MARK)
    # Plumb is straight ahead: 1/6 of the width right of the middle at 50 mm is atan(0.12).
    assert math.degrees(views.base_yaw_rad[0]) == pytest.approx(-math.degrees(math.atan(0.12)))
