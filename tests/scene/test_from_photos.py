import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import BadInputError, MissingDataError
from shivelight.scene.camera import Camera, project
from shivelight.scene.elements import Slope
from shivelight.scene.from_photos import trunk_on_photo
from shivelight.scene.photo_marks import FLAT, PhotoView, TrunkMark
from tests.renders import Render

WIDTH_PX, HEIGHT_PX = 3000, 2000


def view_of(*, pitch_deg: float = -2.0, roll_deg: float = 0.0, slope: Slope = FLAT) -> PhotoView:
    camera = Camera(z_m=1.5, pitch_deg=pitch_deg, roll_deg=roll_deg, focal_length_mm=35.0)
    return PhotoView(camera=camera, width_px=WIDTH_PX, height_px=HEIGHT_PX, slope=slope)


def pixel(view: PhotoView, point: tuple[float, float, float]) -> tuple[float, float]:
    u, v, _depth = project(view.camera, point)
    return (
        float(u) * WIDTH_PX + (WIDTH_PX - 1) / 2.0,
        float(v) * WIDTH_PX + (HEIGHT_PX - 1) / 2.0,
    )


def marked(view: PhotoView, x_m: float, y_m: float, *, width_m: float) -> TrunkMark:
    """Mark a trunk where it truly falls."""
    away, bearing = math.hypot(x_m, y_m), math.atan2(x_m, y_m)
    half = math.asin(width_m / 2.0 / away)
    touch = away * math.cos(half)
    edges = [
        pixel(
            view,
            (touch * math.sin(bearing + turn), touch * math.cos(bearing + turn), view.camera.z_m),
        )
        for turn in (-half, half)
    ]
    near = away - width_m / 2.0
    at = (near * math.sin(bearing), near * math.cos(bearing))
    return TrunkMark(
        name="Plumb",
        left_px=edges[0][0],
        right_px=edges[1][0],
        row_px=(edges[0][1] + edges[1][1]) / 2.0,
        foot_px=pixel(view, (*at, view.slope.height_m(*at))),
    )


@given(
    x_m=st.floats(-1.5, 1.5),
    y_m=st.floats(5.0, 15.0),
    width_m=st.floats(0.2, 0.9),
    pitch_deg=st.floats(-8.0, 4.0),
)
def test_a_trunk_marked_where_it_falls_is_found_where_it_stands(
    x_m: float, y_m: float, width_m: float, pitch_deg: float
) -> None:
    view = view_of(pitch_deg=pitch_deg)
    found = trunk_on_photo(marked(view, x_m, y_m, width_m=width_m), view).trunk
    # One row for both edges: off the middle of a tilted picture that is off by less than a pixel.
    assert found.x_m == pytest.approx(x_m, abs=0.004)
    assert found.y_m == pytest.approx(y_m, abs=0.004)
    assert found.width_m == pytest.approx(width_m, abs=0.002)


def test_a_slope_is_allowed_for() -> None:
    view = view_of(slope=Slope(rise_forward_frac=0.06, rise_right_frac=-0.1))
    found = trunk_on_photo(marked(view, 1.2, 9.0, width_m=0.4), view).trunk
    assert found.distance_m == pytest.approx(math.hypot(1.2, 9.0), abs=1e-6)


def test_a_rolled_camera_changes_nothing_when_the_roll_is_known() -> None:
    view = view_of(roll_deg=4.0)
    mark = marked(view, 0.0, 8.0, width_m=0.02 * 8.0)
    assert trunk_on_photo(mark, view).trunk.distance_m == pytest.approx(8.0, abs=0.02)


def test_a_known_width_gives_the_distance_without_the_ground() -> None:
    view = view_of()
    mark = replace(marked(view, -1.0, 6.0, width_m=0.5), foot_px=None, width_m=0.5)
    found = trunk_on_photo(mark, view)
    assert found.ways == ("width",)
    assert found.trunk.distance_m == pytest.approx(math.hypot(1.0, 6.0), abs=1e-6)


