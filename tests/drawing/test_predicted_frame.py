"""The predicted frame: outlines against the ray-caster, words above and below, pictures."""

import dataclasses
import io
import re

import numpy as np
import pytest
from PIL import Image

from shivelight.basis.errors import BadInputError
from shivelight.drawing.frame_shapes import (
    FLARE_FRAC,
    ground_bands,
    hole_outline,
    segment_outline,
    silhouette,
    trunk_outline,
    view_of,
)
from shivelight.drawing.predicted_frame import (
    FrameWish,
    predicted_frame_png,
    predicted_frame_svg,
)
from shivelight.drawing.predicted_words import frame_rows, frame_sentence
from shivelight.scene.camera import Camera, project
from shivelight.scene.elements import Role, Segment, Slope, Survey, trunk_at
from shivelight.scene.raycast import GROUND_ID, cast
from tests.drawing import plumb
from tests.pages.snapshots import compare

LEANING = trunk_at(
    "Crook", -6.0, distance_m=6.0, width_m=0.6, lean_right_deg=9.0, lean_away_deg=-5.0
)
RAIL = Segment(name="Rail", start_m=(-3.0, 5.0, 0.2), end_m=(-1.2, 6.0, 0.9), width_m=0.15)
VIEWS = (
    Camera(z_m=1.1),
    Camera(x_m=0.6, z_m=1.6, yaw_deg=-9.0, pitch_deg=6.0, roll_deg=4.0, focal_length_mm=28.0),
)


def at(x_m: float, style: str = "page", survey: Survey = plumb.SURVEY) -> str:
    camera = Camera(x_m=x_m, z_m=1.1, yaw_deg=-1.0 - 2.0 * x_m)
    return predicted_frame_svg(
        survey,
        camera,
        gaps=plumb.gaps(x_m),
        mist_range_m=140.0,
        wish=FrameWish(u_frac=0.05, tolerance_frac=0.06, border_frac=0.027),
        style=style,
    )


@pytest.mark.parametrize("camera", VIEWS)
def test_silhouettes_are_where_the_ray_caster_sees_the_edges(camera: Camera) -> None:
    size = (2400, 1600)
    seen = cast(Survey(trunks=(LEANING,)), camera, size=size).element_id == 0
    foot, top = (np.array(end) for end in LEANING.ends_m(Slope()))
    sides = silhouette(np.stack([foot, top]), np.full(2, LEANING.width_m / 2.0), view_of(camera))
    assert sides is not None
    lines = [project(camera, side)[:2] for side in sides]
    for row in (200, 600, 1000):
        v = ((row + 0.5) / size[1] - 0.5) * 2.0 * camera.half_height
        columns = np.flatnonzero(seen[row])
        edges = sorted(np.interp(v, ys[::-1], us[::-1]) for us, ys in lines)
        found = ((columns[0]) / size[0] - 0.5, (columns[-1] + 1.0) / size[0] - 0.5)
        assert found == pytest.approx(edges, abs=1.01 / size[0])


def test_the_outline_is_the_silhouette_but_for_flare_and_taper() -> None:
    camera = Camera(z_m=1.3)
    trunk = trunk_at("Plumb", 0.0, distance_m=7.0, width_m=0.5)
    found = trunk_outline(trunk, view_of(camera), slope=Slope())
    assert found is not None
    wide = 2.0 * np.tan(np.arcsin(0.25 * (1.0 + FLARE_FRAC) / 7.0)) * camera.focal_in_widths
    assert found.right_u - found.left_u == pytest.approx(wide, rel=1e-6)
    assert found.middle_u == pytest.approx(0.0, abs=1e-12)
    assert found.distance_m == 7.0


@pytest.mark.parametrize("camera", VIEWS)
def test_ground_bands_begin_at_the_level_and_end_below_the_frame(camera: Camera) -> None:
    slope = Slope(rise_right_frac=0.1, rise_forward_frac=0.03)
    bands = list(ground_bands(view_of(camera), slope))
    seen = cast(Survey(slope=slope), camera, size=(301, 201)).element_id == GROUND_ID
    for column in (0, 150, 300):
        u = (column + 0.5) / 301 - 0.5
        horizon = np.interp(u, bands[0][0][:2, 0], bands[0][0][:2, 1])
        first = np.flatnonzero(seen[:, column])[0]
        found = (first / 201 - 0.5) * 2.0 * camera.half_height
        assert found == pytest.approx(horizon, abs=2.0 / 201)
    assert bands[-1][0][2:, 1].min() > camera.half_height


def test_what_stands_behind_the_lens_is_left_out() -> None:
    camera = Camera(y_m=9.0)
    assert trunk_outline(plumb.TRUNKS[2], view_of(camera), slope=Slope()) is None
    assert segment_outline(RAIL, view_of(camera)) is None
    assert hole_outline(plumb.HOLE, view_of(Camera(yaw_deg=180.0))) is None
    svg = predicted_frame_svg(plumb.SURVEY, camera)
    assert ">Plumb<" not in svg
    assert ">Lean<" in svg
    assert "Outside the frame: Crook, Plumb." in svg


