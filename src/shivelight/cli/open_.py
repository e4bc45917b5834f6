"""``open``: the workbench on screen, in the browser of this machine or of a paired phone."""

import os
import sys
from typing import TYPE_CHECKING, Annotated

import typer

from shivelight.basis.errors import BadInputError, require_range
from shivelight.cli.options import command
from shivelight.cli.session import Session

if TYPE_CHECKING:
    from shivelight.web.doors import Doors
    from shivelight.web.house import House
    from shivelight.web.pairing import Pairing
    from shivelight.workbench.settings import Settings


def register(root: typer.Typer) -> None:
    """Add the command to the command line."""
    command(
        root,
        "shivelight open",
        "shivelight open --home-network",
        "shivelight open --now '2027-11-02 21:40' --zone Europe/London --no-browser",
    )(open_)


def open_(
    session: Session,
    port: Annotated[
        int | None,
        typer.Option(
            "--port",
            metavar="N",
            help="The only port to try; else that of the settings, or the next one free.",
            show_default=False,
        ),
    ] = None,
    no_browser: Annotated[
        bool, typer.Option("--no-browser", help="Only tell the address.")
    ] = False,
    home_network: Annotated[
        bool,
        typer.Option(
            "--home-network", help="Let paired phones of your home network in, with a code."
        ),
    ] = False,
    address: Annotated[
        str | None,
        typer.Option(
            "--address",
            metavar="A",
            help="This machine's address on the home network, where it has several.",
            show_default=False,
        ),
    ] = None,
) -> None:
    """Open the workbench in the browser.

    A book is begun if it is not there. It answers this machine alone, unless --home-network is
    said; nothing of it needs the internet. Ctrl+C stops it.
    """
    from shivelight.cli.say.open_ import told
    from shivelight.web.app import build_app
    from shivelight.web.serve import guarded, open_browser, opened, run, server_for

    house = _house(session)
    with _doors(house.settings, port, home_network=home_network, address=address) as doors:
        is_new = _begin_book(session, house.settings)
        house.pairing = _pairing(doors)
        app = guarded(build_app(house), house, doors)
        session.show(opened(doors, house.pairing, house.settings, is_new=is_new), told)
        sys.stdout.flush()
        if not no_browser:
            open_browser(doors.address, os.environ)
        run(server_for(app, verbose=session.verbose), doors)


def _doors(
    settings: "Settings", port: int | None, *, home_network: bool, address: str | None
) -> "Doors":
    from shivelight.web.doors import home_addresses, open_doors

    if port is not None:
        require_range("port", port, 1, 65_535)
    if address is not None and not home_network:
        raise BadInputError(
            "--address lets other devices in; say --home-network with it, or leave it out."
        )
    near = home_addresses(address) if home_network else ()
    return open_doors(settings.port, port=port, near=near)


def _house(session: Session) -> "House":
    import secrets

    from shivelight.web.house import House

    return House(
        settings=session.settings(),
        now_utc=session.now_utc(),
        zone_name=session.zone_name,
        environment=dict(os.environ),
        secret=secrets.token_bytes(32),
    )


def _begin_book(session: Session, settings: "Settings") -> bool:
    is_new = not settings.book_path.exists()
    with session.bench(create=True):
        return is_new


def _pairing(doors: "Doors") -> "Pairing | None":
    from shivelight.cli.say.open_ import next_code
    from shivelight.web.pairing import Pairing

    if not doors.near:
        return None
    return Pairing(
        doors.near_addresses[0], told=lambda code: typer.echo(next_code(code), err=True)
    )
