"""Bringing a book up to the newest version: forward only, each step in one transaction."""

import logging
import sqlite3
import time
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from shivelight.basis.errors import UnreadableFileError
from shivelight.store.engines import connect, writing_engine

MIGRATIONS = Path(__file__).parent / "migrations"

_log = logging.getLogger(__name__)


def version_of(path: Path) -> int:
    """Version of the book in a file, as its header says."""
    opened = connect(path, mode="rw")
    try:
        return int(opened.execute("PRAGMA user_version").fetchone()[0])
    finally:
        opened.close()


def upgrade(path: Path, *, to_version: int, scripts: Path = MIGRATIONS) -> None:
    """Run the migrations that a book lacks.

    A step that fails leaves the book at the version before it. When two commands meet here,
    the second finds the work done.

    Parameters
    ----------
    path : Path
        An SQLite file, possibly empty.
    to_version : int
        Version it must have afterwards.
    scripts : Path
        Folder of the migrations.

    Raises
    ------
    UnreadableFileError
        If the book does not arrive at ``to_version``.
    """
    start = time.monotonic()
    before = version_of(path)
    try:
        _run(path, scripts)
    except (DBAPIError, sqlite3.Error):
        if version_of(path) < to_version:
            raise
    if version_of(path) < to_version:
        raise UnreadableFileError(
            f"{path.name} could not be brought to version {to_version} from {before}; "
            "it was left as it was."
        )
    _log.info(
        "%s: version %d to %d in %.2f s", path.name, before, to_version, time.monotonic() - start
    )


def _run(path: Path, scripts: Path) -> None:
    from alembic import command  # noqa: PLC0415  slow, and wanted only once per version
    from alembic.config import Config  # noqa: PLC0415

    config = Config()
    config.set_main_option("script_location", str(scripts).replace("%", "%%"))
    engine = writing_engine(path)
    try:
        with engine.begin() as connection:
            connection.exec_driver_sql(
                "CREATE TABLE IF NOT EXISTS alembic_version "
                "(version_num TEXT NOT NULL PRIMARY KEY) STRICT"
            )
        with engine.connect() as connection:
            config.attributes["connection"] = connection
            command.upgrade(config, "head")
    finally:
        engine.dispose()
