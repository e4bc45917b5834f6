"""``arrive``: what is found on arrival re-ranks the spots."""

from typing import Annotated

import typer

from shivelight.basis.errors import BadInputError
from shivelight.cli.options import Morning, command
from shivelight.cli.session import Session
from shivelight.workbench import read


def register(root: typer.Typer) -> None:
    """Add the command to the command line."""
    command(
        root,
        "shivelight arrive --mist thin --air still --light clear",
        "shivelight arrive --mist none --air still --light clear --ground hoar --time 06:55",
    )(arrive)


def arrive(
    session: Session,
    mist: Annotated[
        str, typer.Option("--mist", metavar="none|wisps|thin|good|thick", help="As you see it.")
    ],
    air: Annotated[
        str, typer.Option("--air", metavar="still|stirring|moving", help="At leaf height.")
    ],
    light: Annotated[
        str, typer.Option("--light", metavar="clear|broken|overcast", help="The sky.")
    ],
    day: Morning = None,
    ground: Annotated[
        str, typer.Option("--ground", metavar="dry|wet|frost|hoar", help="If you looked.")
    ] = "",
    time: Annotated[
        str | None,
        typer.Option("--time", metavar="HH:MM", help="On the wood's clock; else now."),
    ] = None,
    here: Annotated[
        str | None, typer.Option("--here", metavar="SPOT", help="The spot you stand at.")
    ] = None,
) -> None:
    """Say which spots suit what is found, in walking order."""
    from shivelight.cli.say.arrive import arrival
    from shivelight.outing.arrive import Answers

    answers = Answers(mist=mist, air=air, light=light, ground=ground)
    at = None if time is None else read.clock(time)
    with session.bench() as bench:
        morning = session.morning(bench, day)
        zone_name = bench.judged(morning).zone_name
        if at is None and morning != bench.today():
            raise BadInputError(
                f"The morning of {morning} is not today's, so now is no time of it; say the time "
                "that counts, such as --time 06:55."
            )
        found = bench.arrive(morning, answers, at=at, here=here)
        session.show(found, lambda one, width: arrival(one, width, zone_name=zone_name))
