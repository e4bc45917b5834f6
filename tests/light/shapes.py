"""Skylines for the tests, and the slow way to know whether the sun is past them."""

import numpy as np
from skyfield.earthlib import refract

from shivelight.basis.arrays import BoolArray, FloatArray, UtcArray
from shivelight.basis.places import Position
from shivelight.land.skyline import Skyline
from tests.sky.skyfield_full import full_altaz

DEMO = Position(latitude_deg=53.0, longitude_deg=-5.1)
"""Open sea, as the demo's sun has it."""
SOUTH = Position(latitude_deg=-43.0, longitude_deg=147.3)
SUN_RADIUS_KM = 695_700.0


def even(height_deg: float, *, count: int = 720) -> Skyline:
    return Skyline(altitude_deg=np.full(count, height_deg), origin="typed")


def ragged(seed: int, *, base_deg: float = 6.0, count: int = 720) -> Skyline:
    """Hills, single spikes of one sample and steps as of a cliff."""
    random = np.random.default_rng(seed)
    azimuth = np.arange(count) * (2.0 * np.pi / count)
    waves = sum(
        random.uniform(0.0, 2.0) * np.sin(k * azimuth + random.uniform(0.0, 6.3))
        for k in range(1, 9)
    )
    height = base_deg + waves
    height[random.integers(0, count, count // 24)] += random.uniform(2.0, 9.0, count // 24)
    edge = int(random.integers(0, count))
    height[edge : edge + count // 18] += 7.0
    return Skyline(altitude_deg=np.clip(height, -0.5, 80.0), origin="typed")


def slow_past_skyline(skyline: Skyline, position: Position, utc: UtcArray) -> BoolArray:
    """Full Skyfield with its own refraction (Bennett), and NumPy's interpolation."""
    over: list[FloatArray] = []
    bearings = np.append(skyline.azimuth_deg, 360.0)
    heights = np.append(skyline.altitude_deg, skyline.altitude_deg[0])
    for part in np.array_split(utc, max(utc.size // 2000, 1)):
        altitude_deg, azimuth_deg, away_km = full_altaz(
            "sun",
            part,
            latitude_deg=position.latitude_deg,
            longitude_deg=position.longitude_deg,
            ground_height_m=position.ground_height_m or 0.0,
        )
        limb_deg = altitude_deg + np.degrees(np.arcsin(SUN_RADIUS_KM / away_km))
        seen_deg = refract(limb_deg, temperature_C=5.0, pressure_mbar=1010.0)
        over.append(seen_deg - np.interp(azimuth_deg, bearings, heights))
    return np.concatenate(over) >= 0.0
