"""Visitors of the valley's book and of an empty one, in process and over a real port."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from shivelight.web.house import House
from tests.web.visitor import EVENING, Visitor, house_of, live
from tests.workbench.conftest import opened


def _copied(lived_through: Path, folder: Path) -> Path:
    for file in lived_through.parent.iterdir():
        if file.is_file():
            shutil.copy(file, folder / file.name)
        else:
            shutil.copytree(file, folder / file.name)
    return folder / lived_through.name


@pytest.fixture(scope="session")
def judged(lived_through: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Judge the demo morning in a copy of the valley's book, once."""
    book = _copied(lived_through, tmp_path_factory.mktemp("judged"))
    with opened(book, EVENING) as bench:
        bench.judge()
    return book


@pytest.fixture
def book(judged: Path, tmp_path: Path) -> Path:
    """Copy the judged book, so that a test may change it."""
    return _copied(judged, tmp_path)


@pytest.fixture
def valley(book: Path) -> Visitor:
    """Visit a copy of the valley's book on the demo evening."""
    return Visitor(house_of(book))


@pytest.fixture
def empty(tmp_path: Path) -> Visitor:
    """Visit a new book on the demo evening."""
    return Visitor(house_of(tmp_path / "empty.sqlite"))


@pytest.fixture
def house(book: Path) -> House:
    """House over a copy of the valley's book."""
    return house_of(book)


@pytest.fixture
def home(house: House) -> Iterator[str]:
    """Serve that house on a real port."""
    with live(house) as address:
        yield address


@pytest.fixture(scope="session")
def read_only_valley(judged: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Serve one copy of the valley for tests in a browser that change nothing."""
    book = _copied(judged, tmp_path_factory.mktemp("served"))
    with live(house_of(book)) as address:
        yield address


@pytest.fixture
def laptop(browser: Browser) -> Iterator[Page]:
    """Open a page 1280 px wide."""
    yield from _page(browser, 1280)


@pytest.fixture
def phone(browser: Browser) -> Iterator[Page]:
    """Open a page 390 px wide, with touch."""
    yield from _page(browser, 390, has_touch=True)


def _page(browser: Browser, width: int, *, has_touch: bool = False) -> Iterator[Page]:
    context: BrowserContext = browser.new_context(
        viewport={"width": width, "height": 900}, has_touch=has_touch
    )
    yield context.new_page()
    context.close()
