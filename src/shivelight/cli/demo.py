"""``demo`` and ``warm``: the invented valley, and getting the machine ready."""

from pathlib import Path
from typing import Annotated

import typer

from shivelight.cli.options import command
from shivelight.cli.session import Session


def register(root: typer.Typer) -> None:
    """Add the commands to the command line."""
    command(root, "shivelight demo --out demo-out")(demo)
    command(root, "shivelight warm")(warm)


def demo(
    session: Session,
    out: Annotated[
        Path, typer.Option("--out", metavar="FOLDER", help="Where its book and papers go.")
    ] = Path("demo-out"),
) -> None:
    """Run one evening in the invented Wennick valley.

    The evening of 2 November 2027, from field book to morning sheet and leave-word card.
    """
    from shivelight.cli.say.demo import report
    from shivelight.workbench.demo import run_demo

    with session.progress() as progress:
        told = run_demo(out, session.settings(), progress=progress)
    session.show(told, report)


def warm(session: Session) -> None:
    """Compile what is compiled once.

    After it the first evening is as quick as the next.
    """
    from shivelight.cli.say.mist import warmed
    from shivelight.workbench import warm as compiled

    compiled.warm()
    session.show({"ready": True}, warmed)
