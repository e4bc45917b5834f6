import math

import pytest

from shivelight.scene.step_length import expected_error_m, step_doubt, step_sentence


def test_a_short_step_cannot_tell_far_trunks_apart() -> None:
    doubt = step_doubt(24.0, 2.5, step_m=0.3)
    assert doubt.is_too_short
    assert step_sentence("Pale", doubt, step_m=0.3) == (
        "Pale: a step of 0.3 m cannot tell 20 m from 30 m; step 0.7 m."
    )


def test_a_distance_without_a_far_end_says_so() -> None:
    doubt = step_doubt(20.0, 12.0, step_m=0.3)
    assert math.isinf(doubt.farther_m)
    assert "any distance beyond" in step_sentence("Pale", doubt, step_m=0.3)


def test_a_good_step_is_not_called_short() -> None:
    assert not step_doubt(10.0, 0.3, step_m=0.6).is_too_short


def test_the_expected_error_is_that_of_plain_perspective() -> None:
    # shivelight checks, section 7: Z 20 m, f 50 mm, B 0.5 m, sigma 0.005 mm give 0.08 m;
    # with pixels of 0.005 mm the focal length is 10 000 px and sigma 1 px.
    got = expected_error_m(20.0, step_m=0.5, focal_px=10_000.0, noise_px=1.0)
    assert got == pytest.approx(0.08, abs=1e-9)
