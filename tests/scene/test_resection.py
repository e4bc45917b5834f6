"""Where one stands, from distances, transits and angles to known things."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shivelight.basis.errors import BadInputError, MissingDataError, NotFoundError
from shivelight.scene.anchors import (
    Anchor,
    Between,
    Measurement,
    Side,
    Sighted,
    Taped,
    Transit,
    predicted,
)
from shivelight.scene.resection import Fix, resect

PLUMB = Anchor(name="Plumb", x_m=0.0, y_m=7.0, width_m=0.55)
CROOK = Anchor(name="Crook", x_m=-1.05, y_m=9.95, width_m=0.60)
GATE = Anchor(name="ride gate", x_m=6.0, y_m=1.0, width_m=0.15)
STONE = Anchor(name="stone", x_m=-3.0, y_m=-4.0, width_m=0.30)
ALL = (PLUMB, CROOK, GATE, STONE)
HERE = (-0.30, -0.10)


def taped(anchor: Anchor, at: tuple[float, float], *, off_m: float = 0.0) -> Taped:
    """Measure a distance at a place, noted at the mark too."""
    return Taped(
        to=anchor.name,
        distance_m=math.hypot(anchor.x_m - at[0], anchor.y_m - at[1]) + off_m,
        doubt_m=0.02,
        noted_m=math.hypot(anchor.x_m, anchor.y_m),
        noted_doubt_m=0.02,
    )


def seen(one: Measurement, at: tuple[float, float]) -> float:
    """Read without error at a place."""
    value, _, _ = predicted(one, {a.name: a for a in ALL}, np.array([at]))
    return float((value[0] + 180.0) % 360.0 - 180.0)


def assert_here(fix: Fix, at: tuple[float, float] = HERE, *, within_m: float = 1e-6) -> None:
    assert fix.right_m == pytest.approx(at[0], abs=within_m)
    assert fix.forward_m == pytest.approx(at[1], abs=within_m)


def test_three_distances_tell_where_one_stands() -> None:
    fix = resect(ALL, [taped(one, HERE) for one in (PLUMB, GATE, STONE)])
    assert_here(fix)
    assert fix.outlier is None
    assert not fix.disagree
    assert all(abs(one.off) < 1e-6 for one in fix.misfits)


def test_two_transits_and_a_distance() -> None:
    lines = [
        Transit(
            near="Plumb", near_side=Side.LEFT, far="Crook", far_side=Side.RIGHT, noted_deg=None
        ),
        Transit(near="ride gate", far="stone", noted_deg=None),
    ]
    measured: list[Measurement] = [
        Transit(
            near=one.near, near_side=one.near_side, far=one.far, far_side=one.far_side,
            noted_deg=None, open_deg=seen(one, HERE),
        )
        for one in lines
    ]  # fmt: skip
    assert_here(resect(ALL, [*measured, taped(GATE, HERE)]))


def test_angles_and_bearings() -> None:
    between = Between(left="Crook", right="ride gate", angle_deg=0.0, doubt_deg=1.0)
    sighted = Sighted(to="stone", angle_deg=0.0, doubt_deg=2.0)
    measured: list[Measurement] = [
        Between(left="Crook", right="ride gate", angle_deg=seen(between, HERE), doubt_deg=1.0),
        Sighted(to="stone", angle_deg=seen(sighted, HERE), doubt_deg=2.0),
        taped(PLUMB, HERE),
    ]
    assert_here(resect(ALL, measured))


def test_what_was_noted_at_the_mark_counts_more_than_a_survey_that_is_wrong() -> None:
    """The survey has Plumb 30 cm too far; on the mark the tape reads what it read then."""
    measured = [
        Taped(to="Plumb", distance_m=6.7, doubt_m=0.02, noted_m=6.7),
        taped(GATE, (0.0, 0.0)),
        taped(STONE, (0.0, 0.0)),
    ]
    assert_here(resect(ALL, measured), (0.0, 0.0))


def test_a_transit_that_held_holds_on_the_mark_whatever_the_survey_says() -> None:
    measured = [
        Transit(near="Plumb", near_side=Side.RIGHT, far="Crook", far_side=Side.LEFT),
        Transit(near="ride gate", far="stone"),
    ]
    assert_here(resect(ALL, measured), (0.0, 0.0))


def test_two_distances_leave_a_second_place_across_their_line() -> None:
    fix = resect(ALL, [taped(PLUMB, HERE), taped(CROOK, HERE)])
    assert_here(fix)
    (other,) = fix.elsewhere_m
    for trunk in (PLUMB, CROOK):
        there = math.hypot(trunk.x_m - other[0], trunk.y_m - other[1])
        assert there == pytest.approx(math.hypot(trunk.x_m - HERE[0], trunk.y_m - HERE[1]))
    assert math.hypot(other[0] - HERE[0], other[1] - HERE[1]) > 3.0


def test_a_third_distance_takes_the_second_place_away() -> None:
    fix = resect(ALL, [taped(PLUMB, HERE), taped(CROOK, HERE), taped(GATE, HERE)])
    assert fix.elsewhere_m == ()


def test_of_four_the_wrong_one_is_named_and_left_out() -> None:
    measured = [taped(PLUMB, HERE), taped(GATE, HERE), taped(STONE, HERE)]
    fix = resect(ALL, [*measured, taped(CROOK, HERE, off_m=0.6)])
    assert fix.outlier is not None
    assert fix.outlier.names == ("Crook",)
    assert fix.outlier_sure
    assert_here(fix)


def test_of_three_the_wrong_one_is_only_likely() -> None:
    measured = [taped(PLUMB, HERE), taped(GATE, HERE), taped(STONE, HERE, off_m=4.0)]
    fix = resect(ALL, measured)
    assert fix.outlier is not None
    assert fix.outlier.names == ("stone",)
    assert not fix.outlier_sure
    assert_here(fix)


def test_of_three_none_is_named_where_each_could_be_wrong() -> None:
    measured = [taped(PLUMB, HERE), taped(GATE, HERE), taped(STONE, HERE, off_m=0.4)]
    fix = resect(ALL, measured)
    assert fix.outlier is None
    assert fix.disagree


def test_circles_that_do_not_meet_disagree() -> None:
    apart = [
        Taped(to="ride gate", distance_m=2.0, doubt_m=0.02),
        Taped(to="stone", distance_m=3.0, doubt_m=0.02),
    ]
    with pytest.raises(BadInputError, match="the distance to ride gate and the distance to stone"):
        resect(ALL, apart)


def test_one_measurement_is_a_line() -> None:
    with pytest.raises(MissingDataError, match="draws a line, not a place"):
        resect(ALL, [taped(PLUMB, HERE)])


def test_the_same_line_twice_is_no_place() -> None:
    one = Sighted(to="Plumb", angle_deg=0.0, doubt_deg=1.0)
    with pytest.raises(MissingDataError, match="draw the same line"):
        resect(ALL, [one, one])


def test_an_anchor_that_was_never_surveyed_is_named() -> None:
    with pytest.raises(NotFoundError, match="place of Pale is not known"):
        resect(ALL, [taped(PLUMB, HERE), Taped(to="Pale", distance_m=24.0, doubt_m=0.1)])


@pytest.mark.parametrize(
    "make",
    [
        lambda: Transit(near="Plumb", far="plumb"),
        lambda: Between(left="Plumb", right="Plumb", angle_deg=3.0, doubt_deg=1.0),
    ],
)
def test_one_thing_is_not_in_line_with_itself(make: object) -> None:
    assert callable(make)
    with pytest.raises(BadInputError, match="wants two things"):
        make()


def test_an_anchor_on_the_mark_is_refused() -> None:
    with pytest.raises(BadInputError, match="stands on the mark itself"):
        Anchor(name="stump", x_m=0.1, y_m=0.0, width_m=0.4)


@settings(max_examples=60, deadline=None)
@given(x_m=st.floats(-2.0, 2.0), y_m=st.floats(-2.0, 2.0), turn_deg=st.floats(0.0, 360.0))
def test_turning_the_whole_wood_turns_the_answer(x_m: float, y_m: float, turn_deg: float) -> None:
    c, s = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))

    def turned(x: float, y: float) -> tuple[float, float]:
        return x * c + y * s, y * c - x * s

    anchors = [
        Anchor(name=one.name, x_m=turned(one.x_m, one.y_m)[0], y_m=turned(one.x_m, one.y_m)[1])
        for one in (PLUMB, GATE, STONE)
    ]
    at = turned(x_m, y_m)
    fix = resect(anchors, [taped(one, at) for one in anchors])
    assert_here(fix, at, within_m=1e-5)


@pytest.mark.parametrize("names", [("Plumb", "ride gate", "stone"), ("Plumb", "Crook", "stone")])
def test_the_oval_holds_two_tries_in_three(names: tuple[str, ...]) -> None:
    """Draw the errors of tape, eye and survey 400 times and count."""
    draw = np.random.default_rng(20271112)
    doubtful = {
        one.name: Anchor(
            name=one.name, x_m=one.x_m, y_m=one.y_m, doubt_along_m=0.05, doubt_across_m=0.03
        )
        for one in ALL
    }
    line = Transit(near=names[0], far=names[1], doubt_deg=0.2, noted_deg=None)
    tries, held = 400, 0
    for _ in range(tries):
        true = {name: _moved(one, draw) for name, one in doubtful.items()}
        measured: list[Measurement] = [
            Taped(
                to=name,
                distance_m=math.hypot(true[name].x_m - HERE[0], true[name].y_m - HERE[1])
                + draw.normal(0.0, 0.04),
                doubt_m=0.04,
            )
            for name in names
        ]
        value = predicted(line, true, np.array([HERE]))[0][0]
        measured.append(
            Transit(
                near=names[0],
                far=names[1],
                doubt_deg=0.2,
                noted_deg=None,
                open_deg=float(value + draw.normal(0.0, 0.2)),
            )
        )
        held += _inside(resect(list(doubtful.values()), measured, whole=True))
    assert held / tries == pytest.approx(2.0 / 3.0, abs=0.071)  # three standard errors of a count


def _moved(one: Anchor, draw: np.random.Generator) -> Anchor:
    x_m, y_m = draw.multivariate_normal([one.x_m, one.y_m], one.covariance_m2)
    return Anchor(name=one.name, x_m=float(x_m), y_m=float(y_m))


def _inside(fix: Fix) -> bool:
    """Whether the true place lies in the oval about the found one."""
    right, forward = HERE[0] - fix.right_m, HERE[1] - fix.forward_m
    turn = math.radians(fix.oval.turn_deg)
    along = right * math.sin(turn) + forward * math.cos(turn)
    across = right * math.cos(turn) - forward * math.sin(turn)
    return (along / fix.oval.long_m) ** 2 + (across / fix.oval.short_m) ** 2 <= 1.0


@st.composite
def anything(draw: st.DrawFn) -> tuple[list[Anchor], list[Measurement]]:
    """Draw anchors anywhere and measurements that need not agree."""
    anchors = [
        Anchor(
            name=name,
            x_m=draw(st.floats(1.0, 200.0)) * draw(st.sampled_from((-1.0, 1.0))),
            y_m=draw(st.floats(-200.0, 200.0)),
            width_m=draw(st.floats(0.0, 1.5)),
            doubt_along_m=draw(st.floats(0.0, 2.0)),
            doubt_across_m=draw(st.floats(0.0, 2.0)),
        )
        for name in ("a", "b", "c")
    ]
    which = st.sampled_from(("a", "b", "c"))
    pairs = st.sampled_from((("a", "b"), ("b", "c"), ("c", "a")))
    doubt = st.floats(0.001, 5.0)
    one = st.one_of(
        st.builds(
            Taped,
            to=which,
            distance_m=st.floats(0.1, 300.0),
            doubt_m=doubt,
            noted_m=st.none() | st.floats(0.1, 300.0),
        ),
        st.builds(Sighted, to=which, angle_deg=st.floats(-180.0, 180.0), doubt_deg=doubt),
        st.builds(
            lambda pair, angle, wide: Between(
                left=pair[0], right=pair[1], angle_deg=angle, doubt_deg=wide
            ),
            pairs,
            st.floats(-180.0, 180.0),
            doubt,
        ),
        st.builds(
            lambda pair, noted: Transit(
                near=pair[0], far=pair[1], near_side=Side.LEFT, noted_deg=noted
            ),
            pairs,
            st.none() | st.just(0.0),
        ),
    )
    return anchors, draw(st.lists(one, min_size=2, max_size=5))


@settings(max_examples=50, deadline=None)
@given(case=anything())
def test_whatever_was_measured_gives_a_place_or_a_sentence(
    case: tuple[list[Anchor], list[Measurement]],
) -> None:
    try:
        fix = resect(*case)
    except (BadInputError, MissingDataError):
        return
    assert math.isfinite(fix.right_m)
    assert math.isfinite(fix.forward_m)
    assert fix.oval.long_m >= fix.oval.short_m >= 0.0
    assert math.isfinite(fix.oval.long_m)
