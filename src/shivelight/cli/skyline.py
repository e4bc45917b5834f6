"""``skyline``: how high hills and trees stand round a spot."""

from pathlib import Path
from typing import Annotated

import typer

from shivelight.basis.errors import BadInputError
from shivelight.cli.options import command
from shivelight.cli.session import Session
from shivelight.workbench import read

app = typer.Typer(help="Skylines: typed by hand-spans, or worked out from the ground.")
Name = Annotated[str, typer.Argument(metavar="SPOT", help="The spot's name.")]


def register(root: typer.Typer) -> None:
    """Add the noun to the command line."""
    root.add_typer(app, name="skyline")


@command(
    app,
    "shivelight skyline set 'White Post Gap' --at '95: 1 fist 2 fingers' --at '130: 4'",
    "shivelight skyline set 'White Post Gap' --file heights.csv",
    name="set",
)
def set_(
    session: Session,
    spot: Name,
    at: Annotated[
        list[str] | None,
        typer.Option(
            "--at",
            metavar="'BEARING: HEIGHT'",
            help="In degrees, or in fists, fingers and spans at arm's length. Again for more.",
        ),
    ] = None,
    file: Annotated[
        Path | None,
        typer.Option("--file", metavar="FILE", help="Bearings and heights, one pair a line."),
    ] = None,
    magnetic: Annotated[
        bool, typer.Option("--magnetic", help="The bearings are a compass's, not true.")
    ] = False,
    finger: Annotated[
        str | None,
        typer.Option("--finger", metavar="DEG", help="Your finger's width at arm's length."),
    ] = None,
) -> None:
    """Keep a skyline as measured by hand."""
    from shivelight.cli.say.skyline import skyline

    lines = (*(read.sight_lines(file) if file else ()), *(at or ()))
    if not lines:
        raise BadInputError("No heights were given; add --at '95: 12.5' or --file heights.csv.")
    finger_deg = None if finger is None else read.number(finger, what="finger's width")
    with session.bench() as bench:
        kept = bench.set_skyline_by_hand(spot, lines, magnetic=magnetic, finger_deg=finger_deg)
        session.show(kept, skyline)


@command(app, "shivelight skyline ground 'White Post Gap' --reach 20")
def ground(
    session: Session,
    spot: Name,
    reach: Annotated[
        str | None, typer.Option("--reach", metavar="KM", help="How far to look, in km.")
    ] = None,
) -> None:
    """Work a spot's skyline out from the rasters of its wood.

    With a canopy or surface raster, also what crowns stand between the spot and the sun.
    """
    from shivelight.cli.say.skyline import skyline

    reach_km = None if reach is None else read.number(reach, what="reach", unit="km")
    with session.bench() as bench, session.progress() as progress:
        made = bench.skyline_from_ground(spot, reach_km=reach_km, progress=progress)
        session.show(made, skyline)


@command(app, "shivelight skyline show 'White Post Gap'")
def show(session: Session, spot: Name) -> None:
    """Show a spot's skyline and where each part of it comes from."""
    from shivelight.cli.say.skyline import skyline

    with session.bench() as bench:
        session.show(bench.skyline(spot), skyline)
