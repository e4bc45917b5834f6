"""Topics of ``trees.csv`` that belong to the ground: walking, bearings, distances, the OS grid."""

import re
from collections.abc import Callable
from typing import Any

from pyproj import Transformer

from shivelight.basis.places import Position, distance_and_azimuth
from shivelight.intake.places import parse_degrees
from shivelight.land.bearings import magnetic_field
from shivelight.land.walking import naismith_time_s, tobler_speed_mps

Inputs = dict[str, Any]


def _field(row: Inputs) -> dict[str, float]:
    found = magnetic_field(
        Position(latitude_deg=row["lat"], longitude_deg=row["lon"]),
        year=row["year"],
        height_above_ellipsoid_m=row["alt_km"] * 1000.0,
    )
    return {
        "X": found.north_nt,
        "Y": found.east_nt,
        "Z": found.down_nt,
        "D": found.declination_deg,
    }


def _geodesic(row: Inputs) -> dict[str, float]:
    distance_m, azimuth_deg = distance_and_azimuth(
        Position(latitude_deg=row["lat1"], longitude_deg=row["lon1"]),
        Position(latitude_deg=row["lat2"], longitude_deg=row["lon2"]),
    )
    return {"dist_m": distance_m, "azimuth_deg": azimuth_deg}


def _os_grid(row: Inputs) -> list[float]:
    """Project a position that is given on the Airy ellipsoid, so that no datum comes in."""
    assert re.search("OSGB36", row["datum"])
    easting_m, northing_m = Transformer.from_crs(
        "EPSG:4277", "EPSG:27700", always_xy=True
    ).transform(parse_degrees(row["lon_dms"]), parse_degrees(row["lat_dms"]))
    return [float(easting_m), float(northing_m)]


TOPICS: dict[str, Callable[[Inputs], Any]] = {
    "Tobler speed": lambda row: 3.6 * float(tobler_speed_mps(row["slope"])),
    "Naismith time": lambda row: (
        float(naismith_time_s(row["km"] * 1000.0, ascent_m=row["ascent_m"])) / 3600.0
    ),
    "WMM2025": _field,
    "geodesic": _geodesic,
    "OS grid worked example": _os_grid,
}
