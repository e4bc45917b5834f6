"""Topics of ``optics.csv`` that are perspective: angles of view, projection, widths."""

import math
from collections.abc import Callable
from typing import Any

from shivelight.scene.camera import (
    Camera,
    angle_of_view_deg,
    close_angle_of_view_deg,
    field_width_m,
    full_frame_focal_length_mm,
    project,
)

Inputs = dict[str, Any]


def _angle(row: Inputs) -> float:
    width, height = row["sensor_mm"]
    size = {"h": width, "v": height, "d": math.hypot(width, height)}[row["axis"]]
    return float(angle_of_view_deg(row["f_mm"], size))


def _pinhole(row: Inputs) -> list[float]:
    """Project through the camera; the row's sensor has x to the right and y up. [mm]."""
    camera = Camera(z_m=0.0, focal_length_mm=row["f_mm"])
    u, v, _ = project(camera, [row["X_m"], row["Z_m"], row["Y_m"]])
    return [float(u) * camera.sensor_width_mm, -float(v) * camera.sensor_width_mm]


TOPICS: dict[str, Callable[[Inputs], Any]] = {
    "angle of view": _angle,
    "angle of view close focus": lambda row: float(
        close_angle_of_view_deg(row["f_mm"], row["L_mm"], focus_m=row["subject_m"])
    ),
    "field width": lambda row: float(
        field_width_m(row["f_mm"], row["L_mm"], distance_m=row["dist_m"])
    ),
    "pinhole projection": _pinhole,
    "35 mm equivalent focal length": lambda row: float(
        full_frame_focal_length_mm(
            row["f_mm"], sensor_width_mm=row["sensor_mm"][0], sensor_height_mm=row["sensor_mm"][1]
        )
    ),
}
