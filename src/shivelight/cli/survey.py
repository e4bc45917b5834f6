"""``survey``: what stands before the lens at a spot."""

from pathlib import Path
from typing import Annotated, Any

import typer

from shivelight.cli.options import command
from shivelight.cli.session import Session
from shivelight.workbench.fields.elements import ELEMENT, as_words

app = typer.Typer(help="Surveys: trunks, branches and closed ground at a spot.")
Spot = Annotated[str, typer.Argument(metavar="SPOT", help="The spot's name.")]
Name = Annotated[str, typer.Argument(metavar="NAME", help="What the element is called.")]


def register(root: typer.Typer) -> None:
    """Add the noun to the command line."""
    root.add_typer(app, name="survey")


@command(
    app,
    "shivelight survey add 'Plumb and Lean' trunk Plumb --angle 0 --distance 7 --width 0.55 \\\n"
    "    --role subject",
    "shivelight survey add 'Plumb and Lean' trunk Stub --angle '1 fist left' \\\n"
    "    --distance '24 paces' --width 'girth 1.2 m'",
    "shivelight survey add 'Plumb and Lean' branch twig --from '5 left / 2 m / 1.5 m' \\\n"
    "    --to 'ahead / 2 m / 1.7 m' --width '3 cm'",
    "shivelight survey add 'Old Chair' ring 'Old Chair'",
    fields=ELEMENT,
)
def add(
    session: Session,
    spot: Spot,
    kind: Annotated[
        str,
        typer.Argument(metavar="KIND", help="trunk, branch, log, hole, closed or ring."),
    ],
    name: Name,
    said: dict[str, Any],
) -> None:
    """Add an element as it was measured."""
    from shivelight.cli.say.survey import page

    with session.bench() as bench:
        told = {"kind": kind, "name": name, **as_words(said)}
        session.show(bench.add_element(spot, told), page)


@command(app, "shivelight survey show 'Plumb and Lean'")
def show(session: Session, spot: Spot) -> None:
    """Show the elements of a spot, near to far, with their doubts."""
    from shivelight.cli.say.survey import page

    with session.bench() as bench:
        session.show(bench.survey(spot), page)


@command(
    app,
    "shivelight survey change 'Plumb and Lean' Stub --distance '18 m'",
    "shivelight survey change 'Plumb and Lean' Stub --rename 'Old Stub'",
    fields=ELEMENT,
)
def change(
    session: Session,
    spot: Spot,
    name: Name,
    said: dict[str, Any],
    rename: Annotated[
        str, typer.Option("--rename", metavar="NAME", help="Another name.", show_default=False)
    ] = "",
) -> None:
    """Change what is typed about an element and leave the rest."""
    from shivelight.cli.say.survey import page

    with session.bench() as bench:
        session.show(bench.change_element(spot, name, {**as_words(said), "name": rename}), page)


@command(app, "shivelight survey drop 'Plumb and Lean' twig")
def drop(session: Session, spot: Spot, name: Name) -> None:
    """Take an element out of the survey."""
    from shivelight.cli.say.survey import page

    with session.bench() as bench:
        session.show(bench.drop_element(spot, name), page)


@command(
    app,
    "shivelight survey slope 'Plumb and Lean' --forward '1 in 8'",
    "shivelight survey slope 'Plumb and Lean' --right '5 down' --forward level",
)
def slope(
    session: Session,
    spot: Spot,
    right: Annotated[
        str,
        typer.Option(
            "--right", metavar="RISE", help="To the right: '1 in 8', '5 down', level.",
            show_default=False,
        ),
    ] = "",
    forward: Annotated[
        str,
        typer.Option(
            "--forward", metavar="RISE", help="Forward: '1 in 8', '5 down', level.",
            show_default=False,
        ),
    ] = "",
) -> None:  # fmt: skip
    """Say how the ground rises from the mark."""
    from shivelight.cli.say.survey import page

    with session.bench() as bench:
        session.show(bench.slope_ground(spot, right=right, forward=forward), page)


@command(
    app,
    "shivelight survey import 'Plumb and Lean' beeches.csv",
    "shivelight survey import 'Plumb and Lean' beeches.csv --instead",
    name="import",
)
def import_(
    session: Session,
    spot: Spot,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A table (CSV) with a heading.")],
    instead: Annotated[
        bool, typer.Option("--instead", help="In place of all that is there.", show_default=False)
    ] = False,
) -> None:
    """Add the elements of a table with a heading line."""
    from shivelight.cli.say.survey import page
    from shivelight.workbench.table_file import table_text

    text = table_text(file)
    with session.bench() as bench:
        session.show(bench.import_elements(spot, text, instead=instead), page)


@command(app, "shivelight survey export 'Plumb and Lean' --out beeches.csv")
def export(
    session: Session,
    spot: Spot,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="FILE", help="Where to; else on the screen."),
    ] = None,
) -> None:
    """Write the elements as a table that can be imported again."""
    from shivelight.cli.say.survey import exported
    from shivelight.workbench.table_file import write_table

    with session.bench() as bench:
        text = bench.export_elements(spot)
    session.show(text if out is None else write_table(out, text), exported)
