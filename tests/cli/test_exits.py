"""Every error leaves with its code and one sentence."""

import errno

import pytest

from shivelight.basis import errors
from shivelight.cli.exits import EXITS, code_of, sentence_of


@pytest.mark.parametrize(
    ("error", "code"),
    [
        (errors.OutOfRangeError("latitude", 91.0, -90.0, 90.0, "°"), 2),
        (errors.BadInputError("Odd."), 2),
        (errors.NotFoundError("No such wood."), 3),
        (errors.MissingDataError("No forecast."), 4),
        (errors.UnreadableFileError("Torn."), 5),
        (errors.UnwritableError("Full."), 6),
        (OSError(errno.ENOSPC, "No space left on device"), 6),
        (KeyboardInterrupt(), 130),
        (ZeroDivisionError("x"), 70),
        (OSError(errno.EIO, "odd"), 70),
    ],
)
def test_codes(error: BaseException, code: int) -> None:
    assert code_of(error) == code


def test_every_error_of_ours_has_a_code_of_its_own() -> None:
    leaves = {
        kind
        for kind in vars(errors).values()
        if isinstance(kind, type)
        and issubclass(kind, errors.ShivelightError)
        and kind is not errors.ShivelightError
    }
    assert {kind for kind, _, _ in EXITS} == leaves


def test_our_errors_speak_for_themselves() -> None:
    error = errors.OutOfRangeError("latitude", 91.0, -90.0, 90.0, "°")
    assert sentence_of(error) == "latitude is 91 °; it must be -90 to 90 °."


def test_a_full_disk_is_said_in_plain_words() -> None:
    error = OSError(errno.ENOSPC, "No space left on device", "book.sqlite")
    assert sentence_of(error) == "Not done: the disk is full (book.sqlite)."


def test_a_fault_is_owned_and_shows_no_details() -> None:
    told = sentence_of(ZeroDivisionError("secret detail"))
    assert told.startswith("This is a fault of shivelight's")
    assert "secret detail" not in told
    assert "-v" in told
