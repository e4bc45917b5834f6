"""Gaps: the demo's figures, symmetry, scale, leaning trunks against brute force."""

import math

import numpy as np
import pytest
from hypothesis import given
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
    Trunk,
    trunk_at,
)
from shivelight.scene.framing import Framing
from shivelight.scene.gaps import edges_deg, gap_course, gaps_at
from shivelight.scene.pairing import parting_pairs
from shivelight.scene.silhouettes import level_edges, outlines, solids_of
from tests.scene.valley import plumb_and_lean

steps_m = st.floats(-1.0, 1.0)
leans_deg = st.floats(-35.0, 35.0)


def _degrees(survey: Survey, place: tuple[float, float, float]) -> list[float]:
    return [gap.gap_deg for gap in gaps_at(survey, place)]


def test_the_four_gaps_of_plumb_and_lean() -> None:
    # DEMO.md, 6.3, spot 1: at +0.65 m the gaps are 0.54, 0.42, 0.37 and 4.13 degrees.
    found = _degrees(plumb_and_lean(), (0.65, 0.0, 1.1))
    np.testing.assert_allclose(found, [0.54, 0.42, 0.37, 4.13], atol=0.01, rtol=0)


def test_at_the_mark_plumb_hides_lean() -> None:
    # DEMO.md, 6.3, spot 1.
    hidden = gaps_at(plumb_and_lean(), (0.0, 0.0, 1.1))[2]
    assert (hidden.left, hidden.right, hidden.nearer) == ("Plumb", "Lean", "Plumb")
    assert hidden.words() == "Plumb hides Lean"


def test_no_place_to_the_left_within_80_cm_parts_all_five() -> None:
    # DEMO.md, 6.3, spot 1: left never works within 0.8 m.
    course = gap_course(plumb_and_lean(), Framing(), span_m=(-0.8, 1.1))
    left = course.smallest_deg[course.offsets_m <= 0.0]
    assert left.max() < 0.0
    assert course.smallest_deg.max() > 0.3


def test_an_upright_trunk_shows_asin_of_half_its_width_over_the_distance() -> None:
    # Plane geometry: a tangent from a point at distance D to a circle of radius r.
    survey = Survey(trunks=(trunk_at("Post", 0.0, distance_m=4.0, width_m=1.0),))
    left, right = edges_deg(survey, (0.0, 0.0, 1.4))["Post"]
    half = math.degrees(math.asin(0.5 / 4.0))
    np.testing.assert_allclose([left, right], [-half, half], atol=1e-12, rtol=0)


@given(x=steps_m, y=steps_m)
def test_a_mirror_turns_the_order_and_keeps_the_gaps(x: float, y: float) -> None:
    here = _degrees(plumb_and_lean(), (x, y, 1.1))
    there = _degrees(plumb_and_lean(mirror=True), (-x, y, 1.1))
    np.testing.assert_allclose(here, there[::-1], atol=1e-9, rtol=0)


@given(x=steps_m, y=steps_m, scale=st.floats(0.2, 20.0))
def test_all_metres_times_a_factor_leave_every_angle(x: float, y: float, scale: float) -> None:
    here = _degrees(plumb_and_lean(), (x, y, 1.1))
    there = _degrees(plumb_and_lean(scale=scale), (x * scale, y * scale, 1.1 * scale))
    np.testing.assert_allclose(here, there, atol=1e-8, rtol=0)


@given(lean=leans_deg, away=leans_deg, dx=st.floats(-3.0, 3.0), dy=st.floats(-3.0, 3.0))
def test_moving_wood_and_lens_together_changes_nothing(
    lean: float, away: float, dx: float, dy: float
) -> None:
    one = Segment(
        name="A",
        start_m=(-1.0, 9.0, 0.0),
        end_m=(-1.0 + lean / 20, 9.0 + away / 20, 6.0),
        width_m=0.4,
    )
    other = Segment(name="B", start_m=(1.0, 14.0, 0.0), end_m=(1.2, 14.0, 9.0), width_m=0.3)
    moved = tuple(
        Segment(
            name=each.name,
            start_m=(each.start_m[0] + dx, each.start_m[1] + dy, each.start_m[2]),
            end_m=(each.end_m[0] + dx, each.end_m[1] + dy, each.end_m[2]),
            width_m=each.width_m,
        )
        for each in (one, other)
    )
    pairs = (("A", "B"),)
    here = gaps_at(Survey(segments=(one, other)), (0.0, 0.0, 1.4), pairs=pairs)
    there = gaps_at(Survey(segments=moved), (dx, dy, 1.4), pairs=pairs)
    assert here[0].gap_deg == pytest.approx(there[0].gap_deg, abs=1e-9)


