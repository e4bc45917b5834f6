"""A roll and a carpet in words; the narrow roll; the leaf row; the sketch of a typed skyline."""

import dataclasses
import re

import numpy as np

from shivelight.drawing.leaf_row import LeafYear, draw_leaf_row
from shivelight.drawing.roll import skyline_roll_svg
from shivelight.drawing.roll_scale import NARROW_PX, scale_of
from shivelight.drawing.roll_words import roll_readings, roll_table, skyline_at, sun_over
from shivelight.drawing.skyline_sketch import draw_typed, skyline_sketch
from shivelight.drawing.svg import Pen
from tests.drawing import wennick
from tests.drawing.test_roll import LEVEL, path

FRAME = (119.0, 15.2)


def test_a_bearing_between_two_samples_is_read_between_them() -> None:
    heights = np.array([0.0, 10.0, 20.0, 10.0])
    assert skyline_at(heights, 45.0) == 5.0
    assert skyline_at(heights, 315.0) == 5.0
    assert skyline_at(heights, 360.0) == 0.0


def test_beside_an_unknown_sample_only_the_known_one_is_known() -> None:
    heights = np.array([3.0, np.nan, 2.0, 1.0])
    assert skyline_at(heights, 0.0) == 3.0
    assert np.isnan(skyline_at(heights, 10.0))


def test_the_sun_stands_over_a_bearing_between_two_instants() -> None:
    day = path()  # 4 degrees a quarter hour, from 100 degrees at 07:00
    found = sun_over(day, 182.0)
    assert found is not None
    utc, height = found
    assert utc == wennick.at("07:00") + np.timedelta64(round(82 / 4 * 900), "s")
    assert abs(height - 22.0) < 0.05


def test_the_sun_is_not_where_it_is_down() -> None:
    assert sun_over(path(), 20.0) is None
    low = dataclasses.replace(path(), altitude_deg=np.full(41, -5.0))
    assert sun_over(low, 180.0) is None


def test_readings_go_round_once_from_the_left_edge() -> None:
    lines = roll_readings(LEVEL, path(), start_deg=350.0, zone_name=wennick.ZONE)
    assert len(lines) == 360
    assert lines[0].startswith("350° true, north")
    assert lines[10].startswith("0° true, north")
    south = lines[190]
    assert south.startswith(
        "180° true, south: skyline 2.0° high; the sun stands here at 12:00, 22"
    )
    assert south.endswith("past the skyline.")
    assert lines[20] == "10° true, north: skyline 2.0° high; the sun does not come here."


def test_under_a_high_skyline_the_sun_is_behind_and_unknown_is_said() -> None:
    high = roll_readings(np.full(8, 60.0), path(), start_deg=0.0, zone_name=wennick.ZONE)
    assert high[180].endswith("behind it.")
    unknown = roll_readings(np.full(8, np.nan), path(), start_deg=0.0, zone_name=wennick.ZONE)
    assert "skyline not known" in unknown[180]
    assert "past" not in unknown[180]


def test_the_table_has_every_date_in_a_column() -> None:
    headers, rows = roll_table(
        LEVEL, (path(), path("21 Dec, clears 08:52")), zone_name=wennick.ZONE
    )
    assert headers[2:] == ("sun there, 3 November", "sun there, 21 Dec")
    assert len(rows) == 72
    assert all(len(row) == len(headers) for row in rows)
    assert rows[36][:2] == ("180° south", "2.0°")


def test_a_narrow_roll_holds_the_sun_and_the_frame() -> None:
    scale = scale_of(LEVEL, (path(),), narrow=True, frame_deg=FRAME)
    assert scale.width_px == NARROW_PX
    assert scale.span_deg < 200.0
    up = path().azimuth_deg[path().is_up]
    assert all(scale.holds(float(one)) for one in (*up, 119.0 - 7.6, 119.0 + 7.6))
    svg = skyline_roll_svg(
        LEVEL, paths=(path(),), windows=wennick.light("07:38"), view_azimuth_deg=119.0,
        angle_of_view_deg=15.2, zone_name=wennick.ZONE, style="narrow",
    )  # fmt: skip
    assert 'width="358"' in svg
    assert ">clears 07:38<" in svg
    drawn = [float(x) for x in re.findall(r'cx="(-?[\d.]+)"', svg)]
    assert drawn
    assert all(scale.left_px - 1 <= x <= scale.right_px + 1 for x in drawn)


