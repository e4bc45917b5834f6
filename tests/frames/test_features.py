import cv2
import numpy as np

from shivelight.frames.features import find_features, match
from tests.renders import Render

GREY = Render("hanger", "clear-a").grey


def test_a_blank_picture_has_no_points_and_matches_nothing() -> None:
    none = find_features(np.full((200, 300), 128, dtype=np.uint8))
    assert len(none) == 0
    pairs, closeness = match(none, find_features(GREY))
    assert pairs.shape == (0, 2)
    assert closeness.shape == (0,)


def test_a_shifted_picture_is_matched_by_its_shift() -> None:
    shift = np.array([[1.0, 0.0, 12.0], [0.0, 1.0, -5.0]])
    moved = cv2.warpAffine(GREY, shift, (GREY.shape[1], GREY.shape[0]))
    a, b = find_features(GREY), find_features(np.asarray(moved, dtype=np.uint8))
    pairs, _closeness = match(a, b)
    by = b.points_px[pairs[:, 1]] - a.points_px[pairs[:, 0]]
    assert len(pairs) > 1000
    assert np.mean(np.hypot(*(by - [12.0, -5.0]).T) < 0.5) > 0.95


def test_a_stricter_ratio_gives_fewer_matches_each_point_once() -> None:
    a, b = find_features(GREY), find_features(Render("hanger", "clear-b").grey)
    loose, strict = match(a, b, ratio=0.92)[0], match(a, b, ratio=0.7)[0]
    assert 0 < len(strict) < len(loose)
    for column in (0, 1):
        assert len(np.unique(loose[:, column])) == len(loose)


def test_points_are_no_more_than_asked_for_and_spread_over_the_picture() -> None:
    found = find_features(GREY, most=500)
    assert len(found) == 500
    # The strong ground fills the lower half; the upper half keeps its share.
    assert np.sum(found.points_px[:, 1] < GREY.shape[0] / 2) > 100
