"""``layers``: how trunks part in mist."""

from pathlib import Path
from typing import Annotated

import typer

from shivelight.cli.options import command
from shivelight.cli.session import Session


def register(root: typer.Typer) -> None:
    """Add the command to the command line."""

    @command(
        root,
        "shivelight layers 'Plumb and Lean' --range 120",
        "shivelight layers 'Plumb and Lean' --range 120 --wish --picture stair.svg",
    )
    def layers(
        session: Session,
        spot: Annotated[str, typer.Argument(metavar="SPOT", help="The spot's name.")],
        range_m: Annotated[
            float,
            typer.Option(
                "--range", metavar="M", help="Optical range: paced to the last trunk, in m."
            ),
        ] = 120.0,
        wish: Annotated[
            bool,
            typer.Option(
                "--wish", help="Make the best mist a must of the spot.", show_default=False
            ),
        ] = False,
        picture: Annotated[
            Path | None,
            typer.Option("--picture", metavar="FILE", help="Draw the layer stair: .svg."),
        ] = None,
    ) -> None:
        """Say which mist parts the layers of a spot."""
        from shivelight.cli.say.stand import layers as told
        from shivelight.cli.say.stand import with_picture
        from shivelight.workbench.stand_files import write_stair

        with session.bench() as bench:
            found = bench.layers(spot, range_m, wish=wish)
            file = None if picture is None else write_stair(bench, spot, range_m, out=picture)
        session.show(found, with_picture(told, file))
