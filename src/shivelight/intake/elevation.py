"""Heights from raster files: bare ground, and the canopy above it.

GeoTIFF, ESRI ASCII grid and a few more, in any coordinate system, one file or many tiles. Only
the part within a radius of the spot is read. Tiles of like fineness are laid into one grid; those
more than half as coarse again become a farther layer, looked at where the finer ends.
"""

import math
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from rasterio.windows import Window

from shivelight.basis.errors import BadInputError, MissingDataError, require_range
from shivelight.basis.places import Position
from shivelight.intake.mosaic import Progress, full_radius_m, lay, layers_of, reaches
from shivelight.intake.rasters import Tile, describe, read_window
from shivelight.land.ground import Ground, height_at_m
from shivelight.land.rays import FARTHEST_M

LOWEST_M, HIGHEST_M = -500.0, 9000.0
TALLEST_TREE_M = 130.0
"""No canopy is taller: the tallest known tree stands about 116 m (from memory)."""


def read_ground(
    paths: Sequence[Path],
    *,
    around: Position | None,
    radius_m: float | None = None,
    height_unit: str | None = None,
    crs: str | None = None,
    progress: Progress | None = None,
) -> Ground:
    """Read the ground round a spot from raster files.

    Parameters
    ----------
    paths : sequence of Path
        One file or several tiles, in any order, of any fineness and coordinate system.
    around : Position or None
        The spot; the middle of the first file when None.
    radius_m : float, optional
        How far round the spot to read; all of every file when not given. [m]
    height_unit : str, optional
        Unit of the heights ("m", "ft", "us-ft") when the files do not say or say wrong. Without
        it: the band's unit, else the unit of the system's vertical axis, else metres; a system
        mapped in feet with no word on heights is refused.
    crs : str, optional
        Coordinate system for files without one, such as "EPSG:27700".
    progress : callable, optional
        Told how far the reading is.

    Returns
    -------
    Ground
        The finest tiles that cover the spot; coarser ones behind it as ``farther``. More than
        ``MOST_CELLS`` in one layer are averaged together, and ``origin`` says so; near the spot
        they are kept cell by cell.

    Raises
    ------
    UnreadableFileError
        For a file that is absent, no raster, cut short or damaged.
    MissingDataError
        For a raster without place or coordinate system, not covering the spot, or with nothing
        but holes at it.
    BadInputError
        For no file at all, unknown units, a picture, or heights that no ground has.
    """
    tiles, spot = _described(paths, around, radius_m, height_unit=height_unit, crs=crs)
    layers = layers_of(_finest_at_spot(tiles, spot, must=around is not None), tiles)
    # Far ground first: each finer layer is laid before it. A layer too big to be kept cell by
    # cell is averaged, and read once more near the spot in full.
    parts: list[tuple[list[Tile], float | None]] = []
    for layer in reversed(layers):
        parts.append((layer, radius_m))
        near_m = full_radius_m(layer, spot, radius_m)
        if near_m is not None:
            parts.append((layer, near_m))
    ground: Ground | None = None
    for number, (layer, within_m) in enumerate(parts):
        told = _share(progress, number, len(parts))
        read = lay(layer, spot, within_m, what="ground raster", told=told)
        if read is None:
            continue
        _require_heights(read.heights_m, LOWEST_M, HIGHEST_M, "ground")
        ground = replace(read, farther=ground)
    if ground is None:
        raise MissingDataError("The ground rasters hold nothing but holes (no data).")
    if around is not None:
        height_at_m(ground, spot)
    return ground


