"""``wood``: the woods of the book."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from shivelight.cli.options import command, require_said
from shivelight.cli.session import Session
from shivelight.workbench import read
from shivelight.workbench.fields.woods import ACCESS, WOOD, with_habit

if TYPE_CHECKING:
    from shivelight.workbench.results import WoodPage

app = typer.Typer(help="Woods: where they are, how mist behaves there, how one gets in.")
Name = Annotated[str, typer.Argument(metavar="WOOD", help="The wood's name.")]


def register(root: typer.Typer) -> None:
    """Add the noun to the command line."""
    root.add_typer(app, name="wood")


@command(
    app,
    "shivelight wood add 'Pinnet Heath' --parking '53.0043 N 5.0912 W' --height 96 \\\n"
    "    --clock Europe/London --stand birch --road 40",
    fields=WOOD,
)
def add(session: Session, wood: Name, said: dict[str, Any]) -> None:
    """Add a wood."""
    from shivelight.outing.woods import MistHabit, Wood

    require_said(said, "parking", "--parking '53.0012 N 5.1003 W'", keep=True)
    require_said(said, "ground_height_m", "--height 96", keep=True)
    said.setdefault("zone_name", session.zone_name)
    require_said(said, "zone_name", "--clock Europe/London", keep=True)
    made = Wood(name=wood, **with_habit(said, MistHabit()))
    with session.bench() as bench:
        _show(session, bench.add_wood(made))


@command(app, "shivelight wood list")
def list_(session: Session) -> None:
    """List the woods with their spots and what was found there."""
    from shivelight.cli.say.wood import woods

    with session.bench() as bench:
        session.show(bench.woods(), woods)


@command(app, "shivelight wood show 'Pinnet Heath'")
def show(session: Session, wood: Name) -> None:
    """Show one wood with its access, spots and record."""
    with session.bench() as bench:
        _show(session, bench.wood(wood))


@command(app, "shivelight wood change 'Pinnet Heath' --road 45 --hazard ash", fields=WOOD)
def change(session: Session, wood: Name, said: dict[str, Any]) -> None:
    """Change what is typed and leave the rest."""
    with session.bench() as bench:
        changes = with_habit(said, bench.wood(wood).wood.habit)
        _show(session, bench.change_wood(wood, **changes))


@command(
    app,
    "shivelight wood access 'Coldshaw Bottom' 'felling proposal noted' --noted-on 2027-01-03",
    "shivelight wood access 'Coldshaw Bottom' stalking --from 2026-11-01 --to 2027-03-31 --closes",
    fields=ACCESS,
)
def access(
    session: Session,
    wood: Name,
    what: Annotated[str, typer.Argument(metavar="WHAT", help="The fact, in words.")],
    said: dict[str, Any],
) -> None:
    """Note a fact about getting in."""
    from shivelight.outing.woods import AccessFact

    said.setdefault("noted_on", session.today())
    with session.bench() as bench:
        _show(session, bench.add_access(wood, AccessFact(what=what, **said)))


@command(
    app,
    "shivelight wood raster 'Threll Clough' tile-1.tif tile-2.tif",
    "shivelight wood raster 'Threll Clough' crowns.tif --kind canopy",
    "shivelight wood raster 'Threll Clough' ground.asc --crs EPSG:27700",
)
def raster(
    session: Session,
    wood: Name,
    files: Annotated[
        list[Path],
        typer.Argument(metavar="FILE", help="GeoTIFF or ASCII grid; tiles together."),
    ],
    kind: Annotated[
        str, typer.Option("--kind", metavar="ground|canopy|surface", help="What it holds.")
    ] = "ground",
    height_unit: Annotated[
        str | None,
        typer.Option("--height-unit", metavar="m|ft", help="Unit of heights, if it says none."),
    ] = None,
    crs: Annotated[
        str | None,
        typer.Option(
            "--crs",
            metavar="EPSG:N",
            help="Coordinate system, if the file says none: EPSG:27700.",
            show_default=False,
        ),
    ] = None,
) -> None:
    """Lay a raster of heights under a wood."""
    from shivelight.cli.say.wood import rasters

    sort = read.choice(kind, ("ground", "canopy", "surface"), what="kind")
    with session.bench() as bench, session.progress() as progress:
        notes = bench.attach_raster(
            wood, files, kind=sort, height_unit=height_unit, crs=crs, progress=progress
        )
        session.show(notes, rasters)


@command(app, "shivelight wood remove 'Pinnet Heath'")
def remove(session: Session, wood: Name) -> None:
    """Take a wood without spots out of the book."""
    from shivelight.cli.say.wood import removed

    with session.bench() as bench:
        bench.remove_wood(wood)
        session.show({"removed": wood}, removed)


def _show(session: Session, page: "WoodPage") -> None:
    """Show a wood as the book now has it."""
    from shivelight.cli.say import wood as say

    today = session.today()
    session.show(page, lambda one, width: say.page(one, width, today=today))
