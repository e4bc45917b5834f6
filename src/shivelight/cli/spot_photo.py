"""``spot photo``: what a photograph tells, and keeping it for a spot."""

from pathlib import Path
from typing import Annotated

import typer

from shivelight.cli.options import command
from shivelight.cli.session import Session
from shivelight.cli.spot import app


def register(_root: typer.Typer) -> None:
    """Stand under ``spot``, which adds itself to the command line."""


@command(
    app,
    "shivelight spot photo bank.jpg",
    "shivelight spot photo bank.jpg --spot 'White Post Gap' --caption 'from the bank'",
)
def photo(
    session: Session,
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="A JPEG, PNG, TIFF or WebP photograph.")
    ],
    spot: Annotated[
        str | None, typer.Option("--spot", metavar="SPOT", help="Keep it for this spot.")
    ] = None,
    caption: Annotated[
        str, typer.Option("--caption", metavar="TEXT", help="In words, when it is kept.")
    ] = "",
) -> None:
    """Show what a photograph tells, or with --spot keep it for a spot."""
    from shivelight.cli.say.photo import facts, kept
    from shivelight.workbench.photo_file import photo_bytes

    data = photo_bytes(file)
    with session.bench() as bench:
        if spot is None:
            session.show(bench.photo_facts(data), facts)
        else:
            session.show(bench.keep_picture(data, spot=spot, caption=caption), kept)
