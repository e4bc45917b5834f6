"""A photograph that lies on this machine's disk, read for the command line."""

from pathlib import Path

from shivelight.basis.errors import NotFoundError, OutOfRangeError, UnreadableFileError
from shivelight.outing.pictures import MOST_BYTES


def photo_bytes(path: Path) -> bytes:
    """Read a whole photograph, unless it is too large.

    Raises
    ------
    NotFoundError
        If there is no such file.
    UnreadableFileError
        If it is a folder or may not be read.
    OutOfRangeError
        If it is too large.
    """
    try:
        size_mb = path.stat().st_size / 1e6
        if size_mb > MOST_BYTES / 1e6:
            raise OutOfRangeError(
                "size of the file", round(size_mb, 1), 0.0, MOST_BYTES / 1e6, "MB",
                "Save the picture smaller.",
            )  # fmt: skip
        return path.read_bytes()
    except FileNotFoundError as why:
        raise NotFoundError(f"There is no file {path}; check its name.") from why
    except OSError as why:
        raise UnreadableFileError(f"{path} cannot be read: {why.strerror}.") from why
