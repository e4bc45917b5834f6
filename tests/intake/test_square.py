"""Heights on a square of ground: the careful reader's, in any system, holes and all."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import rasterio
from rasterio.crs import CRS
from rasterio.enums import Resampling
from rasterio.transform import Affine, from_origin
from rasterio.vrt import WarpedVRT

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, MissingDataError, UnreadableFileError
from shivelight.basis.places import Position
from shivelight.intake.elevation import read_ground
from shivelight.intake.square import read_square
from shivelight.land.ground import heights_at_m, position_of
from shivelight.land.square import GroundSquare, places_from_centre
from shivelight.outing.kept import RasterNote

TERRAIN = Path(__file__).parents[1] / "data" / "terrain"
SLOVENIA = TERRAIN / "slovenia_tm1_564_146_dtm_1m.tif"
JACKSBORO = TERRAIN / "jacksboro_dem_3arcsec.tif"
# rasterio's own code multiplies transforms the old way.
pytestmark = pytest.mark.filterwarnings("ignore:Use .@. matmul:PendingDeprecationWarning")


def noted(path: Path, **more: str) -> RasterNote:
    return RasterNote(kind="ground", path=str(path), **more)


def cell_places(square: GroundSquare, cells: int) -> tuple[FloatArray, FloatArray]:
    """Latitudes and longitudes of the cell centres, one by one, without any lattice."""
    away_m = (np.arange(cells) + 0.5) * (2.0 * square.radius_m / cells) - square.radius_m
    east, north = np.meshgrid(away_m, -away_m)
    return places_from_centre(square.centre, east, north_m=north)


def middle_of(path: Path) -> Position:
    ground = read_ground([path], around=None)
    rows, columns = ground.heights_m.shape
    return position_of(ground, rows / 2.0, columns / 2.0)


def write(path: Path, heights: Any, *, crs: str = "EPSG:3794", place: Any = None) -> Path:
    with rasterio.open(
        path, "w", driver="GTiff", height=heights.shape[0], width=heights.shape[1], count=1,
        dtype="float32", crs=crs, transform=place or from_origin(500_000, 100_000, 10, 10),
        nodata=-9999.0,
    ) as data:  # fmt: skip
        data.write(heights.astype(np.float32), 1)
    return path


@pytest.mark.parametrize(
    ("path", "radius_m", "side_px"), [(SLOVENIA, 150.0, 250), (JACKSBORO, 9000.0, 150)]
)
def test_heights_are_those_of_the_careful_reader(
    path: Path, radius_m: float, side_px: int
) -> None:
    # Metres on a map grid, and degrees, whose cells are not square: read cell by cell, exactly.
    square = GroundSquare(centre=middle_of(path), radius_m=radius_m, side_px=side_px)
    read = read_square([noted(path)], square)
    cells = read.heights_m.shape[0] - 2
    latitude, longitude = cell_places(square, cells)
    ground = read_ground([path], around=square.centre)
    wanted = heights_at_m(ground, latitude, longitude_deg=longitude)
    inner = read.heights_m[1:-1, 1:-1]
    assert np.isfinite(wanted).mean() > 0.9
    both = np.isfinite(wanted)
    np.testing.assert_allclose(inner[both], wanted[both], atol=0.05)
    assert read.names == (path.name,)


def test_finer_cells_than_the_picture_shows_are_averaged(tmp_path: Path) -> None:
    # Stripes of one cell: averaged they are level, skipped they would be all high or all low.
    stripes = np.where(np.arange(400) % 2, 110.0, 90.0) * np.ones((400, 1))
    path = write(tmp_path / "stripes.tif", stripes, place=from_origin(500_000, 100_000, 1, 1))
    square = GroundSquare(centre=middle_of(path), radius_m=160.0, side_px=80)
    read = read_square([noted(path)], square)
    assert read.heights_m.shape == (82, 82)
    np.testing.assert_allclose(read.heights_m, 100.0, atol=1e-3)
    assert read.file_cell_m == pytest.approx(1.0, abs=0.01)


def test_coarse_cells_are_not_blown_up(tmp_path: Path) -> None:
    path = write(tmp_path / "coarse.tif", np.full((60, 60), 50.0))
    square = GroundSquare(centre=middle_of(path), radius_m=200.0, side_px=720)
    read = read_square([noted(path)], square)
    assert read.heights_m.shape[0] in {42, 43}
    assert read.cell_m == pytest.approx(10.0, abs=0.4)


def test_a_turned_raster_in_feet_and_the_same_in_metres(tmp_path: Path) -> None:
    row, column = np.mgrid[0:80, 0:80]
    hill = 300.0 + 2.0 * row - 1.5 * column
    turned = Affine.translation(500_000, 100_000) * Affine.rotation(30) * Affine.scale(10, -10)
    metres = write(tmp_path / "m.tif", hill, place=turned)
    feet = write(tmp_path / "ft.tif", hill / 0.3048, place=turned)
    square = GroundSquare(centre=middle_of(metres), radius_m=180.0, side_px=100)
    first = read_square([noted(metres)], square)
    second = read_square([noted(feet, height_unit="ft")], square)
    np.testing.assert_allclose(first.heights_m, second.heights_m, atol=0.01)
    # A plane turned by 30° rises by its own slope: 0.25 m a metre, wherever it faces.
    rise = np.hypot(*np.gradient(first.heights_m, first.cell_m))
    np.testing.assert_allclose(rise, 0.25, atol=0.002)


def test_the_same_ground_warped_by_another_program_reads_the_same(tmp_path: Path) -> None:
    square = GroundSquare(centre=middle_of(SLOVENIA), radius_m=120.0, side_px=120)
    warped = tmp_path / "warped.tif"
    with (
        rasterio.open(SLOVENIA) as data,
        WarpedVRT(data, crs=CRS.from_epsg(32633), resampling=Resampling.bilinear) as seen,
        rasterio.open(
            warped, "w", driver="GTiff", height=seen.height, width=seen.width, count=1,
            dtype="float32", crs=seen.crs, transform=seen.transform, nodata=-9999.0,
        ) as out,
    ):  # fmt: skip
        out.write(seen.read(1), 1)
    here, there = (read_square([noted(path)], square).heights_m for path in (SLOVENIA, warped))
    # Twice between the cells smooths the roughness of 1 m ground: the rest is place, and a shift
    # of one cell would show ten times as large.
    assert np.nanmean(np.abs(here - there)) < 0.03
    assert np.nanmean(np.abs(here[:, 1:] - there[:, :-1])) > 0.1


def test_tiles_meet_without_a_seam_and_the_finer_lies_on_top(tmp_path: Path) -> None:
    row, column = np.mgrid[0:40, 0:80]
    hill = 200.0 + row + 0.5 * column
    left = write(tmp_path / "left.tif", hill[:, :40])
    right = write(
        tmp_path / "right.tif", hill[:, 40:], place=from_origin(500_400, 100_000, 10, 10)
    )
    fine = write(
        tmp_path / "fine.tif", np.full((40, 40), 999.0), place=from_origin(500_350, 99_850, 2, 2)
    )
    whole = write(tmp_path / "whole.tif", hill)
    square = GroundSquare(centre=middle_of(whole), radius_m=190.0, side_px=64)
    two = read_square([noted(right), noted(left)], square)
    one = read_square([noted(whole)], square)
    np.testing.assert_allclose(two.heights_m, one.heights_m, atol=0.51)  # half a cell's rise
    assert np.isfinite(two.heights_m).all()
    three = read_square([noted(left), noted(fine), noted(right)], square)
    assert three.names[0] == "fine.tif"
    assert 10 < (three.heights_m == 999.0).sum() < 400


def test_holes_and_what_lies_beyond_stay_unknown(tmp_path: Path) -> None:
    heights = np.full((40, 40), 80.0)
    heights[15:25, 15:25] = -9999.0
    path = write(tmp_path / "hole.tif", heights)
    square = GroundSquare(centre=middle_of(path), radius_m=300.0, side_px=64)
    read = read_square([noted(path)], square)
    known = np.isfinite(read.heights_m)
    middle = known.shape[0] // 2
    assert not known[middle, middle]
    assert not known[0].any()
    assert 0.2 < known.mean() < 0.5
    np.testing.assert_array_equal(read.heights_m[known], 80.0)


class TestRefused:
    def test_nothing_there(self, tmp_path: Path) -> None:
        path = write(tmp_path / "far.tif", np.full((40, 40), 80.0))
        far = GroundSquare(
            centre=Position(latitude_deg=53.0, longitude_deg=-5.1), radius_m=300.0, side_px=64
        )
        with pytest.raises(MissingDataError, match=r"far\.tif holds no height within 300 m"):
            read_square([noted(path)], far)
        with pytest.raises(MissingDataError, match="None of the 2 rasters holds a height"):
            read_square([noted(path), noted(path)], far)

    def test_nothing_but_holes(self, tmp_path: Path) -> None:
        path = write(tmp_path / "holes.tif", np.full((40, 40), -9999.0))
        ground = write(tmp_path / "g.tif", np.full((40, 40), 9.0))
        square = GroundSquare(centre=middle_of(ground), radius_m=100.0, side_px=64)
        with pytest.raises(MissingDataError, match="draw on the plain grid"):
            read_square([noted(path)], square)

    def test_nothing_but_the_rim(self, tmp_path: Path) -> None:
        # The raster ends half a cell past the square: only the rim outside it has heights.
        path = write(tmp_path / "beside.tif", np.full((40, 40), 9.0))
        ground = read_ground([path], around=None)
        beside = position_of(ground, 20.0, -0.5 - 10.3)
        square = GroundSquare(centre=beside, radius_m=100.0, side_px=64)
        with pytest.raises(MissingDataError, match="holds no height within 100 m"):
            read_square([noted(path)], square)

    def test_heights_that_no_ground_has(self, tmp_path: Path) -> None:
        path = write(tmp_path / "cm.tif", np.full((40, 40), 12_000.0))
        square = GroundSquare(centre=self._middle(tmp_path), radius_m=100.0, side_px=64)
        with pytest.raises(BadInputError, match="12,000 m, which no ground has"):
            read_square([noted(path)], square)

    def test_a_file_that_has_gone(self, tmp_path: Path) -> None:
        square = GroundSquare(centre=self._middle(tmp_path), radius_m=100.0, side_px=64)
        with pytest.raises(UnreadableFileError, match="There is no file gone"):
            read_square([noted(tmp_path / "gone.tif")], square)

    @staticmethod
    def _middle(folder: Path) -> Position:
        return middle_of(write(folder / "any.tif", np.full((40, 40), 9.0)))
