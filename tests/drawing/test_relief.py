"""The relief picture: tones and holes of the PNG, and what the drawing over it says and shows."""

import base64
import io
import re
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from PIL import Image

from shivelight.basis.places import Position, destination
from shivelight.drawing.relief import (
    BRIGHTEST,
    DARKEST,
    ReliefMarks,
    relief_overlay_svg,
    relief_png,
    scale_step_m,
)
from shivelight.drawing.tokens import PAPER, contrast_ratio
from shivelight.land.contours import find_contours
from shivelight.land.square import GroundSquare, pixels_at

PINNET = Position(latitude_deg=53.0043, longitude_deg=-5.0912)
SQUARE = GroundSquare(centre=PINNET, radius_m=600.0, side_px=720)
SPACE = "{http://www.w3.org/2000/svg}"


def at(azimuth_deg: float, distance_m: float) -> Position:
    return destination(PINNET, azimuth_deg=azimuth_deg, distance_m=distance_m)


def corner(azimuth_deg: float) -> tuple[float, float]:
    there = at(azimuth_deg, 400.0)
    return there.latitude_deg, there.longitude_deg


def drawn(marks: ReliefMarks, *, style: str = "page", picture: bytes | None = None) -> ET.Element:
    svg = relief_overlay_svg(SQUARE, marks, sentence="In words.", style=style, picture=picture)
    return ET.fromstring(svg)