def test_a_log_that_runs_past_the_lens_is_cut_and_not_turned_round() -> None:
    past = dataclasses.replace(RAIL, start_m=(-0.5, -2.0, 0.2), end_m=(-0.4, 6.0, 0.4))
    found = segment_outline(past, view_of(Camera()))
    assert found is not None
    assert np.isfinite(found.uv).all()
    assert found.uv[:, 1].max() > 1.0  # it leaves through the lower border


def test_gaps_stand_above_and_names_below() -> None:
    mark, best = at(0.0), at(0.65)
    assert ">closed<" in mark
    assert ">closed<" not in best
    for words in ("0.54°", "0.42°", "0.37°", "4.1°", *(name for name, *_ in plumb.FIVE)):
        assert f">{words}<" in best
    top = float(re.findall(r'<text x="[\d.]+" y="([\d.]+)"[^>]*>0.37°<', best)[0])
    foot = float(re.findall(r'<text x="[\d.]+" y="([\d.]+)"[^>]*>Plumb<', best)[0])
    assert top < 62.0
    assert foot > 330.0


def test_farther_trunks_are_paler_and_drawn_first() -> None:
    found = re.findall(r'fill="var\(--bark\)" opacity="([\d.]+)"', at(0.65))
    tones = list(map(float, found))
    assert tones == sorted(tones)
    by_law = sorted(0.05 ** (np.hypot(one.x_m - 0.65, one.y_m) / 140.0) for one in plumb.TRUNKS)
    assert tones == pytest.approx(by_law, abs=0.006)


def test_roles_are_told_by_stroke() -> None:
    rail = dataclasses.replace(plumb.SURVEY, segments=(RAIL,), holes=(plumb.HOLE,))
    svg = predicted_frame_svg(rail, VIEWS[0])
    assert svg.count('stroke-dasharray="5 3"') == 1
    assert svg.count('stroke-dasharray="2 3"') == 1
    assert svg.count('stroke-width="2.4"') == 1
    frame = tuple(dataclasses.replace(one, role=Role.FRAME) for one in plumb.TRUNKS)
    assert 'stroke-width="2.4"' not in predicted_frame_svg(Survey(trunks=frame), VIEWS[0])


def test_words_that_find_no_room_stand_in_rows() -> None:
    crowd = Survey(
        trunks=tuple(
            trunk_at(f"Stem {n}", n * 0.4, distance_m=10.0 + n, width_m=0.05) for n in range(4)
        )
    )
    svg = predicted_frame_svg(crowd, Camera())
    heights = set(re.findall(r'y="([\d.]+)"[^>]*>Stem \d<', svg))
    assert len(heights) == 3


def test_sentence_and_table() -> None:
    said = frame_sentence((("A", "B", 0.5), ("B", "C", -0.1)), mist_range_m=140.0, cut=("D",))
    assert said == (
        "Drawn through mist of 140 m, rough. Gaps: A to B 0.50°. B and C overlap. "
        "Outside the frame: D."
    )
    assert frame_sentence(()) == "Drawn through clear air, rough."
    assert frame_rows((("A", "B", 0.5), ("B", "C", -0.1))) == (
        ("A | B", "0.50°"),
        ("B | C", "closed"),
    )


def test_a_pair_of_which_one_is_above_the_other_has_no_gap_to_write() -> None:
    above = (("Plumb", "Lean", float("inf")),)
    assert frame_rows(above) == (("Plumb | Lean", "clear"),)
    assert "Gaps" not in frame_sentence(above)
    assert "inf" not in predicted_frame_svg(plumb.SURVEY, Camera(x_m=0.65, z_m=1.1), gaps=above)


def test_the_picture_has_its_size_and_its_mist() -> None:
    held = predicted_frame_png(plumb.SURVEY, VIEWS[0], size=(90, 60), mist_range_m=140.0)
    picture = np.asarray(Image.open(io.BytesIO(held)))
    assert picture.shape == (60, 90)
    seen = cast(plumb.SURVEY, VIEWS[0], size=(90, 60), flare_frac=0.3).element_id[8]
    plumb_tone, pale_tone = (picture[8][seen == number].mean() for number in (2, 4))
    assert plumb_tone < pale_tone < picture[8].max()


def test_a_lens_in_a_trunk_is_refused() -> None:
    with pytest.raises(BadInputError, match="inside Plumb; stand beside it"):
        predicted_frame_svg(plumb.SURVEY, Camera(y_m=7.0))


@pytest.mark.parametrize("style", ["paper", "narrow"])
def test_as_last_looked_at(style: str) -> None:
    compare(f"predicted-frame-{style}.svg", at(0.65, style))