def _brute_edges(trunk: Trunk, place: FloatArray, tangents: FloatArray) -> FloatArray:
    """Bearings of a leaning cylinder's edges at altitudes, from 2,000 lines on its bark."""
    foot, top = (np.array(end) for end in trunk.ends_m(Slope()))
    tall = np.linalg.norm(top - foot)
    axis = (top - foot) / tall
    aside = np.cross(axis, [1.0, 0.0, 0.0])
    aside /= np.linalg.norm(aside)
    ring = np.linspace(0.0, 2.0 * math.pi, 2000)[:, np.newaxis]
    bark = np.cos(ring) * aside + np.sin(ring) * np.cross(axis, aside)
    start = foot - place + trunk.width_m / 2.0 * bark
    found = []
    for tangent in tangents:
        # start + m axis stands at the altitude: a quadratic in m.
        flat = np.array([1.0, 1.0, -1.0 / tangent**2])
        a = np.sum(axis * axis * flat)
        b = 2.0 * np.sum(start * axis * flat, axis=1)
        c = np.sum(start * start * flat, axis=1)
        for sign in (1.0, -1.0):
            along = (-b + sign * np.sqrt(b * b - 4.0 * a * c)) / (2.0 * a)
            seen = start + along[:, np.newaxis] * axis
            ahead = seen[:, :2] @ ((foot + top) / 2.0 - place)[:2] > 0.0
            stands = ahead & (seen[:, 2] * tangent > 0.0) & (np.abs(along) < 1.5 * tall)
            if stands.all():
                bearing = np.arctan2(seen[:, 0], seen[:, 1])
                found.append([bearing.min(), bearing.max()])
    return np.array(found)


@given(
    lean=leans_deg, away=st.floats(-15.0, 20.0), turn=st.floats(-40.0, 40.0),
    distance=st.floats(4.0, 15.0), width=st.floats(0.1, 1.2),
)  # fmt: skip
def test_edges_of_a_leaning_trunk_agree_with_its_bark(
    lean: float, away: float, turn: float, distance: float, width: float
) -> None:
    trunk = trunk_at(
        "T", turn, distance_m=distance, width_m=width, lean_right_deg=lean, lean_away_deg=away
    )
    place = np.array([0.3, -0.2, 1.4])
    solids = solids_of(Survey(trunks=(trunk,)))
    edges = outlines(solids, place)
    low, high = edges[0, 4:]
    for share in (0.05, 0.3, 0.6):
        tangent = np.array([low + share * (high - low)])
        if abs(tangent[0]) > 0.01:
            brute = _brute_edges(trunk, place, tangent)
            found = level_edges(solids, edges, tangent)
            np.testing.assert_allclose(found, brute, atol=2e-5, rtol=0)


@given(lean=leans_deg, other=leans_deg, x=steps_m)
def test_the_gap_of_leaning_trunks_is_the_smallest_of_all_heights(
    lean: float, other: float, x: float
) -> None:
    one = trunk_at("A", -8.0, distance_m=8.0, width_m=0.4, height_m=6.0, lean_right_deg=lean)
    two = trunk_at("B", 7.0, distance_m=12.0, width_m=0.5, height_m=9.0, lean_right_deg=other)
    survey = Survey(trunks=(one, two))
    place = (x, 0.0, 1.4)
    gap = gaps_at(survey, place, altitudes_deg=(-5.0, 20.0))[0].gap_deg
    solids = solids_of(survey)
    edges = outlines(solids, np.array(place))
    low, high = max(edges[:, 4].max(), math.tan(math.radians(-5.0))), edges[:, 5].min()
    tangents = np.linspace(low, min(high, math.tan(math.radians(20.0))), 31)
    sides = np.degrees([level_edges(solids, edges, np.array([one, one])) for one in tangents])
    ahead = (sides[:, 1, 0] - sides[:, 0, 1]).min()
    behind = (sides[:, 0, 0] - sides[:, 1, 1]).min()
    assert gap == pytest.approx(max(ahead, behind), abs=1e-9)


