"""``word``: the card that is left with somebody at home."""

from pathlib import Path
from typing import Annotated, Any

import typer

from shivelight.cli import read
from shivelight.cli.options import Field, Morning, command
from shivelight.cli.session import Session

app = typer.Typer(help="The leave-word card: who to ring, and when.")

FIELDS = (
    Field(flag="--who", key="who", metavar="NAME", help="You; else as last time."),
    Field(flag="--car", key="car", metavar="WORDS", help="The car, in words; else as last time."),
    Field(
        flag="--contact",
        key="contact",
        metavar="WORDS",
        help="Whom to ring first; else as last time.",
    ),
    Field(
        flag="--back-by",
        key="back_by",
        metavar="HH:MM",
        help="When you are back, on the wood's clock; else as in the settings.",
        read=read.clock,
    ),
    Field(
        flag="--alarm-at",
        key="alarm_at",
        metavar="HH:MM",
        help="When the alarm is raised; else some hours after, as in the settings.",
        read=read.clock,
    ),
    Field(flag="--note", key="note", metavar="WORDS", help="Anything."),
    Field(
        flag="--let-out",
        key="let_out",
        metavar="SPOT",
        many=True,
        help="A spot of class never that may stand on this card, by its full name.",
    ),
)


def register(root: typer.Typer) -> None:
    """Add the noun to the command line."""
    root.add_typer(app, name="word")


@command(
    app,
    "shivelight word leave tomorrow --who Orla --car 'old blue van' \\\n"
    "    --contact 'sister, 01632 960123' --back-by 11:00 --alarm-at 13:00",
    fields=FIELDS,
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
