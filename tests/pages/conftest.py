"""A headless Chromium for the page tests, opened once."""

from pathlib import Path

import pytest

from shivelight.drawing.sheet import sheet_html
from tests.drawing import wennick


@pytest.fixture(scope="session")
def sheet_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("sheet") / "sheet.html"
    path.write_text(sheet_html(wennick.context()), encoding="utf-8")
    return path
