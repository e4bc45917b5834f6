"""``wood relief`` and ``wood outline``: a wood's ground as a picture, and its edge from a file."""

from pathlib import Path
from typing import Annotated

import typer

from shivelight.cli.options import command
from shivelight.cli.session import Session
from shivelight.cli.wood import Name, app
from shivelight.workbench import read


def register(_root: typer.Typer) -> None:
    """Stand under ``wood``, which adds itself to the command line."""


@command(
    app,
    "shivelight wood relief 'Threll Clough' --out clough.svg",
    "shivelight wood relief 'Threll Clough' --out gorge.png --at 53.0121,-5.0722 --radius 150",
)
def relief(
    session: Session,
    wood: Name,
    out: Annotated[
        Path,
        typer.Option(
            "--out",
            metavar="FILE",
            help="A .svg with contours, outline and spots, or a .png of the shade alone.",
        ),
    ],
    at: Annotated[
        str | None,
        typer.Option("--at", metavar="PLACE", help="Its middle; else the whole wood is shown."),
    ] = None,
    radius: Annotated[
        str | None,
        typer.Option("--radius", metavar="M", help="From its middle to its sides, in m."),
    ] = None,
    side: Annotated[
        str, typer.Option("--side", metavar="PX", help="How many pixels wide it is.")
    ] = "720",
) -> None:
    """Draw a wood's ground from its raster.

    Without a raster it is a plain grid of metres.
    """
    from shivelight.cli.say.relief import written

    centre = None if at is None else read.position(at)
    radius_m = None if radius is None else read.number(radius, what="radius", unit="m")
    side_px = read.whole(side, what="side")
    with session.bench() as bench:
        made = bench.write_relief(wood, out, centre=centre, radius_m=radius_m, side_px=side_px)
        session.show(made, written)


@command(
    app,
    "shivelight wood outline 'Pinnet Heath' edge.gpx",
    "shivelight wood outline 'Pinnet Heath' woods.geojson --named 'Pinnet Heath'",
)
def outline(
    session: Session,
    wood: Name,
    file: Annotated[
        Path,
        typer.Argument(
            metavar="FILE", help="GPX, GeoJSON, or a text with one corner a line: 53.0012, -5.1003"
        ),
    ],
    named: Annotated[
        str | None, typer.Option("--named", metavar="NAME", help="Which outline of several.")
    ] = None,
) -> None:
    """Give a wood the outline that a file holds."""
    from shivelight.cli.say.relief import drawn
    from shivelight.workbench.outlines import outline_bytes

    data = outline_bytes(file)
    with session.bench() as bench:
        session.show(bench.draw_outline(wood, data, name=named), drawn)
