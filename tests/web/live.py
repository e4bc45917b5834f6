"""A small guarded app behind a real server, and requests written out by hand."""

import asyncio
import re
import socket
import threading
import time
from collections.abc import Callable, Coroutine, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, TypeVar

from fastapi import APIRouter, Depends, FastAPI, Form, Request
from fastapi.responses import HTMLResponse, JSONResponse, Response

from shivelight.basis.errors import ShivelightError, UnwritableError
from shivelight.web.bodies import UploadLimits, hold_upload, save_upload
from shivelight.web.counted import BodyLimits
from shivelight.web.doors import Doors, open_doors
from shivelight.web.guard import App, Guard, GuardRules
from shivelight.web.headers import Inline
from shivelight.web.serve import server_for
from shivelight.web.tokens import form_token, upload_paths, upload_token

T = TypeVar("T")
SECRET = b"a secret of the tests, no other's"
SMALL = BodyLimits(most_bytes=20_000, idle_s=0.4, grace_s=1.5, least_bytes_per_s=2_000.0)
LARGE = BodyLimits(most_bytes=300_000, idle_s=0.4)
SCRIPT = "document.title = 'ran';"
SCRIPT_HASH = "sha256-D1eON8T1ykTMdOy71ehPGHbmD+zJQ2YsOoilofiunII="
"""Made with: printf %s "document.title = 'ran';" | openssl dgst -sha256 -binary | base64"""


def small_app(folder: Path) -> FastAPI:
    """One page with a form, one that takes files, and a list of what was written."""
    app = FastAPI()
    app.state.written = []
    room = APIRouter()

    @room.get("/")
    async def page(request: Request) -> HTMLResponse:
        token = request.state.visit.form_token
        return HTMLResponse(
            f'<title>page</title><form method="post" action="/write"><input type="hidden" '
            f'name="form_token" value="{token}"><input name="word" value="bracken">'
            f"<button>Send</button></form>"
        )

    @room.post("/write", dependencies=[Depends(form_token)])
    async def write(word: Annotated[str, Form()]) -> HTMLResponse:
        app.state.written.append(word)
        return HTMLResponse("<title>written</title>")

    @room.post("/upload", dependencies=[Depends(upload_token)])
    async def upload(request: Request) -> JSONResponse:
        saved = await save_upload(request, folder, UploadLimits(most_bytes=250_000))
        return JSONResponse(
            {"path": str(saved.path), "sha256": saved.sha256, "size": saved.size_bytes,
             "name": saved.given_name, "fields": dict(saved.fields)}
        )  # fmt: skip

    @room.post("/photo", dependencies=[Depends(upload_token)])
    async def photo(request: Request) -> JSONResponse:
        held = await hold_upload(request, UploadLimits(most_bytes=250_000))
        return JSONResponse({"size": len(held.data), "sha256": held.sha256})

    @room.get("/sheet")
    async def sheet(request: Request) -> HTMLResponse:
        request.state.inline = Inline(scripts=(SCRIPT_HASH,))
        return HTMLResponse(f"<title>sheet</title><script>{SCRIPT}</script>")

    @room.get("/bare-script")
    async def bare_script() -> HTMLResponse:
        return HTMLResponse(
            f"<title>sheet</title><script>{SCRIPT}</script>",
            headers={"content-security-policy": "script-src 'unsafe-inline'"},
        )

    @room.get("/pair")
    async def pair() -> HTMLResponse:
        return HTMLResponse("<title>pair</title>")

    @room.get("/static/{name}")
    async def static(name: str) -> Response:
        return Response(name, media_type="text/plain")

    app.include_router(room)

    @app.exception_handler(ShivelightError)
    async def refused(request: Request, error: ShivelightError) -> JSONResponse:
        usual = 507 if isinstance(error, UnwritableError) else 422
        status = getattr(error, "status", usual)
        return JSONResponse({"sentence": str(error)}, status_code=status)

    return app


def rules(hosts: tuple[str, ...], app: FastAPI, **more: Any) -> GuardRules:
    """Rules with small limits, so that tests are quick."""
    large = tuple((pattern, LARGE) for pattern in upload_paths(app.routes))
    return GuardRules(hosts=hosts, secret=SECRET, limits=SMALL, large=large, **more)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One answer as it came over the wire."""

    status: int
    headers: Mapping[str, str]
    body: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Live:
    """A running server."""

    port: int
    app: FastAPI

    @property
    def host(self) -> str:
        return f"127.0.0.1:{self.port}"

    @property
    def address(self) -> str:
        return f"http://{self.host}"

    def send(self, *pieces: bytes, pause_s: float = 0.0) -> Answer:
        """Send bytes as they are, in pieces, and read until the server hangs up."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=10) as line:
            for piece in pieces:
                try:
                    line.sendall(piece)
                except (BrokenPipeError, ConnectionResetError):
                    break
                time.sleep(pause_s)
            return read_answer(line)

    def ask(self, method: str, path: str, body: bytes = b"", **headers: str) -> Answer:
        """Send one request, with ``Host`` and a length of its own unless they are given."""
        return self.send(self.head(method, path, body=body, **headers) + body)

    def head(self, method: str, path: str, *, body: bytes = b"", **headers: str) -> bytes:
        """Write the head of a request; ``user_agent`` stands for ``User-Agent``."""
        said = {"host": self.host, "connection": "close", "content_length": str(len(body))}
        said |= headers
        lines = [f"{name.replace('_', '-')}: {value}" for name, value in said.items() if value]
        return "\r\n".join([f"{method} {path} HTTP/1.1", *lines, "", ""]).encode("latin-1")

    def session(self) -> tuple[str, str]:
        """Ask for the page: its cookie and its form token."""
        page = self.ask("GET", "/")
        cookie = page.headers["set-cookie"].split(";")[0]
        found = re.search(rb'name="form_token" value="([0-9a-f]{64})"', page.body)
        assert found is not None
        return cookie, found[1].decode()


def read_answer(line: socket.socket) -> Answer:
    """Read one answer to its end."""
    data = b""
    try:
        while piece := line.recv(65_536):
            data += piece
    except ConnectionResetError:
        pass
    head, _, body = data.partition(b"\r\n\r\n")
    status, *lines = head.decode("latin-1").split("\r\n")
    pairs = (one.split(": ", 1) for one in lines)
    return Answer(
        status=int(status.split()[1]) if status else 0,
        headers={name.lower(): value for name, value in pairs},
        body=body,
    )


def finish(work: Coroutine[Any, Any, T]) -> T:
    """Run to its end in a thread of its own: a browser of other tests has a loop in this one."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, work).result()


@contextmanager
def served(app: App, doors: Doors) -> Iterator[None]:
    """Serve an app in a thread, as the program would."""
    server = server_for(app)
    thread = threading.Thread(target=server.run, kwargs={"sockets": list(doors.sockets)})
    thread.start()
    try:
        yield
    finally:
        server.should_exit = True
        thread.join(timeout=20)
        doors.close()
        assert not thread.is_alive()


@contextmanager
def live(folder: Path, make: Callable[[Path], FastAPI] = small_app, **more: Any) -> Iterator[Live]:
    """Serve the small app with its guard on a free port."""
    app = make(folder)
    with open_doors(18_017) as doors, served(Guard(app, rules(doors.hosts, app, **more)), doors):
        yield Live(port=doors.port, app=app)
