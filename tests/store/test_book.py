"""Opening a book: what is refused and why, one writer, transactions, full and read-only disks."""

import math
import os
import sqlite3
import threading
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from sqlalchemy.schema import CreateIndex, CreateTable

from shivelight.basis.errors import (
    BadInputError,
    NotFoundError,
    UnreadableFileError,
    UnwritableError,
)
from shivelight.outing.kept import StoredForecast
from shivelight.store import engines, forecasts, schema, settings, spots, woods
from shivelight.store.book import FieldBook
from shivelight.store.contents import contents
from tests.store.sample import EVENING, PINNET, SALLOWDEN, WHITE_POST_GAP


def pragma(path: Path, name: str) -> object:
    opened = sqlite3.connect(path)
    try:
        return opened.execute(f"PRAGMA {name}").fetchone()[0]
    finally:
        opened.close()


def test_a_new_book_is_marked_versioned_and_in_wal_mode(book: FieldBook) -> None:
    assert pragma(book.path, "application_id") == schema.APPLICATION_ID
    assert pragma(book.path, "user_version") == schema.NEWEST == book.version
    assert pragma(book.path, "journal_mode") == "wal"


def test_every_table_is_strict(book: FieldBook) -> None:
    with book.reading() as tx:
        tables = tx.exec_driver_sql("PRAGMA table_list").mappings().all()
    ours = {row["name"]: row["strict"] for row in tables if not row["name"].startswith("sqlite_")}
    assert set(ours) == {table.name for table in schema.BOOK.sorted_tables} | {"alembic_version"}
    assert set(ours.values()) == {1}


def test_migrations_arrive_at_the_tables_of_the_schema(book: FieldBook) -> None:
    wanted = sqlite3.connect(":memory:")
    dialect = book._reader.dialect
    for table in schema.BOOK.sorted_tables:
        wanted.execute(str(CreateTable(table).compile(dialect=dialect)))
        for index in table.indexes:
            wanted.execute(str(CreateIndex(index).compile(dialect=dialect)))
    asked = "SELECT type, name, sql FROM sqlite_schema WHERE sql IS NOT NULL"
    plain = {(kind, name): "".join(sql.split()) for kind, name, sql in wanted.execute(asked)}
    wanted.close()
    with book.reading() as tx:
        rows = tx.exec_driver_sql(asked).all()
    made = {(kind, name): "".join(sql.split()) for kind, name, sql in rows}
    assert made.pop(("table", "alembic_version"))
    assert made == plain


def test_foreign_keys_are_watched(book: FieldBook) -> None:
    with book.reading() as tx:
        assert tx.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1
    with book.writing() as tx:
        assert tx.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1


def test_closing_leaves_one_file(book: FieldBook) -> None:
    woods.add(book, PINNET)
    book.close()
    assert [path.name for path in book.path.parent.iterdir()] == ["book.sqlite"]


def test_a_missing_book_is_not_made_unless_told_to(tmp_path: Path) -> None:
    with pytest.raises(
        NotFoundError, match=r"There is no field book at .*none\.sqlite; start one"
    ):
        FieldBook.open(tmp_path / "none.sqlite")
    with pytest.raises(NotFoundError, match="There is no field book"):
        FieldBook.open(tmp_path / "none.sqlite", create=True, read_only=True)
    assert list(tmp_path.iterdir()) == []


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    with pytest.raises(UnwritableError, match=r"There is no folder .*nowhere; make it first"):
        FieldBook.open(tmp_path / "nowhere" / "book.sqlite", create=True)


def test_a_folder_is_no_book(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFileError, match="is a folder; name the field book's file"):
        FieldBook.open(tmp_path)


@pytest.mark.parametrize("create", [False, True])
@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "is no field book: it is empty"),
        (b"SQLite", "is no field book: it is not an SQLite file"),
        (b"Plumb and Lean, five beeches\n" * 100, "is no field book: it is not an SQLite file"),
    ],
)
def test_another_file_is_refused_and_left_alone(
    tmp_path: Path, content: bytes, sentence: str, create: bool
) -> None:
    path = tmp_path / "notes.txt"
    path.write_bytes(content)
    with pytest.raises(UnreadableFileError, match=sentence):
        FieldBook.open(path, create=create)
    assert path.read_bytes() == content


def test_another_sqlite_file_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "other.sqlite"
    other = sqlite3.connect(path)
    other.execute("CREATE TABLE wood (name TEXT)")
    other.commit()
    other.close()
    before = path.read_bytes()
    with pytest.raises(UnreadableFileError, match="is an SQLite file but no field book"):
        FieldBook.open(path, create=True)
    assert path.read_bytes() == before


