"""Topics of ``parallax.csv``: shifts for a step aside, and positions in Exif."""

from collections.abc import Callable
from typing import Any

from shivelight.intake.exif import ExifBlock, position_of
from shivelight.scene.parallax import (
    depth_error_m,
    image_shift_mm,
    step_to_part_m,
    stereo_depth_m,
)

Inputs = dict[str, Any]


def _position(row: Inputs) -> float | None:
    """Read one angle of a block whose other angle is 1 degree north or east."""
    angle = (row["deg"], row["min"], row["sec"])
    ours = row["ref"] in "NS"
    fix = {1: "N", 2: (1.0, 0.0, 0.0), 3: "E", 4: (1.0, 0.0, 0.0)}
    fix |= {1: row["ref"], 2: angle} if ours else {3: row["ref"], 4: angle}
    found = position_of(ExifBlock(fix=fix), [])
    return None if found is None else found[0 if ours else 1]


def _part(row: Inputs) -> float:
    return step_to_part_m(
        (row["x1"], row["z1"], row["w1"]),
        (row["x2"], row["z2"], row["w2"]),
        gap_tan=row["gap_tan"],
    )


TOPICS: dict[str, Callable[[Inputs], Any]] = {
    "stereo depth": lambda row: float(
        stereo_depth_m(row["f_mm"], row["B_m"], row["disparity_mm"])
    ),
    "depth sigma": lambda row: float(
        depth_error_m(row["Z_m"], row["f_mm"], step_m=row["B_m"], shift_error_mm=row["sigma_d_mm"])
    ),
    "relative image shift": lambda row: float(
        image_shift_mm(row["f_mm"], row["step_m"], near_m=row["near_m"], far_m=row["far_m"])
    ),
    "step to part two trunks": _part,
    "Exif GPS rational": _position,
}
