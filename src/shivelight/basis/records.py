"""Our dataclasses as plain JSON values, and back: one form for the store, ``--json`` and pages.

Instants become ``"2027-11-03T07:38:00Z"``, dates ISO dates, arrays lists, tuples lists, bytes
Base64. A number that is not finite becomes ``null``, and so does "not a time": JSON has no word
for them. The field names are the JSON keys, units and all.

Reading is strict: a text is not a number, ``"false"`` is not a truth value, a text is not a list.
"""

import base64
import binascii
import datetime as dt
import json
import math
import types
from collections.abc import Mapping
from dataclasses import is_dataclass
from enum import Enum, StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING, Any, TypeVar, Union, cast, get_args, get_origin

import numpy as np

from shivelight.basis.errors import ShivelightError, UnreadableFileError

if TYPE_CHECKING:
    from cattrs import Converter

T = TypeVar("T")


def instant_text(utc: np.datetime64) -> str:
    """Write an instant in ISO 8601 with a Z; whole seconds when it has no fraction."""
    whole = utc.astype("datetime64[us]")
    short = whole.astype("datetime64[s]")
    return f"{short if short == whole else whole}Z"


@lru_cache(maxsize=8192)
def instant_from(text: str) -> np.datetime64:
    """Read an ISO 8601 instant that carries its offset.

    Raises
    ------
    UnreadableFileError
        If the text is no instant, or has no offset.
    """
    try:
        moment = dt.datetime.fromisoformat(text)
    except (TypeError, ValueError) as why:
        raise UnreadableFileError(
            f"{text!r} is not a time; write it as 2027-11-03T07:38Z."
        ) from why
    if moment.tzinfo is None:
        raise UnreadableFileError(f"The time {text!r} has no zone; end it with Z or an offset.")
    try:
        return np.datetime64(moment.astimezone(dt.UTC).replace(tzinfo=None), "us")
    except OverflowError as why:
        raise UnreadableFileError(f"The time {text!r} lies outside the years 1 to 9999.") from why


def to_plain(value: Any) -> Any:
    """Turn a dataclass (or a list of them) into dicts, lists, text and numbers."""
    return _converter().unstructure(value)


def json_text(value: Any, *, indent: int | None = None) -> str:
    """Write a value as one JSON document; a number that is none becomes null."""
    return json.dumps(_finite(to_plain(value)), ensure_ascii=False, indent=indent, allow_nan=False)


def _finite(plain: Any) -> Any:
    """Plain values as JSON has them, also where a dataclass promised less than it held."""
    if isinstance(plain, Mapping):
        return {str(name): _finite(one) for name, one in plain.items()}
    if isinstance(plain, list | tuple):
        return [_finite(one) for one in plain]
    if isinstance(plain, float) and not math.isfinite(plain):
        return None
    if isinstance(plain, dt.time):
        return plain.isoformat(timespec="minutes")
    return plain


def from_plain(kind: type[T], plain: Any) -> T:
    """Rebuild a dataclass from its plain form.

    Raises
    ------
    UnreadableFileError
        If a key is missing, unknown to ``kind`` or of the wrong type; the text names it.
    """
    from cattrs import BaseValidationError, transform_error  # noqa: PLC0415  slow to import

    try:
        return _converter().structure(plain, kind)
    except BaseValidationError as why:
        reason = "; ".join(transform_error(why, format_exception=_reason)[:3])
    except (ShivelightError, TypeError, ValueError, KeyError, AttributeError) as why:
        reason = f"{_reason(why, kind)} @ $"
    raise UnreadableFileError(f"This is no {kind.__name__.lower()}: {reason}.")


def _reason(why: BaseException, kind: Any) -> str:
    """Say in a few words what is wrong with one part."""
    from cattrs import ForbiddenExtraKeysError  # noqa: PLC0415  slow to import

    if isinstance(why, ShivelightError):
        return str(why).rstrip(".")
    if isinstance(why, KeyError):
        return f"{why.args[0]} is missing"
    if isinstance(why, ForbiddenExtraKeysError):
        return f"nothing is known of {', '.join(sorted(map(str, why.extra_fields)))}"
    if isinstance(why, TypeError | AttributeError) and is_dataclass(kind):
        return "a group of named values is wanted"
    if isinstance(why, TypeError | AttributeError) and get_origin(kind) is tuple:
        return "a list is wanted"
    return str(why)


def _array_out(values: np.ndarray[Any, Any]) -> Any:
    if values.dtype.kind == "M":
        return [_instant_out(one) for one in values.ravel()]
    if values.dtype.kind == "f":
        flat = values.astype(object)
        flat[~np.isfinite(values)] = None
        return flat.tolist()
    return values.tolist()


def _array_in(plain: Any, kind: Any) -> np.ndarray[Any, Any]:
    if not isinstance(plain, list | tuple):
        raise UnreadableFileError("a list of values is wanted")
    if "datetime64" in str(kind):
        return np.array([_instant_in(one) for one in plain], dtype="datetime64[us]")
    if "bool" in str(kind):
        return _cells(plain, bool).astype(np.bool_)
    if "int64" in str(kind):
        return _cells(plain, int).astype(np.int64)
    return _cells(plain, float).astype(np.float64)  # None becomes NaN


