"""Take a form with one file in it: a large one is streamed into a part file, a photo is held.

Nothing a visitor sends ever names a file: a part file is named by us, and the given name is only
words to show.
"""

import hashlib
import os
import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Any, Protocol

import anyio
from fastapi import Request
from python_multipart.exceptions import FormParserError
from python_multipart.multipart import MultipartParser, parse_options_header

from shivelight.basis.errors import BadInputError, UnwritableError
from shivelight.web.counted import MB, too_large
from shivelight.web.tokens import FIELD, random_token, require_token

FLUSH = 1 << 20
SPARE_MB = 200
"""What is left free on the disk after an upload (a judgement)."""
MOST_NAME = 120


@dataclass(frozen=True, slots=True, kw_only=True)
class UploadLimits:
    """What a form with one file may hold.

    Attributes
    ----------
    most_bytes : int
        Of the file.
    most_fields : int
        Beside the file.
    most_field_bytes : int
        Of each field.
    """

    most_bytes: int
    most_fields: int = 40
    most_field_bytes: int = 20_000


PHOTO = UploadLimits(most_bytes=60 * MB)
RASTER = UploadLimits(most_bytes=2_000 * MB)


@dataclass(frozen=True, slots=True, kw_only=True)
class Upload:
    """One file that came with a form.

    Attributes
    ----------
    sha256 : str
        Of the file, in hexadecimal.
    size_bytes : int
        Of the file.
    given_name : str
        The name it had there: words to show, never part of a path.
    fields : mapping of str to str
        What else the form held.
    """

    sha256: str
    size_bytes: int
    given_name: str
    fields: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class SavedUpload(Upload):
    """An upload in a part file, which is the caller's to move or remove."""

    path: Path


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldUpload(Upload):
    """An upload in memory."""

    data: bytes = field(repr=False)


async def save_upload(request: Request, target_dir: Path, limits: UploadLimits) -> SavedUpload:
    """Stream the one file of a form into a part file with a name of our own.

    The route asks for :func:`shivelight.web.tokens.upload_token` and takes only the request: no
    form parameters, which would read the body first. Fields come before the file.

    Raises
    ------
    FormTokenError
        If no token came in the header or in a field before the file.
    TooLargeError
        If the file is above the limit.
    BadInputError
        If the form is broken off, or holds no file or several.
    UnwritableError
        If the disk is too full or cannot be written. No part file is left in any of these cases.
    """
    _require_space(request, target_dir)
    path = target_dir / f"upload-{random_token()}.part"
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except OSError as why:
        raise UnwritableError(
            f"The upload cannot be written beside the book: {why.strerror}."
        ) from why
    is_kept = False
    try:
        with os.fdopen(handle, "wb") as file:
            parts = await _read_parts(request, limits, file)
            await anyio.to_thread.run_sync(partial(_write_through, file))
        is_kept = True
    except OSError as why:
        raise UnwritableError(f"The upload cannot be written: {why.strerror}.") from why
    finally:
        if not is_kept:
            path.unlink(missing_ok=True)
    return SavedUpload(path=path, **parts.facts())


async def hold_upload(request: Request, limits: UploadLimits = PHOTO) -> HeldUpload:
    """Take the one file of a form into memory, as :func:`save_upload` does into a file."""
    sink = _Memory()
    parts = await _read_parts(request, limits, sink)
    return HeldUpload(data=bytes(sink.data), **parts.facts())


class _Sink(Protocol):
    def write(self, data: bytes, /) -> Any: ...


class _Memory:
    def __init__(self) -> None:
        self.data = bytearray()

    def write(self, data: bytes, /) -> None:
        self.data += data


def _write_through(file: Any) -> None:
    file.flush()
    os.fsync(file.fileno())


def _require_space(request: Request, folder: Path) -> None:
    said = request.headers.get("content-length", "")
    coming = int(said) if said.isascii() and said.isdigit() else 0
    try:
        free = shutil.disk_usage(folder).free
    except OSError as why:
        raise UnwritableError(
            f"The upload cannot be written beside the book: {why.strerror}."
        ) from why
    if coming + SPARE_MB * MB > free:
        raise UnwritableError(
            f"The disk has {free / MB:,.0f} MB free and the upload is {coming / MB:,.0f} MB; make "
            f"room, so that {SPARE_MB} MB stay free."
        )


