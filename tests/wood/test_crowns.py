"""Crowns as a table: against even layers whose paths are known, and against sense."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, OutOfRangeError
from shivelight.wood.canopy import Canopy, beam_through_frac
from shivelight.wood.crowns import CrownTable, crown_beam_frac, crowns_leave, is_crown_known

AZIMUTH_DEG = np.arange(0.0, 360.0, 2.0)
ALTITUDE_DEG = np.array([1.0, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 60])


def slab(depth_m: float, *, leaf_area_per_m: float = 0.3) -> CrownTable:
    """Even crowns all round: the path is their depth over the sine of the altitude."""
    path_m = np.broadcast_to(depth_m / np.sin(np.radians(ALTITUDE_DEG)), (180, 15)).copy()
    return table(path_m, leaf_area_per_m=leaf_area_per_m)


def table(
    path_m: FloatArray, *, leaf_area_per_m: float = 0.3, unseen_m: FloatArray | None = None
) -> CrownTable:
    return CrownTable(
        azimuth_deg=AZIMUTH_DEG,
        altitude_deg=ALTITUDE_DEG,
        path_m=path_m,
        leaf_area_per_m=leaf_area_per_m,
        unseen_m=unseen_m,
    )


@given(
    depth_m=st.floats(0.0, 30.0),
    azimuth_deg=st.floats(-720.0, 720.0),
    altitude_deg=st.floats(1.0, 90.0),
)
def test_an_even_layer_dims_by_its_depth_over_the_sine(
    depth_m: float, azimuth_deg: float, altitude_deg: float
) -> None:
    left = crown_beam_frac(slab(depth_m), azimuth_deg, altitude_deg)
    # Beer and Lambert with half of the leaf facing the beam.
    wanted = np.exp(-0.5 * 0.3 * depth_m / np.sin(np.radians(altitude_deg)))
    assert left == pytest.approx(wanted, abs=1e-9)


@given(altitude_deg=st.floats(1.0, 89.0), index=st.floats(0.0, 8.0))
def test_an_even_layer_is_the_same_as_a_table_or_as_a_canopy(
    altitude_deg: float, index: float
) -> None:
    layer = Canopy(plant_area_index=index, base_height_m=6.0, top_height_m=20.0)
    left = crown_beam_frac(slab(14.0, leaf_area_per_m=index / 14.0), 123.0, altitude_deg)
    assert left == pytest.approx(float(beam_through_frac(layer, altitude_deg)), abs=1e-9)


def test_below_the_lowest_altitude_its_path_holds() -> None:
    low = crown_beam_frac(slab(2.0), 10.0, [-0.8, 0.0, 0.5, 1.0])
    assert np.ptp(low) == 0.0


def test_bearings_go_round_through_north() -> None:
    path_m = np.zeros((180, 15))
    path_m[0] = 10.0
    found = crown_beam_frac(table(path_m), [359.0, 1.0, 361.0, 0.0, 358.0, 2.0], 1.0)
    half = np.exp(-0.5 * 0.3 * 5.0)
    np.testing.assert_allclose(found, [half, half, half, half**2, 1.0, 1.0], atol=1e-9)


@given(
    seed=st.integers(0, 1000),
    azimuth_deg=st.floats(0.0, 360.0),
    altitude_deg=st.floats(1.0, 60.0),
)
def test_what_lies_between_entries_lies_between_their_depths(
    seed: int, azimuth_deg: float, altitude_deg: float
) -> None:
    path_m = np.random.default_rng(seed).uniform(0.0, 40.0, (180, 15))
    row = int(azimuth_deg // 2.0) % 180
    column = min(int(np.searchsorted(ALTITUDE_DEG, altitude_deg, side="right")) - 1, 13)
    square = np.ix_([row, (row + 1) % 180], [column, column + 1])
    depth_m = (path_m * np.sin(np.radians(ALTITUDE_DEG)))[square]
    left = float(crown_beam_frac(table(path_m), azimuth_deg, altitude_deg))
    path_found_m = -np.log(left) / (0.5 * 0.3) * np.sin(np.radians(altitude_deg))
    assert depth_m.min() - 1e-9 <= path_found_m <= depth_m.max() + 1e-9


@given(more=st.floats(0.0, 5.0), depth_m=st.floats(0.5, 10.0))
def test_more_leaf_never_lets_more_through(more: float, depth_m: float) -> None:
    thin = crown_beam_frac(slab(depth_m), 90.0, ALTITUDE_DEG)
    thick = crown_beam_frac(slab(depth_m, leaf_area_per_m=0.3 + more), 90.0, ALTITUDE_DEG)
    assert (thick <= thin).all()


def test_crowns_that_are_not_known_dim_nothing_and_say_so() -> None:
    path_m = np.full((180, 15), 30.0)
    path_m[45] = np.nan
    found = table(path_m)
    np.testing.assert_array_equal(crown_beam_frac(found, [90.0, 89.0], 5.0), 1.0)
    np.testing.assert_array_equal(is_crown_known(found, [90.0, 89.0, 100.0], 5.0), [0, 0, 1])


def test_a_beam_that_was_seen_in_part_is_not_known() -> None:
    unseen_m = np.zeros((180, 15))
    unseen_m[:, :2] = 200.0
    found = table(np.zeros((180, 15)), unseen_m=unseen_m)
    np.testing.assert_array_equal(is_crown_known(found, 10.0, [1.0, 2.0, 3.0, 60.0]), [0, 0, 1, 1])
    np.testing.assert_array_equal(crown_beam_frac(found, 10.0, [1.0, 60.0]), 1.0)


def test_shapes_nan_and_nothing() -> None:
    crowns = slab(10.0)
    assert crown_beam_frac(crowns, 10.0, 20.0).shape == ()
    assert crown_beam_frac(crowns, np.zeros((3, 1)), [1.0, 2.0]).shape == (3, 2)
    assert crown_beam_frac(crowns, [], []).shape == (0,)
    assert np.isnan(crown_beam_frac(crowns, [np.nan, 1.0], [5.0, np.nan])).all()


def test_refusals() -> None:
    whole = np.zeros((180, 15))
    with pytest.raises(OutOfRangeError, match="leaf area density"):
        table(whole, leaf_area_per_m=-0.1)
    with pytest.raises(BadInputError, match="one row a bearing"):
        table(whole[:90])
    with pytest.raises(BadInputError, match="cannot be negative"):
        table(whole - 1.0)
    with pytest.raises(BadInputError, match="unseen lengths do not fit"):
        table(whole, unseen_m=whole[:3])
    with pytest.raises(BadInputError, match="evenly round from north"):
        CrownTable(
            azimuth_deg=AZIMUTH_DEG + 1.0, altitude_deg=ALTITUDE_DEG, path_m=whole,
            leaf_area_per_m=0.3,
        )  # fmt: skip
    for altitude_deg in (ALTITUDE_DEG[::-1], ALTITUDE_DEG - 1.0, ALTITUDE_DEG + 31.0):
        with pytest.raises(BadInputError, match="must rise from above 0°"):
            CrownTable(
                azimuth_deg=AZIMUTH_DEG, altitude_deg=altitude_deg, path_m=whole,
                leaf_area_per_m=0.3,
            )  # fmt: skip


@pytest.mark.parametrize(
    ("beam_frac", "words"),
    [
        (1.0, ""),
        (0.9, ""),
        (float("nan"), ""),
        (0.88, "crowns leave about four fifths of the sun (under half a stop down)"),
        (0.7, "crowns leave about two thirds of the sun (half a stop down)"),
        (0.5, "crowns leave about half of the sun (1 stop down)"),
        (0.26, "crowns leave about a quarter of the sun (2 stops down)"),
        (0.052, "crowns leave about a twentieth of the sun (4 stops down)"),
        (0.03, "crowns leave less than a twentieth of the sun"),
        (0.0, "crowns leave less than a twentieth of the sun"),
    ],
)
def test_the_words_for_what_is_left(beam_frac: float, words: str) -> None:
    assert crowns_leave(beam_frac) == words
