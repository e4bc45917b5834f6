"""``wood season``: dated notes on what the season does in a wood."""

from typing import Annotated

import typer

from shivelight.cli.options import command
from shivelight.cli.session import Session
from shivelight.cli.wood import Name, app


def register(_root: typer.Typer) -> None:
    """Stand under ``wood``, which adds itself to the command line."""


@command(
    app,
    "shivelight wood season 'Pinnet Heath' 'bracken down' --stage turning",
    "shivelight wood season 'Marchbell Coppice' 'first bells' --day 2027-04-24",
    "shivelight wood season 'Pinnet Heath'",
)
def season(
    session: Session,
    wood: Name,
    words: Annotated[
        str, typer.Argument(metavar="WORDS", help="What was seen.", show_default=False)
    ] = "",
    stage: Annotated[
        str,
        typer.Option(
            "--stage",
            metavar="STAGE",
            help="Of the leaves: bare, flush, full, turning, peak or drop.",
            show_default=False,
        ),
    ] = "",
    day: Annotated[
        str, typer.Option("--day", metavar="DATE", help="When it was seen: 2027-10-20 or today.")
    ] = "today",
    drop: Annotated[
        bool, typer.Option("--drop", help="Take this very note back.", show_default=False)
    ] = False,
) -> None:
    """Note what the season did in a wood, or show the notes.

    Without WORDS it shows them.
    """
    from shivelight.cli.say.season import notes
    from shivelight.outing.season_notes import SeasonNote

    with session.bench() as bench:
        if not (words or stage or drop):
            session.show(bench.season_notes(wood), notes)
            return
        today = bench.today(bench.wood(wood).wood)
        note = SeasonNote(day=session.day(day, today), stage=stage, words=words)
        change = bench.drop_season_note if drop else bench.note_season
        session.show(change(wood, note), notes)
