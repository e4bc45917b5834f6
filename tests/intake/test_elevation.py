"""Heights from raster files: the good ones, and each kind of bad one in one sentence."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import rasterio
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from rasterio.transform import Affine, from_origin
from rasterio.vrt import WarpedVRT
from rasterio.warp import Resampling, calculate_default_transform, reproject, transform

from shivelight.basis.errors import (
    BadInputError,
    MissingDataError,
    OutOfRangeError,
    ShivelightError,
    UnreadableFileError,
)
from shivelight.basis.places import Position, destination
from shivelight.intake import mosaic
from shivelight.intake.elevation import read_canopy, read_ground
from shivelight.land.ground import height_at_m, heights_at_m, position_of
from shivelight.land.skyline import skyline_from_ground

TERRAIN = Path(__file__).parents[1] / "data" / "terrain"
SLOVENIA = TERRAIN / "slovenia_tm1_564_146_dtm_1m.tif"
JACKSBORO = TERRAIN / "jacksboro_dem_3arcsec.tif"
Heights = NDArray[Any]
# rasterio's own code multiplies transforms the old way.
pytestmark = pytest.mark.filterwarnings("ignore:Use .@. matmul:PendingDeprecationWarning")


def write(path: Path, heights: Heights, *, crs: str | None = "EPSG:3794", **more: Any) -> Path:
    """Write a small GeoTIFF; the first cell's corner at 500000, 100000 unless told."""
    place = more.pop("transform", from_origin(500_000, 100_000, 10, 10))
    band_unit = more.pop("unit", None)
    with rasterio.open(
        path, "w", driver="GTiff", height=heights.shape[0], width=heights.shape[1], count=1,
        dtype=heights.dtype, crs=crs, transform=place, **more,
    ) as data:  # fmt: skip
        data.write(heights, 1)
        if band_unit:
            data.units = (band_unit,)
    return path


def hills(rows: int = 60, columns: int = 50) -> Heights:
    row, column = np.mgrid[0:rows, 0:columns]
    return np.asarray(200 + 30 * np.sin(row / 7) * np.cos(column / 9), dtype=np.float32)


