"""Errors: one tree, one sentence each, plain values on them."""

import math

import pytest

from shivelight.basis import errors
from shivelight.basis.errors import OutOfRangeError, ShivelightError, require_range


def test_every_error_is_ours_and_of_the_kind_that_python_knows() -> None:
    kinds = [kind for kind in vars(errors).values() if isinstance(kind, type)]
    assert all(issubclass(kind, ShivelightError) for kind in kinds)
    assert issubclass(errors.OutOfRangeError, ValueError)
    assert issubclass(errors.BadInputError, ValueError)
    assert issubclass(errors.NotFoundError, LookupError)
    assert len(kinds) == 7


def test_a_number_out_of_range_is_told_with_its_limits() -> None:
    with pytest.raises(
        OutOfRangeError, match=r"^latitude is 91 °; it must be -90 to 90 °\. Check the sign\.$"
    ) as caught:
        require_range("latitude", 91.0, -90.0, 90.0, "°", "Check the sign.")
    why = caught.value
    assert (why.name, why.value, why.low, why.high, why.unit) == (
        "latitude",
        91.0,
        -90.0,
        90.0,
        "°",
    )


def test_a_count_is_told_without_unit() -> None:
    with pytest.raises(OutOfRangeError, match=r"^members is 0; it must be 1 to 50\.$"):
        require_range("members", 0, 1, 50)


@pytest.mark.parametrize("value", [1.0, 2.0, 1.5])
def test_limits_belong_to_the_range(value: float) -> None:
    require_range("span", value, 1.0, 2.0)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_not_finite_is_out_of_range(value: float) -> None:
    with pytest.raises(OutOfRangeError, match="span is"):
        require_range("span", value, 1.0, 2.0)
