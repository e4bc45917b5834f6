"""Form tokens: what a form must carry so that only a page of ours could have sent it.

A visit has a random session in a cookie that no script can read; its forms carry an HMAC of it
under a secret that lives as long as the process (OWASP, Cross-Site Request Forgery Prevention,
"HMAC based token pattern", from memory). A route that writes depends on :func:`form_token`, or
on :func:`upload_token` where the body is streamed.
"""

import hashlib
import hmac
import re
import secrets
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any, Final

from fastapi import Request

from shivelight.web.refusing import FormTokenError

SESSION: Final = "shivelight"
DEVICE: Final = "shivelight-device"
FIELD: Final = "form_token"
HEADER: Final = "x-form-token"
SAFE_METHODS: Final = frozenset({"GET", "HEAD", "OPTIONS"})
"""Methods that change nothing (RFC 9110, 9.2.1)."""
_RANDOM = re.compile(r"[A-Za-z0-9_-]{43}")
STALE = (
    "This form was made before the program was last started, or not by it; go back, load the "
    "page again and send it once more."
)


@dataclass(frozen=True, slots=True)
class FormTokens:
    """Makes and checks form tokens under one secret.

    Attributes
    ----------
    secret : bytes
        At least 16 bytes, random, of this process alone.
    """

    secret: bytes = field(repr=False)

    def __post_init__(self) -> None:
        if len(self.secret) < 16:
            raise ValueError("a secret has at least 16 bytes")

    def token(self, session: str) -> str:
        """Token of a session: HMAC-SHA256 in hexadecimal."""
        return hmac.new(self.secret, session.encode(), hashlib.sha256).hexdigest()

    def check_token(self, session: str, given: str) -> bool:
        """Whether a token belongs to a session, in a time that does not tell how nearly."""
        return hmac.compare_digest(self.token(session).encode(), given.encode(errors="replace"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """Who asks: the guard leaves one in ``request.state.visit``.

    Attributes
    ----------
    session : str
        Value of the session's cookie.
    form_token : str
        What the forms of this visit carry, under :data:`FIELD`.
    is_here : bool
        Whether it comes from this machine, not over the home network.
    device_sha256 : str or None
        SHA-256 of a paired device's token, in hexadecimal; None for this machine.
    """

    session: str = field(repr=False)
    form_token: str = field(repr=False)
    is_here: bool
    device_sha256: str | None = None

    def accepts(self, given: object) -> bool:
        """Whether this is the token of a form of this visit."""
        return isinstance(given, str) and hmac.compare_digest(
            self.form_token.encode(), given.encode(errors="replace")
        )


def random_token() -> str:
    """256 random bits as 43 letters, figures, ``-`` and ``_``."""
    return secrets.token_urlsafe(32)


def is_random_token(text: str | None) -> bool:
    """Whether a text has the form of :func:`random_token`."""
    return text is not None and _RANDOM.fullmatch(text) is not None


def token_sha256(token: str) -> str:
    """Fingerprint of a device's token, which is all that is kept of it."""
    return hashlib.sha256(token.encode()).hexdigest()


def read_cookie(headers: Iterable[tuple[bytes, bytes]], name: str) -> str | None:
    """First cookie of a name whose value has the form of :func:`random_token`."""
    for key, value in headers:
        if key != b"cookie":
            continue
        for part in value.decode("latin-1").split(";"):
            said, _, held = part.strip(" \t").partition("=")
            if said == name and is_random_token(held):
                return held
    return None


def cookie(name: str, value: str, *, kept_s: int | None = None) -> str:
    """Write a ``Set-Cookie`` header: no script reads it and no other site sends it.

    Parameters
    ----------
    name, value : str
        Both plain.
    kept_s : int, optional
        How long it is kept; until the browser closes when not given, gone at once when 0.
    """
    kept = "" if kept_s is None else f"; Max-Age={kept_s}"
    return f"{name}={value}; Path=/; HttpOnly; SameSite=Strict{kept}"


async def form_token(request: Request) -> None:
    """Refuse a form or a script's request without this visit's token (a dependency of routes).

    Raises
    ------
    FormTokenError
        If the token is missing or another's.
    """
    given: Any = request.headers.get(HEADER)
    if given is None:
        given = (await request.form()).get(FIELD)
    require_token(request, given)


async def upload_token(request: Request) -> None:
    """Do the same where the body is a stream of a large file (a dependency of routes).

    A token in the header is checked here; one in a field is checked by
    :func:`shivelight.web.bodies.save_upload` before the first byte of the file is kept.

    Raises
    ------
    FormTokenError
        If the header is there and holds another's token.
    """
    given = request.headers.get(HEADER)
    request.state.is_token_seen = False
    if given is not None:
        require_token(request, given)
        request.state.is_token_seen = True


def require_token(request: Request, given: object) -> None:
    """Raise :class:`FormTokenError` unless ``given`` is the token of this visit."""
    visit = getattr(request.state, "visit", None)
    if not isinstance(visit, Visit) or not visit.accepts(given):
        raise FormTokenError(STALE)


def unguarded(routes: Iterable[Any]) -> list[str]:
    """Name the routes that write and ask for no token: a test wants this empty.

    Mounted apps and included routers are walked too; a route that is none of FastAPI's is named
    when it takes a method that writes.
    """
    return [
        f"{'/'.join(sorted(methods))} {route.path}"
        for route in _every(routes)
        if (methods := set(getattr(route, "methods", None) or ()) - SAFE_METHODS)
        and not _depends_on(getattr(route, "dependant", None), {form_token, upload_token})
    ]


def upload_paths(routes: Iterable[Any]) -> tuple[re.Pattern[str], ...]:
    """Patterns of the paths whose routes depend on :func:`upload_token`."""
    return tuple(
        route.path_regex
        for route in _every(routes)
        if _depends_on(getattr(route, "dependant", None), {upload_token})
    )


def _every(routes: Iterable[Any]) -> Iterator[Any]:
    for route in routes:
        # FastAPI keeps an included router as one entry that knows its routes by this name:
        included = getattr(route, "effective_route_contexts", None)
        if included is not None:
            yield from _every(included())
            continue
        yield route
        yield from _every(getattr(route, "routes", None) or ())


def _depends_on(dependant: Any, calls: set[Any]) -> bool:
    return dependant is not None and any(
        one.call in calls or _depends_on(one, calls) for one in dependant.dependencies
    )
