"""The ground as a raster of heights, and where a position lies on it.

A :class:`Ground` may be in any coordinate system, projected or by longitude and latitude, in
metres or feet across; its heights are always metres. Nothing here opens a file.
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, MissingDataError
from shivelight.basis.places import Position

if TYPE_CHECKING:
    from pyproj import Transformer

Affine = tuple[float, float, float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, weakref_slot=True)
class Ground:
    """Heights on a grid of cells.

    Attributes
    ----------
    heights_m : ndarray of float32, shape (rows, columns)
        Height of the ground at the cell centres; NaN where there is no data. Made read-only. [m]
    affine : tuple of six floats (a, b, c, d, e, f)
        Map coordinates of a cell's **centre**: ``x = a column + b row + c`` and
        ``y = d column + e row + f``, column 0 and row 0 being the first cell's centre. In the
        units of the coordinate system (degrees, metres, feet).
    crs_wkt : str
        The coordinate system, as WKT or any name that PROJ knows ("EPSG:3794").
    origin : str
        Where the heights come from, in words, for showing.
    farther : Ground or None
        Coarser ground that reaches farther, looked at where this one ends.
    """

    heights_m: NDArray[np.float32]
    affine: Affine
    crs_wkt: str
    origin: str = "ground raster"
    farther: "Ground | None" = None

    def __post_init__(self) -> None:
        if self.heights_m.ndim != 2 or min(self.heights_m.shape) < 2:
            raise BadInputError("A ground raster needs at least two rows and two columns.")
        if self.heights_m.dtype != np.float32:
            raise BadInputError("The heights of a ground raster must be 32 bit floats, in metres.")
        a, b, _, d, e, _ = self.affine
        if not np.isfinite(self.affine).all() or a * e == b * d:
            raise BadInputError("The raster's affine transform cannot be turned round.")
        self.heights_m.setflags(write=False)


@lru_cache(maxsize=16)
def transformer(crs_wkt: str) -> "Transformer":
    """Exact transform from WGS 84 longitude and latitude to a raster's map coordinates.

    Raises
    ------
    BadInputError
        If the coordinate system is not known, or not tied to the Earth.
    """
    from pyproj import CRS, Transformer  # noqa: PLC0415  a tenth of a second
    from pyproj.exceptions import CRSError, ProjError  # noqa: PLC0415

    try:
        return Transformer.from_crs(
            "OGC:CRS84", CRS.from_user_input(crs_wkt).to_2d(), always_xy=True
        )
    except (CRSError, ProjError) as why:
        raise BadInputError(
            "The raster's coordinate system cannot be placed on the Earth; give one by its EPSG "
            "number, such as EPSG:3794."
        ) from why


def pixel_of(
    ground: Ground, latitude_deg: ArrayLike, *, longitude_deg: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Row and column of positions; (0, 0) is the centre of the first cell.

    Parameters
    ----------
    ground : Ground
        The raster.
    latitude_deg, longitude_deg : array_like, shapes that broadcast to S
        Positions, WGS 84. [°]

    Returns
    -------
    row, column : ndarray of float64, shape S
        Fractional; positions off the raster lie outside its range, infinite where the map
        projection has no place for them.
    """
    return pixel_on_grid(
        ground.affine,
        ground.crs_wkt,
        columns=ground.heights_m.shape[1],
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
    )


def pixel_on_grid(
    affine: Affine,
    crs_wkt: str,
    *,
    columns: int,
    latitude_deg: ArrayLike,
    longitude_deg: ArrayLike,
) -> tuple[FloatArray, FloatArray]:
    """Row and column of positions on a grid whose heights need not be there yet.

    Parameters
    ----------
    affine, crs_wkt
        As in :class:`Ground`.
    columns : int
        Of the grid; tells which turn of the Earth its longitudes are on.
    latitude_deg, longitude_deg : array_like, shapes that broadcast to S
        Positions, WGS 84. [°]

    Returns
    -------
    row, column : ndarray of float64, shape S
        Fractional.
    """
    latitude, longitude = np.broadcast_arrays(
        np.asarray(latitude_deg, dtype=np.float64), np.asarray(longitude_deg, dtype=np.float64)
    )
    change = transformer(crs_wkt)
    x, y = change.transform(longitude, latitude)
    east = np.asarray(x, dtype=np.float64)
    if change.target_crs is not None and change.target_crs.is_geographic:
        # A raster may run past 180°, or count longitudes from 0 to 360.
        middle = affine[2] + affine[0] * (columns - 1) / 2
        east = east + 360.0 * np.round((middle - east) / 360.0)
    return cells_of(affine, east, y=np.asarray(y, dtype=np.float64))


