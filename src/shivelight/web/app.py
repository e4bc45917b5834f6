"""The app: its pages, its files, its errors, and the guard before them."""

import logging
import threading
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from fastapi import FastAPI, Response

from shivelight.basis.errors import ShivelightError
from shivelight.web import static
from shivelight.web.errors import add_error_pages
from shivelight.web.house import House
from shivelight.web.routes import (
    arrive,
    devices,
    evening,
    jobs,
    kit,
    logs,
    looks,
    marks,
    settings,
    sheets,
    spots,
    stand,
    start,
    surveys,
    undo,
    woods,
)
from shivelight.web.show import pages
from shivelight.workbench.bench import Workbench

log = logging.getLogger(__name__)
ROUTES = (
    arrive,
    devices,
    evening,
    jobs,
    kit,
    logs,
    looks,
    marks,
    settings,
    sheets,
    spots,
    stand,
    start,
    surveys,
    undo,
    woods,
)


def build_app(house: House) -> FastAPI:
    """Put the app together, without the guard, which the server puts before it.

    Parameters
    ----------
    house : House
        What it holds between requests.
    """
    app = FastAPI(
        title="shivelight",
        docs_url=None,
        redoc_url=None,
        lifespan=_lifespan,
    )
    app.state.house = house
    for room in ROUTES:
        app.include_router(room.router)
    app.add_api_route("/static/{name}", _file, methods=["GET"], include_in_schema=False)
    add_error_pages(app)
    return app


def _file(name: str) -> Response:
    data, kind = static.content(name)
    return Response(data, media_type=kind)


@asynccontextmanager
async def _lifespan(app: FastAPI) -> AsyncIterator[None]:
    threading.Thread(target=_read_ahead, args=(app.state.house,), daemon=True).start()
    yield


def _read_ahead(house: House) -> None:
    """Load what the first page and the first judgement want, while nobody waits for it."""
    pages().get_template("evening.html.j2")
    try:
        with house.bench() as bench:
            bench.week(house.settings.mornings)
    except ShivelightError as why:
        log.info("Nothing was read ahead: %s", why)  # the page itself will say it
    Workbench.read_ahead()
