"""Relief pictures of the valley's woods, and outlines given to them."""

import json
from pathlib import Path

import numpy as np
import pytest

from shivelight.basis.errors import (
    BadInputError,
    MissingDataError,
    NotFoundError,
    OutOfRangeError,
    UnwritableError,
)
from shivelight.basis.places import Position, destination, distance_and_azimuth
from shivelight.intake.elevation import read_ground
from shivelight.land.ground import height_at_m
from shivelight.workbench.bench import Workbench
from tests.workbench.conftest import opened

EVENING = "2027-11-02T21:40"


def test_a_wood_is_shown_whole_with_all_that_stands_in_it(book: Path) -> None:
    with opened(book, EVENING) as bench:
        view = bench.relief_of("Sallowden Hanger")
        page = bench.wood("Sallowden Hanger")
    kinds = [mark.kind for mark in view.marks]
    assert kinds.count("corner") == len(page.wood.outline)
    assert kinds.count("parking") == 1
    assert [one.name for one in view.marks if one.kind == "spot"] == [
        one.name for one in page.spots
    ]
    for mark in view.marks:
        assert 0.0 < mark.x_px < 720.0
        assert 0.0 < mark.y_px < 720.0
    assert view.png is not None
    assert view.source.startswith("ground from wennick-ground.tif, 10 m cells")
    assert "true north up" in view.sentence
    assert "Plumb and Lean" in view.sentence


def test_heights_under_pixels_are_those_of_the_ground(book: Path) -> None:
    with opened(book, EVENING) as bench:
        view = bench.relief_of("Threll Clough", radius_m=300.0)
    ground = read_ground([book.parent / "wennick-ground.tif"], around=view.square.centre)
    for x, y in ((360.0, 360.0), (10.5, 700.0), (600.0, 33.3)):
        place = view.position_at(x, y)
        assert place.ground_height_m == pytest.approx(height_at_m(ground, place), abs=0.3)
        away_m, _ = distance_and_azimuth(view.square.centre, place)
        assert away_m == pytest.approx(np.hypot(x - 360.0, y - 360.0) * view.pixel_m, abs=1e-3)
    assert np.isnan(view.heights_at_m([-5.0, 800.0], y_px=100.0)).all()
    assert view.lowest_m is not None
    assert view.highest_m is not None
    assert view.lowest_m < view.highest_m


def test_north_is_up_and_east_is_right(book: Path) -> None:
    # Ground read by the careful reader: turned a quarter or mirrored, it would not fit.
    with opened(book, EVENING) as bench:
        view = bench.relief_of("Pinnet Heath")
        origin = bench.wood("Pinnet Heath").wood.parking
    ground = read_ground([book.parent / "wennick-ground.tif"], around=origin)
    east_side, south_side = view.position_at(700.0, 360.0), view.position_at(360.0, 700.0)
    assert east_side.longitude_deg > view.square.centre.longitude_deg
    assert south_side.latitude_deg < view.square.centre.latitude_deg
    assert east_side.ground_height_m == pytest.approx(height_at_m(ground, east_side), abs=0.3)
    assert south_side.ground_height_m == pytest.approx(height_at_m(ground, south_side), abs=0.3)
    west_side, north_side = view.position_at(20.0, 360.0), view.position_at(360.0, 20.0)
    assert abs((east_side.ground_height_m or 0.0) - (west_side.ground_height_m or 0.0)) > 2.0
    assert abs((south_side.ground_height_m or 0.0) - (north_side.ground_height_m or 0.0)) > 2.0


def test_a_place_and_reach_may_be_chosen(book: Path) -> None:
    with opened(book, EVENING) as bench:
        spot = bench.spot("Root Stair")
        view = bench.relief_of(
            "Sallowden Hanger", centre=spot.position, radius_m=80.0, side_px=400
        )
        usual = bench.relief_of("Sallowden Hanger", centre=spot.position)
    (mark,) = (one for one in view.marks if one.name == "Root Stair")
    assert (mark.x_px, mark.y_px) == pytest.approx((200.0, 200.0), abs=0.01)
    assert view.pixel_m == 0.4
    assert usual.square.radius_m == 500.0


def test_the_drawing_over_it_copies_the_marks(book: Path) -> None:
    with opened(book, EVENING) as bench:
        view = bench.ground_of("Sallowden Hanger")
        svg = bench.relief_overlay(view, editing="Root Stair")
        plain = bench.relief_overlay(view)
    assert 'viewBox="0 0 720 720"' in svg
    assert "Plumb and Lean" in svg
    assert "--light" in svg
    assert "--light" not in plain
    assert view.contours
    assert {line.level_m % (view.interval_m or 1.0) for line in view.contours} == {0.0}


