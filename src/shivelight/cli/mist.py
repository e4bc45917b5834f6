"""``mist``: the model by itself, tried on mornings whose outcome is known."""

from pathlib import Path
from typing import Annotated

import typer

from shivelight.cli.options import command
from shivelight.cli.session import Session

app = typer.Typer(help="The mist model, tried on past mornings.")


def register(root: typer.Typer) -> None:
    """Add the noun to the command line."""
    root.add_typer(app, name="mist")


@command(app, "shivelight mist hindcast cases.jsonl.gz --out predictions.jsonl")
def hindcast(
    session: Session,
    cases: Annotated[
        Path, typer.Argument(metavar="CASES", help="One case a line, JSON; .gz is read too.")
    ],
    out: Annotated[Path, typer.Option("--out", metavar="FILE", help="Where predictions go.")],
) -> None:
    """Write what the model would have said for each case."""
    from shivelight.cli.say.mist import hindcasts
    from shivelight.workbench import hindcast as model

    with session.progress() as progress:
        count = model.hindcast(cases, out, progress=progress)
    session.show({"cases": count, "file": str(out)}, hindcasts)
