"""Raster tiles laid into one grid, layer by layer of like fineness."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray
from rasterio.windows import Window

from shivelight.basis.arrays import FloatArray
from shivelight.basis.places import Position
from shivelight.intake.rasters import MOST_CELLS, Tile, pixels, read_window
from shivelight.land.ground import (
    Affine,
    Ground,
    cells_of,
    latitude_longitude_deg,
    map_places,
    pixel_on_grid,
    sample,
)

Progress: TypeAlias = Callable[[float, str], None]
"""Told the share done (0 to 1) and what is being read."""

Heights: TypeAlias = NDArray[np.float32]
LATTICE_CELLS = 16
LIKE_FINENESS = 1.5
"""Tiles whose cells are up to this much coarser share one grid (a judgement)."""


@dataclass(frozen=True, slots=True)
class _Box:
    """Rows and columns of a base tile's grid, the last ones not included."""

    row: int
    column: int
    end_row: int
    end_column: int

    @property
    def cells(self) -> int:
        return max(0, self.end_row - self.row) * max(0, self.end_column - self.column)


def layers_of(base: Tile, tiles: list[Tile]) -> list[list[Tile]]:
    """Sort tiles into layers of like fineness, the base's first; the first of each leads it.

    Parameters
    ----------
    base : Tile
        The tile whose grid the first layer takes; finer ones elsewhere are averaged into it.
    tiles : list of Tile
        All of them.
    """
    layers = []
    left = sorted((tile for tile in tiles if tile is not base), key=lambda tile: tile.cell_m)
    lead: Tile | None = base
    while lead is not None:
        limit = lead.cell_m * LIKE_FINENESS
        layers.append([lead, *(tile for tile in left if tile.cell_m <= limit)])
        left = [tile for tile in left if tile.cell_m > limit]
        lead = left.pop(0) if left else None
    return layers


def reaches(tile: Tile, spot: Position, radius_m: float) -> bool:
    """Whether any of a tile may lie within a radius of the spot.

    Parameters
    ----------
    tile : Tile
        From ``rasters.describe``.
    spot : Position
        The spot.
    radius_m : float
        How far round it. [m]
    """
    near = _disc(tile, spot, radius_m)
    if near is None:
        return tile.covers_spot
    rows, columns = tile.shape
    return near[2] >= 0 and near[3] >= 0 and near[0] <= rows - 1 and near[1] <= columns - 1


def full_radius_m(layer: list[Tile], spot: Position, radius_m: float | None) -> float | None:
    """Radius within which a layer can be kept cell by cell; None when all of it can. [m].

    Parameters
    ----------
    layer : list of Tile
        From :func:`layers_of`.
    spot : Position
        Round which to read.
    radius_m : float or None
        How far round it; None for everything. [m]
    """
    if _coarsening(_extent(layer, spot, radius_m)) == 1:
        return None
    # Ten cells fewer than would fit: the box has a rim, and cells are not quite square.
    return 0.49 * (math.sqrt(MOST_CELLS) - 10.0) * layer[0].cell_m


def _coarsening(box: _Box) -> int:
    return max(1, math.ceil(math.sqrt(box.cells / MOST_CELLS)))


