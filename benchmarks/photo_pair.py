"""Two photographs of 12 megapixels, files in, distances out; a plain matcher as the peer.

Run: ``python benchmarks/photo_pair.py``. The pictures are renders of the tests made larger, with
grain added, saved as JPEG. The peer is what is found in many examples: features
at full size, compared one with every other by OpenCV's brute force, with no pose or distance yet.
"""

import sys
import time
from io import BytesIO
from pathlib import Path
from typing import Any, cast

import cv2
import numpy as np
from PIL import Image

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from tests.renders import Render, step_m

from shivelight.scene.photo_marks import TrunkMark
from shivelight.store.book import FieldBook
from shivelight.workbench.settings import Settings
from shivelight.workbench.survey_photos import SurveyPhotosDesk

SIZE = (4242, 2828)


def enlarged(render: Render, seed: int) -> bytes:
    """Save a render as a camera of 12 megapixels might."""
    draws = np.random.default_rng(seed)
    grey: Any = cv2.resize(render.grey, SIZE, interpolation=cv2.INTER_CUBIC).astype(np.float32)
    grey += cv2.GaussianBlur(draws.normal(0.0, 8.0, grey.shape).astype(np.float32), (0, 0), 1.5)
    grey += draws.normal(0.0, 3.0, grey.shape)
    exif = Image.Exif()
    exif[0x8769] = {0x920A: 28.0, 0xA405: 28}
    out = BytesIO()
    coloured = np.repeat(np.clip(grey, 0, 255).astype(np.uint8)[..., None], 3, axis=2)
    Image.fromarray(coloured).save(out, "JPEG", quality=92, exif=exif)
    return out.getvalue()


def clocks() -> tuple[float, float]:
    return time.perf_counter(), time.process_time()


def since(began: tuple[float, float]) -> str:
    wall, cpu = clocks()
    return f"{wall - began[0]:.2f} s, {cpu - began[1]:.2f} s of processor"


def main() -> None:
    a, b = Render("hanger", "clear-a"), Render("hanger", "clear-b")
    files = enlarged(a, 1), enlarged(b, 2)
    scale = SIZE[0] / a.grey.shape[1]
    marks = [
        TrunkMark(
            name=one.name,
            left_px=one.left_px * scale,
            right_px=one.right_px * scale,
            row_px=one.row_px * scale,
        )
        for one in a.marks()
    ]
    desk = SurveyPhotosDesk(
        cast("FieldBook", None), cast("Settings", None), np.datetime64("2027-11-02")
    )
    best = ""
    for _ in range(2):  # the first time loads libraries
        began = clocks()
        found = desk.pair_of_photos(*files, step_m=step_m(a, b), marks=marks)
        best = since(began)
    print(f"ours, files to distances: {best}")
    for each in found.trunks:
        true_m = a.distance_m(each.trunk.name)
        print(
            f"  {each.trunk.name}: {each.trunk.distance_m:.2f} m give or take "
            f"{each.trunk.doubt.distance_m:.2f}, truly {true_m:.2f}"
        )
    began = clocks()
    finder = cv2.SIFT.create(nfeatures=6000)
    signs = []
    for data in files:
        grey = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_GRAYSCALE)
        signs.append(finder.detectAndCompute(np.asarray(grey), None)[1])
    cv2.BFMatcher(cv2.NORM_L2).knnMatch(signs[0], signs[1], k=2)
    print(f"peer, full size, matches only: {since(began)}")


if __name__ == "__main__":
    main()
