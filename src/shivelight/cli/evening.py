"""``evening``: the main job. What is typed at the window, the judgement, and what is taken."""

from typing import Annotated, Any

import typer

from shivelight.cli.options import Morning, command, require_said
from shivelight.cli.session import Session
from shivelight.workbench import read
from shivelight.workbench.fields.evening import EVENING

app = typer.Typer(help="The evening before: which spot, why, how sure, and what else.")


def register(root: typer.Typer) -> None:
    """Add the noun to the command line."""
    root.add_typer(app, name="evening")


@command(
    app,
    "shivelight evening enter --temperature 6.2 --dew-point 4.4 --wind '3 mph' \\\n"
    "    --wind-trend falling --cloud 7/8 --clears-by 01:00 --wet --pressure rising",
    fields=EVENING,
)
def enter(session: Session, said: dict[str, Any]) -> None:
    """Keep the evening's values as a forecast."""
    from shivelight.cli.say.forecast import kept_now
    from shivelight.workbench.typed import EveningTyped

    require_said(said, "temperature_degc", "--temperature 6.2", keep=True)
    with session.bench() as bench:
        said.setdefault("at", bench.wall_now())
        session.show(bench.enter_evening(EveningTyped(**said)), kept_now)


@command(
    app,
    "shivelight evening judge",
    "shivelight evening judge 2027-11-03 --all",
    "shivelight --now '2027-11-02 21:40' --zone Europe/London evening judge",
)
def judge(
    session: Session,
    day: Morning = None,
    mornings: Annotated[
        str | None,
        typer.Option("--mornings", metavar="N", help="How many mornings to look at, 1 to 7."),
    ] = None,
    all_spots: Annotated[
        bool, typer.Option("--all", help="Reasons for every spot, not for the first three.")
    ] = False,
) -> None:
    """Say which spot suits the coming mornings, and why.

    Every spot is judged for each morning that the forecast reaches, and the judgement is kept.
    """
    from shivelight.cli.say.evening import judgement

    count = None if mornings is None else read.whole(mornings, what="number of mornings")
    with session.bench() as bench, session.progress() as progress:
        first = None if day is None else session.morning(bench, day)
        judged = bench.judge(day=first, mornings=count, progress=progress)
        asked = count or bench.settings.mornings
    session.show(
        judged, lambda all_, width: judgement(all_, width, all_spots=all_spots, asked=asked)
    )


@command(app, "shivelight evening show 2027-11-03 --all")
def show(
    session: Session,
    day: Morning = None,
    all_spots: Annotated[
        bool, typer.Option("--all", help="Reasons for every spot, not for the first three.")
    ] = False,
) -> None:
    """Show a judgement again as it was given."""
    from shivelight.cli.say.evening import judgement

    with session.bench() as bench:
        judged = (bench.judged(session.morning(bench, day)),)
    session.show(judged, lambda all_, width: judgement(all_, width, all_spots=all_spots))


@command(app, "shivelight evening take tomorrow --spot 'White Post Gap'")
def take(
    session: Session,
    day: Morning = None,
    spot: Annotated[
        str | None,
        typer.Option(
            "--spot", metavar="SPOT", help="Begin here; else with the one that suits best."
        ),
    ] = None,
) -> None:
    """Say that you go, and keep the outing."""
    from shivelight.cli.say.evening import outing

    with session.bench() as bench:
        morning = session.morning(bench, day)
        answer = bench.judged(morning)
        session.show(
            bench.take(morning, spot=spot),
            lambda taken, width: outing(taken, width, against="" if answer.go else answer.answer),
        )
