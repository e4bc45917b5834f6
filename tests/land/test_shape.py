"""Slopes, hollows, sky view and the Earth's curve."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, MissingDataError, OutOfRangeError
from shivelight.land.curvature import (
    FLAT,
    EarthCurve,
    dip_deg,
    drop_m,
    elevation_angle_deg,
    horizon_distance_m,
)
from shivelight.land.ground import Ground, position_of
from shivelight.land.hollows import hollow_depth_m, topographic_position_index
from shivelight.land.skyline import Skyline, level_skyline
from shivelight.land.skyview import sky_view_frac
from shivelight.land.slope import slope_and_aspect_deg, slope_at_deg


def laid(heights: FloatArray, *, cell_m: float = 10.0) -> Ground:
    half = cell_m * (heights.shape[0] - 1) / 2
    return Ground(
        heights_m=heights.astype(np.float32),
        affine=(cell_m, 0.0, 500_000.0 - half, 0.0, -cell_m, 5_872_035.0 + half),
        crs_wkt="EPSG:32631",
    )


def grid(half: int = 60, cell_m: float = 10.0) -> tuple[FloatArray, FloatArray]:
    reach = np.arange(-half, half + 1) * cell_m
    east, north = np.meshgrid(reach, reach[::-1])
    return east, north


class TestSlope:
    @given(slope=st.floats(0.5, 60.0), aspect=st.floats(0.0, 359.9))
    def test_a_plane_has_its_own_slope_and_aspect(self, slope: float, aspect: float) -> None:
        east, north = grid(4, 5.0)
        rise = math.tan(math.radians(slope))
        turn = math.radians(aspect)
        heights = -rise * (east * math.sin(turn) + north * math.cos(turn))
        slopes, aspects = slope_and_aspect_deg(heights, cell_m=5.0)
        np.testing.assert_allclose(slopes[1:-1, 1:-1], slope, atol=1e-6)
        off = (aspects[1:-1, 1:-1] - aspect + 180.0) % 360.0 - 180.0
        np.testing.assert_allclose(off, 0.0, atol=1e-6)

    def test_level_ground_faces_nowhere_and_rims_and_holes_are_unknown(self) -> None:
        heights = np.zeros((5, 5))
        heights[2, 2] = np.nan
        slopes, aspects = slope_and_aspect_deg(heights, cell_m=1.0)
        assert np.isnan(slopes).all()
        slopes, aspects = slope_and_aspect_deg(np.zeros((5, 5)), cell_m=1.0)
        assert np.isfinite(slopes).sum() == 9
        assert np.isnan(aspects).all()

    def test_at_a_place_the_aspect_is_true_not_the_grids(self) -> None:
        # A raster turned by 30 degrees whose heights fall along its own columns.
        rows = np.repeat(np.arange(41.0)[:, None], 41, axis=1)
        cosine, sine = 10 * math.cos(math.pi / 6), 10 * math.sin(math.pi / 6)
        turned = Ground(
            heights_m=(-3.0 * rows).astype(np.float32),
            affine=(cosine, sine, 500_000.0, sine, -cosine, 5_872_000.0),
            crs_wkt="EPSG:32631",
        )
        slope, aspect = slope_at_deg(turned, position_of(turned, 20.0, 20.0))
        assert slope == pytest.approx(math.degrees(math.atan(0.3)), abs=0.01)
        # Down its rows: east by sin 30, south by cos 30.
        assert aspect == pytest.approx(150.0, abs=0.05)

    def test_refusals(self) -> None:
        with pytest.raises(BadInputError, match="three rows and three columns"):
            slope_and_aspect_deg(np.zeros((2, 9)), cell_m=1.0)
        ground = laid(np.zeros((9, 9)))
        with pytest.raises(MissingDataError, match="not known all round within 100 m"):
            slope_at_deg(ground, position_of(ground, 4.0, 4.0), spacing_m=100.0)


class TestHollows:
    @given(st.integers(0, 99), st.floats(-500.0, 500.0))
    def test_adding_a_constant_changes_nothing_and_a_plain_loop_agrees(
        self, seed: int, more: float
    ) -> None:
        random = np.random.default_rng(seed)
        heights = random.normal(0.0, 20.0, (7, 8))
        heights[random.integers(0, 7), random.integers(0, 8)] = np.nan
        for radius in (1, 2):
            found = topographic_position_index(heights, radius_cells=radius)
            np.testing.assert_allclose(
                found, topographic_position_index(heights + more, radius_cells=radius), atol=1e-9
            )
            np.testing.assert_allclose(found, plain_index(heights, radius), atol=1e-9)

    def test_bowl_knoll_and_plane(self) -> None:
        east, north = grid(5)
        out = np.hypot(east, north)
        assert topographic_position_index(out)[5, 5] < 0.0
        assert topographic_position_index(-out)[5, 5] > 0.0
        np.testing.assert_allclose(
            topographic_position_index(0.2 * east + 0.1 * north)[1:-1, 1:-1], 0.0, atol=1e-9
        )

    def test_depth_of_a_bowl_over_its_surroundings(self) -> None:
        east, north = grid()
        bowl = laid(np.minimum(np.hypot(east, north) / 10.0, 30.0))
        middle = position_of(bowl, 60.0, 60.0)
        # The mean of a cone over a disc is two thirds of its rim.
        assert hollow_depth_m(bowl, middle, radius_m=300.0) == pytest.approx(20.0, abs=0.1)
        knoll = laid(-bowl.heights_m.astype(np.float64))
        assert hollow_depth_m(knoll, middle, radius_m=300.0) == pytest.approx(-20.0, abs=0.1)

    def test_refusals(self) -> None:
        ground = laid(np.zeros((9, 9)))
        middle = position_of(ground, 4.0, 4.0)
        with pytest.raises(MissingDataError, match="does not reach 500 m"):
            hollow_depth_m(ground, middle)
        with pytest.raises(OutOfRangeError, match="radius"):
            hollow_depth_m(ground, middle, radius_m=0.0)
        with pytest.raises(BadInputError, match="no neighbours"):
            topographic_position_index(np.zeros((3, 3)), radius_cells=0)
        with pytest.raises(BadInputError, match="rows and columns"):
            topographic_position_index(np.zeros(3))

    def test_nothing_but_holes(self) -> None:
        assert np.isnan(topographic_position_index(np.full((3, 3), np.nan))).all()


def plain_index(heights: FloatArray, radius: int) -> FloatArray:
    """Do the same by loops."""
    found = np.full(heights.shape, np.nan)
    for row, column in np.ndindex(heights.shape):
        near = [
            heights[r, c]
            for r in range(max(0, row - radius), min(heights.shape[0], row + radius + 1))
            for c in range(max(0, column - radius), min(heights.shape[1], column + radius + 1))
            if (r, c) != (row, column) and np.isfinite(heights[r, c])
        ]
        if len(near) >= ((2 * radius + 1) ** 2 - 1) / 2:
            found[row, column] = heights[row, column] - sum(near) / len(near)
    return found


class TestSkyView:
    @given(low=st.floats(0.0, 40.0), more=st.floats(0.5, 40.0))
    def test_a_higher_skyline_shows_less_sky(self, low: float, more: float) -> None:
        def even(height: float) -> Skyline:
            return Skyline(altitude_deg=np.full(720, height), origin="typed")

        assert sky_view_frac(even(low + more)) < sky_view_frac(even(low))

    def test_open_level_ground_sees_all_of_it(self) -> None:
        assert sky_view_frac(level_skyline()) == 1.0

    def test_below_level_hides_nothing(self) -> None:
        dipped = Skyline(altitude_deg=np.full(720, -3.0), origin="ground raster")
        assert sky_view_frac(dipped) == 1.0

    def test_an_upright_surface_sees_half(self) -> None:
        assert sky_view_frac(level_skyline(), slope_deg=90.0) == pytest.approx(0.5, abs=1e-5)

    def test_unknown_bearings_are_refused(self) -> None:
        holed = Skyline(altitude_deg=np.array([1.0, np.nan, 1.0, 1.0]), origin="typed")
        with pytest.raises(MissingDataError, match="not known all round"):
            sky_view_frac(holed)


class TestCurve:
    def test_arrays_scalars_and_nan(self) -> None:
        np.testing.assert_array_equal(drop_m([0.0, np.nan]), [0.0, np.nan])
        assert np.isnan(dip_deg(-1.0))
        assert np.isnan(horizon_distance_m(np.nan))
        assert np.isnan(elevation_angle_deg(1.0, 0.0))
        assert drop_m([]).shape == (0,)
        assert elevation_angle_deg(np.ones((3, 1)), np.ones(2)).shape == (3, 2)

    def test_on_a_flat_earth_nothing_drops_and_the_edge_is_never_reached(self) -> None:
        assert drop_m(1e5, curve=FLAT) == 0.0
        assert dip_deg(100.0, curve=FLAT) == 0.0
        assert np.isposinf(horizon_distance_m(2.0, curve=FLAT))

    @given(height=st.floats(0.1, 3000.0))
    def test_seen_at_the_horizons_distance_the_sea_lies_at_the_dip(self, height: float) -> None:
        distance = horizon_distance_m(height)
        angle = elevation_angle_deg(-height, distance)
        assert angle == pytest.approx(-dip_deg(height), abs=1e-3)

    def test_a_radius_of_nothing_is_refused(self) -> None:
        with pytest.raises(OutOfRangeError, match="Earth radius"):
            EarthCurve(radius_m=0.0)
        with pytest.raises(OutOfRangeError, match="refraction"):
            EarthCurve(refraction_frac=1.5)