async def _read_parts(request: Request, limits: UploadLimits, sink: _Sink) -> "_Parts":
    kind, options = parse_options_header(request.headers.get("content-type"))
    if kind != b"multipart/form-data" or not options.get(b"boundary"):
        raise BadInputError("A file is sent as a form with a file in it (multipart/form-data).")
    parts = _Parts(request, limits)
    try:
        parser = MultipartParser(options[b"boundary"], parts.callbacks())  # type: ignore[arg-type]
        async for piece in request.stream():
            parser.write(piece)
            if len(parts.waiting) >= FLUSH:
                await parts.hand_to(sink)
        parser.finalize()
    except FormParserError as why:
        raise BadInputError("The form that was sent is not whole; send it once more.") from why
    await parts.hand_to(sink)
    parts.require_whole()
    return parts


class _Parts:
    """Collects fields, and passes on the bytes of the one file."""

    def __init__(self, request: Request, limits: UploadLimits) -> None:
        self._request = request
        self._limits = limits
        self._headers: dict[str, str] = {}
        self._name = b""
        self._value = b""
        self._field = ""
        self._held = bytearray()
        self._is_file = False
        self._hash = hashlib.sha256()
        self._size = 0
        self._given_name: str | None = None
        self._is_whole = False
        self.fields: dict[str, str] = {}
        self.waiting = bytearray()

    def callbacks(self) -> dict[str, Callable[..., None]]:
        """Name what the parser calls."""
        return {
            "on_part_begin": self._part_begin,
            "on_header_field": self._header_name,
            "on_header_value": self._header_value,
            "on_header_end": self._header_end,
            "on_headers_finished": self._headers_finished,
            "on_part_data": self._part_data,
            "on_part_end": self._part_end,
            "on_end": self._end,
        }

    async def hand_to(self, sink: _Sink) -> None:
        """Write what has come of the file, in a thread of its own."""
        data = bytes(self.waiting)
        self.waiting.clear()
        if data:
            await anyio.to_thread.run_sync(self._take, sink, data)

    def require_whole(self) -> None:
        """Raise :class:`BadInputError` unless there was one file and the form had its end."""
        if not self._is_whole:
            raise BadInputError("The form that was sent is not whole; send it once more.")
        if self._given_name is None or self._size == 0:
            raise BadInputError("No file came with the form, or an empty one; choose one.")

    def facts(self) -> dict[str, Any]:
        """Give what an :class:`Upload` says."""
        return {
            "sha256": self._hash.hexdigest(),
            "size_bytes": self._size,
            "given_name": self._given_name or "",
            "fields": dict(self.fields),
        }

    def _take(self, sink: _Sink, data: bytes) -> None:
        self._hash.update(data)
        sink.write(data)

    def _part_begin(self) -> None:
        self._headers, self._held, self._is_file = {}, bytearray(), False

    def _header_name(self, data: bytes, start: int, end: int) -> None:
        self._name += data[start:end]

    def _header_value(self, data: bytes, start: int, end: int) -> None:
        self._value += data[start:end]

    def _header_end(self) -> None:
        self._headers[self._name.decode("latin-1").lower()] = self._value.decode("latin-1")
        self._name = self._value = b""

    def _headers_finished(self) -> None:
        _, options = parse_options_header(self._headers.get("content-disposition"))
        self._field = _words(options.get(b"name", b""))
        self._is_file = b"filename" in options
        if not self._is_file:
            if len(self.fields) >= self._limits.most_fields:
                raise BadInputError(f"The form has over {self._limits.most_fields} fields.")
            return
        if self._given_name is not None:
            raise BadInputError("Several files came with the form; send one at a time.")
        if not getattr(self._request.state, "is_token_seen", False):
            require_token(self._request, self.fields.get(FIELD))
        self._given_name = shown_name(_words(options[b"filename"]))

    def _part_data(self, data: bytes, start: int, end: int) -> None:
        if self._is_file:
            self._size += end - start
            if self._size > self._limits.most_bytes:
                raise too_large(self._limits.most_bytes)
            self.waiting += data[start:end]
            return
        self._held += data[start:end]
        if len(self._held) > self._limits.most_field_bytes:
            raise too_large(self._limits.most_field_bytes)

    def _part_end(self) -> None:
        if not self._is_file:
            self.fields[self._field] = _words(bytes(self._held))

    def _end(self) -> None:
        self._is_whole = True


def _words(data: bytes) -> str:
    return data.decode("utf-8", errors="replace")


def shown_name(given: str) -> str:
    """Name of a file as its sender had it, without folders and what cannot be shown."""
    last = PureWindowsPath(PurePosixPath(given).name).name
    return "".join(one for one in last if one.isprintable())[:MOST_NAME]
