"""Which error leaves with which exit code, and the sentence it leaves behind."""

import errno

from shivelight.basis.errors import (
    BadInputError,
    MissingDataError,
    NotFoundError,
    OutOfRangeError,
    ShivelightError,
    UnreadableFileError,
    UnwritableError,
)

DONE = 0
BAD_INPUT = 2
NOT_FOUND = 3
MISSING = 4
UNREADABLE = 5
UNWRITABLE = 6
FAULT = 70
INTERRUPTED = 130

EXITS: tuple[tuple[type[Exception], int, str], ...] = (
    (OutOfRangeError, BAD_INPUT, "a number outside its limits"),
    (BadInputError, BAD_INPUT, "words or values that make no sense"),
    (NotFoundError, NOT_FOUND, "a name that the field book does not hold"),
    (MissingDataError, MISSING, "what was needed is not there"),
    (UnreadableFileError, UNREADABLE, "a file or payload that cannot be read"),
    (UnwritableError, UNWRITABLE, "a book, folder or disk that cannot be written"),
)
"""The first kind that an error belongs to decides its code."""

_DISK = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "your share of the disk is full",
    errno.EROFS: "the disk is read-only",
    errno.EACCES: "you may not write or read there",
    errno.EPERM: "you may not write or read there",
    errno.ENOENT: "there is no such file or folder",
    errno.EISDIR: "that is a folder",
    errno.ENOTDIR: "part of that path is no folder",
    errno.EEXIST: "something else of that name is there already",
    errno.ENAMETOOLONG: "that name is too long",
    errno.ELOOP: "its links lead in a circle",
}

_SEE = (("type the evening", " See: shivelight evening enter --help"),)
"""Words of sentences that pages show too, and what the command line adds to them."""


def code_of(error: BaseException) -> int:
    """Exit code of an error; 70 for what is no refusal of ours."""
    if isinstance(error, KeyboardInterrupt):
        return INTERRUPTED
    for kind, code, _ in EXITS:
        if isinstance(error, kind):
            return code
    if isinstance(error, OSError) and error.errno in _DISK:
        return UNWRITABLE
    return FAULT


def _in_our_words(text: str, cause: BaseException | None) -> str:
    """Put the system's reason, where a sentence quotes it, in the words used here."""
    if isinstance(cause, OSError) and cause.strerror and cause.errno in _DISK:
        return text.replace(cause.strerror, _DISK[cause.errno])
    return text


def sentence_of(error: BaseException) -> str:
    """Say what went wrong in one sentence that can be acted on."""
    if isinstance(error, KeyboardInterrupt):
        return "Stopped. What was finished before is kept."
    if isinstance(error, ShivelightError):
        text = _in_our_words(str(error), error.__cause__)
        return text + next((more for words, more in _SEE if words in text), "")
    if isinstance(error, OSError) and error.errno in _DISK:
        where = f" ({error.filename})" if error.filename else ""
        return f"Not done: {_DISK[error.errno]}{where}."
    return (
        f"This is a fault of shivelight's, not of what you typed ({type(error).__name__}). "
        "Run the same command with -v and send what it prints to the people who keep shivelight."
    )
