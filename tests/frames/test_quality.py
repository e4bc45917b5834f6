import cv2
import numpy as np

from shivelight.frames.quality import quality_of, same_picture
from tests.renders import Render

A, B = Render("hanger", "clear-a").grey, Render("hanger", "clear-b").grey


def softened(sigma: float) -> "np.ndarray[tuple[int, ...], np.dtype[np.uint8]]":
    return np.asarray(cv2.GaussianBlur(A, (0, 0), sigma), dtype=np.uint8)


def test_more_blur_is_less_fineness() -> None:
    values = [quality_of(softened(sigma)).fineness for sigma in (0.5, 1.0, 2.0, 4.0)]
    assert values == sorted(values, reverse=True)
    assert quality_of(softened(9.0)).is_blurred
    assert not quality_of(A).is_blurred


def test_a_pale_picture_is_not_called_blurred() -> None:
    pale = (150.0 + 0.25 * A).astype(np.uint8)
    assert not quality_of(pale).is_blurred


def test_dark_and_blank_pictures_are_told() -> None:
    assert quality_of((A // 40).astype(np.uint8)).is_dark
    flat = np.full_like(A, 120)
    assert quality_of(flat).is_blank
    assert np.isnan(quality_of(flat).fineness)
    assert not quality_of(A).is_dark
    assert not quality_of(A).is_blank


def test_one_picture_at_two_sizes_is_one_and_two_pictures_are_two() -> None:
    smaller = np.asarray(cv2.resize(A, (600, 400), interpolation=cv2.INTER_AREA), dtype=np.uint8)
    assert same_picture(A, smaller)
    assert not same_picture(A, B)
    assert not same_picture(A, np.ascontiguousarray(A[:, :480]))
