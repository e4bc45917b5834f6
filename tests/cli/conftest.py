"""Run command lines in this process, as the entry point would."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from shivelight.cli.main import main


@dataclass(frozen=True, slots=True, kw_only=True)
class Ran:
    """What one command line left behind."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out)


Run = Callable[..., Ran]


@pytest.fixture
def run(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> Run:
    """Run words as one command line, in a folder of its own and with nothing set."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "100")
    for name in ("SHIVELIGHT_BOOK", "SHIVELIGHT_SERVICE", "SHIVELIGHT_CONTACT"):
        monkeypatch.delenv(name, raising=False)

    def go(*words: str) -> Ran:
        capsys.readouterr()
        code = main(words)
        told = capsys.readouterr()
        return Ran(code=code, out=told.out, err=told.err)

    return go