def test_a_log_below_a_stump_of_sky_shares_no_altitude_with_it() -> None:
    log = Segment(name="Log", start_m=(-1.0, 6.0, 0.1), end_m=(1.0, 6.0, 0.1), width_m=0.2)
    limb = Segment(name="Limb", start_m=(-1.0, 6.0, 3.0), end_m=(1.0, 6.0, 3.2), width_m=0.1)
    survey = Survey(segments=(log, limb))
    assert gaps_at(survey, (0.0, 0.0, 1.4), pairs=(("Log", "Limb"),))[0].gap_deg == math.inf


def test_a_branch_across_a_trunk_overlaps_it() -> None:
    trunk = trunk_at("Trunk", 0.0, distance_m=8.0, width_m=0.4)
    branch = Segment(name="Branch", start_m=(-1.0, 4.0, 1.8), end_m=(1.0, 4.0, 2.0), width_m=0.05)
    survey = Survey(trunks=(trunk,), segments=(branch,))
    gap = gaps_at(survey, (0.0, 0.0, 1.4), pairs=(("Trunk", "Branch"),))[0]
    assert gap.gap_deg < 0.0
    assert gap.nearer == "Branch"
    aside = gaps_at(survey, (6.0, 0.0, 1.4), pairs=(("trunk", "branch"),))[0]
    assert aside.gap_deg > 0.0


def test_words_for_a_kiss_and_for_standing_in_front() -> None:
    survey = Survey(
        trunks=(
            trunk_at("Near", 0.0, distance_m=5.0, width_m=0.4),
            trunk_at("Far", 3.5, distance_m=12.0, width_m=0.4),
        )
    )
    gap = gaps_at(survey, (0.0, 0.0, 1.4))[0]
    assert 0.0 < gap.gap_deg < 0.3
    assert gap.words() == "a kiss"
    assert gap.words(least_gap_deg=0.1) == "open"
    assert gaps_at(survey, (-0.1, 0.0, 1.4))[0].words() == "Near stands in front of Far"


def test_pairs_are_the_trunks_in_the_frame_and_no_intruders() -> None:
    wood = plumb_and_lean()
    more = (
        trunk_at("Behind", 170.0, distance_m=6.0, width_m=0.5),
        trunk_at("Twig", 8.0, distance_m=3.0, width_m=0.02, role=Role.INTRUDER),
    )
    survey = Survey(trunks=(*wood.trunks, *more))
    pairs = parting_pairs(survey, Framing(), Camera(z_m=1.1))
    assert pairs == parting_pairs(wood, Framing(), Camera(z_m=1.1))
    assert len(pairs) == 10
    named = parting_pairs(survey, Framing(parts=(("plumb", "lean"),)), Camera())
    assert named == (("Plumb", "Lean"),)


def test_gaps_of_what_is_not_there_are_refused() -> None:
    survey = Survey(
        trunks=plumb_and_lean().trunks,
        holes=(
            SkyHole(name="Glare", angle_deg=3.0, altitude_deg=10.0, width_deg=2.0, height_deg=1.0),
        ),
        closed=(ClosedGround(name="Bells", radius_m=1.0),),
    )
    with pytest.raises(NotFoundError, match="No element is called Oak; the survey holds Stub"):
        gaps_at(survey, (0.0, 0.0, 1.1), pairs=(("Plumb", "Oak"),))
    with pytest.raises(BadInputError, match="Glare has no edges to part"):
        gaps_at(survey, (0.0, 0.0, 1.1), pairs=(("Plumb", "Glare"),))
    with pytest.raises(BadInputError, match="three numbers of metres"):
        gaps_at(survey, (0.0, 0.0))
    with pytest.raises(BadInputError, match="runs along x, y or z"):
        gap_course(survey, Framing(), along="w")
    with pytest.raises(BadInputError, match="ends before it begins"):
        gap_course(survey, Framing(), span_m=(1.0, -1.0))


def test_a_course_up_is_level_for_upright_trunks() -> None:
    course = gap_course(plumb_and_lean(), Framing(), along="z", span_m=(-0.5, 0.5), step_m=0.1)
    assert course.gaps_deg.shape == (10, 11)
    assert np.ptp(course.gaps_deg, axis=1).max() < 1e-9