def cells_of(affine: Affine, x: ArrayLike, *, y: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Fractional row and column of map coordinates; :func:`map_places` turned round."""
    a, b, c, d, e, f = affine
    east, north = np.asarray(x, dtype=np.float64) - c, np.asarray(y, dtype=np.float64) - f
    size = a * e - b * d
    return (a * north - d * east) / size, (e * east - b * north) / size


def map_places(
    affine: Affine, row: ArrayLike, *, column: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Map coordinates x and y of (fractional) rows and columns, shapes that broadcast."""
    a, b, c, d, e, f = affine
    rows, columns = np.asarray(row, dtype=np.float64), np.asarray(column, dtype=np.float64)
    return a * columns + b * rows + c, d * columns + e * rows + f


def latitude_longitude_deg(
    affine: Affine, crs_wkt: str, *, row: ArrayLike, column: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Latitude and longitude of rows and columns of a grid; :func:`pixel_on_grid` turned round.

    Parameters
    ----------
    affine, crs_wkt
        As in :class:`Ground`.
    row, column : array_like, shapes that broadcast to S
        Fractional.

    Returns
    -------
    latitude_deg, longitude_deg : ndarray of float64, shape S
        WGS 84; infinite where the map projection has no place on the Earth. [°]
    """
    x, y = map_places(affine, row, column=column)
    longitude, latitude = transformer(crs_wkt).transform(x, y, direction="INVERSE")
    return np.asarray(latitude), np.asarray(longitude)


def position_of(ground: Ground, row: float, column: float) -> Position:
    """Position of a (fractional) row and column, without a height."""
    latitude, longitude = latitude_longitude_deg(
        ground.affine, ground.crs_wkt, row=row, column=column
    )
    return Position(
        latitude_deg=float(latitude), longitude_deg=(float(longitude) + 180) % 360 - 180
    )


def sample(values: NDArray[np.float32], row: ArrayLike, *, column: ArrayLike) -> FloatArray:
    """Heights between the four nearest cell centres (bilinear).

    Parameters
    ----------
    values : ndarray of float32, shape (rows, columns)
        The raster.
    row, column : array_like, shapes that broadcast to S
        Fractional cell coordinates.

    Returns
    -------
    ndarray of float64, shape S
        NaN outside the outermost cell centres and beside a cell without data.
    """
    rows, columns = np.broadcast_arrays(
        np.asarray(row, dtype=np.float64), np.asarray(column, dtype=np.float64)
    )
    last_row, last_column = values.shape[0] - 1, values.shape[1] - 1
    inside = (rows >= 0) & (rows <= last_row) & (columns >= 0) & (columns <= last_column)
    rows, columns = np.where(inside, rows, 0.0), np.where(inside, columns, 0.0)
    top = np.minimum(rows.astype(np.int64), last_row - 1)
    left = np.minimum(columns.astype(np.int64), last_column - 1)
    down, right = rows - top, columns - left
    upper = values[top, left] * (1.0 - right) + values[top, left + 1] * right
    lower = values[top + 1, left] * (1.0 - right) + values[top + 1, left + 1] * right
    return np.where(inside, upper * (1.0 - down) + lower * down, np.nan)


def heights_at_m(
    ground: Ground, latitude_deg: ArrayLike, *, longitude_deg: ArrayLike
) -> FloatArray:
    """Ground height at positions, the coarser ground's where the finer has none, else NaN.

    Parameters
    ----------
    ground : Ground
        The raster.
    latitude_deg, longitude_deg : array_like, shapes that broadcast to S
        Positions, WGS 84. [°]

    Returns
    -------
    ndarray of float64, shape S
        Bilinear between cell centres. [m]
    """
    row, column = pixel_of(ground, latitude_deg, longitude_deg=longitude_deg)
    heights = sample(ground.heights_m, row, column=column)
    if ground.farther is None or not np.isnan(heights).any():
        return heights
    beyond = heights_at_m(ground.farther, latitude_deg, longitude_deg=longitude_deg)
    return np.where(np.isnan(heights), beyond, heights)


def height_at_m(ground: Ground, position: Position) -> float:
    """Ground height at one position [m].

    Raises
    ------
    MissingDataError
        If the position lies off the raster or on a hole in it.
    """
    row, column = pixel_of(ground, position.latitude_deg, longitude_deg=position.longitude_deg)
    height_m = float(sample(ground.heights_m, row, column=column))
    if np.isfinite(height_m):
        return height_m
    rows, columns = ground.heights_m.shape
    place = f"{position.latitude_deg:.5f}, {position.longitude_deg:.5f}"
    if 0 <= row <= rows - 1 and 0 <= column <= columns - 1:
        raise MissingDataError(
            f"The ground raster has a hole (no data) at {place}; fill it or type the skyline."
        )
    raise MissingDataError(
        f"The ground raster does not cover {place}; give one that reaches past the spot all round."
    )
