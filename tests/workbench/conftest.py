"""A field book of the Wennick valley with its past evenings lived through, made once a run."""

import datetime as dt
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pytest

from shivelight.basis.instants import to_utc
from shivelight.workbench.bench import Workbench
from shivelight.workbench.demo_valley import valley
from shivelight.workbench.settings import Settings

ZONE = "Europe/London"


@pytest.fixture
def book(lived_through: Path, tmp_path: Path) -> Path:
    """Copy it, so that a test may change it."""
    for file in lived_through.parent.iterdir():
        shutil.copy(file, tmp_path / file.name)
    return tmp_path / lived_through.name


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Workbench]:
    """Open a new book with nothing in it, on the demo evening."""
    settings = Settings(book=str(tmp_path / "empty.sqlite"))
    with Workbench.open(settings, create=True, now=at("2027-11-02T21:40")) as bench:
        yield bench


@contextmanager
def opened(book: Path, wall: str) -> Iterator[Workbench]:
    """Open a book when the valley's clock shows a time."""
    with Workbench.open(Settings(book=str(book)), now=at(wall)) as bench:
        yield bench


def at(wall: str) -> np.datetime64:
    return to_utc(dt.datetime.fromisoformat(wall), ZONE)


@pytest.fixture
def spots(empty: Workbench) -> Workbench:
    """Enter the valley's woods and spots, without evenings or logs."""
    for wood in valley().woods:
        empty.add_wood(wood)
    for spot in valley().spots:
        empty.add_spot(spot)
    return empty
