"""What rasters show of a square of ground: its shade, its contours and its heights."""

import logging
import math
import time
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.drawing.relief import relief_png
from shivelight.land.contours import Contour, contour_interval_m, find_contours
from shivelight.land.relief import shade_frac, times_as_steep
from shivelight.land.square import GroundSquare
from shivelight.outing.kept import RasterNote

CONTOUR_CELLS = 180
"""Contours are drawn from at most so many cells a side; finer ones show the survey's noise."""
LEAST_LINE_PX = 20.0
"""Width and height together under which a contour is left out of the picture; a judgement."""

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shaded:
    """Ground as it was read and shaded; the fields are those of ``ReliefView``."""

    source: str = ""
    png: bytes | None = None
    contours: tuple[Contour, ...] = ()
    interval_m: float | None = None
    lowest_m: float | None = None
    highest_m: float | None = None
    times: int = 1
    heights_m: FloatArray | None = None


PLAIN = Shaded()
"""Ground of which nothing is known."""


def shaded(notes: Sequence[RasterNote], square: GroundSquare) -> Shaded:
    """Read a square of ground, shade it, and find its contours.

    Parameters
    ----------
    notes : sequence of RasterNote
        Files of one kind of heights.
    square : GroundSquare
        Where.

    Raises
    ------
    MissingDataError, UnreadableFileError, BadInputError
        As :func:`shivelight.intake.square.read_square`.
    """
    from shivelight.intake.square import read_square  # noqa: PLC0415  loads GDAL

    start = time.monotonic()
    read = read_square(notes, square)
    read_s = time.monotonic() - start
    inner = read.heights_m[1:-1, 1:-1]
    coarse, cell_px = _coarser(inner, square.side_px)
    times = times_as_steep(coarse, cell_m=cell_px * square.pixel_m)
    shade = shade_frac(read.heights_m, cell_m=read.cell_m, times=times)[1:-1, 1:-1]
    low_m, high_m = float(np.nanmin(inner)), float(np.nanmax(inner))
    interval_m = contour_interval_m(low_m, high_m)
    lines = find_contours(coarse, interval_m=interval_m, cell_px=cell_px)
    made = Shaded(
        source=_source(notes, read.names, read.file_cell_m, times),
        png=relief_png(shade, side_px=square.side_px),
        contours=tuple(one for one in lines if _is_seen(one)),
        interval_m=interval_m,
        lowest_m=low_m,
        highest_m=high_m,
        times=times,
        heights_m=read.heights_m,
    )
    _log.info(
        "relief of %d px: read in %.2f s, all in %.2f s",
        square.side_px, read_s, time.monotonic() - start,
    )  # fmt: skip
    return made


def _coarser(heights_m: FloatArray, side_px: int) -> tuple[FloatArray, float]:
    """Heights averaged down to what contours are drawn from, and the side of such a cell [px]."""
    cells = heights_m.shape[0]
    step = max(1, math.ceil(cells / CONTOUR_CELLS))
    if step == 1:
        return heights_m, side_px / cells
    whole = math.ceil(cells / step)
    spare = whole * step - cells
    padded = np.pad(heights_m, ((0, spare), (0, spare)), mode="edge")
    blocks = padded.reshape(whole, step, whole, step)
    return blocks.mean(axis=(1, 3)), side_px / cells * step


def _is_seen(line: Contour) -> bool:
    """Whether a line is more than a speck, which is a bump of the survey's noise."""
    return float(np.ptp(line.x_px) + np.ptp(line.y_px)) >= LEAST_LINE_PX


def _source(notes: Sequence[RasterNote], names: Sequence[str], cell_m: float, times: int) -> str:
    files = names[0] if len(names) == 1 else f"{names[0]} and {len(names) - 1} more"
    kind = "surface heights (tree tops and roofs)" if notes[0].kind == "surface" else "ground"
    steeper = "" if times == 1 else f"; shaded as if {times} times as steep"
    return f"{kind} from {files}, {cell_m:.3g} m cells{steeper}"
