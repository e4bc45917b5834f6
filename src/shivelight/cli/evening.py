"""``evening``: the main job. What is typed at the window, the judgement, and what is taken."""

from typing import Annotated, Any

import typer

from shivelight.cli import read
from shivelight.cli.options import Field, Morning, command, require_said
from shivelight.cli.session import Session

app = typer.Typer(help="The evening before: which spot, why, how sure, and what else.")

FIELDS = (
    Field(
        flag="--at",
        key="at",
        metavar="'DATE HH:MM'",
        help="When it was read off; now unless said.",
        read=read.wall_time,
    ),
    Field(
        flag="--temperature",
        key="temperature_degc",
        metavar="DEGC",
        help="Air temperature in °C; '43 F' is understood.",
        read=read.degc,
    ),
    Field(
        flag="--dew-point",
        key="dew_point_degc",
        metavar="DEGC",
        help="Dew point in °C; or give --humidity.",
        read=lambda text: read.degc(text, what="dew point"),
    ),
    Field(
        flag="--humidity",
        key="humidity_frac",
        metavar="N",
        help="Relative humidity as instruments show it, in hundredths: 88.",
        read=read.humidity_frac,
    ),
    Field(
        flag="--wind",
        key="wind_mps",
        metavar="'N UNIT'",
        help="Wind in the open at 10 m, with its unit: '3 mph', '1.3 m/s', '5 km/h', '2 kn'.",
        read=read.speed_mps,
    ),
    Field(
        flag="--wind-trend",
        key="wind_trend",
        metavar="falling|steady|rising",
        help="What the wind will do; steady unless said.",
        read=lambda text: read.choice(text, ("falling", "steady", "rising"), what="wind trend"),
    ),
    Field(
        flag="--cloud",
        key="cloud_frac",
        metavar="N/8",
        help="Cloud now in eighths: 7/8; or clear, broken, overcast.",
        read=read.cloud_frac,
    ),
    Field(
        flag="--clears-by",
        key="clears_by",
        metavar="HH:MM",
        help="When it will have cleared.",
        read=read.clock,
    ),
    Field(
        flag="--thickens-by",
        key="thickens_by",
        metavar="HH:MM",
        help="When it will have closed in.",
        read=read.clock,
    ),
    Field(
        flag="--wet/--dry",
        key="ground_wet",
        help="Whether the ground is wet; leave out if you did not look.",
    ),
    Field(
        flag="--pressure-hpa",
        key="pressure_hpa",
        metavar="HPA",
        help="Pressure at sea level, in hPa.",
        read=read.reader("pressure", "hPa"),
    ),
    Field(
        flag="--pressure",
        key="pressure_trend",
        metavar="falling|steady|rising",
        help="Which way pressure goes.",
        read=lambda text: read.choice(
            text, ("falling", "steady", "rising"), what="pressure trend"
        ),
    ),
)


def register(root: typer.Typer) -> None:
    """Add the noun to the command line."""
    root.add_typer(app, name="evening")


@command(
    app,
    "shivelight evening enter --temperature 6.2 --dew-point 4.4 --wind '3 mph' \\\n"
    "    --wind-trend falling --cloud 7/8 --clears-by 01:00 --wet --pressure rising",
    fields=FIELDS,
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
