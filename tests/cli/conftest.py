"""Run command lines in this process, as the entry point would, over books that are typed once."""

import contextlib
import io
import json
import shutil
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
EVENING_OF_THE_DEMO = ("--now", "2027-11-02 21:40", "--zone", "Europe/London")
VALLEY = (
    ("book", "new"),
    ("wood", "add", "Pinnet Heath", "--parking", "52.9978 N 5.1052 W", "--height", "96",
     "--stand", "birch", "--road", "20", "--fog-top", "130", "--mist-depth", "4",
     "--hazard", "bog", "--note", "White birches before dark pines."),
    ("spot", "add", "White Post Gap", "--wood", "Pinnet Heath", "--at", "53.0004 N 5.0990 W",
     "--height", "96", "--view", "118", "--focal", "135", "--walk", "12",
     "--must", "mist 60 to 1000 m", "--must", "direct light", "--like", "still air",
     "--if-not", "bracken against the light"),
    ("spot", "add", "Heath Edge", "--wood", "Pinnet Heath", "--at", "53.0010,-5.1010",
     "--view", "300", "--walk", "8", "--must", "soft light"),
    ("skyline", "set", "White Post Gap",
     *(word for bearing in range(0, 360, 30) for word in ("--at", f"{bearing}: 2"))),
    ("skyline", "set", "Heath Edge",
     *(word for bearing in range(0, 360, 30) for word in ("--at", f"{bearing} 4.5"))),
)  # fmt: skip
"""One wood of the valley and two spots, all of it typed."""
EVENING = (
    "evening", "enter", "--temperature", "6,2", "--dew-point", "4.4", "--wind", "3 mph",
    "--wind-trend", "falling", "--cloud", "7/8", "--clears-by", "01:00", "--wet",
    "--pressure", "rising",
)  # fmt: skip
"""The evening of the demo, as it is typed at the window."""
JUDGE = ("evening", "judge", "--mornings", "1")


def ran(*words: str) -> Ran:
    """Run words as one command line of this process."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main(words)
    return Ran(code=code, out=out.getvalue(), err=err.getvalue())


def one_line(text: str) -> bool:
    """Whether a text is one line with its end."""
    return text.endswith("\n") and text.count("\n") == 1


def assert_refused(ran: Ran, code: int, told: str = "") -> None:
    """Demand this code, nothing on stdout, and one line on stderr that tells of something."""
    assert (ran.code, ran.out) == (code, "")
    assert one_line(ran.err)
    assert told in ran.err


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Run:
    """Run words in a folder of its own, with nothing set, at 100 columns."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "100")
    for name in ("BOOK", "SERVICE", "CONTACT"):
        monkeypatch.delenv(f"SHIVELIGHT_{name}", raising=False)
    return ran


@pytest.fixture
def tell(run: Run) -> Run:
    """Run words over one book on the evening of 2 November 2027."""
    return lambda *words: run("--book", "book.sqlite", *EVENING_OF_THE_DEMO, *words)


@pytest.fixture(scope="session")
def typed_books(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Path]:
    """Type each book once: "valley", "evening" (with its forecast), "judged"."""
    folder = tmp_path_factory.mktemp("books")
    more = {"valley": VALLEY, "evening": (EVENING,), "judged": (JUDGE,)}

    def book(name: str) -> Path:
        path = folder / f"{name}.sqlite"
        if path.exists():
            return path
        if name != "valley":
            before = {"evening": "valley", "judged": "evening"}[name]
            shutil.copy(book(before), path)
        for words in more[name]:
            done = ran("--book", str(path), *EVENING_OF_THE_DEMO, *words)
            if done.code:
                path.unlink(missing_ok=True)
            assert done.code == 0, f"{words}: {done.err}"
        return path

    return book


@pytest.fixture
def valley(tell: Run, typed_books: Callable[[str], Path]) -> Run:
    """Run words over a copy of the valley's book."""
    shutil.copy(typed_books("valley"), "book.sqlite")
    return tell


@pytest.fixture
def evening(tell: Run, typed_books: Callable[[str], Path]) -> Run:
    """Run words over a copy of the book that holds the evening's values."""
    shutil.copy(typed_books("evening"), "book.sqlite")
    return tell


@pytest.fixture
def judged(tell: Run, typed_books: Callable[[str], Path]) -> Run:
    """Run words over a copy of the book in which the coming morning is judged."""
    shutil.copy(typed_books("judged"), "book.sqlite")
    return tell
