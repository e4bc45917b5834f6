"""Looking after the field book: its state, backup copies, export and import."""

from dataclasses import asdict
from pathlib import Path

from shivelight.basis.errors import BadInputError, UnreadableFileError, UnwritableError
from shivelight.store import transfer
from shivelight.store.backup import copy_book
from shivelight.store.contents import contents
from shivelight.workbench.desk import Desk
from shivelight.workbench.results import BookReport


class KeepingDesk(Desk):
    """The book as a file."""

    def book_report(self) -> BookReport:
        """Say what the book holds; it was checked when it was opened."""
        return BookReport(
            path=self.book.path,
            version=self.book.version,
            whole=True,
            **asdict(contents(self.book)),
            size_kb=round(self.book.path.stat().st_size / 1024),
        )

    def book_backup(self, path: Path, *, replace: bool = False) -> Path:
        """Make a consistent copy of the book while it is open.

        Raises
        ------
        UnwritableError
            If the copy exists already and ``replace`` was not said, or cannot be written.
        """
        if path.is_file() and not replace:
            raise UnwritableError(
                f"{path} is there already; choose another name for the copy, or write over it "
                "with --replace."
            )
        return copy_book(self.book.path, path, overwrite=replace)

    def book_export(self, path: Path) -> Path:
        """Write the whole book as plain JSON, over nothing but an older export.

        Raises
        ------
        UnwritableError
            If something else is there already, or it cannot be written.
        """
        if path.is_file() and not _is_export(path):
            raise UnwritableError(
                f"{path} is there already and is no export of a book; choose another name."
            )
        text = transfer.export_text(self.book)
        write_whole(path, text)
        return path

    def book_import(self, path: Path) -> BookReport:
        """Read an exported book into this empty one, whole or not at all."""
        try:
            text = path.read_bytes()
        except OSError as why:
            raise UnreadableFileError(f"{path} cannot be read: {why.strerror}.") from why
        transfer.import_text(self.book, text)
        return self.book_report()


def _is_export(path: Path) -> bool:
    """Whether a file begins as an export does; an empty one may be written over too."""
    try:
        with path.open("rb") as opened:
            begins = opened.read(200)
    except OSError:
        return False
    return not begins or transfer.FORMAT.encode() in begins


def make_folder(folder: Path) -> None:
    """Make a folder and those above it, unless it is there.

    Raises
    ------
    UnwritableError
        If it cannot be made.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as why:
        raise UnwritableError(f"The folder {folder} cannot be made: {why.strerror}.") from why


def write_whole(path: Path, content: str | bytes) -> None:
    """Write a file beside its place and move it there, so that it is there whole or not at all.

    Raises
    ------
    UnwritableError
        If the folder is missing or the disk full; nothing is left half-written.
    BadInputError
        If the path names a folder.
    """
    if path.is_dir():
        raise BadInputError(f"{path} is a folder; name a file in it.")
    beside = path.with_name(f".{path.name}.part")
    data = content.encode("utf-8") if isinstance(content, str) else content
    make_folder(path.parent)
    try:
        beside.write_bytes(data)
        beside.replace(path)
    except OSError as why:
        beside.unlink(missing_ok=True)
        raise UnwritableError(
            f"{path} cannot be written ({why.strerror}); nothing was changed."
        ) from why
