"""Skylines typed by bearing: nothing invented in the gaps."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import BadInputError, OutOfRangeError
from shivelight.land.skyline import skyline_from_sights


def test_between_neighbours_the_skyline_runs_straight() -> None:
    skyline = skyline_from_sights([100.0, 80.0, 120.0], [10.0, 4.0, 6.0])
    np.testing.assert_allclose(skyline.at([80.0, 90.0, 100.0, 110.0, 120.0]), [4, 7, 10, 8, 6])
    assert skyline.origin == "typed"
    assert skyline.reach_m is None


def test_beyond_the_typed_arc_nothing_is_known() -> None:
    skyline = skyline_from_sights([80.0, 120.0], [4.0, 6.0])
    assert np.isnan(skyline.at([79.0, 121.0, 300.0])).all()
    assert np.isfinite(skyline.altitude_deg).sum() == 81


def test_a_gap_of_more_than_45_degrees_is_unknown_not_invented() -> None:
    skyline = skyline_from_sights([0.0, 45.0, 91.0, 135.0], [5.0, 5.0, 5.0, 5.0])
    assert np.isfinite(skyline.at([20.0, 45.0, 91.0, 120.0])).all()
    assert np.isnan(skyline.at([46.0, 70.0, 90.0])).all()


def test_how_wide_a_gap_may_be_is_asked_for() -> None:
    quarters = [0.0, 90.0, 180.0, 270.0]
    skyline = skyline_from_sights(quarters, [28.0] * 4, widest_gap_deg=90.0)
    assert skyline.is_whole
    np.testing.assert_array_equal(skyline.altitude_deg, 28.0)


def test_the_span_may_run_across_north() -> None:
    skyline = skyline_from_sights([350.0, 20.0], [2.0, 8.0])
    assert skyline.at(5.0) == pytest.approx(5.0)
    assert np.isnan(skyline.at(180.0))


def test_a_top_between_two_samples_is_kept() -> None:
    skyline = skyline_from_sights([95.0, 95.2, 95.4, 96.0], [1.0, 14.0, 1.0, 1.0])
    assert np.nanmax(skyline.altitude_deg) == 14.0


def test_the_same_height_twice_is_one() -> None:
    skyline = skyline_from_sights([90.0, 360.0, 0.0, 45.0], [1.0, 2.0, 2.0, 3.0])
    assert skyline.at(0.0) == 2.0


def test_fourteen_heights_round_the_south_east() -> None:
    bearings = np.arange(70.0, 200.0, 10.0)
    skyline = skyline_from_sights(bearings, np.linspace(3.0, 9.0, bearings.size))
    known = np.isfinite(skyline.altitude_deg)
    assert skyline.azimuth_deg[known].min() == 70.0
    assert skyline.azimuth_deg[known].max() == 190.0


@given(
    st.lists(
        st.tuples(st.floats(0.0, 359.99), st.floats(-5.0, 60.0)),
        min_size=2,
        max_size=20,
        unique_by=lambda pair: round(pair[0], 3),
    )
)
def test_order_does_not_matter_and_heights_stay_between_the_typed_ones(
    pairs: list[tuple[float, float]],
) -> None:
    def make(typed: list[tuple[float, float]]) -> object:
        try:
            bearings, heights = zip(*typed, strict=True)
            return skyline_from_sights(bearings, heights).altitude_deg
        except BadInputError as why:
            return str(why)

    forward, backward = make(pairs), make(pairs[::-1])
    np.testing.assert_array_equal(forward, backward)
    if isinstance(forward, np.ndarray):
        known = forward[np.isfinite(forward)]
        typed = [height for _, height in pairs]
        assert min(typed) - 1e-9 <= known.min()
        assert known.max() <= max(typed) + 1e-9


class TestRefusals:
    def test_two_heights_toward_one_bearing(self) -> None:
        with pytest.raises(BadInputError, match="toward 90°, 4° and 7°; keep the right one"):
            skyline_from_sights([90.0, 45.0, 90.0], [4.0, 5.0, 7.0])
        with pytest.raises(BadInputError, match="toward 0°"):
            skyline_from_sights([0.0, 360.0], [4.0, 5.0])

    def test_none(self) -> None:
        with pytest.raises(BadInputError, match="No heights were typed"):
            skyline_from_sights([], [])

    def test_unequal_counts(self) -> None:
        with pytest.raises(BadInputError, match="2 bearings and 1 heights"):
            skyline_from_sights([1.0, 2.0], [1.0])

    def test_one_alone(self) -> None:
        with pytest.raises(BadInputError, match="No two heights lie within 45°"):
            skyline_from_sights([90.0], [4.0])
        with pytest.raises(BadInputError, match="No two heights lie within 45°"):
            skyline_from_sights([90.0, 200.0], [4.0, 4.0])

    @pytest.mark.parametrize("height", [91.0, -31.0, np.nan])
    def test_a_height_that_is_none(self, height: float) -> None:
        with pytest.raises(OutOfRangeError, match=r"skyline height.*typed at 90°"):
            skyline_from_sights([90.0, 95.0], [height, 3.0])

    def test_a_bearing_off_the_compass(self) -> None:
        with pytest.raises(OutOfRangeError, match="bearing is 400 °"):
            skyline_from_sights([400.0, 3.0], [3.0, 3.0])
