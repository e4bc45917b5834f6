"""The ground of the Wennick valley: made up by formula, written as a raster like any other.

A trough with a carr in it, a heath, a flat-topped park, a scarp, a gorge, a frost hollow and a
slope to the south, in a local metre grid about the valley's origin. The demo reads it back
through the same reader as anybody's own raster.
"""

from pathlib import Path

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.basis.places import Position

HALF_WIDTH_M = 5000.0
CELL_M = 10.0


def valley_height_m(east_m: FloatArray, north_m: FloatArray) -> FloatArray:
    """Height of the invented ground.

    Parameters
    ----------
    east_m, north_m : ndarray, shapes that broadcast to S
        Metres from the valley's origin. [m]

    Returns
    -------
    ndarray of float64, shape S
        Height above the sea. [m]
    """
    height = 85.0 + 1.5 * np.sin(east_m / 137.0) * np.cos(north_m / 173.0)
    height = height - 25.0 * _bell((north_m - 800.0 + 0.15 * east_m) / 350.0)  # Wennick Water
    height = height + 11.0 * _round(east_m - 150.0, north_m, 600.0)  # Pinnet Heath
    height = height - 16.0 * _round(east_m + 140.0, north_m + 1010.0, 450.0)  # Coldshaw Bottom
    height = height + 66.0 * _table(east_m - 1450.0, north_m - 250.0, 480.0)  # Hagbarrow
    height = height + 26.0 * _round(east_m - 1000.0, north_m + 2150.0, 500.0)  # Marchbell
    toward_sw = -((east_m + 3020.0) + (north_m - 1640.0)) / np.sqrt(2.0)
    # Sallowden's scarp: 130 m high, 24° at its steepest (130 / 4w = tan 24°).
    height = height + 130.0 / (1.0 + np.exp(-toward_sw / 73.0)) * _round(
        east_m + 3400.0, north_m - 1300.0, 2200.0
    )
    hill = 150.0 * _round(east_m - 2750.0, north_m - 2100.0, 800.0)  # Threll
    across = (0.35 * (east_m - 2720.0) - 0.94 * (north_m - 2060.0)) / 75.0
    return np.asarray(height + hill * (1.0 - 0.55 * _bell(across)), dtype=np.float64)


def write_valley_ground(path: Path, origin: Position) -> Path:
    """Write the valley as a GeoTIFF in metres about its origin.

    Parameters
    ----------
    path : Path
        Where.
    origin : Position
        The valley's origin, the middle of the raster.
    """
    import rasterio  # noqa: PLC0415  slow to import, wanted for the demo only
    from rasterio.transform import from_origin  # noqa: PLC0415

    count = round(2.0 * HALF_WIDTH_M / CELL_M)
    middles = (np.arange(count, dtype=np.float64) + 0.5) * CELL_M - HALF_WIDTH_M
    heights = valley_height_m(middles[None, :], -middles[:, None]).astype(np.float32)
    with rasterio.open(
        path, "w", driver="GTiff", width=count, height=count, count=1, dtype="float32",
        crs=f"+proj=aeqd +lat_0={origin.latitude_deg} +lon_0={origin.longitude_deg} "
        "+datum=WGS84 +units=m",
        transform=from_origin(-HALF_WIDTH_M, HALF_WIDTH_M, CELL_M, CELL_M),
        compress="deflate", predictor=3, nodata=-9999.0,
    ) as raster:  # fmt: skip
        raster.write(heights, 1)
        raster.set_band_unit(1, "metre")
    return path


def _bell(distance: FloatArray) -> FloatArray:
    return np.asarray(np.exp(-(distance**2)), dtype=np.float64)


def _round(east_m: FloatArray, north_m: FloatArray, radius_m: float) -> FloatArray:
    return _bell(np.hypot(east_m, north_m) / radius_m)


def _table(east_m: FloatArray, north_m: FloatArray, radius_m: float) -> FloatArray:
    """Flat on top, falling within a third of the radius beyond it."""
    edge = (np.hypot(east_m, north_m) - radius_m) / (radius_m / 6.0)
    return np.asarray(1.0 / (1.0 + np.exp(np.clip(edge - 2.0, -50.0, 50.0))), dtype=np.float64)
