"""``kit``: what is in the bag."""

from typing import Annotated, Any

import typer

from shivelight.cli.options import command, require_said
from shivelight.cli.session import Session
from shivelight.workbench.fields.kit import BODY, LENS

app = typer.Typer(help="The bag: bodies and lenses.")


def register(root: typer.Typer) -> None:
    """Add the noun to the command line."""
    root.add_typer(app, name="kit")


@command(app, "shivelight kit show")
def show(session: Session) -> None:
    """Show the bodies and lenses."""
    from shivelight.cli.say.kit import kit

    with session.bench() as bench:
        session.show(bench.kit(), kit)


@command(
    app,
    "shivelight kit body 'the big one' --sensor '36 x 24' --pixels-across 6000",
    fields=BODY,
)
def body(
    session: Session,
    name: Annotated[str, typer.Argument(metavar="NAME", help="What you call it.")],
    said: dict[str, Any],
) -> None:
    """Put a body into the kit."""
    from shivelight.cli.say.kit import kit
    from shivelight.outing.kit import Body

    width_mm, height_mm = require_said(said, "sensor", "--sensor '36 x 24'")
    require_said(said, "pixels_across", "--pixels-across 6000", keep=True)
    made = Body(name=name, sensor_width_mm=width_mm, sensor_height_mm=height_mm, **said)
    with session.bench() as bench:
        session.show(bench.add_body(made), kit)


@command(app, "shivelight kit lens 'long zoom' --focal 70-200 --widest 4", fields=LENS)
def lens(
    session: Session,
    name: Annotated[str, typer.Argument(metavar="NAME", help="What you call it.")],
    said: dict[str, Any],
) -> None:
    """Put a lens into the kit."""
    from shivelight.cli.say.kit import kit
    from shivelight.outing.kit import KitLens

    shortest_mm, longest_mm = require_said(said, "focal", "--focal 24-105")
    require_said(said, "widest_f_number", "--widest 4", keep=True)
    made = KitLens(name=name, shortest_mm=shortest_mm, longest_mm=longest_mm, **said)
    with session.bench() as bench:
        session.show(bench.add_lens(made), kit)


@command(app, "shivelight kit drop 'long zoom'")
def drop(
    session: Session,
    name: Annotated[str, typer.Argument(metavar="NAME", help="A body or a lens.")],
) -> None:
    """Take a body or a lens out of the kit."""
    from shivelight.cli.say.kit import kit

    with session.bench() as bench:
        session.show(bench.drop_from_kit(name), kit)