def read_canopy(
    paths: Sequence[Path],
    *,
    around: Position | None,
    radius_m: float | None = None,
    height_unit: str | None = None,
    crs: str | None = None,
    progress: Progress | None = None,
) -> Ground:
    """Read canopy heights above the ground round a spot; for a surface raster use read_ground.

    Parameters
    ----------
    paths, around, radius_m, height_unit, crs, progress
        As for :func:`read_ground`; tiles much coarser than the finest are left out.

    Returns
    -------
    Ground
        Heights above the ground; small negative ones (survey noise) become nought.

    Raises
    ------
    UnreadableFileError, MissingDataError, BadInputError
        As :func:`read_ground`; also for heights that no tree has, which are most often heights
        above the sea.
    """
    tiles, spot = _described(paths, around, radius_m, height_unit=height_unit, crs=crs)
    layer = layers_of(_covering(tiles, spot)[0], tiles)[0]
    told = _share(progress, 0, 1)
    read = lay(layer, spot, radius_m, what="canopy raster", told=told)
    if read is None:
        raise MissingDataError("The canopy rasters hold nothing but holes (no data).")
    _require_heights(read.heights_m, -20.0, TALLEST_TREE_M, "canopy")
    return replace(read, heights_m=np.maximum(read.heights_m, np.float32(0.0)))


def _described(
    paths: Sequence[Path],
    around: Position | None,
    radius_m: float | None,
    *,
    height_unit: str | None,
    crs: str | None,
) -> tuple[list[Tile], Position]:
    if not paths:
        raise BadInputError("No raster file was named; give at least one.")
    if radius_m is not None:
        require_range("radius", radius_m, 1.0, 300_000.0, "m")
    first, spot = describe(paths[0], around=around, height_unit=height_unit, crs=crs)
    more = [describe(path, around=spot, height_unit=height_unit, crs=crs)[0] for path in paths[1:]]
    # What lies beyond the radius, or beyond any sight, would only stretch the grid.
    within_m = FARTHEST_M if radius_m is None else radius_m
    tiles = [first, *more]
    near = [one for one in tiles if math.isfinite(one.cell_m) and reaches(one, spot, within_m)]
    if not near:
        raise _not_covering(tiles, spot)
    return near, spot


def _covering(tiles: list[Tile], spot: Position) -> list[Tile]:
    """Tiles that cover the spot, the finest first."""
    covering = sorted((tile for tile in tiles if tile.covers_spot), key=lambda tile: tile.cell_m)
    if not covering:
        raise _not_covering(tiles, spot)
    return covering


def _finest_at_spot(tiles: list[Tile], spot: Position, *, must: bool) -> Tile:
    """Find the finest tile with data at the spot, or the finest there when it need not."""
    covering = _covering(tiles, spot)
    for tile in covering:
        row = min(int(tile.spot[0]), tile.shape[0] - 2)
        column = min(int(tile.spot[1]), tile.shape[1] - 2)
        if np.isfinite(read_window(tile, Window(column, row, 2, 2))).all():
            return tile
    if not must:
        return covering[0]
    raise MissingDataError(
        f"{covering[0].path.name} has a hole (no data) at {_words(spot)}; fill it or type the "
        "skyline."
    )


def _require_heights(
    heights_m: NDArray[np.float32], low_m: float, high_m: float, what: str
) -> None:
    lowest, highest = float(np.nanmin(heights_m)), float(np.nanmax(heights_m))
    if lowest < low_m or highest > high_m:
        raise BadInputError(
            f"The {what} raster holds heights from {lowest:,.0f} to {highest:,.0f} m, which no "
            f"{what} has; check its unit (--height-unit) and its value for no data."
        )


def _not_covering(tiles: list[Tile], spot: Position) -> MissingDataError:
    what = f"{tiles[0].path.name} does not cover" if len(tiles) == 1 else "No raster covers"
    return MissingDataError(
        f"{what} the spot at {_words(spot)}; give one that does, or check the position."
    )


def _words(spot: Position) -> str:
    return f"{spot.latitude_deg:.5f}, {spot.longitude_deg:.5f}"


def _share(progress: Progress | None, done: int, count: int) -> Progress:
    """Progress within one of several equal parts."""

    def told(share: float, what: str) -> None:
        if progress is not None:
            progress((done + share) / count, what)

    return told
