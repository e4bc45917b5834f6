import cv2
import numpy as np
import pytest

from shivelight.basis.errors import BadInputError
from shivelight.frames.depths import depths
from shivelight.frames.pairs import Pair, TurnedOnlyError, pair_up
from tests.renders import Render, step_m

A, B = Render("hanger", "clear-a"), Render("hanger", "clear-b")


@pytest.fixture(scope="module")
def aside() -> Pair:
    return pair_up(A.grey, B.grey, lenses=(A.lens, B.lens))


def true_place(one: Render, other: Render) -> np.ndarray:
    """Where the other camera stands, in the one's axes, in steps."""
    away = one.view.camera.axes @ (other.place_m - one.place_m)
    return np.asarray(away / np.linalg.norm(away))


def test_the_direction_of_a_step_aside_is_found_to_a_degree_or_so(aside: Pair) -> None:
    off = np.degrees(np.arccos(aside.pose.place @ true_place(A, B)))
    assert off < 1.5


def test_the_turn_between_the_cameras_is_found(aside: Pair) -> None:
    view = B.taken["view"]
    other = Render("hanger", "clear-b").view.camera
    turned = type(other)(
        yaw_deg=view["yaw_deg"], pitch_deg=view["pitch_deg"], roll_deg=view["roll_deg"]
    )
    want = turned.axes @ A.view.camera.axes.T
    angle = np.degrees(np.arccos((np.trace(want.T @ aside.pose.turn) - 1.0) / 2.0))
    assert angle < 0.3


def test_depths_grow_toward_the_far_trunks_and_their_errors_with_them(aside: Pair) -> None:
    found = depths(aside.pose, aside.a_px, aside.b_px, lenses=aside.lenses)
    away = np.linalg.norm(found.points, axis=1) * step_m(A, B)
    ahead = found.is_ahead
    near, far = ahead & (away < 4.0), ahead & (away > 10.0)
    assert near.sum() > 50
    assert far.sum() > 20
    assert np.median(found.noise[far]) > 4.0 * np.median(found.noise[near])


def test_a_camera_that_was_only_turned_is_refused() -> None:
    other = Render("hanger", "clear-turned")
    with pytest.raises(TurnedOnlyError, match="taken from one place"):
        pair_up(A.grey, other.grey, lenses=(A.lens, other.lens))


def test_the_same_picture_twice_is_refused_even_when_saved_again() -> None:
    _done, packed = cv2.imencode(".jpg", A.grey, [cv2.IMWRITE_JPEG_QUALITY, 80])
    again = np.asarray(cv2.imdecode(packed, cv2.IMREAD_GRAYSCALE), dtype=np.uint8)
    with pytest.raises(BadInputError, match="same picture"):
        pair_up(A.grey, again, lenses=(A.lens, A.lens))


def test_pictures_of_different_things_do_not_overlap() -> None:
    draws = np.random.default_rng(4)
    other = cv2.GaussianBlur(draws.integers(0, 255, A.grey.shape, dtype=np.uint8), (0, 0), 2.0)
    other = cv2.normalize(other, None, 0, 255, cv2.NORM_MINMAX)  # type: ignore[call-overload]
    with pytest.raises(BadInputError, match="do not overlap enough"):
        pair_up(A.grey, np.asarray(other, dtype=np.uint8), lenses=(A.lens, A.lens))


def test_a_dark_picture_is_named() -> None:
    dark = (B.grey // 40).astype(np.uint8)
    with pytest.raises(BadInputError, match="The second photo is too dark"):
        pair_up(A.grey, dark, lenses=(A.lens, B.lens))


def test_a_blurred_picture_is_named() -> None:
    soft = np.asarray(cv2.GaussianBlur(B.grey, (0, 0), 9.0), dtype=np.uint8)
    with pytest.raises(BadInputError, match="The second photo is too blurred"):
        pair_up(A.grey, soft, lenses=(A.lens, B.lens))


def test_two_focal_lengths_may_be_mixed() -> None:
    longer = Render("hanger", "clear-long")
    found = pair_up(A.grey, longer.grey, lenses=(A.lens, longer.lens))
    off = np.degrees(np.arccos(found.pose.place @ true_place(A, longer)))
    assert off < 3.0
