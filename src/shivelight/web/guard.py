"""Stand before the app: who may ask, from where, how much, and with which headers it is answered.

A pure ASGI layer. It refuses before any page code runs, so that no page has to think of it.
"""

import logging
import re
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, TypeAlias

import anyio

from shivelight.web.counted import BodyLimits, CountedBody, Message, Receive
from shivelight.web.headers import put_headers
from shivelight.web.origins import (
    Origin,
    is_loopback,
    origin_of,
    read_host,
    read_hosts,
    read_origin,
)
from shivelight.web.refusing import (
    Refusal,
    Render,
    Scope,
    TurnedAwayError,
    bare,
    header,
    wants_json,
)
from shivelight.web.tokens import (
    DEVICE,
    SAFE_METHODS,
    SESSION,
    FormTokens,
    Visit,
    cookie,
    is_random_token,
    random_token,
    read_cookie,
    token_sha256,
)

Send: TypeAlias = Callable[[Message], Awaitable[None]]
App: TypeAlias = Callable[[Scope, Receive, Send], Awaitable[None]]
METHODS = SAFE_METHODS | {"POST", "PUT", "PATCH", "DELETE"}
DRAIN_BYTES = 16_000_000
DRAIN_S = 2.0
logger = logging.getLogger(__name__)


def _nobody(token_sha256: str) -> bool:
    del token_sha256
    return False


@dataclass(frozen=True, kw_only=True)
class GuardRules:
    """What the guard goes by.

    Attributes
    ----------
    hosts : tuple of str
        "host:port" as a browser sends it, or "host" where the port is 80.
    secret : bytes
        Of this process, for form tokens.
    home_network : bool
        Whether anybody but this machine may ask at all.
    is_paired : callable
        Whether the SHA-256 of a device's token is known; may be slow, is called in a thread.
    limits : BodyLimits
        Of every body but those below.
    large : tuple of (Pattern, BodyLimits)
        Limits of paths that match a whole pattern.
    render : callable
        Turns a refusal into a page or JSON.
    pair : str
        Path of the page where a device is paired.
    open_to_all : tuple of str
        Paths that an unpaired device may ask for, beside ``pair``.
    static : str
        Where our own files lie.
    """

    hosts: tuple[str, ...]
    secret: bytes = field(repr=False)
    home_network: bool = False
    is_paired: Callable[[str], bool] = _nobody
    limits: BodyLimits = field(default_factory=BodyLimits)
    large: tuple[tuple[re.Pattern[str], BodyLimits], ...] = ()
    render: Render = bare
    pair: str = "/pair"
    open_to_all: tuple[str, ...] = ("/theme",)
    static: str = "/static/"

    @cached_property
    def tokens(self) -> FormTokens:
        """Maker of form tokens."""
        return FormTokens(self.secret)

    @cached_property
    def origins(self) -> frozenset[Origin]:
        """The hosts, read."""
        return read_hosts(self.hosts)

    def limits_of(self, path: str) -> BodyLimits:
        """Limits of a body for a path."""
        fitting = (limits for pattern, limits in self.large if pattern.fullmatch(path))
        return next(fitting, self.limits)

    def is_open(self, path: str) -> bool:
        """Whether an unpaired device may ask for a path."""
        return path in {self.pair, *self.open_to_all} or path.startswith(self.static)


class _AtTheDoorError(Exception):
    """Carries a refusal out of the checks."""

    def __init__(self, status: int, sentence: str, *headers: tuple[str, str]) -> None:
        super().__init__(sentence)
        self.refusal = Refusal(status=status, sentence=sentence, headers=headers)


class Guard:
    """ASGI middleware that lets in only what the rules let in.

    Parameters
    ----------
    app : ASGI app
        What is guarded; finds a :class:`shivelight.web.tokens.Visit` in ``request.state.visit``.
    rules : GuardRules
        What to go by.
    """

    def __init__(self, app: App, rules: GuardRules) -> None:
        self._app = app
        self._rules = rules
        _ = rules.origins, rules.tokens  # a fault in them shows now

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            await receive()
            await send({"type": "websocket.close", "code": 1008})
            return
        body = CountedBody(receive, self._rules.limits_of(scope["path"]))
        answer = _Answer(scope, send, self._rules, body)
        try:
            visit = await self._let_in(scope)
            answer.new_session = self._new_session(scope, visit)
            scope.setdefault("state", {})["visit"] = visit
            body.check_length(scope["headers"])
            await self._app(scope, body, answer.send)
        except _AtTheDoorError as door:
            await answer.refuse(door.refusal)
        except TurnedAwayError as why:
            if why is not body.refused:
                raise
            await answer.refuse_body()

    async def _let_in(self, scope: Scope) -> Visit:
        headers = scope["headers"]
        here = self._host(scope)
        if scope["method"] not in METHODS:
            raise _AtTheDoorError(405, "That is no way to ask for a page here.")
        is_here, device = await self._who(scope)
        if scope["method"] in SAFE_METHODS:
            _require_own_reading(scope, here)
        else:
            _require_own_origin(headers, here)
        session = read_cookie(headers, SESSION) or random_token()
        return Visit(
            session=session,
            form_token=self._rules.tokens.token(session),
            is_here=is_here,
            device_sha256=device,
        )

    def _host(self, scope: Scope) -> Origin:
        said = [value for name, value in scope["headers"] if name == b"host"]
        raw = scope.get("raw_path") or scope["path"].encode()
        host = read_host(said[0].decode("latin-1"), "http") if len(said) == 1 else None
        if host is None or host not in self._rules.origins or not raw.startswith(b"/"):
            raise _AtTheDoorError(
                421,
                "That address is not one of Shivelight's; use the address that it told when it "
                "was started.",
            )
        return Origin(scope.get("scheme", "http"), host.host, host.port)

    async def _who(self, scope: Scope) -> tuple[bool, str | None]:
        client = scope.get("client")
        if client and is_loopback(client[0]):
            return True, None
        if not self._rules.home_network:
            raise _AtTheDoorError(403, "Shivelight answers only the machine it runs on.")
        token = read_cookie(scope["headers"], DEVICE)
        if token is not None and not scope["path"].startswith(self._rules.static):
            device = token_sha256(token)
            if await anyio.to_thread.run_sync(self._rules.is_paired, device):
                return False, device
        if not self._rules.is_open(scope["path"]):
            self._send_to_pair(scope)
        return False, None

    def _send_to_pair(self, scope: Scope) -> None:
        sentence = "This device is not paired with the field book; pair it first."
        if scope["method"] in {"GET", "HEAD"} and not wants_json(scope["headers"]):
            raise _AtTheDoorError(303, sentence, ("location", self._rules.pair))
        raise _AtTheDoorError(403, sentence)

    def _new_session(self, scope: Scope, visit: Visit) -> str | None:
        is_page = scope["method"] == "GET" and not scope["path"].startswith(self._rules.static)
        is_known = is_random_token(read_cookie(scope["headers"], SESSION))
        return visit.session if is_page and not is_known else None


