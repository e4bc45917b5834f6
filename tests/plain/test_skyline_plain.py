"""The ray march against its slow, obvious twins."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shivelight.basis.arrays import FloatArray
from shivelight.basis.places import Position, destination
from shivelight.land.curvature import EarthCurve, elevation_angle_deg
from shivelight.land.ground import Ground, height_at_m, heights_at_m, position_of
from shivelight.land.march import march
from shivelight.land.rays import farthest_corner_m, local_map, ray_polynomials

CURVE = EarthCurve()


def plain_altitudes_deg(
    ground: Ground, position: Position, azimuth_deg: FloatArray, *, eye_height_m: float
) -> tuple[FloatArray, FloatArray]:
    """Every half cell of every ray, by geodesic and exact projection, no blocks, no fit."""
    eye_m = height_at_m(ground, position) + eye_height_m
    farthest_m = farthest_corner_m(ground, position)
    chart = local_map(ground, position, reach_m=farthest_m)
    heights, seen = [], []
    for ray, azimuth in enumerate(azimuth_deg):
        # The step is half a cell at the mean scale of the ray, as the kernel's rule says.
        rows, columns = ray_polynomials(chart, azimuth_deg[ray : ray + 1])
        cells = np.hypot(rows.sum() - chart.row, columns.sum() - chart.column)
        step_m = 0.5 * farthest_m / cells
        best, last = np.nan, 0.0
        for distance_m in plain_distances_m(step_m, farthest_m):
            there = destination(position, azimuth_deg=float(azimuth), distance_m=distance_m)
            height_m = heights_at_m(
                ground, there.latitude_deg, longitude_deg=there.longitude_deg
            ).item()
            if np.isnan(height_m):
                continue
            angle = elevation_angle_deg(height_m - eye_m, distance_m, curve=CURVE).item()
            best, last = np.fmax(best, angle), distance_m
        heights.append(best)
        seen.append(last)
    return np.array(heights), np.array(seen)


def plain_distances_m(step_m: float, farthest_m: float) -> list[float]:
    """Half a cell a step; each sixteen steps cut finer while 3 in 100 of the distance is less."""
    count = int(farthest_m / step_m + 1e-9)
    distances = []
    for start in range(0, count, 16):
        allowed_m = max(0.6, 0.03 * start * step_m)
        finer = min(int(np.ceil(step_m / allowed_m)), 16)
        for part in range(1, (min(start + 16, count) - start) * finer + 1):
            distances.append((start + part / finer) * step_m)
    return distances


def rough(seed: int, rows: int, columns: int, *, holes: int, relief_m: float) -> FloatArray:
    random = np.random.default_rng(seed)
    heights = np.zeros((rows, columns))
    for wave in (7, 17, 41):
        row, column = np.mgrid[0:rows, 0:columns]
        turn = random.uniform(0, 2 * np.pi, 3)
        heights += relief_m * np.sin(row / wave + turn[0]) * np.cos(column / wave + turn[1])
    heights += random.normal(0.0, relief_m / 20, heights.shape)
    for _ in range(holes):
        row, column = random.integers(0, rows - 6), random.integers(0, columns - 6)
        heights[row : row + 5, column : column + 6] = np.nan
    return heights


def skewed(columns: int, rows: int) -> tuple[float, float, float, float, float, float]:
    """Turn a raster by 30 degrees, 10 m cells, about the middle of a UTM zone's west part."""
    cosine, sine = 10 * np.cos(np.pi / 6), 10 * np.sin(np.pi / 6)
    return cosine, sine, 300_000.0 - 5 * columns, sine, -cosine, 5_900_000.0 + 5 * rows


@settings(max_examples=12, deadline=None)
@given(
    seed=st.integers(0, 10_000),
    holes=st.integers(0, 4),
    system=st.sampled_from(["north", "turned", "degrees", "south", "far north"]),
)
def test_the_kernel_agrees_with_a_march_by_exact_geodesics(
    seed: int, holes: int, system: str
) -> None:
    rows, columns = 83, 71
    affine, crs = {
        "north": ((10.0, 0.0, 300_000.0, 0.0, -10.0, 5_900_000.0), "EPSG:32630"),
        "turned": (skewed(columns, rows), "EPSG:32630"),
        "degrees": ((1 / 1200, 0.0, -5.1, 0.0, -1 / 1800, 53.0), "EPSG:4326"),
        "south": ((25.0, 0.0, 1_800_000.0, 0.0, -25.0, 5_467_000.0), "EPSG:2193"),
        "far north": ((1 / 600, 0.0, 25.0, 0.0, -1 / 1800, 70.0), "EPSG:4326"),
    }[system]
    heights = rough(seed, rows, columns, holes=holes, relief_m=40.0)
    heights[39:43, 34:38] = 15.0
    ground = Ground(heights_m=heights.astype(np.float32), affine=affine, crs_wkt=crs)
    position = position_of(ground, 40.6, 35.3)
    azimuth_deg = np.arange(0.0, 360.0, 24.0) + seed % 24
    tangent, seen_m, _ = march(
        ground, position, eye_height_m=1.5, azimuth_deg=azimuth_deg, reach_m=None, curve=CURVE
    )
    plain_deg, plain_seen_m = plain_altitudes_deg(ground, position, azimuth_deg, eye_height_m=1.5)
    # 0.02 of a cell in place, on slopes up to about 1 in 1 here, seen from 5 m and more.
    np.testing.assert_allclose(np.degrees(np.arctan(tangent)), plain_deg, atol=0.02, rtol=0)
    # The last sample may fall either side of the edge or of a hole's rim.
    off = np.abs(seen_m - plain_seen_m) > farthest_corner_m(ground, position) / 100
    assert off.sum() <= 1


@pytest.mark.parametrize("seed", range(6))
def test_passing_blocks_over_changes_nothing(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    heights = rough(seed, 150, 140, holes=seed, relief_m=30.0).astype(np.float32)
    heights[70:74, 60:64] = 10.0
    place = {"affine": (5.0, 0.0, 4e5, 0.0, -5.0, 5.9e6), "crs_wkt": "EPSG:32630"}
    ground = Ground(heights_m=heights, **place)  # type: ignore[arg-type]
    position = position_of(ground, 72.0, 62.0)
    azimuth_deg = np.arange(0.0, 360.0, 3.0)
    ask = {"eye_height_m": 1.5, "azimuth_deg": azimuth_deg, "reach_m": None, "curve": CURVE}
    passed = march(ground, position, **ask)  # type: ignore[arg-type]
    import shivelight.land.march as module

    never = np.full((200, 200), np.nan, dtype=np.float32)
    monkeypatch.setattr(module, "_block_tops", lambda _ground: never)
    walked = march(ground, position, **ask)  # type: ignore[arg-type]
    np.testing.assert_array_equal(passed[0], walked[0])
    np.testing.assert_allclose(passed[1:], walked[1:], rtol=0, atol=1e-9)
