"""The crown march against its plain twin, on ground and crowns with holes."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shivelight.land.beams import Crowns, canopy_above, crown_path
from shivelight.land.ground import Ground, position_of
from tests.plain.crown_beams import plain_crown_path


def rough(seed: int, *, cell_m: float, tall_m: float) -> Ground:
    """Blocks of heights with a hole here and there, in a system all rasters share."""
    rng = np.random.default_rng(seed)
    blocks = rng.uniform(0.0, tall_m, (20, 20)).astype(np.float32)
    cells = round(200.0 / cell_m)
    heights = np.kron(blocks, np.ones((cells // 20, cells // 20), dtype=np.float32))
    holes = rng.integers(0, cells, (6, 2))
    middle = cells // 2
    for row, column in holes:
        if max(abs(row - middle), abs(column - middle)) > 3:
            heights[row, column] = np.nan
    return Ground(
        heights_m=heights,
        affine=(cell_m, 0.0, 499_900.0, 0.0, -cell_m, 5_872_135.0),
        crs_wkt="EPSG:32631",
    )


@settings(max_examples=30, deadline=None)
@given(
    seed=st.integers(0, 10_000),
    azimuth_deg=st.floats(0.0, 360.0),
    altitude_deg=st.sampled_from([0.0, 0.4, 2.0]) | st.floats(0.0, 89.0),
    base_frac=st.sampled_from([0.0, 0.4]),
)
def test_the_march_is_its_plain_twin(
    seed: int, azimuth_deg: float, altitude_deg: float, base_frac: float
) -> None:
    ground = rough(seed, cell_m=5.0, tall_m=12.0)
    heights = rough(seed + 1, cell_m=2.5, tall_m=30.0)
    spot = position_of(ground, 20.0, 20.0)
    found = crown_path(
        ground, Crowns(heights=heights, base_frac=base_frac), position=spot,
        azimuth_deg=azimuth_deg, altitude_deg=altitude_deg, eye_height_m=1.4,
    )  # fmt: skip
    path_m, unseen_m = plain_crown_path(
        ground, heights, base_frac, spot, azimuth_deg, altitude_deg, 1.4
    )
    # One step more or less where a beam grazes the edge of a cell.
    step_m = 1.0 / np.cos(np.radians(altitude_deg))
    assert float(found.path_m) == pytest.approx(path_m, abs=step_m)
    assert float(found.unseen_m) == pytest.approx(unseen_m, abs=step_m)


def test_one_map_or_two_give_the_same_canopy() -> None:
    ground = rough(7, cell_m=5.0, tall_m=12.0)
    made = rough(8, cell_m=2.5, tall_m=30.0)
    # Off the ground's own lines, where a rounding would decide which side a cell is on.
    shifted = (*made.affine[:2], made.affine[2] + 0.3, *made.affine[3:5], made.affine[5] - 0.7)
    heights, there = (
        Ground(heights_m=made.heights_m, affine=shifted, crs_wkt=system)
        for system in (made.crs_wkt, "+proj=utm +zone=31")
    )
    one, two = canopy_above(ground, heights), canopy_above(ground, there)
    assert np.isfinite(one.heights_m).mean() > 0.9
    np.testing.assert_allclose(one.heights_m, two.heights_m, atol=0.01)
