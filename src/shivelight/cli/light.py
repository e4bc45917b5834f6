"""``light``: when direct light reaches a spot."""

from pathlib import Path
from typing import Annotated

import typer

from shivelight.cli.options import command
from shivelight.cli.session import Session
from shivelight.workbench import read

app = typer.Typer(help="Light on a spot: past its own skyline, not over a flat horizon.")
Name = Annotated[str, typer.Argument(metavar="SPOT", help="The spot's name.")]
Picture = Annotated[
    Path | None, typer.Option("--picture", metavar="FILE.svg", help="Draw it too.")
]
Year = Annotated[str | None, typer.Argument(metavar="YEAR", help="This year unless given.")]


def register(root: typer.Typer) -> None:
    """Add the noun to the command line."""
    root.add_typer(app, name="light")


@command(
    app,
    "shivelight light on 'White Post Gap' 2027-11-03",
    "shivelight light on 'White Post Gap' tomorrow --picture light.svg",
)
def on(
    session: Session,
    spot: Name,
    day: Annotated[str, typer.Argument(metavar="DATE", help="2027-11-03, today or tomorrow.")],
    picture: Picture = None,
) -> None:
    """Say when direct light reaches a spot on one day.

    Past its own skyline, to the subject and to the stand point; clouds apart.
    """
    from shivelight.cli.say.light import light_day
    from shivelight.workbench.keeping import write_whole

    with session.bench() as bench:
        morning = session.day(day, bench.today(bench.wood_of(bench.spot(spot))))
        if picture is not None:
            write_whole(picture, bench.light_picture(spot, morning))
        session.show(bench.light_on(spot, morning), light_day)


@command(app, "shivelight light dark-season 'Rope and Fern' 2027", name="dark-season")
def dark_season(
    session: Session,
    spot: Name,
    year: Year = None,
) -> None:
    """Say from which date to which no direct light reaches a spot."""
    from shivelight.cli.say.light import dark

    wanted = session.today().year if year is None else read.whole(year, what="year")
    with session.bench() as bench:
        session.show(bench.dark_season(spot, wanted), dark)


@command(
    app,
    "shivelight light carpet 'White Post Gap' 2027",
    "shivelight light carpet 'White Post Gap' 2027 --picture year.svg",
)
def carpet(
    session: Session,
    spot: Name,
    year: Year = None,
    picture: Picture = None,
) -> None:
    """Show a whole year of direct light on a spot, date by clock."""
    from shivelight.cli.say.light import year_of_light
    from shivelight.workbench.keeping import write_whole

    wanted = session.today().year if year is None else read.whole(year, what="year")
    with session.bench() as bench:
        if picture is not None:
            write_whole(picture, bench.carpet_picture(spot, wanted))
        zone_name = bench.wood(bench.spot(spot).wood).wood.zone_name
        session.show(
            bench.season_carpet(spot, wanted),
            lambda one, width: year_of_light(one, width, name=spot, zone_name=zone_name),
        )
