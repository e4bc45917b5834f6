"""Connections to the file: how SQLite is set, and how transactions begin."""

import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import quote

from sqlalchemy import Engine, QueuePool, create_engine, event

BUSY_MS = 5000
"""How long one writer waits for another."""


def file_uri(path: Path, *, mode: str) -> str:
    """URI of a file for SQLite; ``mode`` is "ro", "rw" or "rwc"; "immutable" for a fixed copy."""
    words = "mode=ro&immutable=1" if mode == "immutable" else f"mode={mode}"
    return f"file:{quote(str(path.absolute()))}?{words}"


def connect(path: Path, *, mode: str) -> sqlite3.Connection:
    """Open a bare connection in which transactions begin only when told to."""
    made = sqlite3.connect(
        file_uri(path, mode=mode),
        uri=True,
        isolation_level=None,
        check_same_thread=False,
        timeout=BUSY_MS / 1000.0,
    )
    try:
        made.execute("PRAGMA foreign_keys = ON")
        made.execute("PRAGMA trusted_schema = OFF")
        made.execute("PRAGMA synchronous = FULL")
        made.execute("SELECT count(*) FROM sqlite_schema").fetchone()  # meets the file
    except sqlite3.Error:
        made.close()
        raise
    return made


def open_for_reading(path: Path, *, read_only: bool) -> sqlite3.Connection:
    """Open a connection that cannot write.

    Where the file may be written, it is opened so but refuses statements that write
    (``query_only``), so that SQLite can tidy up its side files behind the last connection.
    """
    if not read_only:
        made = connect(path, mode="rw")
        made.execute("PRAGMA query_only = ON")
        return made
    try:
        return connect(path, mode="ro")
    except sqlite3.OperationalError:
        if _has_unmerged_writes(path):
            raise
        # A folder that cannot be written has no room for SQLite's side files; with nothing
        # waiting to be merged the file by itself is whole.
        return connect(path, mode="immutable")


def reading_engine(path: Path, *, read_only: bool) -> Engine:
    """Engine whose connections cannot write; each transaction sees one state of the book."""
    return _engine(lambda: open_for_reading(path, read_only=read_only), begin="BEGIN")


def writing_engine(path: Path) -> Engine:
    """Engine of the one writer; it takes the write lock when a transaction begins."""

    def creator() -> sqlite3.Connection:
        made = connect(path, mode="rw")
        made.execute("PRAGMA journal_mode = WAL")
        return made

    return _engine(creator, begin="BEGIN IMMEDIATE")


def _engine(creator: Callable[[], sqlite3.Connection], *, begin: str) -> Engine:
    engine = create_engine(
        "sqlite+pysqlite:///",
        creator=creator,
        poolclass=QueuePool,
        pool_size=1,
        max_overflow=4,
    )

    @event.listens_for(engine, "begin")
    def _begin(connection: Any) -> None:
        connection.exec_driver_sql(begin)

    return engine


def _has_unmerged_writes(path: Path) -> bool:
    side = path.with_name(f"{path.name}-wal")
    return side.exists() and side.stat().st_size > 0
