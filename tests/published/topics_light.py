"""Daylight, exposure values and canopy: rows of ``light.csv`` against our public functions."""

from collections.abc import Callable
from typing import Any

from shivelight.light.daylight import (
    clear_direct_lux,
    clear_illuminance_lux,
    clear_sky_diffuse_lux,
    ev100_from_settings,
    full_moon_illuminance_lux,
    luminance_from_ev100,
    lux_from_ev100,
    overcast_illuminance_lux,
    stops_from_density,
    sun_illuminance_lux,
)
from shivelight.wood.canopy import (
    canopy_transmittance_frac,
    diffuse_transmittance_frac,
    gap_frac,
    stops_from_frac,
)


def _gap(row: dict[str, Any]) -> float:
    return float(
        gap_frac(
            row["LAI"],
            zenith_deg=row["zenith_deg"],
            clumping=row["clumping"],
            projection=row["G"],
        )
    )


def _diffuse(row: dict[str, Any]) -> float:
    assert row["sky"] == "uniform"
    return float(diffuse_transmittance_frac(row["LAI"], projection=row["G"]))


def _settings(row: dict[str, Any]) -> float:
    return float(ev100_from_settings(row["N"], exposure_s=row["t_s"], iso=row["iso"]))


def _jdy(row: dict[str, Any]) -> float:
    return float(clear_illuminance_lux(row["apparent_alt_deg"], sky_divisor=row["sky"]))


def _beer_lambert(row: dict[str, Any]) -> float:
    return float(canopy_transmittance_frac(row["LAI"], extinction=row["k"]))


def _lux(row: dict[str, Any]) -> float:
    return float(lux_from_ev100(row["ev100"], constant_lux_s=row["C"]))


def _luminance(row: dict[str, Any]) -> float:
    return float(luminance_from_ev100(row["ev100"], constant_cd_s_m2=row["K"]))


TOPICS: dict[str, Callable[[dict[str, Any]], Any]] = {
    "illuminance JDY1987": _jdy,
    "illuminance Seidelmann": lambda row: float(sun_illuminance_lux(row["alt_deg"])),
    "overcast horizontal": lambda row: float(overcast_illuminance_lux(row["sun_alt_deg"])),
    "clear sky diffuse": lambda row: float(clear_sky_diffuse_lux(row["sun_alt_deg"])),
    "clear direct horizontal": lambda row: float(clear_direct_lux(row["sun_alt_deg"])),
    "EV100 to lux": _lux,
    "EV100 to luminance": _luminance,
    "EV from settings": _settings,
    "Beer-Lambert canopy": _beer_lambert,
    "gap fraction spherical": _gap,
    "diffuse transmittance": _diffuse,
    "fraction to stops": lambda row: float(stops_from_frac(row["fraction"])),
    "ND density to stops": lambda row: float(stops_from_density(row["density"])),
    "full moon illuminance": lambda row: float(full_moon_illuminance_lux(row["moon_alt_deg"])),
}