class TestGood:
    def test_a_geotiff_comes_whole_with_its_heights_and_place(self) -> None:
        ground = read_ground([SLOVENIA], around=None)
        with rasterio.open(SLOVENIA) as data:
            np.testing.assert_array_equal(ground.heights_m, data.read(1))
        assert ground.affine == (1.0, 0.0, 564_000.0, 0.0, -1.0, 146_999.0)
        assert ground.origin == "ground raster, 1 m cells"
        assert ground.farther is None

    def test_only_the_part_round_the_spot_is_read(self) -> None:
        whole = read_ground([SLOVENIA], around=None)
        spot = position_of(whole, 400.0, 300.0)
        part = read_ground([SLOVENIA], around=spot, radius_m=80.0)
        assert 160 <= part.heights_m.shape[0] <= 168
        assert 160 <= part.heights_m.shape[1] <= 168
        assert height_at_m(part, spot) == height_at_m(whole, spot)
        for azimuth_deg in (10.0, 100.0, 190.0, 280.0):
            there = destination(spot, azimuth_deg=azimuth_deg, distance_m=75.0)
            assert height_at_m(part, there) == pytest.approx(height_at_m(whole, there), abs=1e-4)

    def test_longitude_and_latitude_give_the_skyline_of_the_same_ground_in_metres(
        self, tmp_path: Path
    ) -> None:
        degrees = read_ground([JACKSBORO], around=None)
        spot = position_of(degrees, 170.4, 200.7)
        (east,), (north,) = transform(
            "EPSG:4326", "EPSG:32616", [spot.longitude_deg], [spot.latitude_deg]
        )
        place = from_origin(east - 3000.0, north + 3000.0, 5.0, 5.0)
        with (
            rasterio.open(JACKSBORO) as data,
            WarpedVRT(
                data, crs="EPSG:32616", transform=place, width=1200, height=1200,
                resampling=Resampling.bilinear, tolerance=0.001, dtype="float32", nodata=-1.0,
            ) as seen,
        ):  # fmt: skip
            warped = seen.read(1)
        path = write(tmp_path / "utm.tif", warped, crs="EPSG:32616", transform=place, nodata=-1.0)
        metres = read_ground([path], around=spot)
        one = skyline_from_ground(degrees, position=spot, eye_height_m=1.6, reach_m=2900.0)
        other = skyline_from_ground(metres, position=spot, eye_height_m=1.6, reach_m=2900.0)
        off = np.abs(one.altitude_deg - other.altitude_deg)
        # The same ground twice interpolated: crests of 80 m cells a little shaved at 5 m.
        assert np.median(off) < 0.02
        assert off.max() < 0.3
        # Here grid north is 1.7 degrees off true north; unheeded it would show.
        turned = np.abs(one.at(one.azimuth_deg + 1.7) - other.altitude_deg)
        assert np.median(turned) > 10 * np.median(off)

    def test_an_ascii_grid_takes_its_system_from_the_prj_beside_it(self, tmp_path: Path) -> None:
        path = _ascii(tmp_path / "grid.asc")
        (tmp_path / "grid.prj").write_text(rasterio.CRS.from_epsg(3794).to_wkt())
        ground = read_ground([path], around=None)
        np.testing.assert_allclose(ground.heights_m[0], [101.0, 102.0, 103.5])
        assert np.isnan(ground.heights_m[1, 1])
        assert ground.affine[5] == pytest.approx(100_025.0)

    def test_or_from_the_option(self, tmp_path: Path) -> None:
        ground = read_ground([_ascii(tmp_path / "grid.asc")], around=None, crs="EPSG:3794")
        assert "3794" in ground.crs_wkt

    def test_a_turned_raster_keeps_its_heights_in_place(self, tmp_path: Path) -> None:
        turned = Affine.translation(500_000, 100_000) @ Affine.rotation(30) @ Affine.scale(10, -10)
        heights = hills()
        ground = read_ground([write(tmp_path / "t.tif", heights, transform=turned)], around=None)
        corner = position_of(ground, 7.0, 11.0)
        assert height_at_m(ground, corner) == pytest.approx(float(heights[7, 11]), abs=1e-3)

    def test_the_southern_hemisphere(self, tmp_path: Path) -> None:
        place = from_origin(1_802_000, 5_467_000, 10, 10)
        path = write(tmp_path / "s.tif", hills(), crs="EPSG:2193", transform=place)
        ground = read_ground([path], around=None)
        spot = position_of(ground, 20.0, 20.0)
        assert spot.latitude_deg == pytest.approx(-40.9, abs=0.3)
        assert height_at_m(ground, spot) == pytest.approx(float(hills()[20, 20]), abs=1e-3)

    def test_scale_and_offset_of_a_band_are_heeded(self, tmp_path: Path) -> None:
        path = write(tmp_path / "s.tif", np.full((4, 4), 1234, dtype=np.int16))
        with rasterio.open(path, "r+") as data:
            data.scales, data.offsets = (0.1,), (50.0,)
        assert read_ground([path], around=None).heights_m[0, 0] == pytest.approx(173.4)

    def test_progress_is_told_and_ends(self) -> None:
        told: list[tuple[float, str]] = []
        read_ground(
            [SLOVENIA], around=None, progress=lambda share, what: told.append((share, what))
        )
        assert told[0] == (0.0, SLOVENIA.name)
        assert [share for share, _ in told] == sorted(share for share, _ in told)
        assert told[-1][0] == 1.0

    def test_too_many_cells_are_averaged_but_not_near_the_spot(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        heights = np.repeat(np.repeat(hills(40, 40), 3, axis=0), 3, axis=1)
        path = write(tmp_path / "fine.tif", heights)
        monkeypatch.setattr(mosaic, "MOST_CELLS", 40 * 40)
        near = read_ground([path], around=None)
        assert near.origin == "ground raster, 10 m cells"
        assert near.heights_m.shape[0] == pytest.approx(34, abs=5)
        far = near.farther
        assert far is not None
        assert far.origin == "ground raster, averaged to 30 m cells"
        np.testing.assert_allclose(far.heights_m, hills(40, 40), atol=1e-3)
        assert far.affine[2] == 500_015.0

    def test_of_a_huge_file_only_the_window_is_touched(self, tmp_path: Path) -> None:
        path = tmp_path / "huge.tif"
        with rasterio.open(
            path, "w", driver="GTiff", height=60_000, width=60_000, count=1, dtype="float32",
            crs="EPSG:3794", transform=from_origin(470_000, 120_000, 1, 1), tiled=True,
            sparse_ok=True, nodata=-9999.0, compress="deflate",
        ) as data:  # fmt: skip
            window = rasterio.windows.Window(30_000, 30_000, 512, 512)
            data.write(np.full((512, 512), 77.0, dtype=np.float32), 1, window=window)
        where = read_ground([SLOVENIA], around=None)  # the same system
        x, y = 500_256.0, 89_744.0
        spot = position_of(where, where.affine[5] - y, x - where.affine[2])
        ground = read_ground([path], around=spot, radius_m=150.0)
        assert max(ground.heights_m.shape) < 320
        assert height_at_m(ground, spot) == 77.0


class TestUnits:
    def test_a_system_in_feet_with_no_word_on_heights_is_refused(self, tmp_path: Path) -> None:
        place = from_origin(13_292_000, 283_000, 10, 10)
        path = write(tmp_path / "feet.tif", hills(), crs="EPSG:2253", transform=place)
        with pytest.raises(
            BadInputError, match=r"feet\.tif is mapped in units of one foot.*--hei"
        ):
            read_ground([path], around=None)
        ground = read_ground([path], around=None, height_unit="ft")
        np.testing.assert_allclose(ground.heights_m, hills() * 0.3048, rtol=1e-6)

    def test_the_skyline_of_a_raster_in_feet_is_that_in_metres(self, tmp_path: Path) -> None:
        metres = hills(80, 80)
        place = from_origin(13_292_000, 283_000, 10 / 0.3048, 10 / 0.3048)
        path = write(
            tmp_path / "f.tif", (metres / 0.3048).astype(np.float32), crs="EPSG:2253",
            transform=place, unit="ft",
        )  # fmt: skip
        in_feet = read_ground([path], around=None)
        spot = position_of(in_feet, 41.0, 39.0)
        placed = from_origin(13_292_000 * 0.3048, 283_000 * 0.3048, 10, 10)
        path = write(tmp_path / "m.tif", metres, crs="EPSG:26990", transform=placed)
        in_metres = read_ground([path], around=None)
        one = skyline_from_ground(in_feet, position=spot, eye_height_m=1.6)
        other = skyline_from_ground(
            in_metres, position=position_of(in_metres, 41.0, 39.0), eye_height_m=1.6
        )
        np.testing.assert_allclose(one.altitude_deg, other.altitude_deg, atol=0.02)

    @pytest.mark.parametrize(
        ("unit", "factor"), [("metre", 1.0), ("ft", 0.3048), ("US survey foot", 1200 / 3937)]
    )
    def test_a_band_says_its_unit(self, tmp_path: Path, unit: str, factor: float) -> None:
        ground = read_ground([write(tmp_path / "b.tif", hills(), unit=unit)], around=None)
        np.testing.assert_allclose(ground.heights_m, hills() * factor, rtol=1e-6)

    def test_a_system_with_a_vertical_axis_in_feet_says_it(self, tmp_path: Path) -> None:
        place = from_origin(13_292_000, 283_000, 10, 10)
        path = write(tmp_path / "v.tif", hills(), crs="EPSG:2253+6360", transform=place)
        ground = read_ground([path], around=None)
        np.testing.assert_allclose(ground.heights_m, hills() * 1200 / 3937, rtol=1e-6)

    def test_two_units_in_one_file_are_refused(self, tmp_path: Path) -> None:
        place = from_origin(13_292_000, 283_000, 10, 10)
        path = write(
            tmp_path / "v.tif", hills(), crs="EPSG:2253+6360", transform=place, unit="metre"
        )
        with pytest.raises(BadInputError, match="two different height units"):
            read_ground([path], around=None)

    def test_an_unknown_unit_is_refused(self, tmp_path: Path) -> None:
        with pytest.raises(BadInputError, match="'cubit' is not known; give m, ft or us-ft"):
            read_ground([write(tmp_path / "c.tif", hills())], around=None, height_unit="cubit")


class TestTiles:
    @staticmethod
    def cut(tmp_path: Path, name: str, rows: slice, columns: slice) -> Path:
        with rasterio.open(SLOVENIA) as data:
            heights = data.read(1)[rows, columns]
            place = data.transform @ Affine.translation(columns.start, rows.start)
        return write(tmp_path / name, heights, transform=place)

    def test_tiles_of_one_grid_make_the_whole_again(self, tmp_path: Path) -> None:
        tiles = [
            self.cut(tmp_path, f"{row}{left}.tif", slice(row, row + 520), slice(left, left + 520))
            for row in (0, 480)
            for left in (0, 480)
        ]
        whole = read_ground([SLOVENIA], around=None)
        spot = position_of(whole, 500.0, 490.0)
        laid = read_ground(tiles, around=spot)
        np.testing.assert_array_equal(laid.heights_m, whole.heights_m)
        part = read_ground(tiles, around=spot, radius_m=100.0)
        assert max(part.heights_m.shape) < 210
        assert height_at_m(part, spot) == height_at_m(whole, spot)

    def test_a_tile_in_another_system_is_warped_onto_the_finest(self, tmp_path: Path) -> None:
        left = self.cut(tmp_path, "left.tif", slice(0, 1000), slice(0, 500))
        right = self.cut(tmp_path, "right.tif", slice(0, 1000), slice(490, 1000))
        with rasterio.open(right) as data:
            place, width, height = calculate_default_transform(
                data.crs, "EPSG:32633", data.width, data.height, *data.bounds, resolution=1.0
            )
            warped = np.full((height, width), np.nan, dtype=np.float32)
            reproject(
                data.read(1), warped, src_transform=data.transform, src_crs=data.crs,
                dst_transform=place, dst_crs="EPSG:32633", resampling=Resampling.bilinear,
                dst_nodata=np.nan,
            )  # fmt: skip
        other = write(tmp_path / "utm.tif", warped, crs="EPSG:32633", transform=place)
        whole = read_ground([SLOVENIA], around=None)
        spot = position_of(whole, 500.0, 300.0)
        laid = read_ground([other, left], around=spot)
        assert laid.heights_m.shape[1] == pytest.approx(1000, abs=8)
        row, column = np.mgrid[20:980:60, 20:980:60]
        places = [
            position_of(whole, float(r), float(c))
            for r, c in zip(row.ravel(), column.ravel(), strict=True)
        ]
        latitude = [place.latitude_deg for place in places]
        longitude = [place.longitude_deg for place in places]
        got = heights_at_m(laid, latitude, longitude_deg=longitude)
        np.testing.assert_allclose(got, whole.heights_m[row, column].ravel(), atol=0.5)

    def test_coarse_ground_lies_behind_the_fine(self, tmp_path: Path) -> None:
        fine = self.cut(tmp_path, "fine.tif", slice(400, 700), slice(300, 600))
        with rasterio.open(SLOVENIA) as data:
            coarse_heights = data.read(
                1, out_shape=(200, 200), resampling=rasterio.enums.Resampling.average
            )
            place = data.transform @ Affine.scale(5.0)
        coarse = write(tmp_path / "coarse.tif", coarse_heights, transform=place)
        whole = read_ground([SLOVENIA], around=None)
        spot = position_of(whole, 550.0, 450.0)
        both = read_ground([coarse, fine], around=spot)
        assert both.origin == "ground raster, 1 m cells"
        assert both.farther is not None
        assert both.farther.origin == "ground raster, 5 m cells"
        got = skyline_from_ground(both, position=spot, eye_height_m=1.6)
        wanted = skyline_from_ground(whole, position=spot, eye_height_m=1.6)
        # The coarse part is 130 m off and more: averaged over 5 m it stands within a metre.
        np.testing.assert_allclose(got.altitude_deg, wanted.altitude_deg, atol=0.3)
        assert got.reach_m is not None
        assert wanted.reach_m is not None
        np.testing.assert_allclose(got.reach_m, wanted.reach_m, atol=8.0)
        alone = skyline_from_ground(
            read_ground([fine], around=spot), position=spot, eye_height_m=1.6
        )
        assert np.abs(alone.altitude_deg - wanted.altitude_deg).max() > 1.0

    def test_a_coarse_tile_beside_the_spot_is_seen_across_the_gap(self, tmp_path: Path) -> None:
        near = write(tmp_path / "near.tif", np.zeros((40, 40), dtype=np.float32))
        far_place = from_origin(500_700, 100_000, 50, 50)
        far = write(tmp_path / "far.tif", np.full((8, 8), 300.0, np.float32), transform=far_place)
        spot = position_of(read_ground([near], around=None), 20.0, 20.0)
        skyline = skyline_from_ground(
            read_ground([near, far], around=spot), position=spot, eye_height_m=0.0
        )
        # From 500205 to the first centre at 500725; grid north is within 0.01 degrees here.
        assert skyline.altitude_deg[180] == pytest.approx(
            np.degrees(np.arctan(300 / 520)), abs=1.5
        )
        assert skyline.unseen_m is not None
        assert skyline.unseen_m[180] == pytest.approx(330.0, abs=60.0)

    def test_a_tile_of_another_land_changes_nothing(self) -> None:
        spot = position_of(read_ground([SLOVENIA], around=None), 500.0, 490.0)
        both = read_ground([JACKSBORO, SLOVENIA], around=spot)
        assert both.heights_m.shape == (1000, 1000)
        assert both.farther is None

    def test_a_tile_that_is_a_hole_at_the_spot_gives_way_to_the_next(self, tmp_path: Path) -> None:
        heights = hills()
        heights[20:40, 15:35] = np.nan
        fine = write(tmp_path / "fine.tif", heights)
        wide = from_origin(500_000, 100_000, 30, 30)
        coarse = write(tmp_path / "c.tif", np.full((20, 17), 9.0, np.float32), transform=wide)
        spot = position_of(read_ground([write(tmp_path / "w.tif", hills())], around=None), 30, 25)
        assert height_at_m(read_ground([fine, coarse], around=spot), spot) == pytest.approx(
            9, abs=40
        )


class TestHoles:
    @pytest.mark.parametrize("value", [-9999, -32768, -32767])
    def test_a_forgotten_value_for_no_data_is_a_hole(self, tmp_path: Path, value: int) -> None:
        heights = hills().astype(np.int16)
        heights[3:6, 3:6] = value
        ground = read_ground([write(tmp_path / "h.tif", heights)], around=None)
        assert np.isnan(ground.heights_m[3:6, 3:6]).all()
        assert np.isfinite(ground.heights_m).sum() == heights.size - 9

    def test_huge_floats_are_holes(self, tmp_path: Path) -> None:
        heights = hills()
        heights[3, 3], heights[4, 4] = -3.4028235e38, np.inf
        ground = read_ground([write(tmp_path / "h.tif", heights)], around=None)
        assert np.isnan(ground.heights_m[[3, 4], [3, 4]]).all()

    def test_the_declared_value_is_a_hole(self, tmp_path: Path) -> None:
        heights = hills()
        heights[0] = 77.0
        ground = read_ground([write(tmp_path / "h.tif", heights, nodata=77.0)], around=None)
        assert np.isnan(ground.heights_m[0]).all()

    def test_nothing_but_holes(self, tmp_path: Path) -> None:
        path = write(tmp_path / "h.tif", np.full((9, 9), -9999, np.int16))
        with pytest.raises(MissingDataError, match="nothing but holes"):
            read_ground([path], around=None)

    def test_an_overflown_integer_is_refused_not_believed(self, tmp_path: Path) -> None:
        heights = hills().astype(np.uint16)
        heights[5, 5] = 65_000
        with pytest.raises(BadInputError, match="heights from 170 to 65,000 m, which no ground"):
            read_ground([write(tmp_path / "o.tif", heights)], around=None)


class TestBad:
    def test_no_file_named(self) -> None:
        with pytest.raises(BadInputError, match="No raster file was named"):
            read_ground([], around=None)

    def test_no_such_file(self, tmp_path: Path) -> None:
        with pytest.raises(UnreadableFileError, match=r"There is no file away\.tif"):
            read_ground([tmp_path / "away.tif"], around=None)

    def test_a_folder(self, tmp_path: Path) -> None:
        with pytest.raises(UnreadableFileError, match="is a folder; name a file in it"):
            read_ground([tmp_path], around=None)

    @pytest.mark.parametrize("body", [b"", b"not a raster", b"\x89PNG\r\n\x1a\n", b"{}"])
    def test_no_raster(self, tmp_path: Path, body: bytes) -> None:
        path = tmp_path / "odd.tif"
        path.write_bytes(body)
        with pytest.raises(UnreadableFileError, match=r"odd\.tif is not a raster"):
            read_ground([path], around=None)

    def test_a_list_of_other_files_is_not_followed(self, tmp_path: Path) -> None:
        path = tmp_path / "list.vrt"
        path.write_text(
            '<VRTDataset rasterXSize="2" rasterYSize="2"><VRTRasterBand dataType="Float32" '
            'band="1"><SimpleSource><SourceFilename>/vsicurl/http://127.0.0.1:9/x.tif'
            "</SourceFilename></SimpleSource></VRTRasterBand></VRTDataset>"
        )
        with pytest.raises(UnreadableFileError, match="is not a raster"):
            read_ground([path], around=None)

    @pytest.mark.parametrize("kept", [0.02, 0.3, 0.7, 0.98])
    def test_a_file_cut_short(self, tmp_path: Path, kept: float) -> None:
        body = SLOVENIA.read_bytes()
        path = tmp_path / "cut.tif"
        path.write_bytes(body[: int(len(body) * kept)])
        with pytest.raises(
            UnreadableFileError, match=r"cut\.tif is (damaged or cut|not a raster)"
        ):
            read_ground([path], around=None)

    @settings(
        max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
    )
    @given(
        changes=st.lists(
            st.tuples(
                # The directory stands at the file's head and foot; damage those most.
                st.floats(0, 1) | st.floats(0, 0.05) | st.floats(0.9, 1),
                st.integers(0, 255),
            ),
            min_size=1,
            max_size=12,
        )
    )
    def test_damaged_bytes_are_refused_or_read_but_never_crash(
        self, tmp_path: Path, changes: list[tuple[float, int]]
    ) -> None:
        body = bytearray(write(tmp_path / "whole.tif", hills(), compress="deflate").read_bytes())
        for place, value in changes:
            body[int(place * (len(body) - 1))] = value
        path = tmp_path / "damaged.tif"
        path.write_bytes(bytes(body))
        try:
            finite = read_ground([path], around=None).heights_m
        except ShivelightError as why:
            assert "\n" not in str(why)  # noqa: PT017  either outcome is right
        else:
            assert np.nanmin(finite) >= -500.0
            assert np.nanmax(finite) <= 9000.0

    def test_an_ascii_grid_cut_short(self, tmp_path: Path) -> None:
        path = _ascii(tmp_path / "g.asc")
        path.write_text("\n".join(path.read_text().splitlines()[:-2]))
        with pytest.raises(UnreadableFileError, match=r"g\.asc is damaged or cut short"):
            read_ground([path], around=None, crs="EPSG:3794")

    def test_an_ascii_grid_with_letters_in_it(self, tmp_path: Path) -> None:
        path = _ascii(tmp_path / "g.asc")
        path.write_text(path.read_text().replace("103.5", "1o3.5"))
        with pytest.raises(UnreadableFileError, match="no number in line 7"):
            read_ground([path], around=None, crs="EPSG:3794")

    def test_no_coordinate_system(self, tmp_path: Path) -> None:
        path = write(tmp_path / "n.tif", hills(), crs=None)
        with pytest.raises(MissingDataError, match=r"n\.tif has no coordinate system; name it"):
            read_ground([path], around=None)

    def test_no_place(self, tmp_path: Path) -> None:
        path = tmp_path / "picture.asc"
        path.write_text("ncols 2\nnrows 2\nxllcorner 0\nyllcorner -2\ncellsize 1\n1 2\n3 4\n")
        with pytest.raises((MissingDataError, BadInputError, UnreadableFileError)) as caught:
            read_ground([path], around=None)
        assert str(caught.value).endswith(".")

    def test_a_picture(self, tmp_path: Path) -> None:
        path = tmp_path / "rgb.tif"
        with rasterio.open(
            path, "w", driver="GTiff", height=4, width=4, count=3, dtype="uint8",
            crs="EPSG:3794", transform=from_origin(500_000, 100_000, 10, 10),
        ) as data:  # fmt: skip
            data.write(np.zeros((3, 4, 4), dtype=np.uint8))
        with pytest.raises(BadInputError, match="is a picture of 3 colours, not heights"):
            read_ground([path], around=None)

    def test_what_a_file_says_of_its_system_counts(self, tmp_path: Path) -> None:
        path = write(tmp_path / "n.tif", hills())
        assert "3794" in read_ground([path], around=None, crs="EPSG:27700").crs_wkt

    def test_a_system_nobody_knows(self, tmp_path: Path) -> None:
        path = write(tmp_path / "n.tif", hills(), crs=None)
        with pytest.raises(BadInputError, match="EPSG:1 is not known"):
            read_ground([path], around=None, crs="EPSG:1")

    def test_not_covering_the_spot(self) -> None:
        elsewhere = Position(latitude_deg=53.0, longitude_deg=-5.1)
        with pytest.raises(MissingDataError, match=r"does not cover the spot at 53\.00000, -5\.1"):
            read_ground([SLOVENIA], around=elsewhere)
        with pytest.raises(MissingDataError, match="No raster covers the spot"):
            read_ground([SLOVENIA, JACKSBORO], around=elsewhere)

    def test_a_radius_of_nothing(self) -> None:
        with pytest.raises(OutOfRangeError, match="radius is 0 m"):
            read_ground([SLOVENIA], around=None, radius_m=0.0)


class TestCanopy:
    def test_heights_above_ground_with_noise_below_nought(self, tmp_path: Path) -> None:
        heights = np.array([[-0.4, 0.0, 12.0], [22.0, -9999.0, 3.0]], dtype=np.float32)
        canopy = read_canopy([write(tmp_path / "c.tif", heights)], around=None)
        np.testing.assert_array_equal(
            canopy.heights_m, np.array([[0.0, 0.0, 12.0], [22.0, np.nan, 3.0]], dtype=np.float32)
        )
        assert canopy.origin.startswith("canopy raster")

    def test_heights_above_the_sea_are_no_canopy(self, tmp_path: Path) -> None:
        with pytest.raises(BadInputError, match="which no canopy has"):
            read_canopy([write(tmp_path / "c.tif", hills())], around=None)


def _ascii(path: Path) -> Path:
    path.write_text(
        "ncols 3\nnrows 2\nxllcorner 500000\nyllcorner 100000\ncellsize 16.6666666667\n"
        "NODATA_value -9999\n101 102 103.5\n104 -9999 106\n"
    )
    return path