class TestWithoutRaster:
    def test_a_plain_grid_serves_and_says_why(self, spots: Workbench) -> None:
        view = spots.ground_of("Pinnet Heath")
        assert view.png is None
        assert view.heights_m is None
        assert view.source == (
            "Pinnet Heath has no raster of its ground yet; attach one, or draw on the plain grid."
        )
        assert view.sentence.startswith("A square of ground")
        assert "without heights" in view.sentence
        assert view.position_at(10.0, 20.0).ground_height_m is None
        svg = spots.relief_overlay(view, editing="outline")
        assert "--line" in svg
        with pytest.raises(MissingDataError, match="no raster of its ground yet"):
            spots.relief_of("Pinnet Heath")

    def test_a_raster_that_has_gone(self, book: Path) -> None:
        with opened(book, EVENING) as bench:
            for note in bench.wood("Pinnet Heath").rasters:
                Path(note.path).rename(f"{note.path}.away")
            try:
                view = bench.ground_of("Pinnet Heath")
            finally:
                for note in bench.wood("Pinnet Heath").rasters:
                    Path(f"{note.path}.away").rename(note.path)
        assert view.png is None
        assert "There is no file wennick-ground.tif" in view.source

    def test_a_raster_that_does_not_reach(self, book: Path) -> None:
        far = Position(latitude_deg=10.0, longitude_deg=10.0)
        with opened(book, EVENING) as bench:
            with pytest.raises(MissingDataError, match=r"no height within 500 m of 10\.00000"):
                bench.relief_of("Pinnet Heath", centre=far)
            assert bench.ground_of("Pinnet Heath", centre=far).png is None

    def test_an_unknown_wood_and_a_reach_too_far(self, spots: Workbench) -> None:
        with pytest.raises(NotFoundError, match="Nowhere"):
            spots.ground_of("Nowhere")
        with pytest.raises(OutOfRangeError, match="radius of the picture"):
            spots.grid_of("Pinnet Heath", radius_m=90_000.0)

    def test_a_tap_outside_the_picture(self, spots: Workbench) -> None:
        with pytest.raises(BadInputError, match="lies outside the picture of 720 px"):
            spots.grid_of("Pinnet Heath").position_at(-1.0, 5.0)


class TestWritten:
    def test_png_and_svg(self, book: Path, tmp_path: Path) -> None:
        with opened(book, EVENING) as bench:
            shade = bench.write_relief("Threll Clough", tmp_path / "clough.png")
            whole = bench.write_relief("Threll Clough", tmp_path / "clough.svg", side_px=400)
        assert shade.path.read_bytes().startswith(b"\x89PNG")
        assert whole.path.read_text().startswith("<svg")
        assert "data:image/png;base64," in whole.path.read_text()
        assert shade.interval_m == whole.interval_m == 10.0

    def test_a_grid_is_drawn_but_there_is_no_shade_of_it(
        self, spots: Workbench, tmp_path: Path
    ) -> None:
        spots.write_relief("Pinnet Heath", tmp_path / "grid.svg")
        assert (tmp_path / "grid.svg").exists()
        with pytest.raises(MissingDataError):
            spots.write_relief("Pinnet Heath", tmp_path / "grid.png")

    def test_another_ending_and_another_folder(self, spots: Workbench, tmp_path: Path) -> None:
        with pytest.raises(BadInputError, match=r"must end in \.png or \.svg"):
            spots.write_relief("Pinnet Heath", tmp_path / "grid.pdf")
        with pytest.raises(UnwritableError, match="cannot be written"):
            spots.write_relief("Pinnet Heath", tmp_path / "none" / "grid.svg")


class TestOutlines:
    def round_parking(self, bench: Workbench, half_m: float) -> list[list[float]]:
        parking = bench.wood("Pinnet Heath").wood.parking
        places = [
            destination(parking, azimuth_deg=one, distance_m=half_m)
            for one in (45.0, 135.0, 225.0, 315.0)
        ]
        return [[one.longitude_deg, one.latitude_deg] for one in places]

    def test_a_wood_takes_the_outline_of_a_file(self, spots: Workbench) -> None:
        ring = self.round_parking(spots, 3000.0)
        data = json.dumps({"type": "Polygon", "coordinates": [ring]})
        made = spots.draw_outline("Pinnet Heath", data.encode())
        assert (made.corners, made.notes) == (4, ())
        assert made.page.wood.outline == tuple((lat, lon) for lon, lat in ring)
        assert spots.outline_from(data) == made.page.wood.outline

    def test_a_spot_left_outside_is_named(self, spots: Workbench) -> None:
        ring = self.round_parking(spots, 20.0)
        data = json.dumps({"type": "Polygon", "coordinates": [ring]})
        made = spots.draw_outline("Pinnet Heath", data)
        assert made.notes == ("White Post Gap now stands outside it; check the positions.",)

    def test_one_of_several_is_named(self, spots: Workbench) -> None:
        features = [
            {
                "type": "Feature",
                "properties": {"name": name},
                "geometry": {
                    "type": "Polygon",
                    "coordinates": [self.round_parking(spots, half_m)],
                },
            }
            for name, half_m in (("Inner", 100.0), ("Outer", 900.0))
        ]
        data = json.dumps({"type": "FeatureCollection", "features": features})
        assert len(spots.outlines_in(data)) == 2
        outer = spots.outline_from(data, "outer")
        assert outer == tuple((lat, lon) for lon, lat in self.round_parking(spots, 900.0))
        with pytest.raises(BadInputError, match="2 outlines; say which: Inner, Outer"):
            spots.outline_from(data)
        with pytest.raises(BadInputError, match="no one outline named 'Third'"):
            spots.outline_from(data, "Third")