class TestPng:
    def test_tones_run_evenly_and_holes_are_clear(self) -> None:
        shade = np.linspace(0.0, 1.0, 100).reshape(10, 10)
        shade[4, 5] = np.nan
        picture = Image.open(io.BytesIO(relief_png(shade, side_px=10)))
        assert (picture.mode, picture.size, picture.info) == ("LA", (10, 10), {})
        grey, clear = (np.asarray(band) for band in picture.split())
        assert (grey[0, 0], grey[9, 9]) == (DARKEST, BRIGHTEST)
        assert (np.diff(grey.ravel().astype(int)[:45]) >= 0).all()
        assert clear[4, 5] == 0
        assert (clear == 255).sum() == 99

    def test_it_is_drawn_out_to_the_size_asked_for(self) -> None:
        shade = np.full((40, 40), 0.5)
        shade[:, 30:] = np.nan
        picture = Image.open(io.BytesIO(relief_png(shade, side_px=720)))
        assert picture.size == (720, 720)
        grey, clear = (np.asarray(band) for band in picture.split())
        assert np.unique(grey).tolist() == [(DARKEST + BRIGHTEST) // 2]
        assert (clear[:, :540] == 255).all()
        assert (clear[:, 540:] == 0).all()

    def test_strokes_read_on_every_tone(self) -> None:
        # WCAG 2.2, 1.4.11: three to one for a stroke that carries meaning.
        for tone in (DARKEST, (DARKEST + BRIGHTEST) // 2, BRIGHTEST):
            ground = f"#{tone:02X}{tone:02X}{tone:02X}"
            assert contrast_ratio(PAPER["ink"], ground) >= 3.0
        # Copper lies on a casing of sheet.
        assert contrast_ratio(PAPER["light"], PAPER["sheet"]) >= 3.0


class TestOverlay:
    def test_it_is_an_image_of_the_square_with_its_sentence(self) -> None:
        root = drawn(ReliefMarks(title="Ground of Pinnet Heath"))
        assert root.get("viewBox") == "0 0 720 720"
        assert root.get("aria-label") == "Ground of Pinnet Heath"
        assert root.findtext(f"{SPACE}desc") == "In words."

    def test_parking_spots_scale_and_north_are_named(self) -> None:
        marks = ReliefMarks(
            title="t", parking=at(90.0, 100.0), spots=(("White <Post> Gap", at(0.0, 300.0)),)
        )
        words = {one.text for one in drawn(marks).iter(f"{SPACE}text")}
        assert {"parking", "White <Post> Gap", "200 m", "true north"} <= words

    def test_what_lies_outside_is_left_out(self) -> None:
        marks = ReliefMarks(title="t", spots=(("Far Stile", at(90.0, 700.0)),))
        assert "Far Stile" not in {one.text for one in drawn(marks).iter(f"{SPACE}text")}

    def test_an_upright_stands_with_its_foot_on_the_place(self) -> None:
        place = at(45.0, 200.0)
        x, y = (
            float(one)
            for one in pixels_at(SQUARE, place.latitude_deg, longitude_deg=place.longitude_deg)
        )
        bare = relief_overlay_svg(SQUARE, ReliefMarks(title="t"), sentence="s")
        full = relief_overlay_svg(SQUARE, ReliefMarks(title="t", parking=place), sentence="s")
        added = full.replace(bare.removesuffix("</svg>"), "")
        trunk = re.findall(r'd="M([\d. L]+)Z" fill="var\(--bark\)"', added)
        (route,) = trunk
        points = [[float(n) for n in pair.split()] for pair in route.split("L")]
        assert (points[0][0] + points[-1][0]) / 2.0 == pytest.approx(x, abs=0.06)
        assert max(point[1] for point in points) == pytest.approx(y, abs=0.06)

    @pytest.mark.parametrize("editing", ["outline", "parking", "Old Chair"])
    def test_copper_is_for_what_is_being_placed_alone(self, editing: str) -> None:
        marks = ReliefMarks(
            title="t",
            outline=(corner(0.0), corner(120.0), corner(240.0)),
            parking=at(90.0, 100.0),
            spots=(("Old Chair", at(0.0, 300.0)), ("Two Waters", at(200.0, 100.0))),
        )
        svg = relief_overlay_svg(SQUARE, marks, sentence="s")
        assert "--light" not in svg
        edited = relief_overlay_svg(
            SQUARE,
            ReliefMarks(
                title="t", outline=marks.outline, parking=marks.parking, spots=marks.spots,
                editing=editing,
            ),
            sentence="s",
        )  # fmt: skip
        copper = [one for one in edited.split("<") if "--light" in one]
        wanted = {"outline": ("path", "circle"), "parking": ("path", "text")}
        kinds = {one.split(" ")[0] for one in copper}
        assert kinds == set(wanted.get(editing, ("path", "text")))
        assert all(one.endswith(f">{editing}") for one in copper if one.startswith("text"))

    def test_one_and_two_corners_are_drawn_as_they_stand(self) -> None:
        for count in (1, 2):
            corners = tuple(corner(120.0 * number) for number in range(count))
            root = drawn(ReliefMarks(title="t", outline=corners, editing="outline"))
            assert len(list(root.iter(f"{SPACE}circle"))) == count

    def test_contours_are_drawn_and_the_heavier_are_named(self) -> None:
        row, column = np.mgrid[0:120, 0:120] - 60.0
        lines = find_contours(180.0 - np.hypot(row, column), interval_m=5.0, cell_px=6.0)
        marks = ReliefMarks(title="t", contours=lines, interval_m=5.0)
        words = {one.text for one in drawn(marks).iter(f"{SPACE}text")}
        assert {"150 m", "125 m"} <= words
        assert "155 m" not in words
        svg = relief_overlay_svg(SQUARE, marks, sentence="s")
        assert svg.count('stroke-width="0.8"') > svg.count('stroke-width="1.4"') > 1
        # No whole grid lines on a relief: ticks at the edges only.
        assert "--line" not in svg

    def test_words_do_not_lie_on_each_other(self) -> None:
        places = tuple((f"Spot {n}", at(40.0 * n, 40.0 + 30.0 * n)) for n in range(9))
        svg = relief_overlay_svg(SQUARE, ReliefMarks(title="t", spots=places), sentence="s")
        plates = [
            [float(one) for one in found]
            for found in re.findall(
                r'<rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)" height="([\d.]+)"', svg
            )
        ]
        assert len(plates) == 11
        for number, (left, top, wide, tall) in enumerate(plates):
            for other in plates[number + 1 :]:
                apart = (
                    left + wide <= other[0]
                    or other[0] + other[2] <= left
                    or top + tall <= other[1]
                    or other[1] + other[3] <= top
                )
                assert apart

    def test_a_drawing_that_stands_alone_holds_its_picture(self) -> None:
        picture = relief_png(np.full((720, 720), 0.5), side_px=720)
        root = drawn(ReliefMarks(title="t", interval_m=5.0), style="paper", picture=picture)
        (held,) = root.iter(f"{SPACE}image")
        head, data = (held.get("href") or "").split(",")
        assert head == "data:image/png;base64"
        assert base64.b64decode(data) == picture
        assert "var(" not in ET.tostring(root, encoding="unicode")


@pytest.mark.parametrize(
    ("radius_m", "step_m"), [(10.0, 5.0), (200.0, 100.0), (600.0, 200.0), (25_000.0, 10_000.0)]
)
def test_the_scale_is_a_round_length_of_at_most_a_quarter(radius_m: float, step_m: float) -> None:
    assert scale_step_m(GroundSquare(centre=PINNET, radius_m=radius_m, side_px=720)) == step_m
