import math

import numpy as np
import pytest

from shivelight.basis.errors import MissingDataError
from shivelight.scene.elements import Trunk
from shivelight.scene.offset import Offset, place_from_bearings

TRUNKS = [
    Trunk(name=name, x_m=x, y_m=y, width_m=0.4)
    for name, x, y in (("Stub", -3.0, 9.0), ("Plumb", 0.2, 6.0), ("Lean", 2.5, 12.0))
]


def bearings(x_m: float, y_m: float, turned_deg: float) -> list[float]:
    return [math.degrees(math.atan2(one.x_m - x_m, one.y_m - y_m)) - turned_deg for one in TRUNKS]


@pytest.mark.parametrize(("x", "y", "turn"), [(0.0, 0.0, 0.0), (0.65, -0.2, 3.0), (-1.2, 1.0, -8)])
def test_the_place_is_found_from_three_bearings_and_an_axis_not_known(
    x: float, y: float, turn: float
) -> None:
    found_x, found_y, _covariance = place_from_bearings(
        TRUNKS, bearings(x, y, turn), errors_deg=[0.1] * 3
    )
    assert (found_x, found_y) == pytest.approx((x, y), abs=1e-6)


def test_the_covariance_is_that_of_drawn_bearings() -> None:
    draws = np.random.default_rng(6)
    true = np.array(bearings(0.3, 0.1, 1.0))
    _x, _y, covariance = place_from_bearings(TRUNKS, list(true), errors_deg=[0.1] * 3)
    places = [
        place_from_bearings(TRUNKS, list(true + draws.normal(0.0, 0.1, 3)), errors_deg=[0.1] * 3)
        for _ in range(500)
    ]
    spread = np.cov(np.array([(one[0], one[1]) for one in places]).T)
    np.testing.assert_allclose(np.sqrt(np.diag(covariance)), np.sqrt(np.diag(spread)), rtol=0.15)


def test_two_trunks_are_too_few() -> None:
    with pytest.raises(MissingDataError, match="2 trunks are too few"):
        place_from_bearings(TRUNKS[:2], [0.0, 1.0], errors_deg=[0.1, 0.1])


def offset(right_m: float, forward_m: float, up_m: float = 0.0) -> Offset:
    return Offset(
        right_m=right_m,
        forward_m=forward_m,
        up_m=up_m,
        right_error_m=0.03,
        forward_error_m=0.04,
        up_error_m=0.02,
    )


def test_the_words_name_each_way_with_the_error() -> None:
    assert offset(-0.3, -0.1).words == (
        "The camera stood 30 cm to the left and 10 cm back of the wished place; likely error 5 cm."
    )
    assert offset(1.2, 0.4, 0.1).words == (
        "The camera stood 1.2 m to the right, 40 cm forward and 10 cm higher of the wished place; "
        "likely error 5 cm."
    )


def test_an_offset_within_the_error_is_none() -> None:
    assert not offset(0.02, -0.03).is_told
    assert "as far as can be told: to 5 cm" in offset(0.02, -0.03).words
