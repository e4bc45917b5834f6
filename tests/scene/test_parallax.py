"""Stepping aside: consistency with the exact gaps, edges, arrays."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import OutOfRangeError
from shivelight.scene.elements import Survey, Trunk
from shivelight.scene.gaps import gaps_at
from shivelight.scene.parallax import (
    depth_error_m,
    image_shift_mm,
    step_to_part_m,
    stereo_depth_m,
)


@given(
    near=st.floats(6.0, 10.0), more=st.floats(2.0, 20.0),
    x=st.floats(-0.2, 0.2), width=st.floats(0.1, 0.3),
)  # fmt: skip
def test_the_step_parts_two_slim_trunks_as_the_exact_gap_says(
    near: float, more: float, x: float, width: float
) -> None:
    far = near + more
    step = step_to_part_m((0.0, near, width), (x, far, width), gap_tan=0.0)
    trunks = (
        Trunk(name="A", x_m=0.0, y_m=near, width_m=width),
        Trunk(name="B", x_m=x, y_m=far, width_m=width),
    )
    gap = gaps_at(Survey(trunks=trunks), (step, 0.0, 1.4))[0].gap_deg
    # The rule is for slim trunks seen along the axis; 0.1 degree covers 0.3 m at 6 m.
    assert step == 0.0 or gap == pytest.approx(0.0, abs=0.1)


def test_two_trunks_at_one_distance_part_by_no_step() -> None:
    assert math.isnan(step_to_part_m((0.0, 8.0, 0.4), (0.1, 8.0, 0.4)))


def test_a_shift_and_its_distance_take_each_other_back() -> None:
    shift = image_shift_mm(50.0, 0.5, near_m=[5.0, 20.0], far_m=np.inf)
    np.testing.assert_allclose(stereo_depth_m(50.0, 0.5, shift), [5.0, 20.0])


def test_no_shift_and_no_step_tell_nothing() -> None:
    assert np.isnan(stereo_depth_m(50.0, 0.5, [0.0, -1.0, np.nan])).all()
    assert np.isnan(depth_error_m(10.0, 50.0, step_m=0.0, shift_error_mm=0.005))
    assert depth_error_m([], 50.0, step_m=0.5, shift_error_mm=0.005).shape == (0,)


def test_trunks_behind_the_lens_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="distance of the second trunk is -3 m"):
        step_to_part_m((0.0, 5.0, 0.4), (0.0, -3.0, 0.4))
