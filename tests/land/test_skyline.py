"""Skylines of terrains whose answer is known, and of the real one-metre raster."""

import csv
import gzip
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
import rasterio
from hypothesis import given, settings
from hypothesis import strategies as st

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, MissingDataError, OutOfRangeError
from shivelight.basis.places import Position, distance_and_azimuth
from shivelight.land.curvature import FLAT, EarthCurve, dip_deg
from shivelight.land.ground import Ground, position_of
from shivelight.land.skyline import (
    Skyline,
    bearings_deg,
    combine,
    level_skyline,
    not_below,
    skyline_from_ground,
)

HERE = Path(__file__).parents[1] / "data" / "terrain"
MIDDLE = Position(latitude_deg=53.0, longitude_deg=3.0)
"""On the central meridian of UTM zone 31, where grid north is true north."""


def terrain(
    shape: Callable[[FloatArray, FloatArray], FloatArray], *, half_m: float = 2000.0, cell_m: float
) -> Ground:
    """Heights as a function of metres east and north of the raster's middle."""
    reach = np.arange(-half_m, half_m + cell_m / 2, cell_m)
    east, north = np.meshgrid(reach, reach[::-1])
    x, y = 500_000.0, 5_872_035.0
    return Ground(
        heights_m=shape(east, north).astype(np.float32),
        affine=(cell_m, 0.0, x - half_m, 0.0, -cell_m, y + half_m),
        crs_wkt="EPSG:32631",
    )


def level(east: FloatArray, _north: FloatArray) -> FloatArray:
    return 0.0 * east


def middle_of(ground: Ground) -> Position:
    rows, columns = ground.heights_m.shape
    return position_of(ground, (rows - 1) / 2, (columns - 1) / 2)


def flat_skyline(ground: Ground, **more: float) -> Skyline:
    return skyline_from_ground(
        ground, position=middle_of(ground), eye_height_m=0.0, curve=FLAT, **more
    )


@lru_cache(maxsize=1)
def slovenia() -> Ground:
    with rasterio.open(HERE / "slovenia_tm1_564_146_dtm_1m.tif") as data:
        place, heights = data.transform, data.read(1)
    return Ground(
        heights_m=heights,
        affine=(place.a, 0.0, place.c + place.a / 2, 0.0, place.e, place.f + place.e / 2),
        crs_wkt="EPSG:3794",
    )


@lru_cache(maxsize=1)
def reference() -> dict[str, list[dict[str, str]]]:
    path = HERE / "horizon_reference_slovenia1m.csv.gz"
    with gzip.open(path, "rt", encoding="utf-8") as table:
        found: dict[str, list[dict[str, str]]] = {}
        for row in csv.DictReader(table):
            found.setdefault(row["point"], []).append(row)
    return found


@pytest.mark.parametrize("point", [f"P{number:02d}" for number in range(1, 13)])
@pytest.mark.parametrize(
    ("eye_height_m", "column"), [(1.6, "horizon_eye_deg"), (0.0, "horizon_ground_deg")]
)
def test_a_real_one_metre_raster_gives_the_reference_profile(
    point: str, eye_height_m: float, column: str
) -> None:
    # Profiles by an independent brute-force march of half a cell with curvature, no refraction
    # and true azimuths; see tests/data/README.md. They are printed to 0.001 degrees.
    rows = reference()[point]
    ground = slovenia()
    grid_x, grid_y = float(rows[0]["x"]), float(rows[0]["y"])
    position = position_of(ground, ground.affine[5] - grid_y, grid_x - ground.affine[2])
    skyline = skyline_from_ground(
        ground,
        position=position,
        eye_height_m=eye_height_m,
        step_deg=1.0,
        curve=EarthCurve(refraction_frac=0.0),
    )
    wanted = np.array([float(row[column]) for row in rows])
    np.testing.assert_allclose(skyline.altitude_deg, wanted, atol=0.003, rtol=0)


def test_half_a_degree_of_grid_convergence_would_be_seen() -> None:
    rows = reference()["P03"]
    ground = slovenia()
    position = position_of(
        ground, ground.affine[5] - float(rows[0]["y"]), float(rows[0]["x"]) - ground.affine[2]
    )
    skyline = skyline_from_ground(
        ground, position=position, eye_height_m=1.6, curve=EarthCurve(refraction_frac=0.0)
    )
    wanted = np.array([float(row["horizon_eye_deg"]) for row in rows])
    turned = skyline.at(np.arange(360.0) - float(rows[0]["convergence_deg"]))
    assert np.abs(turned - wanted).max() > 0.1