def test_a_book_of_a_newer_version_is_refused_and_left_alone(book: FieldBook) -> None:
    book.close()
    newer = sqlite3.connect(book.path)
    newer.execute(f"PRAGMA user_version = {schema.NEWEST + 1}")
    newer.close()
    before = book.path.read_bytes()
    with pytest.raises(
        UnreadableFileError,
        match=rf"made by a newer Shivelight \(book version {schema.NEWEST + 1}; "
        rf"this one reads up to {schema.NEWEST}\)",
    ):
        FieldBook.open(book.path)
    assert book.path.read_bytes() == before


def test_a_cut_book_is_called_damaged(valley: FieldBook) -> None:
    valley.close()
    whole = valley.path.read_bytes()
    valley.path.write_bytes(whole[: len(whole) // 2])
    with pytest.raises(UnreadableFileError, match=r"damaged|does not hold"):
        FieldBook.open(valley.path)


def test_a_book_with_a_spoiled_page_is_called_damaged(valley: FieldBook) -> None:
    valley.close()
    whole = bytearray(valley.path.read_bytes())
    whole[4096 * 5 : 4096 * 40] = np.random.default_rng(7).bytes(4096 * 35)
    valley.path.write_bytes(bytes(whole))
    with pytest.raises(UnreadableFileError, match=r"damaged|does not hold"):
        FieldBook.open(valley.path)


def test_a_row_that_points_to_nothing_is_called_damage(valley: FieldBook) -> None:
    valley.close()
    bare = sqlite3.connect(valley.path)  # foreign keys are not watched here
    bare.execute("DELETE FROM wood WHERE name = 'Sallowden Hanger'")
    bare.commit()
    bare.close()
    with pytest.raises(UnreadableFileError, match=r"a row of .* points to nothing"):
        FieldBook.open(valley.path)


def test_a_book_opened_for_reading_refuses_to_write(valley: FieldBook) -> None:
    valley.close()
    before = valley.path.read_bytes()
    with FieldBook.open(valley.path, read_only=True) as opened:
        assert woods.get(opened, "Pinnet Heath") == PINNET
        with pytest.raises(UnwritableError, match="opened for reading only"):
            settings.put(opened, "a", "b")
    assert valley.path.read_bytes() == before


def test_the_reading_side_cannot_write(book: FieldBook) -> None:
    with pytest.raises(UnwritableError, match="cannot be written"), book.reading() as tx:
        tx.exec_driver_sql("INSERT INTO setting VALUES ('a', 'b')")


def test_a_full_disk_loses_nothing(valley: FieldBook) -> None:
    before = contents(valley)
    with valley.writing() as tx:
        pages = tx.exec_driver_sql("PRAGMA page_count").scalar_one()
        tx.exec_driver_sql(f"PRAGMA max_page_count = {pages + 2}")
    noise = np.random.default_rng(4).bytes(200_000)
    big = StoredForecast(wood="Pinnet Heath", kind="metar", payload=noise, fetched_utc=EVENING)
    with pytest.raises(UnwritableError, match=r"The disk is full: valley.sqlite was not changed"):
        forecasts.add(valley, big)
    assert contents(valley) == before
    assert woods.get(valley, "Pinnet Heath") == PINNET
    settings.put(valley, "small", "fits")
    valley.close()
    with FieldBook.open(valley.path) as again:
        assert settings.get(again, "small") == "fits"


def as_somebody(act: Callable[[], str]) -> str:
    """Run in a child that is not the superuser, who may write everything."""
    reads, writes = os.pipe()
    child = os.fork()
    if child == 0:  # pragma: no cover
        try:
            if os.geteuid() == 0:
                os.setgid(65534)
                os.setuid(65534)
            said = act()
        except BaseException as why:  # noqa: BLE001  the child must end here
            said = f"{type(why).__name__}: {why}"
        os.write(writes, said.encode())
        os._exit(0)
    os.close(writes)
    os.waitpid(child, 0)
    with os.fdopen(reads, "rb") as pipe:
        return pipe.read().decode()


def reachable(tmp_path: Path) -> None:
    """Let anybody reach a folder of this test."""
    for folder in (tmp_path, *tmp_path.parents[:2]):
        folder.chmod(0o755)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a child of another user")
def test_a_read_only_file_is_read_and_not_written(valley: FieldBook, tmp_path: Path) -> None:
    valley.close()
    reachable(tmp_path)
    valley.path.chmod(0o444)
    tmp_path.chmod(0o777)

    def act() -> str:
        with FieldBook.open(valley.path) as opened:
            assert len(woods.every(opened)) == 2
            settings.put(opened, "a", "b")
        return "written"

    assert "UnwritableError: valley.sqlite cannot be written" in as_somebody(act)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a child of another user")
def test_a_book_in_a_read_only_folder_can_be_read(valley: FieldBook, tmp_path: Path) -> None:
    valley.close()
    reachable(tmp_path)
    valley.path.chmod(0o444)
    tmp_path.chmod(0o555)

    def act() -> str:
        with FieldBook.open(valley.path, read_only=True) as opened:
            return f"{len(woods.every(opened))} woods"

    said = as_somebody(act)
    tmp_path.chmod(0o755)
    assert said == "2 woods"


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a child of another user")
def test_no_book_is_started_in_a_read_only_folder(tmp_path: Path) -> None:
    reachable(tmp_path)
    tmp_path.chmod(0o555)

    def act() -> str:
        FieldBook.open(tmp_path / "book.sqlite", create=True).close()
        return "made"

    said = as_somebody(act)
    tmp_path.chmod(0o755)
    assert said.startswith("UnwritableError: ")
    assert "cannot be written" in said
    assert list(tmp_path.iterdir()) == []


def test_a_second_writer_waits_then_says_so(
    book: FieldBook, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engines, "BUSY_MS", 50)
    with FieldBook.open(book.path) as other, book.writing():
        woods.add(book, PINNET)
        with pytest.raises(UnwritableError, match="is being written by another window"):
            woods.add(other, PINNET)
        assert woods.every(other) == ()
    assert woods.every(book) == (PINNET,)


def test_a_reader_is_not_kept_waiting_and_sees_one_state(book: FieldBook) -> None:
    woods.add(book, PINNET)
    with FieldBook.open(book.path) as other, other.reading_as_one():
        assert woods.every(other) == (PINNET,)
        woods.add(book, SALLOWDEN)
        assert woods.every(other) == (PINNET,)
    assert len(woods.every(book)) == 2


def test_what_fails_within_a_transaction_leaves_nothing(book: FieldBook) -> None:
    def write() -> None:
        with book.writing():
            woods.add(book, PINNET)
            spots.add(book, WHITE_POST_GAP)
            woods.get(book, "Sallowden Hanger")

    with pytest.raises(NotFoundError, match="Sallowden"):
        write()
    assert contents(book).woods == contents(book).spots == 0


def test_an_inner_failure_that_is_caught_undoes_only_itself(book: FieldBook) -> None:
    def write_twice() -> None:
        with book.writing():
            woods.add(book, SALLOWDEN)
            woods.add(book, PINNET)

    with book.writing():
        woods.add(book, PINNET)
        with pytest.raises(BadInputError, match="already has a wood"):
            write_twice()
    assert woods.every(book) == (PINNET,)


def test_writing_sees_itself_and_other_threads_do_not(book: FieldBook) -> None:
    seen: list[int] = []
    with book.writing():
        woods.add(book, PINNET)
        assert len(woods.every(book)) == 1
        other = threading.Thread(target=lambda: seen.append(len(woods.every(book))))
        other.start()
        other.join()
    assert seen == [0]


def test_many_threads_write_one_after_another(book: FieldBook) -> None:
    def write(number: int) -> None:
        for turn in range(5):
            settings.put(book, f"key {number}", str(turn))

    threads = [threading.Thread(target=write, args=(number,)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert settings.every(book) == {f"key {number}": "4" for number in range(4)}


def test_broken_characters_and_odd_values_are_refused_in_words(book: FieldBook) -> None:
    with pytest.raises(BadInputError, match="holds a broken character"):
        settings.put(book, "note", "half \ud83d of a pair")
    with pytest.raises(BadInputError, match="needs a key"):
        settings.put(book, "  ", "value")
    with pytest.raises(BadInputError, match=r"book.sqlite refuses this"), book.writing() as tx:
        tx.exec_driver_sql("INSERT INTO setting VALUES ('a', NULL)")
    with pytest.raises(BadInputError, match="cannot hold this"), book.writing() as tx:
        tx.execute(schema.setting.insert().values(key="a", value=object()))


def test_a_number_too_big_is_told(book: FieldBook) -> None:
    too_big = pytest.raises(BadInputError, match=r"A number is too big for book.sqlite")
    with too_big, book.writing() as tx:
        tx.exec_driver_sql("INSERT INTO setting VALUES (?, 'x')", (2**70,))


def test_a_callers_own_error_within_a_transaction_passes_unchanged(book: FieldBook) -> None:
    with pytest.raises(OverflowError, match="range"), book.writing():
        math.exp(1e9)
    with pytest.raises(UnicodeEncodeError, match="ascii"), book.reading():
        "ö".encode("ascii")


def test_a_name_with_odd_letters_in_the_path_opens(tmp_path: Path) -> None:
    path = tmp_path / "field book #1 100% Wénnick?.sqlite"
    with FieldBook.open(path, create=True) as made:
        woods.add(made, PINNET)
    with FieldBook.open(str(path), read_only=True) as again:
        assert woods.every(again) == (PINNET,)
