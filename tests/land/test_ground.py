"""Rows, columns and heights of positions."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import BadInputError
from shivelight.basis.places import Position, destination
from shivelight.land.ground import Ground, heights_at_m, pixel_of, position_of, sample
from shivelight.land.rays import farthest_corner_m, local_map, ray_polynomials

HEIGHTS = (np.arange(12.0, dtype=np.float32) ** 2).reshape(3, 4)


def ground(**more: object) -> Ground:
    facts: dict[str, object] = {
        "heights_m": HEIGHTS.copy(),
        "affine": (10.0, 0.0, 500_000.0, 0.0, -10.0, 5_872_000.0),
        "crs_wkt": "EPSG:32631",
    }
    return Ground(**(facts | more))  # type: ignore[arg-type]


@given(row=st.floats(-5, 5), column=st.floats(-5, 5))
def test_pixels_and_positions_are_each_others_way_back(row: float, column: float) -> None:
    place = position_of(ground(), row, column)
    back = pixel_of(ground(), place.latitude_deg, longitude_deg=place.longitude_deg)
    np.testing.assert_allclose(back, (row, column), atol=1e-6)


def test_between_cells_heights_are_bilinear() -> None:
    assert sample(HEIGHTS, 0.5, column=0.5).item() == pytest.approx((0 + 1 + 16 + 25) / 4)
    assert sample(HEIGHTS, 2.0, column=3.0).item() == 121.0
    assert sample(HEIGHTS, 0.0, column=0.25).item() == 0.25


def test_outside_the_outer_centres_there_is_nothing() -> None:
    assert np.isnan(sample(HEIGHTS, [-0.01, 0.0, 2.01], column=[0.0, 3.01, 0.0])).all()
    assert np.isnan(sample(HEIGHTS, np.nan, column=0.0))


def test_shapes_broadcast_and_empty_stays_empty() -> None:
    assert sample(HEIGHTS, [[0.0], [1.0]], column=[0.0, 1.0, 2.0]).shape == (2, 3)
    assert heights_at_m(ground(), [], longitude_deg=[]).shape == (0,)


def test_heights_fall_back_on_the_coarser_ground() -> None:
    wide = Ground(
        heights_m=np.full((9, 9), 7.0, dtype=np.float32),
        affine=(100.0, 0.0, 499_600.0, 0.0, -100.0, 5_872_400.0),
        crs_wkt="EPSG:32631",
    )
    both = ground(farther=wide)
    near, far = position_of(both, 1.0, 1.0), position_of(both, 1.0, 20.0)
    found = heights_at_m(
        both,
        [near.latitude_deg, far.latitude_deg],
        longitude_deg=[near.longitude_deg, far.longitude_deg],
    )
    np.testing.assert_allclose(found, [25.0, 7.0], atol=1e-3)


def test_a_ground_keeps_its_heights_from_being_changed() -> None:
    with pytest.raises(ValueError, match="read-only"):
        ground().heights_m[0, 0] = 1.0


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({"heights_m": np.zeros((1, 5), np.float32)}, "two rows and two columns"),
        ({"heights_m": np.zeros((5, 5))}, "32 bit floats"),
        ({"affine": (1.0, 1.0, 0.0, 1.0, 1.0, 0.0)}, "cannot be turned round"),
        ({"affine": (np.nan, 0.0, 0.0, 0.0, 1.0, 0.0)}, "cannot be turned round"),
    ],
)
def test_what_is_no_ground(facts: dict[str, object], said: str) -> None:
    with pytest.raises(BadInputError, match=said):
        ground(**facts)


@pytest.mark.parametrize(
    ("crs", "affine", "latitude", "longitude"),
    [
        ("EPSG:32631", (30.0, 0.0, 470_000.0, 0.0, -30.0, 5_902_000.0), 53.0, 3.0),
        ("EPSG:4326", (1 / 3600, 0.0, 2.6, 0.0, -1 / 3600, 53.3), 53.0, 3.0),
        ("EPSG:4326", (1 / 3600, 0.0, 24.6, 0.0, -1 / 3600, 70.3), 70.0, 25.0),
        ("EPSG:3857", (50.0, 0.0, 280_000.0, 0.0, -50.0, 7_050_000.0), 53.3, 3.0),
        ("EPSG:27700", (25.0, 0.0, 230_000.0, 0.0, -25.0, 330_000.0), 52.8, -4.3),
    ],
)
def test_the_fitted_map_is_the_exact_one_to_a_fiftieth_of_a_cell(
    crs: str, affine: tuple[float, ...], latitude: float, longitude: float
) -> None:
    wide = Ground(heights_m=np.zeros((2000, 2000), np.float32), affine=affine, crs_wkt=crs)  # type: ignore[arg-type]
    spot = Position(latitude_deg=latitude, longitude_deg=longitude)
    reach_m = min(farthest_corner_m(wide, spot), 40_000.0)
    chart = local_map(wide, spot, reach_m=reach_m)
    azimuth = np.array([3.0, 88.0, 141.0, 259.0, 317.0])
    rows, columns = ray_polynomials(chart, azimuth)
    for ray, bearing in enumerate(azimuth):
        for share in (0.07, 0.31, 0.66, 0.98):
            there = destination(spot, azimuth_deg=float(bearing), distance_m=share * reach_m)
            row, column = pixel_of(wide, there.latitude_deg, longitude_deg=there.longitude_deg)
            powers = share ** np.arange(chart.degree + 1)
            assert rows[ray] @ powers == pytest.approx(float(row), abs=0.02)
            assert columns[ray] @ powers == pytest.approx(float(column), abs=0.02)


def test_beside_a_pole_degrees_are_refused_in_a_sentence() -> None:
    polar = Ground(
        heights_m=np.zeros((100, 100), np.float32),
        affine=(1 / 1200, 0.0, 0.0, 0.0, -1 / 1200, 89.999),
        crs_wkt="EPSG:4326",
    )
    spot = Position(latitude_deg=89.99, longitude_deg=0.04)
    with pytest.raises(BadInputError, match="bends too much round this spot"):
        local_map(polar, spot, reach_m=5_000.0)
