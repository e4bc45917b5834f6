"""Shaded relief, against another GIS, against planes worked out by hand, and as it behaves."""

import math
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
import rasterio
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import BadInputError, OutOfRangeError
from shivelight.land.relief import LAMPS, Lamp, shade_frac, times_as_steep
from shivelight.land.slope import slope_and_aspect_deg

SLOVENIA = Path(__file__).parents[1] / "data" / "terrain" / "slovenia_tm1_564_146_dtm_1m.tif"
GDALDEM = shutil.which("gdaldem")


def plane(rise: float, aspect_deg: float) -> np.ndarray:
    north, east = np.mgrid[4:-5:-1, -4:5].astype(np.float64)
    turn = math.radians(aspect_deg)
    return np.asarray(-rise * (east * math.sin(turn) + north * math.cos(turn)))


@pytest.mark.skipif(GDALDEM is None, reason="gdaldem is not on this machine")
@pytest.mark.parametrize("azimuth", [225.0, 315.0, 0.0])
@pytest.mark.parametrize("times", [1, 3])
def test_each_lamp_gives_what_gdaldem_gives(tmp_path: Path, azimuth: float, times: int) -> None:
    # gdaldem hillshade (Horn), an independent program: tones 1 to 255 in whole steps.
    out = tmp_path / "shade.tif"
    subprocess.run(
        [
            str(GDALDEM), "hillshade", str(SLOVENIA), str(out), "-q",
            "-az", str(azimuth), "-alt", "30", "-z", str(times),
        ],
        check=True,
    )  # fmt: skip
    with rasterio.open(out) as data:
        tones = data.read(1).astype(np.float64)
    with rasterio.open(SLOVENIA) as data:
        heights = data.read(1)
    lamp = Lamp(azimuth_deg=azimuth, altitude_deg=30.0, share=1.0)
    shade = shade_frac(heights, cell_m=1.0, lamps=(lamp,), times=times)
    known = np.isfinite(shade) & (tones > 0)
    assert known.sum() > 0.9 * heights.size
    # gdaldem writes 1 + 254 cos i, cut off below at 1: half a step, and as much for its floats.
    np.testing.assert_allclose(1.0 + 254.0 * shade[known], tones[known], atol=1.0, rtol=0)


@given(rise=st.floats(0.0, 3.0), aspect=st.floats(0.0, 359.9), times=st.integers(1, 8))
def test_a_plane_is_as_bright_as_its_angle_to_the_lamps(
    rise: float, aspect: float, times: int
) -> None:
    steep = math.atan(rise * times)
    wanted = sum(
        lamp.share
        * max(
            0.0,
            math.sin(math.radians(lamp.altitude_deg)) * math.cos(steep)
            + math.cos(math.radians(lamp.altitude_deg))
            * math.sin(steep)
            * math.cos(math.radians(lamp.azimuth_deg - aspect)),
        )
        for lamp in LAMPS
    )
    shade = shade_frac(plane(rise, aspect), cell_m=1.0, times=times)
    np.testing.assert_allclose(shade[1:-1, 1:-1], wanted, atol=1e-9)


def test_level_ground_is_a_half_and_the_rim_and_holes_are_not_known() -> None:
    heights = np.full((7, 9), 120.0)
    heights[3, 4] = np.nan
    shade = shade_frac(heights, cell_m=5.0)
    assert np.isnan(shade[[0, -1]]).all()
    assert np.isnan(shade[2:5, 3:6]).all()
    np.testing.assert_allclose(shade[1:-1, [1, 2, 6, 7]], 0.5, atol=1e-12)


def test_a_slope_to_the_north_west_is_brighter_than_one_away_from_it() -> None:
    aspects = (315.0, 225.0, 45.0, 135.0)
    tones = [shade_frac(plane(0.4, one), cell_m=1.0)[4, 4] for one in aspects]
    assert tones == sorted(tones, reverse=True)
    assert tones[1] - tones[2] > 0.1  # a scarp along the main lamp's beam shows too


@given(shift=st.floats(-400.0, 4000.0), cell=st.floats(0.5, 50.0))
def test_only_the_shape_counts(shift: float, cell: float) -> None:
    heights = np.random.default_rng(3).normal(0.0, 2.0, (12, 11))
    here = shade_frac(heights, cell_m=1.0)
    moved = shade_frac(heights * cell + shift, cell_m=cell)
    np.testing.assert_allclose(moved, here, atol=1e-6)


def test_gentle_ground_is_drawn_steeper_and_steep_ground_as_it_is() -> None:
    assert times_as_steep(plane(0.1, 200.0), cell_m=1.0) == 6
    assert times_as_steep(plane(2.0, 200.0), cell_m=1.0) == 1
    assert times_as_steep(np.zeros((5, 5)), cell_m=1.0) == 8
    assert times_as_steep(np.full((5, 5), np.nan), cell_m=1.0) == 1


@given(seed=st.integers(0, 1000), times=st.integers(1, 8))
def test_it_agrees_with_the_slopes_as_angles(seed: int, times: int) -> None:
    heights = np.random.default_rng(seed).normal(0.0, 3.0, (9, 12))
    slope_deg, aspect_deg = slope_and_aspect_deg(heights, cell_m=4.0)
    rise, turn = np.tan(np.radians(slope_deg)) * times, np.radians(aspect_deg)
    lamp = LAMPS[2]
    azimuth, altitude = np.radians([lamp.azimuth_deg, lamp.altitude_deg])
    lit = np.sin(altitude) + np.cos(altitude) * rise * np.cos(azimuth - turn)
    wanted = np.maximum(lit, 0.0) / np.hypot(1.0, rise)
    alone = Lamp(azimuth_deg=lamp.azimuth_deg, altitude_deg=lamp.altitude_deg, share=1.0)
    shade = shade_frac(heights, cell_m=4.0, lamps=(alone,), times=times)
    np.testing.assert_allclose(shade, wanted, atol=1e-9)


def test_what_makes_no_relief() -> None:
    with pytest.raises(BadInputError, match="at least three rows"):
        shade_frac(np.zeros((2, 5)), cell_m=1.0)
    with pytest.raises(BadInputError, match="must sum to one"):
        shade_frac(np.zeros((5, 5)), cell_m=1.0, lamps=LAMPS[:2])
    with pytest.raises(OutOfRangeError, match="times as steep is 0"):
        shade_frac(np.zeros((5, 5)), cell_m=1.0, times=0)
