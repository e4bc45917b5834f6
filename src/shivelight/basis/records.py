"""Our dataclasses as plain JSON values, and back: one form for the store, ``--json`` and pages.

Instants become ``"2027-11-03T07:38:00Z"``, dates ISO dates, arrays lists with ``null`` for NaN,
tuples lists. The field names are the JSON keys, units and all.
"""

import datetime as dt
import types
from functools import lru_cache
from typing import TYPE_CHECKING, Any, TypeVar, Union, get_args, get_origin

import numpy as np

from shivelight.basis.errors import UnreadableFileError

if TYPE_CHECKING:
    from cattrs import Converter

T = TypeVar("T")


def instant_text(utc: np.datetime64) -> str:
    """Write an instant in ISO 8601 with a Z; whole seconds when it has no fraction."""
    whole = utc.astype("datetime64[us]")
    short = whole.astype("datetime64[s]")
    return f"{short if short == whole else whole}Z"


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
    return np.datetime64(moment.astimezone(dt.UTC).replace(tzinfo=None), "us")


def to_plain(value: Any) -> Any:
    """Turn a dataclass (or a list of them) into dicts, lists, text and numbers."""
    return _converter().unstructure(value)


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
        reason = "; ".join(transform_error(why)[:3])
        raise UnreadableFileError(f"This is no {kind.__name__.lower()}: {reason}.") from why


def _array_out(values: np.ndarray[Any, Any]) -> Any:
    if values.dtype.kind == "M":
        return [instant_text(one) for one in values.ravel()]
    if values.dtype.kind == "f":
        flat = values.astype(object)
        flat[~np.isfinite(values)] = None
        return flat.tolist()
    return values.tolist()


def _array_in(plain: Any, kind: Any) -> np.ndarray[Any, Any]:
    if "datetime64" in str(kind):
        return np.array([instant_from(one) for one in plain], dtype="datetime64[us]")
    if "bool" in str(kind):
        return np.array(plain, dtype=np.bool_)
    if "int64" in str(kind):
        return np.array(plain, dtype=np.int64)
    return np.array(plain, dtype=np.float64)  # None becomes NaN


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
    made.register_unstructure_hook(np.datetime64, instant_text)
    made.register_structure_hook_func(_is_instant, lambda plain, _: instant_from(plain))
    made.register_structure_hook_func(
        _is_optional_instant, lambda plain, _: None if plain is None else instant_from(plain)
    )
    made.register_unstructure_hook(dt.date, lambda day: day.isoformat())
    made.register_structure_hook(dt.date, lambda text, _: dt.date.fromisoformat(text))
    made.register_unstructure_hook(np.float64, float)
    made.register_unstructure_hook(np.bool_, bool)
    return made
