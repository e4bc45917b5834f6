"""A consistent copy of the book, taken while it may be in use, checked before it gets its name."""

import logging
import os
import sqlite3
import tempfile
import time
from pathlib import Path

from shivelight.basis.errors import NotFoundError, UnreadableFileError, UnwritableError
from shivelight.store.engines import open_for_reading
from shivelight.store.refusals import in_words

_log = logging.getLogger(__name__)


def copy_book(source: Path | str, target: Path | str, *, overwrite: bool = False) -> Path:
    """Copy a book to one file that needs no other.

    The copy is made under a temporary name beside ``target`` by SQLite's own backup, checked,
    written through to the disk and only then given its name: whatever happens, ``target`` is
    absent, what it was before, or whole.

    Parameters
    ----------
    source : Path or str
        The book; it may be open and written meanwhile.
    target : Path or str
        File to make.
    overwrite : bool
        Whether an existing file may be replaced.

    Returns
    -------
    Path
        The copy.

    Raises
    ------
    NotFoundError
        If there is no book.
    UnwritableError
        If the target exists and may not be replaced, its folder is missing, or the disk is full.
    UnreadableFileError
        If the copy does not pass the integrity check.
    """
    source, target = Path(source), Path(target)
    if not source.is_file():
        raise NotFoundError(f"There is no field book at {source}.")
    if target.exists() and (target.is_dir() or not overwrite or target.samefile(source)):
        raise UnwritableError(f"{target} is there already; choose another name for the copy.")
    if not target.parent.is_dir():
        raise UnwritableError(f"There is no folder {target.parent}; make it first.")
    start = time.monotonic()
    temporary = temporary_beside(target)
    try:
        with in_words(target):
            _copy(source, temporary)
        put_in_place(temporary, target, overwrite=overwrite)
    finally:
        temporary.unlink(missing_ok=True)
    _log.info(
        "%s: %d bytes copied in %.2f s", target, target.stat().st_size, time.monotonic() - start
    )
    return target


def temporary_beside(target: Path) -> Path:
    """Make an empty file with a fresh name in the folder of ``target``."""
    try:
        handle, name = tempfile.mkstemp(
            prefix=f".{target.name}.", suffix=".part", dir=target.parent
        )
    except OSError as why:
        raise UnwritableError(
            f"{target.parent} cannot be written ({why.strerror}); nothing was changed."
        ) from why
    os.close(handle)
    return Path(name)


def put_in_place(temporary: Path, target: Path, *, overwrite: bool) -> None:
    """Write a finished file through to the disk and give it its name, in one step.

    Without ``overwrite`` a file that has appeared meanwhile under that name is left alone.
    """
    try:
        _sync(temporary)
        if overwrite:
            temporary.replace(target)
        else:
            _name_if_free(temporary, target)
        _sync(target.parent)
    except FileExistsError as why:
        raise UnwritableError(f"{target} is there already; nothing was changed.") from why
    except OSError as why:
        raise UnwritableError(
            f"{target} could not be written ({why.strerror}); nothing was changed."
        ) from why


def _name_if_free(temporary: Path, target: Path) -> None:
    try:
        target.hardlink_to(temporary)
    except FileExistsError:
        raise
    except OSError:  # a file system without hard links
        if target.exists():
            raise FileExistsError(str(target)) from None
        temporary.rename(target)


def _copy(source: Path, temporary: Path) -> None:
    taken = open_for_reading(source, read_only=not os.access(source.parent, os.W_OK))
    try:
        made = sqlite3.connect(temporary, isolation_level=None)
        try:
            taken.backup(made)
            made.execute("PRAGMA journal_mode = DELETE")  # one file, no side files
            found = [row[0] for row in made.execute("PRAGMA integrity_check(3)")]
        finally:
            made.close()
    finally:
        taken.close()
    if found != ["ok"]:
        raise UnreadableFileError(
            f"{source.name} is damaged ({found[0]}); no copy was made. Keep your older backups."
        )


def _sync(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
