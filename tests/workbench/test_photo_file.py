"""Photographs on the disk, read whole or refused."""

from pathlib import Path

import pytest

from shivelight.basis.errors import NotFoundError, OutOfRangeError, UnreadableFileError
from shivelight.workbench.photo_file import photo_bytes


def test_a_file_is_read_whole(tmp_path: Path) -> None:
    (tmp_path / "bank.jpg").write_bytes(b"any bytes")
    assert photo_bytes(tmp_path / "bank.jpg") == b"any bytes"


def test_what_cannot_be_read_is_told(tmp_path: Path) -> None:
    with pytest.raises(NotFoundError, match=r"There is no file .*bank\.jpg; check its name"):
        photo_bytes(tmp_path / "bank.jpg")
    with pytest.raises(UnreadableFileError, match="cannot be read"):
        photo_bytes(tmp_path)
    with (tmp_path / "long.tif").open("wb") as file:
        file.truncate(60_100_000)
    with pytest.raises(OutOfRangeError, match=r"size of the file is 60\.1 MB"):
        photo_bytes(tmp_path / "long.tif")
