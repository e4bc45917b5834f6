import math

import numpy as np
import pytest

from shivelight.basis.errors import BadInputError, MissingDataError
from shivelight.frames.mistfit import Tones, airlight_of, fit_mist, linear, tones_of

AWAY = np.array([3.0, 5.0, 7.0, 9.0, 12.0, 15.0])


def made(range_m: float, *, own: float = 0.05, air: float = 0.6) -> list[Tones]:
    through = 0.05 ** (AWAY / range_m)
    return [Tones(trunk_frac=float(air * (own * t + 1.0 - t)), air_frac=air) for t in through]


@pytest.mark.parametrize("range_m", [30.0, 60.0, 120.0])
def test_the_range_that_made_the_tones_is_found(range_m: float) -> None:
    found = fit_mist(made(range_m), AWAY, distance_errors_m=0.02 * AWAY)
    assert found.optical_range_m == pytest.approx(range_m, rel=0.08)
    assert found.low_m < range_m < found.high_m


def test_denser_mist_is_a_shorter_range() -> None:
    ranges = [
        fit_mist(made(v), AWAY, distance_errors_m=0.02 * AWAY).optical_range_m
        for v in (40.0, 80.0, 160.0)
    ]
    assert ranges == sorted(ranges)


def test_clear_air_has_no_upper_end() -> None:
    found = fit_mist(made(5_000.0), AWAY, distance_errors_m=0.02 * AWAY)
    assert math.isinf(found.high_m)
    assert "or more" in found.words


def test_light_from_one_side_is_said() -> None:
    tones = made(80.0)
    airlight = np.linspace(0.3, 0.9, 50)
    found = fit_mist(tones, AWAY, distance_errors_m=0.02 * AWAY, airlight=airlight)
    assert not found.is_even
    assert "3.0 times as bright on one side" in found.words


def test_too_few_trunks_or_all_at_one_distance_are_refused() -> None:
    with pytest.raises(MissingDataError, match="2 trunks are too few"):
        fit_mist(made(80.0)[:2], AWAY[:2], distance_errors_m=0.1 * AWAY[:2])
    with pytest.raises(MissingDataError, match="too much alike"):
        fit_mist(made(80.0)[1:4], [7.0, 7.5, 8.0], distance_errors_m=[0.1] * 3)


def test_an_overexposed_picture_is_refused() -> None:
    white = [
        Tones(trunk_frac=0.4, air_frac=1.0, air_is_clipped=True),
    ] * 6
    with pytest.raises(BadInputError, match="over-exposure"):
        fit_mist(white, AWAY, distance_errors_m=0.1 * AWAY)


def test_tones_follow_the_published_curve() -> None:
    # IEC 61966-2-1: 118 of 255 is 18 % grey to the nearest code; 0 and 255 are black and white.
    np.testing.assert_allclose(linear([0, 118, 255]), [0.0, 0.18, 1.0], atol=0.002)


def test_a_dark_trunk_before_bright_air_is_read_as_such() -> None:
    grey = np.full((300, 450), 200, dtype=np.uint8)
    grey[:, 200:230] = 60
    airlight = airlight_of(grey, 150.0)
    found = tones_of(grey, airlight, left_px=200.0, right_px=229.0, row_px=150.0)
    assert found is not None
    assert found.air_frac == pytest.approx(float(linear(200)), abs=1e-6)
    assert found.trunk_frac == pytest.approx(float(linear(60)), abs=1e-6)
    assert tones_of(grey, airlight, left_px=-60.0, right_px=-20.0, row_px=150.0) is None
