"""Serve the app: put the guard before it, tell where it is, answer until stopped."""

import contextlib
import logging
import sys
import threading
import webbrowser
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from shivelight.web.counted import MB, BodyLimits
from shivelight.web.doors import Doors
from shivelight.web.guard import App, Guard, GuardRules
from shivelight.web.pairing import GOOD_FOR_S, Pairing
from shivelight.web.refusing import Refusal, Render, bare
from shivelight.web.tokens import upload_paths
from shivelight.workbench.settings import Settings

if TYPE_CHECKING:
    from fastapi import FastAPI
    from uvicorn import Server

    from shivelight.web.house import House

FORM_EXTRA = MB
"""Bytes of a form beside its file."""
MOST_CONNECTIONS = 100
KEEP_ALIVE_S = 15
MOST_HEADER_BYTES = 32_768
STOP_WITHIN_S = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """What is told when the app is there.

    Attributes
    ----------
    address : str
        For this machine.
    near_addresses : tuple of str
        For other devices of the home network.
    code, link : str or None
        What lets a device in, and the address that carries it; None when none may.
    minutes : int or None
        For how long the code is good.
    book : str
        The field book.
    is_new : bool
        Whether the book was begun just now.
    """

    address: str
    near_addresses: tuple[str, ...]
    code: str | None
    link: str | None
    minutes: int | None
    book: str
    is_new: bool


def opened(doors: Doors, pairing: Pairing | None, settings: Settings, *, is_new: bool) -> Opened:
    """Tell what is open and how to get in."""
    return Opened(
        address=doors.address,
        near_addresses=doors.near_addresses,
        code=None if pairing is None else pairing.code,
        link=None if pairing is None else pairing.link,
        minutes=None if pairing is None else round(GOOD_FOR_S / 60),
        book=str(settings.book_path),
        is_new=is_new,
    )


def guarded(app: "FastAPI", house: "House", doors: Doors) -> Guard:
    """Put the guard before the app.

    Parameters
    ----------
    app : FastAPI
        As built for ``house``; routes that depend on ``upload_token`` may take a raster.
    house : House
        Its secret counts, its largest raster, and its own book, in which devices are paired.
    doors : Doors
        Where it will be found.
    """
    raster = BodyLimits(most_bytes=house.settings.most_raster_mb * MB + FORM_EXTRA)
    rules = GuardRules(
        hosts=doors.hosts,
        secret=house.secret,
        home_network=bool(doors.near),
        is_paired=_lookup(house),
        large=tuple((pattern, raster) for pattern in upload_paths(app.routes)),
        render=_render(app),
    )
    return Guard(app, rules)


def _lookup(house: "House") -> Callable[[str], bool]:
    from shivelight.workbench.bench import Workbench  # noqa: PLC0415  heavy

    def is_paired(token_sha256: str) -> bool:
        settings = house.settings if house.own is None else house.own[0]
        with Workbench.open(settings, create=True) as bench:
            return bench.device_with(token_sha256) is not None

    return is_paired


def _render(app: "FastAPI") -> Render:
    """Show refusals as pages of the app to whoever was let in, and bare to others."""
    from fastapi import Request  # noqa: PLC0415  heavy

    from shivelight.web.errors import refused  # noqa: PLC0415  heavy

    def render(scope: Mapping[str, Any], refusal: Refusal) -> tuple[str, bytes]:
        if "visit" not in (scope.get("state") or {}):
            return bare(scope, refusal)
        answer = refused(Request({**scope, "app": app}), refusal.status, refusal.sentence)
        return answer.headers["content-type"], bytes(answer.body)

    return render


def server_for(app: App, *, verbose: bool = False) -> "Server":
    """Make the server: HTTP alone, no trust in what a proxy would say, no name of itself.

    Parameters
    ----------
    app : ASGI app
        With its guard.
    verbose : bool
        Whether every request is told on stderr.
    """
    import uvicorn  # noqa: PLC0415  heavy

    _tell_requests(verbose=verbose)
    config = uvicorn.Config(
        app,
        http="h11",
        ws="none",
        loop="asyncio",
        log_config=None,
        access_log=verbose,
        proxy_headers=False,
        server_header=False,
        limit_concurrency=MOST_CONNECTIONS,
        timeout_keep_alive=KEEP_ALIVE_S,
        timeout_graceful_shutdown=STOP_WITHIN_S,
        h11_max_incomplete_event_size=MOST_HEADER_BYTES,
    )
    return uvicorn.Server(config)


def run(server: "Server", doors: Doors) -> None:
    """Serve until Ctrl+C, then finish what is being answered and give the port back."""
    try:
        with contextlib.suppress(KeyboardInterrupt):
            server.run(sockets=list(doors.sockets))
    finally:
        doors.close()


def _tell_requests(*, verbose: bool) -> None:
    for name in ("uvicorn.error", "uvicorn.access"):
        theirs = logging.getLogger(name)
        theirs.setLevel(logging.INFO if verbose else logging.CRITICAL)
        if verbose and not theirs.handlers:
            teller = logging.StreamHandler(sys.stderr)
            teller.setFormatter(logging.Formatter("%(message)s"))
            theirs.addHandler(teller)


def open_browser(address: str, environment: Mapping[str, str]) -> bool:
    """Open an address in the browser, without waiting; False where there is no screen for one.

    A browser for the terminal would take the terminal away from the program that serves it.
    """
    has_screen = sys.platform in {"darwin", "win32"} or any(
        environment.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY")
    )
    if has_screen:
        threading.Thread(target=_show, args=(address,), daemon=True).start()
    return has_screen


def _show(address: str) -> None:
    with contextlib.suppress(webbrowser.Error, OSError):
        webbrowser.open(address)
