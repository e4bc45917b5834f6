"""Contour lines: where they run, that they close, and what holes and saddles do to them."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, OutOfRangeError
from shivelight.land.contours import Contour, contour_interval_m, find_contours


def long_px(line: Contour) -> float:
    return float(np.hypot(np.diff(line.x_px), np.diff(line.y_px)).sum())


def cone(side: int = 101) -> FloatArray:
    row, column = np.mgrid[0:side, 0:side] - (side - 1) / 2.0
    return np.asarray(100.0 - np.hypot(row, column))


def test_a_cone_has_rings_of_the_right_length() -> None:
    lines = find_contours(cone(), interval_m=10.0, cell_px=2.0)
    rings = {line.level_m: line for line in lines if line.level_m in {60.0, 70.0, 80.0, 90.0}}
    assert len(rings) == 4
    for level, ring in rings.items():
        assert ring.closed
        assert ring.x_px[0] == ring.x_px[-1]
        radius_px = 2.0 * (100.0 - level)
        assert long_px(ring) == pytest.approx(2.0 * math.pi * radius_px, rel=0.005)
        away = np.hypot(ring.x_px - 101.0, ring.y_px - 101.0)
        np.testing.assert_allclose(away, radius_px, atol=0.05)
    # Below 50 m the rings run off the grid, as four arcs in its corners.
    low = [line for line in lines if line.level_m == 40.0]
    assert [line.closed for line in low] == [False] * 4


@given(
    heights=st.lists(
        st.lists(
            st.one_of(st.integers(0, 9).map(float), st.just(math.nan)), min_size=6, max_size=6
        ),
        min_size=5,
        max_size=5,
    )
)
def test_every_point_stands_at_its_height_and_no_side_is_crossed_twice(
    heights: list[list[float]],
) -> None:
    grid = np.array(heights)
    for level in range(1, 9):
        lines = find_contours(np.where(grid == level, level + 1e-9, grid), interval_m=1.0)
        seen: set[tuple[float, float]] = set()
        for line in (one for one in lines if one.level_m == level):
            rows, columns = line.y_px - 0.5, line.x_px - 0.5
            for row, column in zip(rows, columns, strict=True):
                top, left = int(row), int(column)
                down, right = row - top, column - left
                bottom, end = min(top + 1, 4), min(left + 1, 5)
                read = (
                    _share(grid[top, left], grid[bottom, left], down)
                    if right == 0.0
                    else _share(grid[top, left], grid[top, end], right)
                )
                assert read == pytest.approx(level, abs=1e-6)
            points = list(zip(rows.tolist(), columns.tolist(), strict=True))
            points = points[:-1] if line.closed else points
            assert not seen & set(points)
            seen |= set(points)


def _share(here: float, there: float, share: float) -> float:
    return here if share == 0.0 else here + (there - here) * share


@given(seed=st.integers(0, 10_000))
def test_a_line_parts_high_ground_from_low(seed: int) -> None:
    # Closed lines round what is high: by the divergence theorem their signed areas, whichever
    # way round, add up to no less than the cells that are wholly high.
    grid = np.random.default_rng(seed).uniform(0.0, 1.0, (9, 9))
    grid[[0, -1]], grid[:, [0, -1]] = 0.0, 0.0
    lines = find_contours(grid + 0.25, interval_m=0.75)  # one level, at 0.5 of the grid
    assert all(line.closed for line in lines)
    crossed = sum(len(line.x_px) - 1 for line in lines)
    high = grid >= 0.5
    assert crossed == (high[1:] != high[:-1]).sum() + (high[:, 1:] != high[:, :-1]).sum()


@pytest.mark.parametrize(("middle", "low_corner_is_cut"), [(0.9, True), (0.1, False)])
def test_a_saddle_is_parted_by_its_middle(middle: float, low_corner_is_cut: bool) -> None:
    top_left = 1.0 if middle > 0.5 else 0.6
    grid = np.array(
        [[top_left, 0.4 if middle > 0.5 else 0.0], [0.4 if middle > 0.5 else 0.0, top_left]]
    )
    lines = find_contours(grid + 0.5, interval_m=1.0)
    assert len(lines) == 2
    # Either line cuts one corner off: the top right when the middle is high.
    cuts = [(line.x_px.mean(), line.y_px.mean()) for line in lines]
    assert any((x > 1.0) and (y < 1.0) for x, y in cuts) == low_corner_is_cut
    assert any((x < 1.0) and (y < 1.0) for x, y in cuts) != low_corner_is_cut


def test_a_line_ends_beside_a_hole() -> None:
    grid = np.tile(np.arange(9.0), (9, 1))
    grid[4, 4] = np.nan
    (upper, lower) = (one for one in find_contours(grid + 0.5, interval_m=5.0) if one.level_m == 5)
    assert not upper.closed
    assert len(upper.x_px) + len(lower.x_px) < 9


def test_nothing_known_or_level_has_no_line() -> None:
    assert find_contours(np.full((4, 4), np.nan), interval_m=1.0) == ()
    assert find_contours(np.full((4, 4), 20.5), interval_m=1.0) == ()
    assert find_contours(np.full((4, 4), 20.0), interval_m=1.0) == ()


@pytest.mark.parametrize(
    ("span", "interval"), [(0.0, 1.0), (15.0, 1.0), (16.0, 2.0), (70.0, 5.0), (129.0, 10.0)]
)
def test_the_interval_suits_the_relief(span: float, interval: float) -> None:
    assert contour_interval_m(50.0, 50.0 + span) == interval


def test_what_makes_no_contours() -> None:
    with pytest.raises(BadInputError, match="two rows"):
        find_contours(np.zeros((1, 5)), interval_m=1.0)
    with pytest.raises(OutOfRangeError, match="contour interval is 0 m"):
        find_contours(np.zeros((5, 5)), interval_m=0.0)
