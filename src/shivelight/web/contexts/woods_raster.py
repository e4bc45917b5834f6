"""The form that takes a raster in, as the page says it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from shivelight.web.boxes import Box, boxes
from shivelight.web.contexts.wood import RasterShown
from shivelight.web.contexts.woods_fields import RASTER


@dataclass(frozen=True, slots=True, kw_only=True)
class RasterPage:
    """The page on which a raster is sent.

    Attributes
    ----------
    name : str
        Whose.
    rasters : tuple of RasterShown
        Those there are.
    boxes : tuple of Box
        What is said of the file.
    most_bytes : int
        Of the file.
    limits : str
        What may be sent, in a sentence.
    command : str
        How the command line does the same without a copy.
    """

    name: str
    rasters: tuple[RasterShown, ...]
    boxes: tuple[Box, ...]
    most_bytes: int
    limits: str
    command: str


def raster_page(
    name: str,
    rasters: Sequence[RasterShown],
    *,
    most_mb: int,
    typed: Mapping[str, str] | None = None,
) -> RasterPage:
    """Write the page."""
    values = {"kind": "ground"}
    return RasterPage(
        name=name,
        rasters=tuple(rasters),
        boxes=boxes(RASTER, values, typed=typed, asked=frozenset({"kind"})),
        most_bytes=most_mb * 1_000_000,
        limits=(
            "A raster is a file of heights on a grid, as mapping agencies and lidar surveys give "
            f"out: a GeoTIFF or an ESRI ASCII grid, at most {most_mb:,} MB "
            "(Settings has the limit). It is copied into a folder beside the book; nothing leaves "
            "this machine."
        ),
        command=f"shivelight wood raster '{name}' FILE",
    )