def test_two_ways_are_surer_than_each() -> None:
    view = view_of()
    mark = marked(view, 0.0, 7.0, width_m=0.55)
    both = trunk_on_photo(replace(mark, width_m=0.55), view).trunk.doubt.distance_m
    by_foot = trunk_on_photo(mark, view).trunk.doubt.distance_m
    by_width = trunk_on_photo(replace(mark, foot_px=None, width_m=0.55), view).trunk.doubt
    assert both < min(by_foot, by_width.distance_m)


def test_ways_that_contradict_each_other_are_said_and_widen_the_doubt() -> None:
    view = view_of()
    mark = replace(marked(view, 0.0, 7.0, width_m=0.55), width_m=1.1)
    found = trunk_on_photo(mark, view)
    assert "7.0 m off by its foot and 14.0 m by its width" in found.sentences[0]
    assert found.trunk.doubt.distance_m == pytest.approx(3.5, abs=0.05)


def test_the_stated_errors_are_those_of_drawn_marks() -> None:
    view = view_of()
    true = marked(view, 0.5, 7.0, width_m=0.5)
    assert true.foot_px is not None
    draws = np.random.default_rng(8)
    found = []
    for _ in range(400):
        off = draws.normal(0.0, 1.0, 8)
        camera = replace(
            view.camera,
            z_m=1.5 + view.height_error_m * off[4],
            pitch_deg=-2.0 + view.pitch_error_deg * off[5],
            roll_deg=view.roll_error_deg * off[6],
            focal_length_mm=35.0 * (1.0 + view.focal_error_frac * off[7]),
        )
        wrong = replace(
            true,
            left_px=true.left_px + 2.0 * off[0],
            right_px=true.right_px + 2.0 * off[1],
            foot_px=(true.foot_px[0] + 2.0 * off[2], true.foot_px[1] + 2.0 * off[3]),
        )
        sloped = Slope(rise_forward_frac=float(draws.normal(0.0, view.slope_error_frac)))
        found.append(
            trunk_on_photo(wrong, replace(view, camera=camera, slope=sloped)).trunk.distance_m
        )
    stated = trunk_on_photo(true, view).trunk.doubt.distance_m
    assert stated == pytest.approx(float(np.std(found)), rel=0.25)


def test_a_foot_above_the_horizon_is_refused() -> None:
    view = view_of(pitch_deg=0.0)
    mark = replace(marked(view, 0.0, 7.0, width_m=0.5), foot_px=(1500.0, 900.0))
    with pytest.raises(BadInputError, match="above where flat ground could be seen"):
        trunk_on_photo(mark, view)


def test_a_mark_one_pixel_wide_is_refused() -> None:
    with pytest.raises(BadInputError, match="Plumb is marked 1 px wide"):
        TrunkMark(name="Plumb", left_px=700.0, right_px=701.0, row_px=900.0)


def test_a_trunk_with_neither_foot_nor_width_is_asked_for_one() -> None:
    mark = TrunkMark(name="Plumb", left_px=700.0, right_px=760.0, row_px=900.0)
    with pytest.raises(MissingDataError, match="or its width"):
        trunk_on_photo(mark, view_of())


def test_a_mark_outside_the_picture_is_refused() -> None:
    mark = TrunkMark(name="Plumb", left_px=-40.0, right_px=60.0, row_px=900.0, width_m=0.4)
    with pytest.raises(BadInputError, match="outside the picture"):
        trunk_on_photo(mark, view_of())


def test_a_distance_too_doubtful_to_use_is_refused() -> None:
    view = replace(view_of(), pitch_error_deg=3.0)
    with pytest.raises(BadInputError, match="give its width, or take two photos"):
        trunk_on_photo(marked(view, 0.0, 25.0, width_m=0.5), view)


@pytest.mark.parametrize("shot", ["clear-a", "clear-b", "clear-forward"])
def test_rendered_trunks_are_found_from_one_picture(shot: str) -> None:
    render = Render("hanger", shot)
    for mark in render.marks(off_px=1.0):
        if mark.foot_px is None:
            continue
        found, true_m = trunk_on_photo(mark, render.view).trunk, render.distance_m(mark.name)
        assert abs(found.distance_m - true_m) < 3.0 * found.doubt.distance_m
        assert abs(found.distance_m - true_m) < 0.06 * true_m  # its tilt is known exactly here
