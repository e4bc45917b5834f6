"""``mark``: how a stand point is found again."""

from typing import Annotated, Any

import typer

from shivelight.cli.options import command
from shivelight.cli.session import Session
from shivelight.workbench.fields.elements import ANGLES, MEASURED

app = typer.Typer(help="Marks: note what finds a stand point again, and find it.")
Spot = Annotated[str, typer.Argument(metavar="SPOT", help="The spot's name.")]
Anchor = Annotated[str, typer.Argument(metavar="NAME", help="The thing, as it was noted.")]


def register(root: typer.Typer) -> None:
    """Add the noun to the command line."""
    root.add_typer(app, name="mark")


@command(app, "shivelight mark show 'Plumb and Lean'")
def show(session: Session, spot: Spot) -> None:
    """Show the anchors of a mark, and where they are weak."""
    from shivelight.cli.say.mark import page

    with session.bench() as bench:
        session.show(bench.mark(spot), page)


@command(
    app,
    "shivelight mark note 'Plumb and Lean' --transit 'Plumb left / Lean right' \\\n"
    "    --distance Plumb=7.00 --distance Crook=10.02",
    "shivelight mark note 'Plumb and Lean' --distance 'Plumb=6.72 m to the bark'",
    fields=MEASURED,
)
def note(session: Session, spot: Spot, said: dict[str, Any]) -> None:
    """Note anchors while standing on the mark: two things in line, distances."""
    from shivelight.cli.say.mark import page

    with session.bench() as bench:
        session.show(bench.note_mark(spot, **said), page)


@command(
    app,
    "shivelight mark find 'Plumb and Lean' --distance Plumb=7.12 --distance Crook=9.8 \\\n"
    "    --distance Stub=18.3",
    "shivelight mark find 'Plumb and Lean' --transit 'Plumb left / Lean right = 0.5 right' \\\n"
    "    --distance Crook=9.8",
    fields=MEASURED + ANGLES,
)
def find(session: Session, spot: Spot, said: dict[str, Any]) -> None:
    """Say where you stand from the mark, and which way to step."""
    from shivelight.cli.say.mark import found
    from shivelight.workbench.mark import Measured

    with session.bench() as bench:
        session.show(bench.find_mark(spot, Measured(**said)), found)


@command(
    app,
    "shivelight mark lost 'Plumb and Lean' Crook",
    "shivelight mark lost 'Plumb and Lean' Crook --stands",
)
def lost(
    session: Session,
    spot: Spot,
    name: Anchor,
    stands: Annotated[
        bool, typer.Option("--stands", help="It stands after all.", show_default=False)
    ] = False,
) -> None:
    """Note that an anchor fell, was felled or moved."""
    from shivelight.cli.say.mark import page

    with session.bench() as bench:
        session.show(bench.lose_anchor(spot, name, stands=stands), page)


@command(app, "shivelight mark forget 'Plumb and Lean' Crook")
def forget(session: Session, spot: Spot, name: Anchor) -> None:
    """Take an anchor off the mark that was noted by mistake."""
    from shivelight.cli.say.mark import page

    with session.bench() as bench:
        session.show(bench.forget_anchor(spot, name), page)


@command(app, "shivelight mark check 'Plumb and Lean'")
def check(session: Session, spot: Spot) -> None:
    """Note that you stand on the mark today and its anchors hold."""
    from shivelight.cli.say.spot import page

    with session.bench() as bench:
        session.show(bench.confirm_mark(spot), page)