def lay(
    layer: list[Tile], spot: Position, radius_m: float | None, *, what: str, told: Progress
) -> Ground | None:
    """Lay the tiles of one layer into the grid of the first; None when they hold nothing.

    Parameters
    ----------
    layer : list of Tile
        From :func:`layers_of`.
    spot : Position
        Round which to read.
    radius_m : float or None
        How far round it; None for everything. [m]
    what : str
        Begins the note on where the heights come from.
    told : callable
        Told how far the reading is.
    """
    base = layer[0]
    box = _extent(layer, spot, radius_m)
    coarser = _coarsening(box)
    rows = max(2, (box.end_row - box.row) // coarser)
    columns = max(2, (box.end_column - box.column) // coarser)
    affine = _shifted(base.affine, box.row, box.column, coarser)
    grid = _Grid(affine, base.crs_wkt, rows, columns, base.cell_m * coarser)
    heights = np.full((rows, columns), np.nan, dtype=np.float32)
    for number, tile in enumerate(reversed(layer)):

        def tick(share: float, number: int = number, name: str = tile.path.name) -> None:
            told((number + share) / len(layer), name)

        tick(0.0)
        found = _on_grid(tile, grid, spot, radius_m, tick=tick)
        if found is not None:
            np.copyto(heights, found, where=np.isfinite(found))
    told(1.0, base.path.name)
    if not np.isfinite(heights).any():
        return None
    cell = f"{grid.cell_m:.3g} m cells"
    note = f"{what}, {cell}" if coarser == 1 else f"{what}, averaged to {cell}"
    return Ground(heights_m=heights, affine=affine, crs_wkt=base.crs_wkt, origin=note)


@dataclass(frozen=True, slots=True)
class _Grid:
    affine: Affine
    crs_wkt: str
    rows: int
    columns: int
    cell_m: float


def _extent(layer: list[Tile], spot: Position, radius_m: float | None) -> _Box:
    """Rows and columns of the first tile's grid that the layer and the radius have in common."""
    base = layer[0]
    rows, columns = [base.spot[0]], [base.spot[1]]
    for tile in layer:
        edge_rows, edge_columns = _outline(tile, base)
        rows += [float(edge_rows.min()), float(edge_rows.max())]
        columns += [float(edge_columns.min()), float(edge_columns.max())]
    low, high = (min(rows), min(columns)), (max(rows), max(columns))
    near = _disc(base, spot, radius_m)
    if near is not None:
        low = max(low[0], near[0]), max(low[1], near[1])
        high = min(high[0], near[2]), min(high[1], near[3])
    return _Box(
        math.floor(low[0] + 0.01), math.floor(low[1] + 0.01),
        math.ceil(high[0] - 0.01) + 1, math.ceil(high[1] - 0.01) + 1,
    )  # fmt: skip


def _outline(tile: Tile, base: Tile) -> tuple[FloatArray, FloatArray]:
    """Rows and columns, in the base's grid, of places along a tile's edge."""
    along = np.linspace(0.0, 1.0, 9)
    last_row, last_column = tile.shape[0] - 1, tile.shape[1] - 1
    nought, one = np.zeros(9), np.ones(9)
    row = np.concatenate([nought, one, along, along]) * last_row
    column = np.concatenate([along, along, nought, one]) * last_column
    if tile is base:
        return row, column
    latitude, longitude = latitude_longitude_deg(tile.affine, tile.crs_wkt, row=row, column=column)
    return pixel_on_grid(
        base.affine, base.crs_wkt, columns=base.shape[1],
        latitude_deg=latitude, longitude_deg=longitude,
    )  # fmt: skip


def _disc(
    tile: Tile, spot: Position, radius_m: float | None
) -> tuple[float, float, float, float] | None:
    """Box of rows and columns round the spot in a tile's grid; None for no limit."""
    if radius_m is None:
        return None
    row, column = pixels(
        tile.affine, tile.crs_wkt, columns=tile.shape[1], position=spot,
        ring=(radius_m, np.arange(0.0, 360.0, 5.0)),
    )  # fmt: skip
    if not (np.isfinite(row).all() and np.isfinite(column).all()):
        return None
    return row.min() - 2.0, column.min() - 2.0, row.max() + 2.0, column.max() + 2.0


def _on_grid(
    tile: Tile,
    grid: _Grid,
    spot: Position,
    radius_m: float | None,
    *,
    tick: Callable[[float], None],
) -> Heights | None:
    """Heights of one tile on a grid: copied where the cells fall together, else warped."""
    coarser = max(1, round(grid.cell_m / tile.cell_m))
    near = _disc(tile, spot, radius_m) or (0.0, 0.0, math.inf, math.inf)
    top, left = max(0, math.floor(near[0] + 0.01)), max(0, math.floor(near[1] + 0.01))
    tall = min(tile.shape[0], math.ceil(min(near[2], tile.shape[0])) + 1) - top
    wide = min(tile.shape[1], math.ceil(min(near[3], tile.shape[1])) + 1) - left
    if tall < 2 * coarser or wide < 2 * coarser:
        return None
    window = Window(left, top, wide - wide % coarser, tall - tall % coarser)
    heights = read_window(tile, window, coarser=coarser, tick=tick)
    affine = _shifted(tile.affine, top, left, coarser)
    step = _whole_step(affine, grid) if tile.crs_wkt == grid.crs_wkt else None
    if step is None:
        return _warped(heights, affine, tile.crs_wkt, grid)
    target = np.full((grid.rows, grid.columns), np.nan, dtype=np.float32)
    _paste(heights, target, step)
    return target


def _warped(heights: Heights, affine: Affine, crs_wkt: str, grid: _Grid) -> Heights:
    """Heights read between the source's cells at the centres of the grid's cells.

    The source's outer cells hold to their outer edge, so that tiles that meet leave no seam.
    Places are exact on a lattice of sixteen cells and straight between: within 0.001 of a cell.
    """
    node_row = np.unique(np.append(np.arange(0, grid.rows, LATTICE_CELLS), grid.rows - 1))
    node_column = np.unique(np.append(np.arange(0, grid.columns, LATTICE_CELLS), grid.columns - 1))
    row, column = np.meshgrid(node_row, node_column, indexing="ij")
    latitude, longitude = latitude_longitude_deg(grid.affine, grid.crs_wkt, row=row, column=column)
    places = pixel_on_grid(
        affine, crs_wkt, columns=heights.shape[1], latitude_deg=latitude, longitude_deg=longitude
    )
    edged = np.pad(heights, 1, mode="edge")
    target = np.empty((grid.rows, grid.columns), dtype=np.float32)
    columns = np.arange(grid.columns)
    wide = [
        np.stack([np.interp(columns, node_column, line) for line in place]) for place in places
    ]
    for line in range(grid.rows):
        after = min(int(np.searchsorted(node_row, line, side="right")), node_row.size - 1)
        share = (line - node_row[after - 1]) / (node_row[after] - node_row[after - 1])
        rows, cols = (part[after - 1] + share * (part[after] - part[after - 1]) for part in wide)
        within = (rows >= -0.5) & (rows <= heights.shape[0] - 0.5)
        within &= (cols >= -0.5) & (cols <= heights.shape[1] - 0.5)
        target[line] = np.where(within, sample(edged, rows + 1.0, column=cols + 1.0), np.nan)
    return target


def _whole_step(affine: Affine, grid: _Grid) -> tuple[int, int] | None:
    """Row and column of a part's first cell on the grid, when all its cells fall on cells."""
    a, b, _, d, e, _ = grid.affine
    size = math.sqrt(abs(a * e - b * d))
    turn = (affine[0] - a, affine[1] - b, affine[3] - d, affine[4] - e)
    if max(abs(part) for part in turn) * max(grid.rows, grid.columns) > 0.01 * size:
        return None
    row, column = (float(one) for one in cells_of(grid.affine, affine[2], y=affine[5]))
    if abs(row - round(row)) > 0.01 or abs(column - round(column)) > 0.01:
        return None
    return round(row), round(column)


def _paste(part: Heights, target: Heights, step: tuple[int, int]) -> None:
    row, column = step
    top, left = max(0, row), max(0, column)
    bottom = min(target.shape[0], row + part.shape[0])
    right = min(target.shape[1], column + part.shape[1])
    if bottom > top and right > left:
        target[top:bottom, left:right] = part[
            top - row : bottom - row, left - column : right - column
        ]


def _shifted(affine: Affine, row: float, column: float, coarser: int) -> Affine:
    """Affine of a part that starts at a row and column, ``coarser`` cells made one."""
    a, b, _, d, e, _ = affine
    x, y = map_places(affine, row + (coarser - 1) / 2, column=column + (coarser - 1) / 2)
    return (a * coarser, b * coarser, float(x), d * coarser, e * coarser, float(y))
