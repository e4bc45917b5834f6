"""Books for the tests of the store."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from shivelight.store.book import FieldBook
from tests.store.sample import fill


@pytest.fixture(scope="session")
def empty_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make one empty book, to be copied."""
    path = tmp_path_factory.mktemp("empty") / "book.sqlite"
    FieldBook.open(path, create=True).close()
    return path


@pytest.fixture(scope="session")
def valley_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make one book of the whole valley, to be copied."""
    path = tmp_path_factory.mktemp("valley") / "book.sqlite"
    with FieldBook.open(path, create=True) as book:
        fill(book)
    return path


@pytest.fixture
def book(tmp_path: Path, empty_file: Path) -> Iterator[FieldBook]:
    """Open an empty book."""
    path = tmp_path / "book.sqlite"
    path.write_bytes(empty_file.read_bytes())
    with FieldBook.open(path) as opened:
        yield opened


@pytest.fixture
def valley(tmp_path: Path, valley_file: Path) -> Iterator[FieldBook]:
    """Open a book of the whole valley."""
    path = tmp_path / "valley.sqlite"
    path.write_bytes(valley_file.read_bytes())
    with FieldBook.open(path) as opened:
        yield opened