@settings(max_examples=20, deadline=None)
@given(
    height_m=st.floats(20.0, 300.0), distance_m=st.floats(150.0, 900.0), bearing=st.floats(0, 360)
)
def test_an_endless_ridge_falls_away_as_its_closed_form_says(
    height_m: float, distance_m: float, bearing: float
) -> None:
    along = np.radians(bearing)

    def ridge(east: FloatArray, north: FloatArray) -> FloatArray:
        out = east * np.sin(along) + north * np.cos(along)
        tent: FloatArray = height_m * (1 - np.abs(out - distance_m) / 60.0)
        return np.maximum(tent, 0.0)

    skyline = flat_skyline(terrain(ridge, cell_m=10.0))
    off = np.radians(np.array([0.0, 25.0, -40.0]))
    wanted = np.degrees(np.arctan(height_m * np.cos(off) / distance_m))
    got = skyline.at(bearing + np.degrees(off))
    # A 10 m cell may shave the sharp crest by a twelfth of its height at the very worst.
    assert (got <= wanted + 0.02).all()
    assert (got >= np.degrees(np.arctan(height_m * (11 / 12) * np.cos(off) / distance_m))).all()


def test_a_plane_shows_its_slope_uphill_and_minus_it_downhill() -> None:
    def plane(east: FloatArray, north: FloatArray) -> FloatArray:
        return 500.0 + float(np.tan(np.radians(20.0))) * north

    skyline = flat_skyline(terrain(plane, cell_m=20.0))
    wanted = np.degrees(
        np.arctan(np.tan(np.radians(20.0)) * np.cos(np.radians(skyline.azimuth_deg)))
    )
    np.testing.assert_allclose(skyline.altitude_deg, wanted, atol=0.01, rtol=0)


def test_open_sea_lies_at_the_dip_when_the_raster_reaches_the_horizon() -> None:
    ground = terrain(level, half_m=12_000.0, cell_m=40.0)
    curve = EarthCurve()
    skyline = skyline_from_ground(ground, position=middle_of(ground), eye_height_m=8.0)
    np.testing.assert_allclose(skyline.altitude_deg, -dip_deg(8.0, curve=curve), atol=2e-4, rtol=0)


def test_refraction_and_curvature_lower_a_far_hill_as_computed() -> None:
    def hill(east: FloatArray, north: FloatArray) -> FloatArray:
        return np.where(np.hypot(east, north - 10_000.0) < 300.0, 300.0, 0.0)

    ground = terrain(hill, half_m=11_000.0, cell_m=50.0)
    toward = skyline_from_ground(ground, position=middle_of(ground), eye_height_m=2.0)
    # The near shoulder of the hill at 9,700 m; drop 0.87 d^2 / 2R.
    drop = 0.87 * 9_700.0**2 / (2 * 6_371_000.0)
    wanted = np.degrees(np.arctan((300.0 - 2.0 - drop) / 9_700.0))
    assert toward.altitude_deg[0] == pytest.approx(wanted, abs=0.02)


