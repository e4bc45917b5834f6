"""``log``: what was really there."""

from typing import Annotated, Any

import typer

from shivelight.cli.options import command, require_said
from shivelight.cli.session import Session
from shivelight.workbench import read
from shivelight.workbench.fields.logs import FOUND

app = typer.Typer(help="The log: what was found, and the counts that come of it.")

Name = Annotated[str, typer.Argument(metavar="WOOD", help="The wood's name.")]


def register(root: typer.Typer) -> None:
    """Add the noun to the command line."""
    root.add_typer(app, name="log")


@command(
    app,
    "shivelight log found 'Pinnet Heath' --mist good --range 120 --lifted 08:05 --air still",
    "shivelight log found 'Pinnet Heath' --mist none --day 2027-10-24",
    fields=FOUND,
)
def found(session: Session, wood: Name, said: dict[str, Any]) -> None:
    """Log what was found in a wood."""
    from shivelight.cli.say.log import logged
    from shivelight.outing.found import Found

    require_said(said, "mist", "--mist good", keep=True)
    lifted = said.pop("lifted", None)
    with session.bench() as bench:
        today = bench.today(bench.wood(wood).wood)
        day = read.past(session.day(said.pop("day", "today"), today), today)
        if lifted is not None:
            said["lifted_utc"] = read.on_day(day, lifted, bench.wood(wood).wood.zone_name)
        session.show(bench.log_found(Found(day=day, wood=wood, **said)), logged)


@command(app, "shivelight log counts 'Pinnet Heath'")
def counts(session: Session, wood: Name) -> None:
    """Show how often mist was said and found in a wood."""
    from shivelight.cli.say.log import said_found

    with session.bench() as bench:
        session.show(bench.counts(wood), lambda one, width: said_found(one, width, name=wood))
