"""One raster file, opened with suspicion: where it lies, its unit, its holes, its heights."""

import contextlib
import math
import string
import warnings
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray
from rasterio._err import CPLE_BaseError
from rasterio.enums import Resampling
from rasterio.env import Env
from rasterio.errors import NotGeoreferencedWarning, RasterioError
from rasterio.io import DatasetReader
from rasterio.windows import Window

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import (
    BadInputError,
    MissingDataError,
    ShivelightError,
    UnreadableFileError,
)
from shivelight.basis.places import Position
from shivelight.land.ground import Affine, latitude_longitude_deg, pixel_on_grid
from shivelight.land.rays import positions_on_rays

Ring: TypeAlias = tuple[ArrayLike, ArrayLike]

DRIVERS = ("GTiff", "AAIGrid", "SRTMHGT", "EHdr", "HFA")
"""Formats of one self-contained file; none that may point at other files or the network."""
SENTINELS = (-9999.0, -99999.0, -32768.0, -32767.0, 65535.0)
"""Values that stand for "no data" when a file forgets to say so (common practice)."""
SMALLEST_CELL = 1e-20
"""Area of a cell, in the square of its system's unit, under which a file must be damaged."""
FOOT_M = 0.3048
SURVEY_FOOT_M = 1200.0 / 3937.0
UNITS_M = {
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), 1.0),
    **dict.fromkeys(("ft", "foot", "feet", "international foot"), FOOT_M),
    **dict.fromkeys(
        ("us-ft", "ftus", "us survey foot", "us survey feet", "foot_us", "survey foot"),
        SURVEY_FOOT_M,
    ),
    **dict.fromkeys(("cm", "centimetre", "centimeter"), 0.01),
    **dict.fromkeys(("dm", "decimetre", "decimeter"), 0.1),
}
STRIP_ROWS = 1024
MOST_CELLS = 25_000_000
"""Most cells kept of one layer (100 MB); more are averaged together, and the note says so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """What is known of one raster file before its heights are read.

    Attributes
    ----------
    path : Path
        The file.
    crs_wkt : str
        Its coordinate system.
    affine : tuple of six floats
        Map coordinates of cell centres, as in ``Ground``.
    shape : tuple of int
        Rows and columns.
    metres_per_unit : float
        What one unit of its heights is. [m]
    cell_m : float
        Side of a cell near the spot. [m]
    spot : tuple of float
        Row and column of the spot, from the first cell's centre; may lie outside.
    """

    path: Path
    crs_wkt: str
    affine: Affine
    shape: tuple[int, int]
    metres_per_unit: float
    cell_m: float
    spot: tuple[float, float]

    @property
    def covers_spot(self) -> bool:
        """Whether the spot lies between the outermost cell centres."""
        row, column = self.spot
        return 0 <= row <= self.shape[0] - 1 and 0 <= column <= self.shape[1] - 1


@contextlib.contextmanager
def quiet() -> Iterator[None]:
    """Keep rasterio's notices about files without a place, and about its own code, to itself."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", NotGeoreferencedWarning)
        warnings.simplefilter("ignore", PendingDeprecationWarning)
        yield


@contextlib.contextmanager
def opened(path: Path) -> Iterator[Any]:
    """Open a raster file for reading, turning GDAL's refusals into one sentence.

    Raises
    ------
    UnreadableFileError
        If the file is absent, empty, no raster of a known format, or damaged.
    """
    if path.is_dir():
        raise UnreadableFileError(f"{path} is a folder; name a file in it.")
    if not path.is_file():
        raise UnreadableFileError(f"There is no file {path.name}; check the name and the folder.")
    try:
        with quiet(), Env(), DatasetReader(path, driver=list(DRIVERS)) as data:
            yield data
    except ShivelightError:
        raise
    except (RasterioError, CPLE_BaseError, ValueError, ArithmeticError, OSError) as why:
        known = "recognized" not in str(why)
        raise UnreadableFileError(
            f"{path.name} is damaged or cut short; fetch or copy it again."
            if known
            else f"{path.name} is not a raster that can be read; give a GeoTIFF or an ESRI "
            "ASCII grid (.asc)."
        ) from why