class TestProperties:
    @staticmethod
    def ground(seed: int, *, raised_m: float = 0.0, moved_m: float = 0.0) -> Ground:
        random = np.random.default_rng(seed)
        turn = random.uniform(0.0, 6.28, 4)
        reach = np.arange(-600.0, 601.0, 10.0)
        east, north = np.meshgrid(reach, reach[::-1])
        heights = (
            100.0
            + 30 * np.sin(east / 90 + turn[0]) * np.cos(north / 120 + turn[1])
            + 12 * np.sin(east / 31 + turn[2])
            + raised_m
        )
        return Ground(
            heights_m=heights.astype(np.float32),
            affine=(10.0, 0.0, 499_400.0 + moved_m, 0.0, -10.0, 5_872_600.0 + moved_m),
            crs_wkt="EPSG:32631",
        )

    @settings(max_examples=15, deadline=None)
    @given(seed=st.integers(0, 999), raised_m=st.floats(-50.0, 900.0))
    def test_raising_everything_changes_nothing(self, seed: int, raised_m: float) -> None:
        one, other = self.ground(seed), self.ground(seed, raised_m=raised_m)
        spot = middle_of(one)
        first = skyline_from_ground(one, position=spot, eye_height_m=1.5, step_deg=3.0)
        second = skyline_from_ground(other, position=spot, eye_height_m=1.5, step_deg=3.0)
        # Heights are 32 bit floats: 1,000 m is kept to 0.06 mm, seen from 5 m and more.
        np.testing.assert_allclose(first.altitude_deg, second.altitude_deg, atol=0.002, rtol=0)

    @settings(max_examples=10, deadline=None)
    @given(seed=st.integers(0, 999), moved_m=st.sampled_from([-3000.0, 500.0, 4000.0]))
    def test_moving_raster_and_spot_together_changes_nothing(
        self, seed: int, moved_m: float
    ) -> None:
        one, other = self.ground(seed), self.ground(seed, moved_m=moved_m)
        first = skyline_from_ground(one, position=middle_of(one), eye_height_m=1.5, step_deg=3.0)
        second = skyline_from_ground(
            other, position=middle_of(other), eye_height_m=1.5, step_deg=3.0
        )
        # Four kilometres turn the grid by 0.04 degrees and stretch it by a few in a million.
        turned = second.at(first.azimuth_deg)
        assert np.abs(turned - first.altitude_deg).max() < 0.15

    @settings(max_examples=15, deadline=None)
    @given(seed=st.integers(0, 999), lift_m=st.floats(0.1, 30.0))
    def test_a_higher_eye_never_sees_a_higher_skyline(self, seed: int, lift_m: float) -> None:
        ground = self.ground(seed)
        spot = middle_of(ground)
        low = skyline_from_ground(ground, position=spot, eye_height_m=1.0, step_deg=3.0)
        high = skyline_from_ground(ground, position=spot, eye_height_m=1.0 + lift_m, step_deg=3.0)
        assert (high.altitude_deg < low.altitude_deg).all()

    @settings(max_examples=15, deadline=None)
    @given(seed=st.integers(0, 999))
    def test_higher_ground_about_never_lowers_the_skyline(self, seed: int) -> None:
        ground = self.ground(seed)
        heights = ground.heights_m.copy()
        heights[:50] += np.float32(9.0)
        higher = Ground(heights_m=heights, affine=ground.affine, crs_wkt=ground.crs_wkt)
        spot = middle_of(ground)
        before = skyline_from_ground(ground, position=spot, eye_height_m=1.0, step_deg=3.0)
        after = skyline_from_ground(higher, position=spot, eye_height_m=1.0, step_deg=3.0)
        assert (after.altitude_deg >= before.altitude_deg).all()
        assert (after.altitude_deg > before.altitude_deg).any()


class TestGaps:
    def test_each_bearing_says_how_far_it_saw(self) -> None:
        ground = terrain(level, half_m=500.0, cell_m=10.0)
        skyline = flat_skyline(ground)
        assert skyline.reach_m is not None
        np.testing.assert_allclose(skyline.reach_m[[0, 180, 360, 540]], 500.0, atol=5.01)
        assert skyline.reach_m[90] == pytest.approx(500.0 * np.sqrt(2), abs=8.0)

    def test_a_short_reach_is_kept(self) -> None:
        ground = terrain(level, half_m=500.0, cell_m=10.0)
        skyline = flat_skyline(ground, reach_m=120.0)
        assert skyline.reach_m is not None
        np.testing.assert_allclose(skyline.reach_m, 120.0, atol=5.01)

    def test_holes_are_skipped_and_counted(self) -> None:
        def wall(east: FloatArray, north: FloatArray) -> FloatArray:
            heights = np.where(north > 400.0, 100.0, 0.0)
            return np.where((north > 150.0) & (north < 250.0), np.nan, heights)

        skyline = flat_skyline(terrain(wall, half_m=500.0, cell_m=10.0))
        assert skyline.is_whole
        assert skyline.unseen_m is not None
        assert skyline.altitude_deg[0] == pytest.approx(np.degrees(np.arctan(100 / 410)), abs=0.2)
        assert skyline.unseen_m[0] == pytest.approx(110.0, abs=11.0)
        assert skyline.unseen_m[360] == 0.0

    def test_a_bearing_with_no_ground_at_all_is_unknown(self) -> None:
        def half(east: FloatArray, north: FloatArray) -> FloatArray:
            return np.where(north > 0.0, np.nan, 0.0)

        skyline = flat_skyline(terrain(half, half_m=500.0, cell_m=10.0))
        assert skyline.reach_m is not None
        assert np.isnan(skyline.altitude_deg[0])
        assert skyline.reach_m[0] == 0.0
        assert np.isfinite(skyline.altitude_deg[360])
        assert not skyline.is_whole

    def test_data_missing_round_the_rim_shortens_the_reach(self) -> None:
        def island(east: FloatArray, north: FloatArray) -> FloatArray:
            return np.where(np.hypot(east, north) > 300.0, np.nan, 5.0)

        skyline = flat_skyline(terrain(island, half_m=500.0, cell_m=10.0))
        assert skyline.reach_m is not None
        np.testing.assert_allclose(skyline.reach_m, 292.0, atol=13.0)
        assert skyline.unseen_m is not None
        np.testing.assert_array_less(skyline.unseen_m, 15.0)


