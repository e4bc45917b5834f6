"""``word``: the card that is left with somebody at home."""

from pathlib import Path
from typing import Annotated, Any

import typer

from shivelight.cli.options import Morning, command
from shivelight.cli.session import Session
from shivelight.workbench.fields.words import WORD

app = typer.Typer(help="The leave-word card: who to ring, and when.")


def register(root: typer.Typer) -> None:
    """Add the noun to the command line."""
    root.add_typer(app, name="word")


@command(
    app,
    "shivelight word leave tomorrow --who Orla --car 'old blue van' \\\n"
    "    --contact 'sister, 01632 960123' --back-by 11:00 --alarm-at 13:00",
    fields=WORD,
)
def leave(
    session: Session,
    said: dict[str, Any],
    day: Morning = None,
    out: Annotated[
        Path, typer.Option("--out", metavar="FOLDER", help="Where the card goes.")
    ] = Path(),
) -> None:
    """Write the card of one day.

    Car, parking place, route, back by, alarm: of this day and no other.
    """
    from shivelight.cli.say.sheet import word_files
    from shivelight.workbench.sheet import WordAsked

    with session.bench() as bench:
        morning = session.morning(bench, day)
        session.show(bench.leave_word(morning, out, WordAsked(**said)), word_files)