def _require_own_origin(headers: list[tuple[bytes, bytes]], here: Origin) -> None:
    """Refuse a request that writes unless it comes from a page of the same origin.

    Browsers send ``Origin`` with it (Fetch standard, "append a request Origin header") and
    ``Sec-Fetch-Site`` (W3C, Fetch Metadata Request Headers).
    """
    said = [value.decode("latin-1") for name, value in headers if name == b"origin"]
    site = header(headers, b"sec-fetch-site")
    referer = header(headers, b"referer")
    if said:
        is_ours = len(said) == 1 and read_origin(said[0]) == here
    elif site is None:
        is_ours = referer is not None and origin_of(referer) == here
    else:
        is_ours = True
    if not is_ours or site not in {None, "same-origin", "none"}:
        raise _AtTheDoorError(
            403, "That came from another site, so nothing was done; do it on a page of Shivelight."
        )


def _require_own_reading(scope: Scope, here: Origin) -> None:
    """Refuse another site's page that draws on ours, and start a link from there afresh.

    With a link from another site the browser leaves out our cookies; the same page asked for by
    itself has them (RFC 6265bis, "SameSite" cookies).
    """
    headers = scope["headers"]
    if header(headers, b"sec-fetch-site") not in {"cross-site", "same-site"}:
        return
    is_link = header(headers, b"sec-fetch-mode") == "navigate"
    if scope["method"] != "GET" or not is_link or header(headers, b"sec-fetch-dest") != "document":
        raise _AtTheDoorError(403, "Another site may not draw on the field book's pages.")
    query = scope.get("query_string", b"").decode("latin-1")
    raw = (scope.get("raw_path") or scope["path"].encode()).decode("latin-1")
    address = f"{here.text}{raw}{'?' if query else ''}{query}"
    raise _AtTheDoorError(200, "One moment.", ("refresh", f"0; url={address}"))


class _Answer:
    """Sends one answer: ours with the headers, or a refusal in its place."""

    def __init__(self, scope: Scope, send: Send, rules: GuardRules, body: CountedBody) -> None:
        self._scope = scope
        self._send = send
        self._rules = rules
        self._body = body
        self._is_begun = False
        self._is_replaced = False
        self.new_session: str | None = None

    async def send(self, message: Message) -> None:
        """Pass on what the app sends, unless the body was stopped before."""
        if self._is_replaced:
            return
        if message["type"] == "http.response.start":
            if self._body.refused is not None:
                await self.refuse_body()
                return
            self._begin(message)
        await self._send(message)

    def _begin(self, message: Message) -> None:
        self._is_begun = True
        message["headers"] = list(message.get("headers", ()))
        put_headers(message, self._scope, static=self._rules.static)
        if self.new_session is not None:
            line = cookie(SESSION, self.new_session)
            message["headers"].append((b"set-cookie", line.encode()))

    async def refuse_body(self) -> None:
        """Refuse because of the body, if nothing was answered yet."""
        why = self._body.refused
        if why is not None and not self._is_begun:
            await self.refuse(Refusal(status=why.status, sentence=str(why)), is_body=True)

    async def refuse(self, refusal: Refusal, *, is_body: bool = False) -> None:
        """Answer with a refusal; after a stopped body, let the rest run out and hang up."""
        self._is_replaced = True
        logger.info("%s %s: %s", refusal.status, self._scope["path"], refusal.sentence)
        kind, page = self._rules.render(self._scope, refusal)
        more = [*refusal.headers, ("content-type", kind), ("content-length", str(len(page)))]
        if is_body:
            more.append(("connection", "close"))
        start: dict[str, Any] = {
            "type": "http.response.start",
            "status": refusal.status,
            "headers": [(name.encode(), value.encode("latin-1")) for name, value in more],
        }
        self._begin(start)
        await self._send(start)
        shown = b"" if self._scope["method"] == "HEAD" else page
        await self._send({"type": "http.response.body", "body": shown, "more_body": is_body})
        if is_body:
            await self._drain()
            await self._send({"type": "http.response.body", "body": b"", "more_body": False})

    async def _drain(self) -> None:
        """Read on for a moment, so that a browser still sending gets to read the answer."""
        if header(self._scope["headers"], b"expect") is not None:
            return
        await self._body.run_out(DRAIN_BYTES, DRAIN_S)
