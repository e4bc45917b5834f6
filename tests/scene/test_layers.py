"""Layers in mist: steps in tone, the window of ranges, wish words, refusals."""

import numpy as np
import pytest

from shivelight.basis.errors import BadInputError
from shivelight.outing.wishes import parse_wish
from shivelight.scene.layers import (
    best_range_m,
    distinct_layers_m,
    tone_steps,
    tones,
    wish_words,
)

LAYERS_M = (7.0, 13.0, 24.0, 45.0, 90.0)


@pytest.mark.parametrize(
    ("range_m", "steps"),
    [
        (120.0, (0.63, 0.61, 0.53, 0.38)),
        (260.0, (0.56, 0.62, 0.64, 0.61)),
        (900.0, (0.33, 0.45, 0.57, 0.70)),
    ],
)
def test_steps_are_the_trades(range_m: float, steps: tuple[float, ...]) -> None:
    # Common practice, by the visual-range law: layers at 7, 13, 24, 45 and 90 m.
    assert tone_steps(LAYERS_M, range_m) == pytest.approx(steps, abs=0.005, rel=0.0)


def test_steps_take_one_range_many_ranges_none_and_no_data() -> None:
    assert tone_steps(LAYERS_M, 120.0).shape == (4,)
    many = tone_steps(LAYERS_M, [[120.0], [260.0]])
    assert many.shape == (2, 1, 4)
    assert np.array_equal(many[1, 0], tone_steps(LAYERS_M, 260.0))
    assert tone_steps(LAYERS_M, []).shape == (0, 4)
    assert tone_steps([], 100.0).shape == tone_steps([5.0], 100.0).shape == (0,)
    assert np.isnan(tone_steps(LAYERS_M, [np.nan, 0.0])).all()


def test_a_dark_trunk_is_dark_near_by_and_mist_far_off() -> None:
    assert tones([0.0, 1e9, np.nan], 100.0) == pytest.approx([0.05, 1.0, np.nan], nan_ok=True)
    assert (np.diff(tones(np.linspace(0.0, 300.0, 50), 100.0)) > 0.0).all()


def test_steps_add_up_to_the_step_over_all() -> None:
    assert tone_steps(LAYERS_M, 75.0).sum() == pytest.approx(tone_steps([7.0, 90.0], 75.0)[0])


def test_the_best_range_has_the_largest_smallest_step() -> None:
    low_m, best_m, high_m = best_range_m(LAYERS_M)
    top = tone_steps(LAYERS_M, best_m).min()
    everywhere = tone_steps(LAYERS_M, np.linspace(20.0, 3_000.0, 5_000)).min(axis=-1)
    assert everywhere.max() == pytest.approx(top, abs=1e-3)
    for edge_m, inner_m in ((low_m, low_m * 1.01), (high_m, high_m / 1.01)):
        assert tone_steps(LAYERS_M, edge_m).min() >= 0.9 * top
        assert tone_steps(LAYERS_M, edge_m).min() == pytest.approx(0.9 * top, abs=0.004)
        assert tone_steps(LAYERS_M, inner_m).min() > 0.9 * top
    assert low_m < best_m < high_m


def test_the_window_scales_with_the_wood() -> None:
    near, far = best_range_m((4.0, 9.0, 15.0)), best_range_m((8.0, 18.0, 30.0))
    assert np.array(far) == pytest.approx(2.0 * np.array(near), rel=0.005)


def test_a_window_at_the_limit_of_what_is_tried_stays_inside_it() -> None:
    low_m, best_m, high_m = best_range_m((0.5, 1.0))
    assert 5.0 <= low_m <= best_m <= high_m
    low_m, best_m, high_m = best_range_m((9_000.0, 19_000.0))
    assert low_m <= best_m <= high_m <= 20_000.001


def test_the_wish_reads_back() -> None:
    words = wish_words(LAYERS_M)
    wish = parse_wish(words, must=True)
    assert wish.words == words
    low_m, _, high_m = best_range_m(LAYERS_M)
    assert (wish.low, wish.high) == pytest.approx((low_m, high_m), rel=0.05)


def test_trunks_nearly_as_far_are_one_layer() -> None:
    assert distinct_layers_m([24.0, 7.0, 8.0, 7.5, np.nan, -3.0, 13.0, 25.0]) == (7.0, 13.0, 24.0)
    assert distinct_layers_m([]) == ()


def test_one_trunk_or_disorder_is_refused() -> None:
    with pytest.raises(BadInputError, match="give the distance of a second one"):
        best_range_m((7.0,))
    for wrong in ((13.0, 7.0), (7.0, 7.0), (0.0, 5.0), (5.0, float("nan"))):
        with pytest.raises(BadInputError, match="from near to far"):
            tone_steps(wrong, 100.0)
