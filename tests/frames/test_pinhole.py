import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import OutOfRangeError
from shivelight.frames.pinhole import Pinhole, directions, pixels

LENS = Pinhole(focal_px=800.0, width_px=720, height_px=480)


@given(x=st.floats(0.0, 719.0), y=st.floats(0.0, 479.0))
def test_pixels_come_back(x: float, y: float) -> None:
    np.testing.assert_allclose(pixels(directions([[x, y]], LENS), LENS), [[x, y]], atol=1e-9)


@given(x=st.floats(0.0, 719.0), y=st.floats(0.0, 479.0), k1=st.floats(-0.01, 0.01))
def test_distortion_is_taken_back_to_first_order(x: float, y: float, k1: float) -> None:
    back = pixels(directions([[x, y]], LENS, k1=k1), LENS, k1=k1)
    # Second order: 3 k1² r⁵ of the focal length, r at most 0.55 here.
    assert np.abs(back - [[x, y]]).max() <= 3.0 * k1**2 * 0.55**5 * 800.0 + 1e-9


def test_the_axis_goes_through_the_middle_of_the_picture() -> None:
    np.testing.assert_allclose(directions([359.5, 239.5], LENS), [0.0, 0.0, 1.0], atol=0)


def test_what_is_behind_has_no_pixel() -> None:
    assert np.isnan(pixels([[0.1, 0.2, -1.0]], LENS)).all()


def test_a_focal_length_of_nothing_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="focal length is 0 px"):
        Pinhole(focal_px=0.0, width_px=720, height_px=480)
