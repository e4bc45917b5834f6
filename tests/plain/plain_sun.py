"""The Sun's place from cubic pieces, slowly and by whole matrices: twin of the sky kernel."""

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.sky.constants import (
    AU_M,
    EARTH_EQUATOR_M,
    EARTH_FLATTENING,
    LIGHT_MPS,
    TURN_RAD_S,
)
from shivelight.sky.nodes import BodyNodes


def plain_altitude_azimuth(
    into_s: float,
    nodes: BodyNodes,
    *,
    latitude_rad: float,
    longitude_rad: float,
    ground_height_m: float,
) -> tuple[float, float, float]:
    """Altitude [°], azimuth [°] and distance [au] at one instant after the first node."""
    powers = nodes.pieces[:, int(into_s // nodes.step_s)]
    along = into_s % nodes.step_s
    values = np.array([np.polyval(powers[:, k], along) for k in range(8)])
    body, velocity = values[:3], values[4:7]
    sidereal = values[3] + TURN_RAD_S * (nodes.start_s + into_s) + longitude_rad
    to_meridian = np.array(
        [
            [np.cos(sidereal), np.sin(sidereal), 0.0],
            [-np.sin(sidereal), np.cos(sidereal), 0.0],
            [0.0, 0.0, 1.0],
        ]
    )
    observer = _observer_m(latitude_rad, ground_height_m) / AU_M
    spin = np.array([0.0, TURN_RAD_S * observer[0] * AU_M / LIGHT_MPS, 0.0])
    toward = to_meridian @ body - observer
    away = float(np.linalg.norm(toward))
    seen = toward + np.linalg.norm(body) * (to_meridian @ velocity) + away * spin
    up = np.array([np.cos(latitude_rad), 0.0, np.sin(latitude_rad)])
    north = np.array([-np.sin(latitude_rad), 0.0, np.cos(latitude_rad)])
    east = np.array([0.0, 1.0, 0.0])
    altitude_deg = np.degrees(np.arcsin(seen @ up / np.linalg.norm(seen)))
    azimuth_deg = np.degrees(np.arctan2(seen @ east, seen @ north)) % 360.0
    return float(altitude_deg), float(azimuth_deg), away


def _observer_m(latitude_rad: float, ground_height_m: float) -> FloatArray:
    """Place on the ellipsoid by its two half axes, toward the meridian and along the axis."""
    long_m, short_m = EARTH_EQUATOR_M, EARTH_EQUATOR_M * (1.0 - EARTH_FLATTENING)
    cosine, sine = np.cos(latitude_rad), np.sin(latitude_rad)
    root = np.sqrt((long_m * cosine) ** 2 + (short_m * sine) ** 2)
    return np.array(
        [
            (long_m**2 / root + ground_height_m) * cosine,
            0.0,
            (short_m**2 / root + ground_height_m) * sine,
        ]
    )
