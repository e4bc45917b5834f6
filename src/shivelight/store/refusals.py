"""What SQLite and the disk refuse, in one sentence that can be acted on."""

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError, StatementError

from shivelight.basis.errors import (
    BadInputError,
    ShivelightError,
    UnreadableFileError,
    UnwritableError,
)

# Primary result codes of SQLite: https://www.sqlite.org/rescode.html
_ERROR, _BUSY, _LOCKED, _READONLY, _IOERR, _CORRUPT = 1, 5, 6, 8, 10, 11
_FULL, _CANTOPEN, _TOOBIG, _CONSTRAINT, _NOTADB = 13, 14, 18, 19, 26

_SENTENCES: dict[int, tuple[type[ShivelightError], str]] = {
    _BUSY: (
        UnwritableError,
        "{name} is being written by another window or command; nothing was changed. "
        "Try again in a moment.",
    ),
    _LOCKED: (
        UnwritableError,
        "{name} is locked by another part of this program; nothing was changed. Try again.",
    ),
    _READONLY: (
        UnwritableError,
        "{name} cannot be written: it, or its folder, is read-only. Nothing was changed; "
        "allow writing or use a copy.",
    ),
    _IOERR: (
        UnwritableError,
        "The disk reported an error at {name} ({why}); nothing was half-written. "
        "Check the disk, then try again.",
    ),
    _FULL: (
        UnwritableError,
        "The disk is full: {name} was not changed. Free some space and try again.",
    ),
    _CANTOPEN: (
        UnreadableFileError,
        "{name} could not be opened; check that the file and its folder may be read and written.",
    ),
    _CORRUPT: (
        UnreadableFileError,
        "{name} is damaged ({why}); put a backup copy in its place.",
    ),
    _NOTADB: (UnreadableFileError, "{name} is no field book: it is not an SQLite file."),
    _TOOBIG: (BadInputError, "One of the values is too big for {name}; nothing was changed."),
    _CONSTRAINT: (BadInputError, "{name} refuses this ({why}); nothing was changed."),
    _ERROR: (
        UnreadableFileError,
        "{name} does not hold what a field book holds ({why}); put a backup copy in its place.",
    ),
}

FULL_BYTES = 256 * 1024
"""With less room than this a disk that fails is called full (a judgement)."""


@contextmanager
def in_words(path: Path) -> Iterator[None]:
    """Turn errors of SQLite, its driver and the disk into ours.

    Raises
    ------
    UnwritableError
        Disk full, file read-only or busy, or the disk failed.
    UnreadableFileError
        No SQLite file, or a damaged one.
    BadInputError
        A value that SQLite cannot hold.
    """
    try:
        yield
    except StatementError as why:
        if isinstance(why.orig, ShivelightError):
            raise why.orig from None
        if isinstance(why, DBAPIError) and isinstance(why.orig, sqlite3.Error):
            raise _sentence(path, why.orig) from why
        raise BadInputError(f"{path.name} cannot hold this: {why.orig}.") from why
    except sqlite3.Error as why:
        raise _sentence(path, why) from why
    except UnicodeEncodeError as why:
        if not _came_from_the_driver(why):
            raise
        raise BadInputError(
            f"The text {why.object!r:.60} holds a broken character; type it again."
        ) from why
    except OverflowError as why:
        if not _came_from_the_driver(why):
            raise
        raise BadInputError(f"A number is too big for {path.name}: {why}.") from why


def _came_from_the_driver(why: BaseException) -> bool:
    """Whether an error of Python's own was raised while a value was bound, not by the caller."""
    trace = why.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    raised_in = "" if trace is None else trace.tb_frame.f_globals.get("__name__", "")
    return str(raised_in).startswith("sqlalchemy.")


def _is_full(path: Path) -> bool:
    """Whether the disk has less room than SQLite's side files want."""
    try:
        return shutil.disk_usage(path.parent).free < FULL_BYTES
    except OSError:
        return False


def _sentence(path: Path, why: BaseException) -> ShivelightError:
    code = getattr(why, "sqlite_errorcode", None)
    if code is None:  # raised by the driver itself, such as for a type it cannot bind
        return BadInputError(f"{path.name} cannot hold this: {why}.")
    primary = code & 0xFF
    if primary == _IOERR and _is_full(path):  # some file systems tell SQLite no more than that
        primary = _FULL
    kind, words = _SENTENCES.get(primary, _SENTENCES[_ERROR])
    return kind(words.format(name=path.name, why=why))
