"""Tables of elements as files: read as text, written whole."""

from pathlib import Path

from shivelight.basis.errors import NotFoundError, UnreadableFileError
from shivelight.workbench.keeping import write_whole

MOST_BYTES = 2_000_000
"""No wood that is typed has a longer table. A judgement."""


def table_text(path: Path) -> str:
    """Read a table as text.

    Raises
    ------
    NotFoundError
        If there is no such file.
    UnreadableFileError
        If it is a folder, too large, or no text.
    """
    try:
        if path.stat().st_size > MOST_BYTES:
            raise UnreadableFileError(f"{path.name} is too large for a table of elements.")
        return path.read_bytes().decode("utf-8-sig")
    except FileNotFoundError as why:
        raise NotFoundError(f"There is no file {path}; check the name.") from why
    except (OSError, UnicodeDecodeError) as why:
        raise UnreadableFileError(f"{path.name} cannot be read as text (UTF-8).") from why


def write_table(path: Path, text: str) -> Path:
    """Write a table, whole or not at all.

    Raises
    ------
    UnwritableError
        If it cannot be written.
    """
    write_whole(path, text)
    return path
