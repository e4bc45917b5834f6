"""Column types of the field book: what SQLite's STRICT tables know, made from our values."""

import datetime as dt
import re
from typing import Any

import numpy as np
from sqlalchemy import REAL, Integer, LargeBinary, Text
from sqlalchemy.engine import Dialect
from sqlalchemy.types import TypeDecorator

from shivelight.basis.errors import BadInputError, UnreadableFileError

_UTC = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{6}Z")


class Utc(TypeDecorator[np.datetime64]):
    """An instant as text of fixed width, ``2027-11-03T07:38:00.000000Z``.

    Text can be read without any program, and fixed width makes its order the order of time.
    """

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> str | None:
        """Write ``datetime64`` as text."""
        del dialect
        if value is None:
            return None
        text = f"{np.datetime64(value, 'us')}Z"
        if not _UTC.fullmatch(text):
            raise BadInputError(f"The time {value} cannot be kept; give one of years 0 to 9999.")
        return text

    def process_result_value(self, value: Any, dialect: Dialect) -> np.datetime64 | None:
        """Read text as ``datetime64[us]``."""
        del dialect
        if value is None:
            return None
        if not isinstance(value, str) or not _UTC.fullmatch(value):
            raise UnreadableFileError(f"The field book holds {value!r} where a time should be.")
        try:
            return np.datetime64(value[:-1], "us")
        except ValueError as why:
            raise UnreadableFileError(
                f"The field book holds {value!r}, which is no time."
            ) from why


class Day(TypeDecorator[dt.date]):
    """A civil day as ISO text."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> str | None:
        """Write a date as ``2027-11-03``."""
        del dialect
        return None if value is None else dt.date(value.year, value.month, value.day).isoformat()

    def process_result_value(self, value: Any, dialect: Dialect) -> dt.date | None:
        """Read a date."""
        del dialect
        if value is None:
            return None
        try:
            return dt.date.fromisoformat(value)
        except (TypeError, ValueError) as why:
            raise UnreadableFileError(f"The field book holds {value!r}, which is no day.") from why


class YesNo(TypeDecorator[bool]):
    """True or false as 1 or 0, for STRICT tables know no boolean."""

    impl = Integer
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> int | None:
        """Write 1 or 0."""
        del dialect
        return None if value is None else int(bool(value))

    def process_result_value(self, value: Any, dialect: Dialect) -> bool | None:
        """Read 1 or 0."""
        del dialect
        return None if value is None else bool(value)


class Row(TypeDecorator[np.ndarray[Any, Any]]):
    """A row of float64 numbers, little-endian, exactly as they are, NaN included."""

    impl = LargeBinary
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> bytes | None:
        """Write the numbers' bytes."""
        del dialect
        return None if value is None else np.asarray(value, dtype="<f8").tobytes()

    def process_result_value(self, value: Any, dialect: Dialect) -> np.ndarray[Any, Any] | None:
        """Read the numbers."""
        del dialect
        if value is None:
            return None
        if len(value) % 8:
            raise UnreadableFileError("The field book holds a row of numbers that is cut short.")
        return np.frombuffer(value, dtype="<f8").astype(np.float64)


class Real(TypeDecorator[float]):
    """A float64; a NaN would be kept as nothing."""

    impl = REAL
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> float | None:
        """Make a plain float of any kind of number."""
        del dialect
        return None if value is None else float(value)
