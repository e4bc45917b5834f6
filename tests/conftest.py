"""Shared fixtures, and the closing line of the published checks."""

import os
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings
from playwright.sync_api import Browser, sync_playwright

from shivelight.workbench.demo import BOOK_NAME, load_demo
from shivelight.workbench.settings import Settings

# The same examples every time, so that green stays green; SHIVELIGHT_SEARCH=1 looks for new ones.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.register_profile("search", deadline=None, max_examples=400)
settings.load_profile("search" if "SHIVELIGHT_SEARCH" in os.environ else "steady")

FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip

_TALLY = pytest.StashKey[dict[str, int]]()


def pytest_configure(config: pytest.Config) -> None:
    config.stash[_TALLY] = {"checked": 0, "failed": 0}


@pytest.fixture
def published_tally(request: pytest.FixtureRequest) -> dict[str, int]:
    return request.config.stash[_TALLY]


@pytest.fixture(scope="session")
def lived_through(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make the demo book as it stands on the demo evening at 21:40."""
    folder = tmp_path_factory.mktemp("wennick")
    return load_demo(Settings(book=str(folder / BOOK_NAME)))


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Open a headless Chromium, once."""
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    if path is None:
        if os.environ.get("CI") == "true":
            pytest.fail("Chromium is not on this machine, and CI has to have it.")
        pytest.skip("Chromium is not on this machine (apt-get install chromium).")
    with sync_playwright() as driver:
        opened = driver.chromium.launch(executable_path=path, args=list(FLAGS))
        yield opened
        opened.close()


def pytest_unconfigure(config: pytest.Config) -> None:
    """Close the run with one line on the published checks, after everything else."""
    tally = config.stash.get(_TALLY, {"checked": 0, "failed": 0})
    if not tally["checked"]:
        return
    from tests.published.test_checks import COVERED, ROWS

    left = sum((row.section, row.topic) not in COVERED for row in ROWS)
    sys.stdout.write(
        f"published checks: {tally['checked']} checked, {tally['failed']} failed, "
        f"{left} not covered\n"
    )