def describe(
    path: Path, *, around: Position | None, height_unit: str | None, crs: str | None
) -> tuple[Tile, Position]:
    """Say where a raster lies and in what unit its heights are, reading none of them.

    Parameters
    ----------
    path : Path
        The file.
    around : Position or None
        The spot; the raster's own middle when None.
    height_unit : str or None
        Unit of the heights when the file does not say, or says wrong ("m", "ft", "us-ft").
    crs : str or None
        Coordinate system when the file has none.

    Returns
    -------
    Tile, Position
        The tile, and the spot it was described for.

    Raises
    ------
    UnreadableFileError, MissingDataError, BadInputError
        For a file that is no raster, without coordinate system or place, a picture, or heights
        in an unknown unit.
    """
    _refuse_letters(path)
    with opened(path) as data:
        if data.count >= 3 and data.dtypes[0] == "uint8":
            raise BadInputError(f"{path.name} is a picture of {data.count} colours, not heights.")
        if np.issubdtype(np.dtype(data.dtypes[0]), np.complexfloating):
            raise BadInputError(f"{path.name} holds complex numbers, not heights.")
        system = _system(path, data, crs)
        metres_per_unit = _unit(path, data, system, height_unit)
        place, shape = data.transform, (int(data.height), int(data.width))
    affine = (
        place.a, place.b, place.c + (place.a + place.b) / 2,
        place.d, place.e, place.f + (place.d + place.e) / 2,
    )  # fmt: skip
    area = place.a * place.e - place.b * place.d
    if not (math.isfinite(area) and abs(area) > SMALLEST_CELL):
        raise UnreadableFileError(f"{path.name} has cells without size; it is damaged.")
    crs_wkt = str(system.to_wkt())
    if around is None:
        around = _middle(path, crs_wkt, affine, shape)
    # The spot itself, and 100 m north and east of it.
    row, column = pixels(
        affine, crs_wkt, columns=shape[1], position=around,
        ring=([0.0, 100.0, 100.0], [0.0, 0.0, 90.0]),
    )  # fmt: skip
    turn = (row[1] - row[0]) * (column[2] - column[0])
    turn -= (row[2] - row[0]) * (column[1] - column[0])
    tile = Tile(
        path=path, crs_wkt=crs_wkt, affine=affine, shape=shape, metres_per_unit=metres_per_unit,
        cell_m=100.0 / math.sqrt(abs(turn)) if math.isfinite(turn) and turn else math.inf,
        spot=(float(row[0]), float(column[0])),
    )  # fmt: skip
    return tile, around


def pixels(
    tile_affine: Affine, crs_wkt: str, *, columns: int, position: Position, ring: Ring
) -> tuple[FloatArray, FloatArray]:
    """Rows and columns of places at distances [m] and azimuths [°] from a position."""
    distance_m, azimuth_deg = ring
    latitude, longitude = positions_on_rays(
        position, np.asarray(azimuth_deg), distance_m=np.asarray(distance_m)
    )
    return pixel_on_grid(
        tile_affine, crs_wkt, columns=columns, latitude_deg=latitude, longitude_deg=longitude
    )


def read_window(
    tile: Tile, window: Window, *, coarser: int = 1, tick: Callable[[float], None] | None = None
) -> NDArray[np.float32]:
    """Read a window's heights in metres, holes as NaN.

    Parameters
    ----------
    tile : Tile
        From :func:`describe`.
    window : Window
        Inside the raster, in whole cells, a whole number of times ``coarser`` each way.
    coarser : int
        How many cells each way are averaged into one.
    tick : callable, optional
        Told the share that has been read, strip by strip.

    Raises
    ------
    UnreadableFileError
        If the file is damaged.
    """
    rows, columns = int(window.height) // coarser, int(window.width) // coarser
    heights = np.empty((rows, columns), dtype=np.float32)
    how = Resampling.nearest if coarser == 1 else Resampling.average
    with opened(tile.path) as data:
        scale, offset = float(data.scales[0]), float(data.offsets[0])
        for start in range(0, rows, STRIP_ROWS):
            stop = min(start + STRIP_ROWS, rows)
            strip = Window(
                window.col_off,
                window.row_off + start * window.height / rows,
                window.width,
                (stop - start) * window.height / rows,
            )
            found = data.read(
                1, window=strip, out_shape=(stop - start, columns), masked=True, resampling=how
            )
            values = found.astype(np.float64).filled(np.nan)
            values[np.isin(values, SENTINELS) | (np.abs(values) > 1e9)] = np.nan
            heights[start:stop] = (values * scale + offset) * tile.metres_per_unit
            if tick is not None:
                tick(stop / rows)
    return heights