def _cells(plain: Any, kind: type) -> np.ndarray[Any, Any]:
    """Array of the very things in nested lists of equal length, each looked at."""
    try:
        cells = np.array(plain, dtype=object)
    except ValueError as why:
        raise UnreadableFileError("its rows are not equally long") from why
    read = {bool: _bool_in, int: _int_in, float: _float_in}[kind]
    return np.array([read(one, kind) for one in cells.ravel()], dtype=object).reshape(cells.shape)


def _instant_out(utc: np.datetime64) -> str | None:
    return None if np.isnat(utc) else instant_text(utc)


def _instant_in(plain: Any) -> np.datetime64:
    return np.datetime64("NaT", "us") if plain is None else instant_from(plain)


def _float_out(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None


def _float_in(plain: Any, _: Any) -> float:
    if plain is None:
        return math.nan
    if isinstance(plain, bool) or not isinstance(plain, int | float):
        raise UnreadableFileError(f"{plain!r:.40} is no number")
    try:
        return float(plain)
    except OverflowError as why:
        raise UnreadableFileError("a number is too big") from why


def _int_in(plain: Any, _: Any) -> int:
    whole = isinstance(plain, int) or (isinstance(plain, float) and plain.is_integer())
    if isinstance(plain, bool) or not whole:
        raise UnreadableFileError(f"{plain!r:.40} is no whole number")
    return int(plain)


def _bool_in(plain: Any, _: Any) -> bool:
    if not isinstance(plain, bool):
        raise UnreadableFileError(f"{plain!r:.40} is neither true nor false")
    return plain


def _text_in(plain: Any, kind: Any) -> str:
    if not isinstance(plain, str):
        raise UnreadableFileError(f"{plain!r:.40} is no text")
    if _is_enum(kind):  # an enumeration of texts is asked for as a text, by its base
        try:
            return cast("str", kind(plain))
        except ValueError as why:
            known = ", ".join(str(one.value) for one in kind)
            raise UnreadableFileError(f"{plain!r:.40} is not one of: {known}") from why
    return plain


def _texts_in(plain: Any, _: Any) -> tuple[str, ...]:
    if not isinstance(plain, list | tuple):
        raise UnreadableFileError("a list of texts is wanted")
    return tuple(_text_in(one, str) for one in plain)


def _day_in(plain: Any, _: Any) -> dt.date:
    try:
        return dt.date.fromisoformat(plain)
    except (TypeError, ValueError) as why:
        raise UnreadableFileError(f"{plain!r:.40} is no day; write it as 2027-11-03") from why


def _bytes_in(plain: Any, _: Any) -> bytes:
    try:
        return base64.b64decode(_text_in(plain, str), validate=True)
    except (binascii.Error, ValueError) as why:
        raise UnreadableFileError("the Base64 text is damaged") from why


def _is_enum(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, Enum)


def _is_tuple(kind: Any) -> bool:
    return get_origin(kind) is tuple


def _is_texts(kind: Any) -> bool:
    return get_origin(kind) is tuple and get_args(kind) == (str, ...)


def _is_array(kind: Any) -> bool:
    return get_origin(kind) is np.ndarray


def _is_optional_instant(kind: Any) -> bool:
    if get_origin(kind) not in {Union, types.UnionType}:
        return False
    return any(_is_instant(part) for part in get_args(kind))


def _is_instant(kind: Any) -> bool:
    return kind is np.datetime64 or get_origin(kind) is np.datetime64


@lru_cache(maxsize=1)
def _converter() -> "Converter":
    from cattrs import Converter  # noqa: PLC0415  slow to import, wanted only for JSON

    made = Converter(forbid_extra_keys=True)
    made.register_unstructure_hook_func(
        lambda kind: kind is np.ndarray or _is_array(kind), _array_out
    )
    made.register_structure_hook_func(_is_array, _array_in)
    made.register_unstructure_hook(np.datetime64, _instant_out)
    made.register_structure_hook_func(_is_instant, lambda plain, _: _instant_in(plain))
    made.register_structure_hook_func(
        _is_optional_instant, lambda plain, _: None if plain is None else instant_from(plain)
    )
    made.register_structure_hook_func(_is_texts, _texts_in)
    made.register_unstructure_hook(dt.datetime, lambda moment: moment.isoformat())
    made.register_structure_hook(dt.datetime, lambda text, _: dt.datetime.fromisoformat(text))
    made.register_unstructure_hook(dt.time, lambda time: time.isoformat())
    made.register_structure_hook(dt.time, lambda text, _: dt.time.fromisoformat(text))
    made.register_unstructure_hook(dt.date, lambda day: day.isoformat())
    made.register_structure_hook(dt.date, _day_in)
    made.register_unstructure_hook(bytes, lambda raw: base64.b64encode(raw).decode("ascii"))
    made.register_structure_hook(bytes, _bytes_in)
    made.register_unstructure_hook(float, _float_out)
    made.register_unstructure_hook(StrEnum, lambda one: str(one.value))
    made.register_structure_hook(float, _float_in)
    made.register_structure_hook(int, _int_in)
    made.register_structure_hook(bool, _bool_in)
    made.register_structure_hook(str, _text_in)
    made.register_unstructure_hook_func(
        _is_tuple, lambda values: [made.unstructure(one) for one in values]
    )
    made.register_unstructure_hook(np.float64, _float_out)
    made.register_unstructure_hook(np.bool_, bool)
    return made