def test_a_frame_behind_the_camera_of_the_sun_gives_the_full_turn() -> None:
    scale = scale_of(LEVEL, (path(),), narrow=True, frame_deg=(0.0, 40.0))
    assert scale.span_deg == 360.0


def test_a_tap_finds_the_same_bearing_on_both_rolls() -> None:
    for narrow in (True, False):
        scale = scale_of(LEVEL, (path(),), narrow=narrow, frame_deg=FRAME)
        left, right = scale.room_px
        share = (scale.x(150.0) - left) / (scale.width_px - left - right)
        assert abs(share * 360.0 - scale.turn_deg(150.0)) < 1e-9


def test_a_higher_date_does_not_flatten_the_chosen_one() -> None:
    june = dataclasses.replace(path("21 Jun"), altitude_deg=path().altitude_deg + 38.0)
    assert scale_of(LEVEL, (path(), june), narrow=False, frame_deg=FRAME).top_deg == 30.0
    assert scale_of(LEVEL, (june, path()), narrow=False, frame_deg=FRAME).top_deg > 60.0


def test_hours_behind_the_skyline_are_not_written_on_it() -> None:
    given = {
        "paths": (path(),), "windows": (), "view_azimuth_deg": 119.0,
        "angle_of_view_deg": 15.2, "zone_name": wennick.ZONE,
    }  # fmt: skip
    low = skyline_roll_svg(LEVEL, **given)  # type: ignore[arg-type]
    high = skyline_roll_svg(np.full(180, 12.0), **given)  # type: ignore[arg-type]
    unknown = skyline_roll_svg(np.full(180, np.nan), **given)  # type: ignore[arg-type]
    assert ">08:00<" in low
    assert ">08:00<" not in high
    assert ">08:00<" in unknown


def test_a_place_on_the_roll_is_read_back_as_its_bearing() -> None:
    scale = scale_of(LEVEL, (path(),), narrow=False, frame_deg=FRAME)
    assert abs(scale.azimuth_deg(scale.x(300.0)) - 300.0) < 1e-9


def test_leaf_marks_have_the_shape_of_their_stage() -> None:
    stages = ("bare",) * 30 + ("full",) * 30 + ("turning",) * 30
    sure = (True,) * 90
    pen = Pen("page")
    draw_leaf_row(
        pen, LeafYear(stages=stages, is_sure=sure), x=lambda day: day * 3.0, top_px=0, step_d=5
    )
    assert pen.shapes.count("var(--light)") == 6
    assert pen.shapes.count('fill="var(--ink)"/') == 6
    for words in ("bare", "full leaf", "turning"):
        assert f">{words}<" in pen.shapes


def test_typed_heights_far_apart_are_not_joined() -> None:
    scale = scale_of(LEVEL, (path(),), narrow=False, frame_deg=FRAME)
    near, far = Pen("page"), Pen("page")
    draw_typed(near, scale, [(90.0, 5.0), (120.0, 8.0)])
    draw_typed(far, scale, [(90.0, 5.0), (150.0, 8.0)])
    assert near.shapes.count("<path") == 2  # a light edge and a dark line
    assert far.shapes.count("<path") == 0
    assert far.shapes.count("<circle") == 2


def test_a_typed_line_over_the_cut_is_drawn_in_two_parts() -> None:
    scale = scale_of(LEVEL, (path(),), narrow=False, frame_deg=FRAME)
    pen = Pen("page")
    cut = scale.start_deg
    draw_typed(pen, scale, [(cut - 10.0, 5.0), (cut + 10.0, 8.0)])
    assert pen.shapes.count("<path") == 4


def test_the_sketch_shows_ground_only_where_it_was_worked_out() -> None:
    given = {"path": path(), "frame_deg": FRAME, "zone_name": wennick.ZONE}
    bare = skyline_sketch(None, [(90.0, 5.0), (120.0, 45.0)], **given)  # type: ignore[arg-type]
    worked = skyline_sketch(LEVEL, [], **given)  # type: ignore[arg-type]
    assert "var(--bark)" not in bare.page
    assert "var(--bark)" in worked.page
    assert bare.page_scale.top_deg == 50.0
    assert bare.phone_scale.span_deg == 360.0
    assert "2 typed heights." in bare.phone
