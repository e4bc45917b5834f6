"""Topics of ``horizon.csv``: curvature, skylines of simple terrains, sky view."""

from collections.abc import Callable
from typing import Any

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.land.curvature import (
    FLAT,
    STANDARD_CURVE,
    EarthCurve,
    dip_deg,
    drop_m,
    elevation_angle_deg,
    horizon_distance_m,
)
from shivelight.land.ground import Ground, position_of
from shivelight.land.skyline import Skyline, skyline_from_ground
from shivelight.land.skyview import sky_view_frac

Inputs = dict[str, Any]
Terrain = Callable[[FloatArray, FloatArray], FloatArray]

TURN = np.arange(0.0, 360.0, 0.5)


def _curve(row: Inputs) -> EarthCurve:
    return EarthCurve(radius_m=row["R_m"], refraction_frac=row["k"])


def _skyline_deg(terrain: Terrain, *, bearing_deg: float, half_m: float, curved: bool) -> float:
    """Skyline toward a bearing over terrain laid out by true metres round the spot.

    The raster is made in metres east and north on the central meridian of a transverse
    Mercator system of scale one there, so that its grid is the plane of the closed forms.
    """
    cell_m = half_m / 1000.0
    reach = np.arange(-half_m, half_m + cell_m / 2, cell_m)
    east, north = np.meshgrid(reach, reach[::-1])
    ground = Ground(
        heights_m=terrain(east, north).astype(np.float32),
        affine=(cell_m, 0.0, -half_m, 0.0, -cell_m, half_m),
        crs_wkt="+proj=tmerc +lat_0=50 +lon_0=0 +k=1 +x_0=0 +y_0=0 +ellps=WGS84 +units=m",
    )
    middle = (reach.size - 1) / 2
    skyline = skyline_from_ground(
        ground,
        position=position_of(ground, middle, middle),
        eye_height_m=0.0,
        curve=STANDARD_CURVE if curved else FLAT,
    )
    return float(skyline.at(bearing_deg))


def _ridge(row: Inputs) -> float:
    height_m, distance_m = row["H_m"], row["D_m"]

    def wall(_east: FloatArray, north: FloatArray) -> FloatArray:
        return np.where(north >= distance_m - 1e-6, height_m, 0.0)

    off = np.radians(row["az_off_deg"])
    # Far enough to meet the ridge along the bearing; the cell (and so the crest's place) is a
    # thousandth of that.
    half_m = distance_m * max(1.25, 1.25 * abs(float(np.tan(off))))
    return _skyline_deg(
        wall, bearing_deg=row["az_off_deg"], half_m=half_m, curved=row["curvature"]
    )


def _cone(row: Inputs) -> float:
    height_m, radius_m, axis_m = row["H_m"], row["base_radius_m"], row["D_axis_m"]

    def cone(east: FloatArray, north: FloatArray) -> FloatArray:
        out = np.hypot(east, north - axis_m)
        return np.asarray(np.maximum(height_m * (1.0 - out / radius_m), 0.0), dtype=np.float64)

    return _skyline_deg(
        cone, bearing_deg=row["az_off_deg"], half_m=axis_m + radius_m, curved=False
    )


def _plane(row: Inputs) -> float:
    rise = float(np.tan(np.radians(row["slope_deg"])))
    found_deg = _skyline_deg(
        lambda _east, north: 1000.0 + rise * north,
        bearing_deg=row["az_from_upslope_deg"],
        half_m=1000.0,
        curved=False,
    )
    return max(found_deg, 0.0)


def _sky_view(row: Inputs) -> float:
    case, angle_deg = row["case"], row["angle_deg"]
    if case == "tilted plane slope":
        level = Skyline(altitude_deg=np.zeros(720), origin="level")
        return sky_view_frac(level, slope_deg=angle_deg, aspect_deg=140.0)
    across = np.cos(np.radians(TURN))
    wall_deg = np.degrees(np.arctan(np.tan(np.radians(angle_deg)) * across))
    heights = {
        "uniform horizon angle": np.full(TURN.size, angle_deg),
        "infinite wall on one side": np.maximum(wall_deg, 0.0),
        "symmetric V valley": np.abs(wall_deg),
    }[case]
    return sky_view_frac(Skyline(altitude_deg=heights, origin="typed"))


TOPICS: dict[str, Callable[[Inputs], Any]] = {
    "drop": lambda row: float(drop_m(row["d_m"], curve=_curve(row))),
    "dip": lambda row: 60.0 * float(dip_deg(row["h_m"], curve=_curve(row))),
    "horizon distance": lambda row: float(horizon_distance_m(row["h_m"], curve=_curve(row))),
    "elevation angle": lambda row: float(
        elevation_angle_deg(row["target_m"] - row["eye_m"], row["d_m"], curve=_curve(row))
    ),
    "infinite ridge": _ridge,
    "cone": _cone,
    "tilted plane": _plane,
    "sky view factor": _sky_view,
}
