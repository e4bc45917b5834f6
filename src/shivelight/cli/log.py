"""``log``: what was really there."""

from typing import Annotated, Any

import typer

from shivelight.cli import read
from shivelight.cli.options import Field, command, require_said
from shivelight.cli.session import Session

app = typer.Typer(help="The log: what was found, and the counts that come of it.")

FIELDS = (
    Field(
        flag="--mist",
        key="mist",
        metavar="none|wisps|thin|good|thick",
        help="How much of it there was at its best.",
    ),
    Field(flag="--spot", key="spot", metavar="SPOT", help="Which spot, if you were at one."),
    Field(
        flag="--day",
        key="day",
        metavar="DATE",
        help="2027-11-03 or yesterday; today unless said.",
    ),
    Field(
        flag="--range",
        key="optical_range_m",
        metavar="M",
        help="Paced to the last trunk that could be made out, in m.",
        read=read.reader("range", "m"),
    ),
    Field(
        flag="--lifted",
        key="lifted",
        metavar="HH:MM",
        help="When it went, on the wood's clock.",
        read=read.clock,
    ),
    Field(flag="--air", key="air", metavar="still|stirring|moving", help="At leaf height."),
    Field(
        flag="--light",
        key="light",
        metavar="none|shaft|back|side|front|flat",
        help="The light there was.",
    ),
    Field(
        flag="--leaf",
        key="leaf",
        metavar="bare|flush|full|turning|peak|drop",
        help="Stage of the leaf.",
    ),
    Field(
        flag="--why",
        key="why_looked",
        metavar="planned|daily|'mist seen'",
        help="Why you looked: a look made because mist was seen is kept out of the counts.",
    ),
    Field(flag="--note", key="note", metavar="WORDS", help="Anything."),
)
Name = Annotated[str, typer.Argument(metavar="WOOD", help="The wood's name.")]


def register(root: typer.Typer) -> None:
    """Add the noun to the command line."""
    root.add_typer(app, name="log")


@command(
    app,
    "shivelight log found 'Pinnet Heath' --mist good --range 120 --lifted 08:05 --air still",
    "shivelight log found 'Pinnet Heath' --mist none --day 2027-10-24",
    fields=FIELDS,
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
