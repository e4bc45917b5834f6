"""The one decorator for compiled loops."""

import numpy as np

from shivelight.basis.arrays import FloatArray, kernel


@kernel
def _count_gaps(values: FloatArray) -> int:
    gaps = 0
    for value in values:
        if np.isnan(value):
            gaps += 1
    return gaps


def test_a_kernel_still_knows_a_gap() -> None:
    assert _count_gaps(np.array([1.0, np.nan, 2.0, np.nan])) == 2
    assert _count_gaps(np.empty(0)) == 0


def test_a_kernel_is_never_compiled_with_fast_maths() -> None:
    options = getattr(_count_gaps, "targetoptions", {"fastmath": False, "nogil": True})
    assert not options["fastmath"]
    assert options["nogil"]
