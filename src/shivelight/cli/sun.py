"""``sun``: Sun and Moon of one day at any place, over a level horizon."""

from typing import Annotated

import typer

from shivelight.basis.errors import BadInputError
from shivelight.cli.options import command
from shivelight.cli.session import Session
from shivelight.workbench import read


def register(root: typer.Typer) -> None:
    """Add the command to the command line."""
    command(root, "shivelight sun 2027-11-03 --at '53.0 N 5.1 W' --zone Europe/London")(sun)


def sun(
    session: Session,
    day: Annotated[str, typer.Argument(metavar="DATE", help="2027-11-03, today or tomorrow.")],
    at: Annotated[
        str, typer.Option("--at", metavar="PLACE", help="'53.0 N 5.1 W', or 53.0,-5.1.")
    ],
) -> None:
    """Say when Sun and Moon rise and set, over a level horizon."""
    from shivelight.cli.say.sun import sun_day
    from shivelight.workbench.bench import Workbench

    if session.zone_name is None:
        raise BadInputError("The zone is missing; add it, such as --zone Europe/London.")
    place = read.position(at)
    session.show(Workbench.sun_on(place, session.day(day), session.zone_name), sun_day)
