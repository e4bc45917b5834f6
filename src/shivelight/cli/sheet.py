"""``sheet``: the morning sheet."""

from pathlib import Path
from typing import Annotated

import typer

from shivelight.cli.options import Morning, command
from shivelight.cli.session import Session

app = typer.Typer(help="The morning sheet: one page for the phone, one for the pocket.")


def register(root: typer.Typer) -> None:
    """Add the noun to the command line."""
    root.add_typer(app, name="sheet")


@command(app, "shivelight sheet print tomorrow --out sheets")
def print_(
    session: Session,
    day: Morning = None,
    out: Annotated[
        Path, typer.Option("--out", metavar="FOLDER", help="Where the files go.")
    ] = Path(),
    no_pdf: Annotated[bool, typer.Option("--no-pdf", help="Write the page only.")] = False,
) -> None:
    """Write the sheet of a judged morning.

    One HTML file that needs no network, and an A4 that folds to a pocket.
    """
    from shivelight.cli.say.sheet import sheet_files

    with session.bench() as bench:
        morning = session.morning(bench, day)
        session.show(bench.write_sheet(morning, out, pdf=not no_pdf), sheet_files)