class TestRefusals:
    ground = staticmethod(lambda: terrain(level, half_m=100.0, cell_m=10.0))

    def test_a_spot_off_the_raster(self) -> None:
        with pytest.raises(MissingDataError, match=r"does not cover 54\.00000, 3\.00000"):
            skyline_from_ground(
                self.ground(),
                position=Position(latitude_deg=54.0, longitude_deg=3.0),
                eye_height_m=1.5,
            )

    def test_a_spot_on_a_hole(self) -> None:
        ground = terrain(
            lambda e, n: np.where(np.hypot(e, n) < 25, np.nan, 1.0), half_m=100.0, cell_m=10.0
        )
        with pytest.raises(MissingDataError, match="has a hole"):
            flat_skyline(ground)

    def test_a_spot_alone_on_its_cells(self) -> None:
        ground = terrain(
            lambda e, n: np.where(np.hypot(e, n) > 11, np.nan, 1.0), half_m=100.0, cell_m=10.0
        )
        rows = (ground.heights_m.shape[0] - 1) / 2
        with pytest.raises(MissingDataError, match=r"has a hole|shows nothing"):
            skyline_from_ground(
                ground, position=position_of(ground, rows + 0.4, rows + 0.4), eye_height_m=1.5
            )

    def test_an_eye_under_the_ground(self) -> None:
        with pytest.raises(OutOfRangeError, match="eye height is -1 m"):
            skyline_from_ground(self.ground(), position=middle_of(self.ground()), eye_height_m=-1)

    @pytest.mark.parametrize("reach_m", [0.0, -5.0, float("nan")])
    def test_a_reach_of_nothing(self, reach_m: float) -> None:
        with pytest.raises(BadInputError, match="sees nothing"):
            flat_skyline(self.ground(), reach_m=reach_m)

    def test_a_step_that_does_not_close_the_turn(self) -> None:
        with pytest.raises(BadInputError, match="whole number of times"):
            bearings_deg(0.7)

    def test_a_step_too_fine(self) -> None:
        with pytest.raises(OutOfRangeError, match="step between bearings"):
            bearings_deg(0.0)

    def test_a_system_not_on_the_earth(self) -> None:
        ground = self.ground()
        lost = Ground(heights_m=ground.heights_m, affine=ground.affine, crs_wkt="nonsense")
        with pytest.raises(BadInputError, match="cannot be placed on the Earth"):
            skyline_from_ground(lost, position=MIDDLE, eye_height_m=1.5)


def test_longitudes_from_0_to_360_and_across_the_date_line_are_met() -> None:
    heights = np.zeros((61, 61), dtype=np.float32)
    heights[:, 45:] = 300.0
    for west in (179.95, -180.05):
        ground = Ground(
            heights_m=heights,
            affine=(1 / 600, 0.0, west, 0.0, -1 / 600, -16.95),
            crs_wkt="EPSG:4326",
        )
        skyline = skyline_from_ground(
            ground,
            position=Position(latitude_deg=-17.0, longitude_deg=-180.0),
            eye_height_m=1.5,
        )
        edge = Position(latitude_deg=-17.0, longitude_deg=-180.0 + 15 / 600)
        start = Position(latitude_deg=-17.0, longitude_deg=-180.0)
        distance_m, _ = distance_and_azimuth(start, edge)
        drop = 0.87 * distance_m**2 / (2 * 6_371_000.0)
        wanted = np.degrees(np.arctan((300.0 - 1.5 - drop) / distance_m))
        assert skyline.altitude_deg[180] == pytest.approx(wanted, abs=0.35)


class TestTogether:
    def test_the_higher_wins_and_the_known_one_where_one_is_unknown(self) -> None:
        one = np.array([1.0, np.nan, 3.0, np.nan])
        other = np.array([2.0, 5.0, 1.0, np.nan])
        both = combine(
            Skyline(altitude_deg=one, origin="typed"),
            Skyline(altitude_deg=other, origin="ground raster", reach_m=np.full(4, 9.0)),
        )
        np.testing.assert_array_equal(both.altitude_deg, [2.0, 5.0, 3.0, np.nan])
        assert both.origin == "both"
        assert both.reach_m is not None

    def test_the_finer_sampling_is_kept(self) -> None:
        both = combine(level_skyline(step_deg=90.0), level_skyline(step_deg=0.5))
        assert both.altitude_deg.size == 720
        assert both.origin == "level"

    def test_a_floor_lifts_what_is_below_and_leaves_the_unknown(self) -> None:
        skyline = Skyline(altitude_deg=np.array([-3.0, 2.0, np.nan, -0.1]), origin="typed")
        np.testing.assert_array_equal(
            not_below(skyline, 0.0).altitude_deg, [0.0, 2.0, np.nan, 0.0]
        )
