"""A copy is whole, taken while the book is in use, and never takes the place of another."""

import sqlite3
import threading
from pathlib import Path

import numpy as np
import pytest

from shivelight.basis.errors import NotFoundError, UnreadableFileError, UnwritableError
from shivelight.store import backup, settings, transfer, woods
from shivelight.store.backup import copy_book
from shivelight.store.book import FieldBook
from tests.store.sample import PINNET, SALLOWDEN


def test_a_copy_is_an_equal_book_in_one_file(valley: FieldBook, tmp_path: Path) -> None:
    folder = tmp_path / "copies"
    folder.mkdir()
    target = copy_book(valley.path, folder / "copy.sqlite")
    assert [path.name for path in folder.iterdir()] == ["copy.sqlite"]
    with FieldBook.open(target, read_only=True) as copied:
        assert transfer.export_text(copied) == transfer.export_text(valley)


def test_a_copy_holds_what_is_still_in_the_side_files(book: FieldBook, tmp_path: Path) -> None:
    woods.add(book, PINNET)
    assert Path(f"{book.path}-wal").stat().st_size > 0
    with FieldBook.open(copy_book(book.path, tmp_path / "copy.sqlite")) as copied:
        assert woods.every(copied) == (PINNET,)


def test_a_transaction_that_is_not_over_is_not_in_the_copy(
    book: FieldBook, tmp_path: Path
) -> None:
    woods.add(book, PINNET)
    with book.writing():
        woods.add(book, SALLOWDEN)
        copy_book(book.path, tmp_path / "copy.sqlite")
    with FieldBook.open(tmp_path / "copy.sqlite") as copied:
        assert woods.every(copied) == (PINNET,)


def test_copies_taken_while_the_book_is_written_are_each_one_state(
    book: FieldBook, tmp_path: Path
) -> None:
    done = threading.Event()

    def write() -> None:
        for number in range(60):
            with book.writing():
                settings.put(book, "left", str(number))
                settings.put(book, "right", str(number))
        done.set()

    writer = threading.Thread(target=write)
    writer.start()
    taken = 0
    while not done.is_set() or taken == 0:
        target = copy_book(book.path, tmp_path / f"copy {taken}.sqlite")
        with FieldBook.open(target, read_only=True) as copied:
            kept = settings.every(copied)
            assert kept.get("left") == kept.get("right")
        taken += 1
    writer.join()
    assert settings.every(book) == {"left": "59", "right": "59"}


def test_an_existing_file_is_left_alone(valley: FieldBook, tmp_path: Path) -> None:
    target = tmp_path / "copy.sqlite"
    target.write_bytes(b"an older copy")
    with pytest.raises(UnwritableError, match=r"copy.sqlite is there already; choose another"):
        copy_book(valley.path, target)
    assert target.read_bytes() == b"an older copy"
    copy_book(valley.path, target, overwrite=True)
    with FieldBook.open(target, read_only=True) as copied:
        assert len(woods.every(copied)) == 2


def test_a_book_is_never_copied_over_itself(valley: FieldBook) -> None:
    with pytest.raises(UnwritableError, match="is there already"):
        copy_book(valley.path, valley.path, overwrite=True)
    assert len(woods.every(valley)) == 2


def test_what_is_missing_is_named(valley: FieldBook, tmp_path: Path) -> None:
    with pytest.raises(NotFoundError, match=r"There is no field book at .*none.sqlite"):
        copy_book(tmp_path / "none.sqlite", tmp_path / "copy.sqlite")
    with pytest.raises(UnwritableError, match=r"There is no folder .*nowhere; make it first"):
        copy_book(valley.path, tmp_path / "nowhere" / "copy.sqlite")
    assert [path.name for path in tmp_path.iterdir() if "copy" in path.name] == []


def test_a_damaged_book_is_not_copied(valley: FieldBook, tmp_path: Path) -> None:
    valley.close()
    spoiled = bytearray(valley.path.read_bytes())
    spoiled[4096 * 8 : 4096 * 60] = np.random.default_rng(3).bytes(4096 * 52)
    valley.path.write_bytes(bytes(spoiled))
    with pytest.raises(UnreadableFileError, match="damaged"):
        copy_book(valley.path, tmp_path / "copy.sqlite")
    assert not (tmp_path / "copy.sqlite").exists()
    assert not list(tmp_path.glob("*.part"))
    assert not list(tmp_path.glob(".*.part"))


def test_a_copy_that_fails_leaves_nothing(
    valley: FieldBook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(source: Path, temporary: Path) -> None:
        temporary.write_bytes(b"half")
        made = sqlite3.connect(":memory:")
        made.execute("PRAGMA max_page_count = 2")
        made.execute("CREATE TABLE a (b BLOB)")
        made.execute("INSERT INTO a VALUES (zeroblob(100000))")

    monkeypatch.setattr(backup, "_copy", full)
    older = tmp_path / "copy.sqlite"
    older.write_bytes(b"an older copy")
    with pytest.raises(UnwritableError, match=r"The disk is full: copy.sqlite was not changed"):
        copy_book(valley.path, older, overwrite=True)
    assert older.read_bytes() == b"an older copy"
    assert not list(tmp_path.glob(".*.part"))


def test_a_file_that_appears_meanwhile_is_left_alone(tmp_path: Path) -> None:
    target = tmp_path / "copy.sqlite"
    temporary = backup.temporary_beside(target)
    target.write_bytes(b"somebody was quicker")
    with pytest.raises(UnwritableError, match="is there already; nothing was changed"):
        backup.put_in_place(temporary, target, overwrite=False)
    assert target.read_bytes() == b"somebody was quicker"