def unit_m(name: str) -> float:
    """Metres in a named unit of height.

    Raises
    ------
    BadInputError
        If the name is not known.
    """
    factor = UNITS_M.get(name.strip().lower().replace("u.s.", "us"))
    if factor is None:
        raise BadInputError(f"The height unit {name!r} is not known; give m, ft or us-ft.")
    return factor


def _system(path: Path, data: Any, crs: str | None) -> Any:
    from pyproj import CRS  # noqa: PLC0415  beside its one use
    from pyproj.exceptions import CRSError  # noqa: PLC0415

    if data.transform.is_identity:
        raise MissingDataError(
            f"{path.name} does not say where on the map it lies; give a raster with a place."
        )
    if crs is None and data.crs is None:
        raise MissingDataError(
            f"{path.name} has no coordinate system; name it, for example with --crs EPSG:27700."
        )
    try:  # what a file says of itself counts: its tiles may lie in several systems
        return CRS.from_user_input(crs if data.crs is None else data.crs.to_wkt())
    except CRSError as why:
        raise BadInputError(
            f"The coordinate system {crs if data.crs is None else 'of ' + path.name} is not "
            "known; give an EPSG number such as EPSG:27700."
        ) from why


def _unit(path: Path, data: Any, system: Any, height_unit: str | None) -> float:
    """Metres in one unit of the band: as asked, as the band says, as the system says."""
    if height_unit is not None:
        return unit_m(height_unit)
    upright = [axis for axis in system.axis_info if axis.direction in {"up", "down"}]
    said = [float(axis.unit_conversion_factor) for axis in upright]
    if data.units[0]:
        said.append(unit_m(data.units[0]))
    if said and max(said) - min(said) > 1e-9:
        raise BadInputError(
            f"{path.name} names two different height units; say which is right, with "
            "--height-unit m, ft or us-ft."
        )
    if said:
        return said[0]
    flat = [axis for axis in system.axis_info if axis.direction not in {"up", "down"}]
    if not system.is_geographic and any(axis.unit_conversion_factor != 1.0 for axis in flat):
        raise BadInputError(
            f"{path.name} is mapped in units of one {flat[0].unit_name} and does not say the unit "
            "of its heights; say it, with --height-unit m, ft or us-ft."
        )
    return 1.0


def _middle(path: Path, crs_wkt: str, affine: Affine, shape: tuple[int, int]) -> Position:
    latitude, longitude = latitude_longitude_deg(
        affine, crs_wkt, row=(shape[0] - 1) / 2, column=(shape[1] - 1) / 2
    )
    if not (math.isfinite(longitude) and math.isfinite(latitude) and abs(latitude) <= 90.0):
        raise BadInputError(
            f"{path.name} does not lie on the Earth in its coordinate system; check --crs."
        )
    return Position(
        latitude_deg=float(latitude), longitude_deg=(float(longitude) + 180) % 360 - 180
    )


def _refuse_letters(path: Path) -> None:
    """Refuse an ASCII grid with letters in it: GDAL reads such a cell as nought."""
    if path.suffix.lower() != ".asc" or not path.is_file():
        return
    allowed = b"0123456789+-.,eE \t\r\n"
    words = (string.ascii_letters + "_").encode()
    with path.open("rb") as file:
        for number, line in enumerate(file, start=1):
            head = line.split(maxsplit=1)[:1]
            if number <= 7 and head and not head[0].translate(None, words):
                continue  # "ncols 100" and the like
            odd = line.replace(b"nan", b"").replace(b"NaN", b"").translate(None, allowed)
            if odd:
                raise UnreadableFileError(
                    f"{path.name} holds something that is no number in line {number}; "
                    "fetch or copy it again."
                )
