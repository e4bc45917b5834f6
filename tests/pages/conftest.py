"""A headless Chromium for the page tests, opened once."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

from shivelight.drawing.sheet import sheet_html
from tests.drawing import wennick

FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    if path is None:
        if os.environ.get("CI") == "true":
            pytest.fail("Chromium is not on this machine, and CI has to have it.")
        pytest.skip("Chromium is not on this machine (apt-get install chromium).")
    with sync_playwright() as driver:
        opened = driver.chromium.launch(executable_path=path, args=list(FLAGS))
        yield opened
        opened.close()


@pytest.fixture(scope="session")
def sheet_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("sheet") / "sheet.html"
    path.write_text(sheet_html(wennick.context()), encoding="utf-8")
    return path
