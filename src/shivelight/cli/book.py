"""``book``: the field book itself."""

from pathlib import Path
from typing import Annotated

import typer

from shivelight.cli.options import command
from shivelight.cli.session import Session

app = typer.Typer(help="The field book: begin, check, copy, write out, read in.")


def register(root: typer.Typer) -> None:
    """Add the noun to the command line."""
    root.add_typer(app, name="book")


@command(app, "shivelight --book ~/Shivelight/book.sqlite book new")
def new(session: Session) -> None:
    """Begin an empty field book."""
    from shivelight.cli.say.book import begun

    with session.bench(create=True) as bench:
        session.show(bench.book_report(), begun)


@command(app, "shivelight book check")
def check(session: Session) -> None:
    """Say whether the book is whole, and what it holds."""
    from shivelight.cli.say.book import report

    with session.bench() as bench:
        session.show(bench.book_report(), report)


@command(app, "shivelight book backup /media/stick/book-2027-11.sqlite")
def backup(
    session: Session,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Where the copy goes.")],
    replace: Annotated[
        bool, typer.Option("--replace", help="Write over a copy that is there already.")
    ] = False,
) -> None:
    """Copy the book, consistent even while it is in use."""
    from shivelight.cli.say.book import written

    with session.bench() as bench:
        session.show(bench.book_backup(file, replace=replace), written)


@command(app, "shivelight book export book.json")
def export(
    session: Session,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Where the JSON goes.")],
) -> None:
    """Write everything in the book as plain JSON.

    Places are in it: keep the file as private as the book.
    """
    from shivelight.cli.say.book import written

    with session.bench() as bench:
        session.show(bench.book_export(file), written)


@command(app, "shivelight --book new.sqlite book import book.json", name="import")
def import_(
    session: Session,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A file of book export.")],
) -> None:
    """Read an exported book into an empty one.

    The book is begun if it is not there.
    """
    from shivelight.cli.say.book import report

    with session.bench(create=True) as bench:
        session.show(bench.book_import(file), report)
