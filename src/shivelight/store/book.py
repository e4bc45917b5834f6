"""Opening the field book: one SQLite file, checked before it is used.

One writer at a time, in short transactions that are there whole or not at all; any number of
readers, each of which sees one state of the book from beginning to end.
"""

import logging
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import Connection, Engine

from shivelight.basis.errors import NotFoundError, UnreadableFileError, UnwritableError
from shivelight.store.backup import copy_book, put_in_place, temporary_beside
from shivelight.store.engines import reading_engine, writing_engine
from shivelight.store.refusals import in_words
from shivelight.store.schema import APPLICATION_ID, NEWEST
from shivelight.store.upgrade import upgrade

FULL_CHECK_BYTES = 64_000_000
"""Up to this size every index entry is checked on opening too; above, only the pages (a
judgement; docs/decisions/0004-field-book.md has the times)."""

_SQLITE_HEADER = b"SQLite format 3\x00"
_log = logging.getLogger(__name__)


class FieldBook:
    """An open field book. Make one with :meth:`open`; close it, or use it in ``with``.

    Attributes
    ----------
    path : Path
        The file.
    read_only : bool
        Whether writing is refused.
    """

    def __init__(self, path: Path, *, read_only: bool) -> None:
        self.path = path
        self.read_only = read_only
        self._reader: Engine = reading_engine(path, read_only=read_only)
        self._writer: Engine | None = None if read_only else writing_engine(path)
        self._mine = threading.local()

    @classmethod
    def open(
        cls, path: Path | str, *, create: bool = False, read_only: bool = False
    ) -> "FieldBook":
        """Open a book, checking that it is one, whole and not newer than this program.

        An older book is brought up to date after a backup copy beside it has been made.

        Parameters
        ----------
        path : Path or str
            The file.
        create : bool
            Whether to start a new book where there is none.
        read_only : bool
            Never write, not even to bring the book up to date.

        Raises
        ------
        NotFoundError
            If there is no book and none is to be made.
        UnreadableFileError
            If the file is no field book, is damaged, or was made by a newer version.
        UnwritableError
            If a new book cannot be made there, or an older one not brought up to date.
        """
        path = Path(path)
        if create and not read_only and not path.exists():
            _start(path)
        _require_sqlite(path)
        book = cls(path, read_only=read_only)
        try:
            book._check_identity()
            book._check_whole()
        except BaseException:
            book.close()
            raise
        return book

    def close(self) -> None:
        """Let go of the file; SQLite then folds its side files into it."""
        self._reader.dispose()
        if self._writer is not None:
            self._writer.dispose()

    def __enter__(self) -> "FieldBook":
        return self

    def __exit__(self, *raised: object) -> None:
        self.close()

    @property
    def version(self) -> int:
        """Version of the book in the file."""
        with self.reading() as tx:
            return int(tx.exec_driver_sql("PRAGMA user_version").scalar_one())

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Read within one state of the book; inside ``writing`` that includes what is written."""
        joined = self._writing_now() or getattr(self._mine, "reader", None)
        with in_words(self.path):
            if joined is not None:
                yield joined
            else:
                with self._reader.connect() as connection, connection.begin():
                    yield connection

    @contextmanager
    def reading_as_one(self) -> Iterator[None]:
        """Let all reading within the block, by this thread, see one state of the book."""
        with self.reading() as connection:
            before = getattr(self._mine, "reader", None)
            self._mine.reader = connection
            try:
                yield
            finally:
                self._mine.reader = before

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Write in one transaction: kept when the block ends well, undone when it raises.

        A block inside another is part of the outer one, and undone by itself when it raises.

        Raises
        ------
        UnwritableError
            If the book is open for reading only, in use, read-only or the disk full.
        """
        if self._writer is None:
            raise UnwritableError(
                f"{self.path.name} was opened for reading only; nothing was changed. Allow "
                "writing to it and its folder, or use a copy."
            )
        outer = self._writing_now()
        with in_words(self.path):
            if outer is not None:
                with outer.begin_nested():
                    yield outer
                return
            with self._writer.begin() as connection:
                self._mine.writer = connection
                try:
                    yield connection
                finally:
                    self._mine.writer = None

    def _writing_now(self) -> Connection | None:
        """Find the transaction that this thread is writing in."""
        mine: Connection | None = getattr(self._mine, "writer", None)
        return mine

    def _check_identity(self) -> None:
        with self.reading() as tx:
            mark = tx.exec_driver_sql("PRAGMA application_id").scalar_one()
            version = tx.exec_driver_sql("PRAGMA user_version").scalar_one()
        if mark != APPLICATION_ID:
            raise UnreadableFileError(f"{self.path.name} is an SQLite file but no field book.")
        if version > NEWEST:
            raise UnreadableFileError(
                f"{self.path.name} was made by a newer Shivelight (book version {version}; "
                f"this one reads up to {NEWEST}); bring Shivelight up to date."
            )
        if version < NEWEST:
            self._bring_up_to_date(version)

    def _bring_up_to_date(self, version: int) -> None:
        if self.read_only:
            raise UnwritableError(
                f"{self.path.name} is of book version {version} and must be brought up to "
                f"{NEWEST}; open it once for writing."
            )
        self._check_whole()
        self._reader.dispose()
        kept = copy_book(self.path, _free_name(self.path, version))
        _log.warning("%s is brought up to date; the old book is kept as %s", self.path, kept.name)
        with in_words(self.path):
            upgrade(self.path, to_version=NEWEST)

    def _check_whole(self) -> None:
        start = time.monotonic()
        small = self.path.stat().st_size <= FULL_CHECK_BYTES
        check = "integrity_check" if small else "quick_check"
        with self.reading() as tx:
            found = tx.exec_driver_sql(f"PRAGMA {check}(1)").scalars().all()
            lost = tx.exec_driver_sql("PRAGMA foreign_key_check").first()
        if found != ["ok"]:
            raise UnreadableFileError(
                f"{self.path.name} is damaged ({found[0]}); put a backup copy in its place."
            )
        if lost is not None:
            raise UnreadableFileError(
                f"{self.path.name} is damaged (a row of {lost[0]} points to nothing); "
                "put a backup copy in its place."
            )
        _log.info("%s: %s in %.3f s", self.path.name, check, time.monotonic() - start)


