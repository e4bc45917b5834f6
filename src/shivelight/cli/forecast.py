"""``forecast``: what a service or a file says about the coming air."""

from pathlib import Path
from typing import Annotated

import typer

from shivelight.cli.options import command
from shivelight.cli.session import Session

app = typer.Typer(help="Forecasts: fetched or read from a file; typed: evening enter.")


def register(root: typer.Typer) -> None:
    """Add the noun to the command line."""
    root.add_typer(app, name="forecast")


@command(app, "shivelight forecast fetch", "shivelight forecast fetch --wood 'Pinnet Heath'")
def fetch(
    session: Session,
    service: Annotated[
        str | None,
        typer.Option(
            "--service",
            metavar="NAME",
            help="met-norway, open-meteo or open-meteo-ensemble; else as in the settings.",
        ),
    ] = None,
    wood: Annotated[
        str | None, typer.Option("--wood", metavar="WOOD", help="For this wood only.")
    ] = None,
) -> None:
    """Fetch a forecast for each wood.

    Without a network the last one is used, and its age is said.
    """
    from shivelight.cli.say.forecast import forecasts

    with session.bench() as bench, session.progress() as progress:
        kept = bench.fetch_forecasts(service=service, wood=wood, progress=progress)
        session.show(kept, forecasts)


@command(
    app,
    "shivelight forecast read saved.json --wood 'Pinnet Heath'",
    "shivelight forecast read evening.csv --kind table --zone Europe/London",
)
def read(
    session: Session,
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="As a service or a person wrote it.")
    ],
    wood: Annotated[
        str | None, typer.Option("--wood", metavar="WOOD", help="For this wood; else for all.")
    ] = None,
    kind: Annotated[
        str | None,
        typer.Option(
            "--kind",
            metavar="openmeteo|metno|metar|table",
            help="What the file is; else it is told from its contents.",
        ),
    ] = None,
) -> None:
    """Read a forecast from a file and keep it in the book.

    JSON of Open-Meteo or MET Norway, METAR reports, or a table (CSV) whose header names values
    with their units: time, temperature_degc, dew_point_degc, wind_speed_mph,
    cloud_cover_percent; also humidity, wind_gust_..., low_cloud_..., precipitation_mm,
    pressure_hpa, visibility_m. Times without an offset are read on the clock of --zone.
    """
    from shivelight.cli.say.forecast import kept_now

    with session.bench() as bench:
        kept = bench.read_forecast(file, wood=wood, kind=kind, zone_name=session.zone_name)
        session.show(kept, kept_now)


@command(app, "shivelight forecast list")
def list_(session: Session) -> None:
    """List the forecasts in the book with their age."""
    from shivelight.cli.say.forecast import forecasts

    with session.bench() as bench:
        session.show(bench.forecasts(), forecasts)
