"""Somebody who visits the pages: keeps cookies, sends each form with the token of the visit."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx2 as httpx
from playwright.sync_api import Page
from starlette.testclient import TestClient

from shivelight.web.app import build_app
from shivelight.web.counted import MB, BodyLimits
from shivelight.web.doors import open_doors
from shivelight.web.guard import Guard, GuardRules
from shivelight.web.house import House
from shivelight.web.serve import guarded
from shivelight.web.tokens import SESSION, FormTokens, upload_paths
from shivelight.workbench.settings import Settings
from tests.web.live import served
from tests.workbench.conftest import ZONE, at

HERE = "http://127.0.0.1:8017"
SECRET = b"a secret of the tests, no other's"
EVENING = "2027-11-02T21:40"


class Visitor:
    """A client of the guarded app that follows where it is sent.

    Attributes
    ----------
    house : House
        What the app holds between requests.
    """

    def __init__(self, house: House) -> None:
        self.house = house
        app = build_app(house)
        self.app = app
        rules = GuardRules(
            hosts=("127.0.0.1:8017",),
            secret=SECRET,
            large=tuple(
                (path, BodyLimits(most_bytes=100 * MB)) for path in upload_paths(app.routes)
            ),
        )
        self.client = TestClient(
            Guard(app, rules),
            base_url=HERE,
            client=("127.0.0.1", 50_000),
            follow_redirects=True,
            raise_server_exceptions=False,
        )

    def get(self, path: str, **query: Any) -> httpx.Response:
        """Open a page."""
        return self.client.get(path, params=query or None)

    def json(self, path: str, **query: Any) -> Any:
        """Open a page in its JSON form."""
        answer = self.client.get(
            path, params=query or None, headers={"Accept": "application/json"}
        )
        return answer.json()

    def post(self, path: str, *, files: Any = None, **boxes: Any) -> httpx.Response:
        """Send a form as a page of ours would; ``a__b`` stands for the box ``a.b``."""
        typed = {name.replace("__", "."): str(text) for name, text in boxes.items()}
        return self.client.post(
            path,
            data={"form_token": self.token, **typed},
            files=files,
            headers={"Origin": HERE},
        )

    def wait(self, answer: httpx.Response) -> httpx.Response:
        """Wait for the job that a form has started, and go where it goes."""
        name = answer.url.params["name"]
        state = self.house.jobs.wait(name)
        assert state.state == "done", state
        return self.get(state.then)

    @property
    def token(self) -> str:
        """Form token of this visit."""
        if SESSION not in self.client.cookies:
            self.client.get("/kit")
        return FormTokens(SECRET).token(self.client.cookies[SESSION])


def house_of(book: Path, wall: str | None = EVENING, **settings: Any) -> House:
    """House over a book, on an evening of the valley."""
    return House(
        settings=Settings(book=str(book), **settings),
        now_utc=None if wall is None else at(wall),
        zone_name=ZONE,
        secret=SECRET,
    )


@contextmanager
def live(house: House) -> Iterator[str]:
    """Serve a house on a real port, guarded as ``shivelight open`` does; gives its address."""
    with open_doors(18_100) as doors, served(guarded(build_app(house), house, doors), doors):
        yield f"http://127.0.0.1:{doors.port}"


def quiet(page: Page) -> list[str]:
    """Collect what a page complains of and every outside address that it asks for."""
    told: list[str] = []
    page.on("console", lambda one: told.append(one.text) if one.type == "error" else None)
    page.on("pageerror", lambda error: told.append(str(error)))
    page.on(
        "request",
        lambda asked: (
            told.append(asked.url)
            if not asked.url.startswith(("http://127.0.0.1:", "data:", "blob:"))
            else None
        ),
    )
    return told
