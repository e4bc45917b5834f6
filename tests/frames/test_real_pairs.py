"""Real photographs with known geometry, where they lie beside the repository."""

import json
from pathlib import Path

import cv2
import numpy as np
import pytest

from shivelight.frames.depths import depths
from shivelight.frames.pairs import pair_up
from shivelight.frames.pinhole import Pinhole

SHARED = Path(__file__).parents[2] / ".." / "shared" / "data" / "photos" / "stereo"


@pytest.mark.skipif(not SHARED.exists(), reason="the real stereo pairs are not here")
def test_a_rectified_pair_gives_its_published_depths() -> None:
    known = json.loads((SHARED / "stereo.json").read_text())["indoor-rectified"]
    left, right = (
        np.asarray(cv2.imread(str(SHARED / known[side]), cv2.IMREAD_GRAYSCALE), dtype=np.uint8)
        for side in ("left", "right")
    )
    truth = np.load(SHARED / "indoor-rectified-disp.npz")["arr_0"]
    # The lens axes do not meet these crops in the middle; crop again so that they do.
    axis_left, axis_row = round(known["cx"]), round(known["cy"])
    axis_right = round(known["cx"] + known["doffs_px"])
    top = 2 * axis_row + 1 - left.shape[0]
    half_left, half_right = axis_left, min(axis_right, right.shape[1] - 1 - axis_right)
    a = np.ascontiguousarray(left[top:, : 2 * half_left + 1])
    b = np.ascontiguousarray(right[top:, axis_right - half_right : axis_right + half_right + 1])
    lenses = tuple(
        Pinhole(focal_px=known["focal_px"], width_px=one.shape[1], height_px=one.shape[0])
        for one in (a, b)
    )
    pair = pair_up(a, b, lenses=(lenses[0], lenses[1]), focal_doubt_frac=0.002)
    found = depths(pair.pose, pair.a_px, pair.b_px, lenses=pair.lenses)
    columns, rows = np.rint(pair.a_px).astype(int).T
    disparity = truth[rows + top, columns]
    has_truth = np.isfinite(disparity) & found.is_ahead
    want_m = (
        known["focal_px"]
        * known["baseline_m"]
        / (np.where(has_truth, disparity, 1.0) + known["doffs_px"])
    )
    got_m = found.points[:, 2] * known["baseline_m"]
    off = (got_m / want_m - 1.0)[has_truth]
    by_pose = np.einsum("ni,ij,nj->n", found.by_pose, pair.pose.covariance, found.by_pose)
    error = (np.sqrt(found.noise**2 + by_pose) * known["baseline_m"] / want_m)[has_truth]
    assert int(has_truth.sum()) > 500
    assert float(np.median(np.abs(off))) < 0.03
    assert float(np.mean(np.abs(off) < 3.0 * np.maximum(error, 0.01))) > 0.9
