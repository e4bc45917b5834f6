"""Beams through crowns whose length is known."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, MissingDataError, OutOfRangeError
from shivelight.basis.places import Position
from shivelight.land.beams import Crowns, canopy_above, crown_path
from shivelight.land.ground import Ground, position_of

Shape = Callable[[FloatArray, FloatArray], FloatArray]


def raster(shape: Shape, *, half_m: float = 400.0, cell_m: float = 2.0) -> Ground:
    reach = np.arange(-half_m, half_m + cell_m / 2, cell_m)
    east, north = np.meshgrid(reach, reach[::-1])
    return Ground(
        heights_m=shape(east, north).astype(np.float32),
        affine=(cell_m, 0.0, 500_000.0 - half_m, 0.0, -cell_m, 5_872_035.0 + half_m),
        crs_wkt="EPSG:32631",
    )


def even(height_m: float) -> Shape:
    return lambda east, _north: np.full(east.shape, height_m)


LEVEL = raster(even(100.0))
MIDDLE = position_of(LEVEL, 200.0, 200.0)


def canopy_path_m(
    canopy: Ground,
    azimuth_deg: ArrayLike,
    altitude_deg: ArrayLike,
    *,
    position: Position = MIDDLE,
    eye_height_m: float = 1.5,
) -> FloatArray:
    """Lengths inside crowns with leaf to the floor, on level ground."""
    return crown_path(
        LEVEL,
        Crowns(heights=canopy),
        position=position,
        azimuth_deg=azimuth_deg,
        altitude_deg=altitude_deg,
        eye_height_m=eye_height_m,
    ).path_m


@settings(max_examples=25, deadline=None)
@given(
    altitude_deg=st.floats(8.0, 85.0),
    azimuth_deg=st.floats(0.0, 360.0),
    height_m=st.floats(8.0, 35.0),
    base_frac=st.sampled_from([0.0, 0.4]),
)
def test_an_even_wood_is_crossed_by_its_depth_over_the_sine(
    altitude_deg: float, azimuth_deg: float, height_m: float, base_frac: float
) -> None:
    crowns = Crowns(heights=raster(even(height_m)), base_frac=base_frac)
    found = crown_path(
        LEVEL, crowns, position=MIDDLE, azimuth_deg=azimuth_deg, altitude_deg=altitude_deg,
        eye_height_m=1.5,
    )  # fmt: skip
    depth_m = height_m - max(1.5, base_frac * height_m)
    wanted_m = depth_m / np.sin(np.radians(altitude_deg))
    step_m = min(0.5, 0.5 / np.tan(np.radians(altitude_deg))) / np.cos(np.radians(altitude_deg))
    assert found.path_m == pytest.approx(wanted_m, abs=step_m + 0.01)
    assert found.unseen_m == 0.0


def test_a_belt_of_trees_dims_only_the_light_that_crosses_it() -> None:
    belt = raster(lambda _east, north: np.where((north > 50.0) & (north < 90.0), 25.0, 0.0))
    path_m = canopy_path_m(belt, [0.0, 180.0, 0.0, 0.0], [5.0, 5.0, 40.0, 0.0])
    assert path_m[0] == pytest.approx(39.0 / np.cos(np.radians(5.0)), abs=2.0)
    np.testing.assert_array_equal(path_m[1:3], 0.0)
    assert path_m[3] == pytest.approx(39.0, abs=2.0)


def test_on_a_slope_the_crowns_uphill_stand_in_the_way() -> None:
    def slope(_east: FloatArray, north: FloatArray) -> FloatArray:
        return 100.0 + 0.3 * north

    ground = raster(slope)
    crowns = Crowns(heights=raster(even(20.0)))
    up, down = crown_path(
        ground, crowns, position=MIDDLE, azimuth_deg=[0.0, 180.0], altitude_deg=30.0,
        eye_height_m=1.5,
    ).path_m  # fmt: skip
    # Rising by tan 30 against ground that rises or falls by 0.3.
    length = 18.5 / np.cos(np.radians(30.0))
    assert up == pytest.approx(length / (np.tan(np.radians(30.0)) - 0.3), abs=0.8)
    assert down == pytest.approx(length / (np.tan(np.radians(30.0)) + 0.3), abs=0.8)


def test_what_is_not_known_is_said_not_guessed() -> None:
    crowns = Crowns(heights=raster(even(20.0), half_m=100.0))
    low = crown_path(
        LEVEL, crowns, position=MIDDLE, azimuth_deg=90.0, altitude_deg=3.0, eye_height_m=1.5
    )
    assert low.path_m == pytest.approx(100.0, abs=1.5)
    # Clear of 20 m after 18.5 / tan 3 = 353 m.
    assert low.unseen_m == pytest.approx(253.0, abs=5.0)


def test_holes_in_the_canopy_are_unseen() -> None:
    holed = raster(lambda east, _north: np.where((east > 20.0) & (east < 40.0), np.nan, 20.0))
    found = crown_path(
        LEVEL, Crowns(heights=holed), position=MIDDLE, azimuth_deg=90.0, altitude_deg=10.0,
        eye_height_m=1.5,
    )  # fmt: skip
    whole_m = 18.5 / np.sin(np.radians(10.0))
    assert found.unseen_m == pytest.approx(21.0, abs=2.5)
    assert found.path_m + found.unseen_m == pytest.approx(whole_m, abs=0.6)


def test_below_the_horizon_and_nan_give_nan() -> None:
    path_m = canopy_path_m(raster(even(5.0)), [0.0, np.nan], [-0.1, np.nan])
    assert np.isnan(path_m).all()


def test_shapes_broadcast_and_empty_stays_empty() -> None:
    crowns = raster(even(5.0))
    assert canopy_path_m(crowns, np.zeros((3, 1)), [10.0, 20.0]).shape == (3, 2)
    assert canopy_path_m(crowns, [], []).shape == (0,)


def test_refusals() -> None:
    crowns = raster(even(5.0))
    with pytest.raises(OutOfRangeError, match="eye height"):
        canopy_path_m(crowns, 0, 9, eye_height_m=-1)
    away = Position(latitude_deg=54.0, longitude_deg=3.0)
    with pytest.raises(MissingDataError, match="does not cover"):
        canopy_path_m(crowns, 0, 9, position=away, eye_height_m=1)


class TestSurface:
    def test_surface_less_ground_on_another_grid(self) -> None:
        ground = raster(lambda east, _north: 100.0 + 0.1 * east, cell_m=10.0)
        surface = raster(lambda east, _north: 112.0 + 0.1 * east, half_m=100.0)
        canopy = canopy_above(ground, surface)
        np.testing.assert_allclose(canopy.heights_m, 12.0, atol=0.01)
        assert canopy.heights_m.shape == surface.heights_m.shape

    def test_never_negative(self) -> None:
        canopy = canopy_above(LEVEL, raster(even(99.0), half_m=50.0))
        np.testing.assert_array_equal(canopy.heights_m, 0.0)

    def test_apart(self) -> None:
        far = Ground(
            heights_m=LEVEL.heights_m,
            affine=(2.0, 0.0, 600_000.0, 0.0, -2.0, 5_872_435.0),
            crs_wkt="EPSG:32631",
        )
        with pytest.raises(BadInputError, match="do not overlap"):
            canopy_above(LEVEL, far)
