"""What is refused before a page is made: a status, a sentence, and a bare page for both."""

import json
from collections.abc import Callable, Iterable, Mapping, MutableMapping
from dataclasses import dataclass
from html import escape
from typing import Any, TypeAlias

from shivelight.basis.errors import BadInputError

Scope: TypeAlias = MutableMapping[str, Any]
Headers: TypeAlias = Iterable[tuple[bytes, bytes]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """A request that is not answered.

    Attributes
    ----------
    status : int
        HTTP status.
    sentence : str
        What is wrong and what puts it right.
    headers : tuple of (str, str)
        More headers of the answer, such as where to go instead.
    """

    status: int
    sentence: str
    headers: tuple[tuple[str, str], ...] = ()


Render: TypeAlias = Callable[[Mapping[str, Any], Refusal], tuple[str, bytes]]
"""Turns a request's scope and its refusal into a media type and a body."""


class TurnedAwayError(BadInputError):
    """A request that cannot be taken as it came; it knows its HTTP status."""

    status = 400


class TooLargeError(TurnedAwayError):
    """More bytes than a form or a file may have."""

    status = 413


class TooSlowError(TurnedAwayError):
    """The bytes of a request came too slowly, or stopped coming."""

    status = 408


class FormTokenError(TurnedAwayError):
    """A form that this program did not hand out, or handed out before it was started again."""

    status = 403


class TooManyTriesError(TurnedAwayError):
    """Too many wrong codes in a short time."""

    status = 429


def header(headers: Headers, name: bytes) -> str | None:
    """First header of that name, as text."""
    return next((value.decode("latin-1") for key, value in headers if key == name), None)


def wants_json(headers: Headers) -> bool:
    """Whether a visitor asks for JSON and not for a page."""
    accepted = header(headers, b"accept") or ""
    return "application/json" in accepted and "text/html" not in accepted


def bare(scope: Mapping[str, Any], refusal: Refusal) -> tuple[str, bytes]:
    """Write a refusal with nothing around it, dark from the first paint."""
    if wants_json(scope["headers"]):
        told = {
            "error": {"status": refusal.status, "kind": "refused", "sentence": refusal.sentence}
        }
        return "application/json", json.dumps(told, ensure_ascii=False).encode()
    page = (
        '<!doctype html><html lang="en-GB"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width">'
        '<meta name="color-scheme" content="dark"><title>Not done</title></head>'
        f"<body><main><h1>Not done</h1><p>{escape(refusal.sentence)}</p>"
        '<p><a href="/">To the first page</a></p></main></body></html>'
    )
    return "text/html; charset=utf-8", page.encode()