def _require_sqlite(path: Path) -> None:
    if path.is_dir():
        raise UnreadableFileError(f"{path} is a folder; name the field book's file in it.")
    try:
        with path.open("rb") as opened:
            header = opened.read(len(_SQLITE_HEADER))
    except FileNotFoundError as why:
        raise NotFoundError(
            f"There is no field book at {path}; start one, or check the name."
        ) from why
    except OSError as why:
        raise UnreadableFileError(f"{path} cannot be read ({why.strerror}).") from why
    if header != _SQLITE_HEADER:
        what = "is empty" if not header else "is not an SQLite file"
        raise UnreadableFileError(f"{path.name} is no field book: it {what}.")


def _start(path: Path) -> None:
    """Make a new book under a temporary name and give it its own when it is whole."""
    if not path.parent.is_dir():
        raise UnwritableError(f"There is no folder {path.parent}; make it first.")
    temporary = temporary_beside(path)
    try:
        with in_words(path):
            upgrade(temporary, to_version=NEWEST)
        put_in_place(temporary, path, overwrite=False)
    finally:
        for side in ("", "-wal", "-shm"):
            temporary.with_name(temporary.name + side).unlink(missing_ok=True)
    _log.info("%s: new field book", path)


def _free_name(path: Path, version: int) -> Path:
    stem = f"{path.stem}.version-{version}"
    free = path.with_name(f"{stem}{path.suffix}")
    number = 2
    while free.exists():
        free = path.with_name(f"{stem}-{number}{path.suffix}")
        number += 1
    return free
