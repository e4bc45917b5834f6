"""``settings``: what may be set, and where it was set."""

import os
from typing import Annotated

import typer

from shivelight.cli.options import command
from shivelight.cli.session import Session

app = typer.Typer(help="The settings: show, set, or take back to the default.")
Name = Annotated[str, typer.Argument(metavar="NAME", help="A setting, as settings show names it.")]


def register(root: typer.Typer) -> None:
    """Add the noun to the command line."""
    root.add_typer(app, name="settings")


@command(app, "shivelight settings show", "shivelight settings show back_by --json")
def show(
    session: Session,
    name: Annotated[
        str | None,
        typer.Argument(metavar="NAME", help="Only this one.", show_default=False),
    ] = None,
) -> None:
    """Show the settings, and where each comes from."""
    from shivelight.cli.say.settings import settings
    from shivelight.workbench.changing import settings_shown

    session.show(settings_shown(session.settings(), os.environ, only=name), settings)


@command(
    app,
    "shivelight settings set back_by 10:30",
    "shivelight settings set contact orla@wennick.example",
)
def set_(
    session: Session,
    name: Name,
    value: Annotated[str, typer.Argument(metavar="VALUE", help="What it is from now on.")],
) -> None:
    """Set one for good, in shivelight.toml beside the book."""
    from shivelight.cli.say.settings import settings
    from shivelight.workbench.changing import change_settings, settings_shown, settings_to_mend

    change_settings(settings_to_mend(os.environ, book=session.book), os.environ, {name: value})
    session.show(settings_shown(session.settings(), os.environ, only=name), settings)


@command(app, "shivelight settings reset back_by")
def reset(session: Session, name: Name) -> None:
    """Take one out of shivelight.toml, so that its default counts."""
    from shivelight.cli.say.settings import settings
    from shivelight.workbench.changing import reset_settings, settings_shown, settings_to_mend

    reset_settings(settings_to_mend(os.environ, book=session.book), os.environ, [name])
    session.show(settings_shown(session.settings(), os.environ, only=name), settings)
