"""``spot``: where the tripod stands, and what it waits for."""

from pathlib import Path
from typing import Annotated, Any

import typer

from shivelight.basis.errors import BadInputError
from shivelight.cli.options import command, require_said
from shivelight.cli.session import Session
from shivelight.workbench.fields.spots import SPOT, STATE, WISHES, gathered

app = typer.Typer(help="Spots: the stand point, the view, and the wishes.")
Name = Annotated[str, typer.Argument(metavar="SPOT", help="The spot's name.")]


def register(root: typer.Typer) -> None:
    """Add the noun to the command line."""
    root.add_typer(app, name="spot")


@command(
    app,
    "shivelight spot add 'White Post Gap' --wood 'Pinnet Heath' --at '53.0051 N 5.0899 W' \\\n"
    "    --view 118 --focal 135 --walk 12 --must 'sun 2 to 6 deg' --must 'still air'",
    "shivelight spot add 'Bank Oak' --from-photo bank.jpg --focal 70 --must 'soft light'",
    fields=SPOT + WISHES,
)
def add(
    session: Session,
    spot: Name,
    said: dict[str, Any],
    wood: Annotated[
        str | None,
        typer.Option("--wood", metavar="WOOD", help="The wood it is in.", show_default=False),
    ] = None,
    from_photo: Annotated[
        Path | None,
        typer.Option(
            "--from-photo",
            metavar="FILE",
            help="Take what is not typed from this photograph, and keep it for the spot.",
            show_default=False,
        ),
    ] = None,
) -> None:
    """Add a spot to a wood."""
    wishes = (*said.pop("musts", ()), *said.pop("likes", ()))
    if from_photo is not None:
        _add_from_photo(session, from_photo, spot=spot, wood=wood, said={**said, "wishes": wishes})
        return
    from shivelight.cli.say.spot import page
    from shivelight.outing.spots import Spot

    if wood is None:
        raise BadInputError("--wood is missing; add it, such as --wood 'Pinnet Heath'.")
    require_said(said, "position", "--at '53.0051 N 5.0899 W'", keep=True)
    require_said(said, "view_azimuth_deg", "--view 118", keep=True)
    made = Spot(name=spot, wood=wood, wishes=wishes, **gathered(said, None))
    with session.bench() as bench:
        session.show(bench.add_spot(made), page)


def _add_from_photo(
    session: Session, file: Path, *, spot: str, wood: str | None, said: dict[str, Any]
) -> None:
    from shivelight.cli.say.photo import spot_made
    from shivelight.workbench.photo_file import photo_bytes

    data = photo_bytes(file)
    with session.bench() as bench:
        session.show(bench.add_spot_from_photo(data, name=spot, wood=wood, typed=said), spot_made)


@command(app, "shivelight spot list", "shivelight spot list --wood 'Pinnet Heath'")
def list_(
    session: Session,
    wood: Annotated[
        str | None, typer.Option("--wood", metavar="WOOD", help="Of this wood only.")
    ] = None,
) -> None:
    """List spots with what they wait for."""
    from shivelight.cli.say.spot import spots

    with session.bench() as bench:
        session.show(bench.spots(wood), spots)


@command(app, "shivelight spot show 'White Post Gap'")
def show(session: Session, spot: Name) -> None:
    """Show one spot with its wishes, its mark and its pictures."""
    from shivelight.cli.say.spot import page

    with session.bench() as bench:
        one, pictures = bench.spot(spot), bench.pictures_of(spot)
    session.show(one, lambda spot_, width: page(spot_, width, pictures=pictures))


@command(
    app,
    "shivelight spot wish 'White Post Gap' 'mist 120 to 260 m'",
    "shivelight spot wish 'White Post Gap' 'ground wet' --like",
)
def wish(
    session: Session,
    spot: Name,
    text: Annotated[str, typer.Argument(metavar="WISH", help="The wish, in words.")],
    like: Annotated[
        bool, typer.Option("--like", help="Welcome, but no must.", show_default=False)
    ] = False,
) -> None:
    """Add a wish to a spot: a must, or with --like a would-like."""
    from shivelight.cli.say.spot import page

    with session.bench() as bench:
        session.show(bench.wish(spot, text, must=not like), page)


@command(app, "shivelight spot unwish 'White Post Gap' 'ground wet'")
def unwish(
    session: Session,
    spot: Name,
    text: Annotated[str, typer.Argument(metavar="WISH", help="The wish, as it is shown.")],
) -> None:
    """Take a wish back."""
    from shivelight.cli.say.spot import page

    with session.bench() as bench:
        session.show(bench.unwish(spot, text), page)


@command(
    app,
    "shivelight spot change 'White Post Gap' --walk 14 --confirmed 2027-10-20",
    fields=SPOT + STATE,
)
def change(session: Session, spot: Name, said: dict[str, Any]) -> None:
    """Change what is typed and leave the rest."""
    from shivelight.cli.say.spot import page

    with session.bench() as bench:
        session.show(bench.change_spot(spot, **gathered(said, bench.spot(spot))), page)


@command(app, "shivelight spot remove 'White Post Gap'")
def remove(session: Session, spot: Name) -> None:
    """Mark a spot lost; its history stays."""
    from shivelight.cli.say.spot import page

    with session.bench() as bench:
        session.show(bench.remove_spot(spot), page)
