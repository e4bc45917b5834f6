"""Heights on a square of ground, out of raster files in any coordinate system.

Unlike ``elevation`` this reads for the eye: only what the square covers, cells averaged down to
the picture's, and no complaint about holes.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from rasterio.windows import Window

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, MissingDataError
from shivelight.intake.elevation import HIGHEST_M, LOWEST_M
from shivelight.intake.rasters import Tile, describe, read_window
from shivelight.land.ground import pixel_on_grid, sample
from shivelight.land.square import GroundSquare, places_from_centre
from shivelight.outing.kept import RasterNote

LATTICE_CELLS = 16
LEAST_CELLS = 8


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SquareHeights:
    """Heights on a square of ground.

    Attributes
    ----------
    heights_m : ndarray of float64, shape (cells + 2, cells + 2)
        At cell centres, true north up, with a rim one cell wide past the square; NaN for holes
        and where no file reaches. [m]
    cell_m : float
        Side of a cell: the picture's pixel, or the finest file's cell where that is coarser. [m]
    names : tuple of str
        Files that the square took heights from, the finest first.
    file_cell_m : float
        Side of a cell of the finest of these. [m]
    """

    heights_m: FloatArray
    cell_m: float
    names: tuple[str, ...]
    file_cell_m: float


def read_square(notes: Sequence[RasterNote], square: GroundSquare) -> SquareHeights:
    """Read what raster files say of a square of ground.

    Parameters
    ----------
    notes : sequence of RasterNote
        Files of ground or surface heights, in any order; finer ones lie over coarser.
    square : GroundSquare
        Where.

    Returns
    -------
    SquareHeights
        Bilinear between the files' cells, averaged where these are finer than the picture's.

    Raises
    ------
    MissingDataError
        If no file has a height within the square.
    UnreadableFileError, BadInputError
        As :func:`shivelight.intake.elevation.read_ground`.
    """
    tiles = [
        describe(
            Path(note.path),
            around=square.centre,
            height_unit=note.height_unit or None,
            crs=note.crs or None,
        )[0]
        for note in notes
    ]
    tiles = sorted((one for one in tiles if math.isfinite(one.cell_m)), key=lambda one: one.cell_m)
    near = [tile for tile in tiles if _window(tile, _corners(tile, square)) is not None]
    if not near:
        raise _nothing(notes, square)
    file_cell_m = near[0].cell_m
    cells = min(square.side_px, max(LEAST_CELLS, math.ceil(2.0 * square.radius_m / file_cell_m)))
    cell_m = 2.0 * square.radius_m / cells
    heights = np.full((cells + 2, cells + 2), np.nan)
    names: list[str] = []
    for tile in reversed(near):
        found = _seen(tile, square, cells=cells, cell_m=cell_m)
        if found is not None and np.isfinite(found).any():
            np.copyto(heights, found, where=np.isfinite(found))
            names.insert(0, tile.path.name)
    if not np.isfinite(heights[1:-1, 1:-1]).any():
        raise _nothing(notes, square)
    _require_ground(heights)
    return SquareHeights(
        heights_m=heights, cell_m=cell_m, names=tuple(names), file_cell_m=file_cell_m
    )


def _corners(tile: Tile, square: GroundSquare) -> tuple[FloatArray, FloatArray]:
    """Rows and columns, in a tile, of places all over the square and a rim round it."""
    along = np.linspace(-1.05, 1.05, 9) * square.radius_m
    east, north = np.meshgrid(along, along)
    return _on_tile(tile, square, east, north)


def _on_tile(
    tile: Tile, square: GroundSquare, east_m: FloatArray, north_m: FloatArray
) -> tuple[FloatArray, FloatArray]:
    latitude, longitude = places_from_centre(square.centre, east_m, north_m=north_m)
    return pixel_on_grid(
        tile.affine, tile.crs_wkt, columns=tile.shape[1],
        latitude_deg=latitude, longitude_deg=longitude,
    )  # fmt: skip


def _window(tile: Tile, places: tuple[FloatArray, FloatArray]) -> tuple[int, int, int, int] | None:
    """Top, left, bottom and right of the part of a tile that holds places; None for none."""
    row, column = (part[np.isfinite(part)] for part in places)
    if not (row.size and column.size):
        return None
    top, left = max(0, math.floor(row.min()) - 2), max(0, math.floor(column.min()) - 2)
    bottom = min(tile.shape[0], math.ceil(row.max()) + 3)
    right = min(tile.shape[1], math.ceil(column.max()) + 3)
    return (top, left, bottom, right) if bottom - top >= 2 and right - left >= 2 else None


def _seen(tile: Tile, square: GroundSquare, *, cells: int, cell_m: float) -> FloatArray | None:
    """Heights of one tile at the square's cell centres and the rim's.

    Places are exact on a lattice of sixteen cells and straight between.
    """
    lattice = np.unique(np.append(np.arange(0, cells + 2, LATTICE_CELLS), cells + 1))
    away_m = (lattice - (cells + 1) / 2.0) * cell_m
    east, north = np.meshgrid(away_m, -away_m)
    nodes = _on_tile(tile, square, east, north)
    window = _window(tile, nodes)
    if window is None:
        return None
    between = _between(lattice, cells + 2)
    with np.errstate(invalid="ignore"):  # where the map projection has no place
        row, column = (between @ part @ between.T for part in nodes)
    top, left, bottom, right = window
    coarser = max(1, min(round(cell_m / tile.cell_m), (bottom - top) // 2, (right - left) // 2))
    tall, wide = (bottom - top) // coarser * coarser, (right - left) // coarser * coarser
    heights = read_window(tile, Window(left, top, wide, tall), coarser=coarser)
    row = (row - top - (coarser - 1) / 2.0) / coarser
    column = (column - left - (coarser - 1) / 2.0) / coarser
    # The outer cells hold to their outer edge, so that tiles that meet leave no seam.
    within = (row >= -0.5) & (row <= heights.shape[0] - 0.5)
    within &= (column >= -0.5) & (column <= heights.shape[1] - 0.5)
    edged = np.pad(heights, 1, mode="edge")
    return np.where(within, sample(edged, row + 1.0, column=column + 1.0), np.nan)


def _between(lattice: FloatArray, count: int) -> FloatArray:
    """Weights, shape (count, nodes), that read straight between lattice nodes."""
    unit = np.eye(lattice.size)
    return np.column_stack([np.interp(np.arange(count), lattice, one) for one in unit])


def _require_ground(heights_m: FloatArray) -> None:
    lowest, highest = float(np.nanmin(heights_m)), float(np.nanmax(heights_m))
    if lowest < LOWEST_M or highest > HIGHEST_M:
        raise BadInputError(
            f"The raster holds heights from {lowest:,.0f} to {highest:,.0f} m, which no ground "
            "has; check its unit and its value for no data."
        )


def _nothing(notes: Sequence[RasterNote], square: GroundSquare) -> MissingDataError:
    alone = len(notes) == 1
    named = Path(notes[0].path).name if alone else f"None of the {len(notes)} rasters"
    verb = "holds no height" if alone else "holds a height"
    place = f"{square.centre.latitude_deg:.5f}, {square.centre.longitude_deg:.5f}"
    return MissingDataError(
        f"{named} {verb} within {square.radius_m:,.0f} m of {place}; attach one that does, or "
        "draw on the plain grid."
    )
