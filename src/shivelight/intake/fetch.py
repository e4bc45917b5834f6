"""Fetching a forecast, by the services' own rules of manners.

Every call names the program and, where one is given, how to reach the person who runs it;
asks again only after the last answer has expired, and then only for what has changed; waits
longer after each failure, and as long as the service says. The clock is given, never read.

The rules: api.met.no, "Terms of Service" (identify yourself, at most four decimals, obey
Expires, use If-Modified-Since, slow down on 429, heed 203 as a sign of an old version);
open-meteo.com, "Terms" (no needless calls).
"""

import datetime as dt
import email.utils
import json
import logging
import re
import time
from collections.abc import Callable, Mapping
from contextlib import ExitStack
from dataclasses import dataclass, replace
from importlib.metadata import version

import httpx
import numpy as np

from shivelight.basis.errors import (
    BadInputError,
    MissingDataError,
    UnreadableFileError,
)
from shivelight.basis.instants import from_datetime
from shivelight.basis.places import Position
from shivelight.intake.series import shown
from shivelight.intake.services import Service, query_for, service_named

_log = logging.getLogger(__name__)

LARGEST_ANSWER_BYTES = 20_000_000
LONGEST_LIFE_S = 86_400.0
"""An answer is never held fresh for longer, whatever its headers say (a judgement)."""
_KEPT_HEADERS = ("date", "expires", "last-modified", "etag", "cache-control", "content-type")
_WORTH_ANOTHER_TRY = {429, 500, 502, 503, 504}


class UnreachableError(MissingDataError):
    """A service did not answer, or not with a forecast; the last stored one may serve."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fetched:
    """An answer as received, to be stored as it is and given back at the next call.

    Attributes
    ----------
    service, kind : str
        Whose it is and which reader reads it.
    url : str
        What was asked; it holds the place and no secret.
    payload : bytes
        The body, as sent after decompression.
    headers : mapping of str to str
        Those that tell its age and life, lower case.
    fetched_utc : datetime64
        When the service last said that this is its newest.
    asked : bool
        False when the stored answer was still fresh and nobody was asked.
    not_modified : bool
        True when the payload is the stored one.
    notice : str
        A warning by the service for the person ("" for none).
    """

    service: str
    kind: str
    url: str
    payload: bytes
    headers: Mapping[str, str]
    fetched_utc: np.datetime64
    asked: bool = True
    not_modified: bool = False
    notice: str = ""

    def fresh_until(self, *, otherwise_s: float) -> np.datetime64:
        """Instant until which nobody need be asked again, by the answer's own headers."""
        life_s = _life_s(self.headers, self.fetched_utc)
        life_s = otherwise_s if life_s is None else life_s
        life_s = min(max(life_s, 0.0), LONGEST_LIFE_S)
        return self.fetched_utc + np.timedelta64(round(life_s * 1e6), "us")


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """How calls are made: patience, and (for tests) the client and the way to wait.

    Attributes
    ----------
    client : httpx.Client or None
        Made and closed for each fetch when None.
    timeout_s : float
        For connecting and between two pieces of an answer. [s]
    tries : int
        Calls in all.
    first_wait_s : float
        Wait before the second call; doubled each time. [s]
    most_wait_s : float
        A service that asks for a longer wait is not called again. [s]
    sleep : callable
        Waits for so many seconds.
    """

    client: httpx.Client | None = None
    timeout_s: float = 20.0
    tries: int = 4
    first_wait_s: float = 1.0
    most_wait_s: float = 30.0
    sleep: Callable[[float], None] = time.sleep


def fetch_forecast(
    service: str | Service,
    position: Position,
    *,
    contact: str | None,
    now_utc: np.datetime64,
    cached: Fetched | None = None,
    line: Line | None = None,
) -> Fetched:
    """Ask a service for its forecast of a place, unless the stored one is still fresh.

    Parameters
    ----------
    service : str or Service
        One of :data:`shivelight.intake.services.SERVICES`.
    position : Position
        The place, as coarse as it may leave the machine; sent with four decimals at most.
    contact : str or None
        A mail address or web page by which the service can reach the caller.
    now_utc : datetime64
        The time.
    cached : Fetched, optional
        The last answer; used when it is of the same service and place.
    line : Line, optional
        Patience.

    Returns
    -------
    Fetched
        The new answer, or the stored one with ``not_modified`` set.

    Raises
    ------
    NotFoundError
        If there is no such service.
    BadInputError
        If the contact is missing or unusable, or the service refuses what is asked.
    UnreachableError
        If it cannot be reached, fails, or asks for a longer wait than ``line`` allows.
    UnreadableFileError
        If the answer is empty or absurdly long.
    """
    asked = service_named(service)
    agent = _agent(asked, contact)
    url = str(httpx.URL(asked.url, params=query_for(asked, position)))
    same = cached if cached is not None and cached.url == url else None
    if same is not None:
        until = same.fresh_until(otherwise_s=asked.fresh_s)
        if same.fetched_utc <= now_utc < until:
            return replace(same, asked=False, not_modified=True)
    headers = {"User-Agent": agent, "Accept": "application/json"}
    if same is not None:
        headers |= _conditions(same.headers)
    manners = line or Line()
    with ExitStack() as stack:
        client = manners.client or stack.enter_context(httpx.Client())
        answer = _Caller(asked, client, manners, now_utc).call(url, headers)
    return _fetched(asked, answer, same, url, now_utc)


def _agent(service: Service, contact: str | None) -> str:
    name = f"shivelight/{version('shivelight')}"
    if not contact:
        if service.needs_contact:
            raise BadInputError(
                f"{service.title} asks its callers how to reach them; give a contact, "
                "your mail address or web page."
            )
        return name
    usable = re.fullmatch(r"[!-~]+@[!-~]+\.[!-~]+|https?://[!-~]+", contact)
    if not usable or len(contact) > 200:
        raise BadInputError(
            f"The contact {contact[:40]!r} is no mail address and no web page (https://…)."
        )
    return f"{name} {contact}"


def _conditions(headers: Mapping[str, str]) -> dict[str, str]:
    named = {"last-modified": "If-Modified-Since", "etag": "If-None-Match"}
    return {theirs: headers[ours] for ours, theirs in named.items() if ours in headers}


@dataclass(frozen=True, slots=True)
class _Answer:
    status: int
    headers: dict[str, str]
    body: bytes


@dataclass(frozen=True, slots=True)
class _Caller:
    """Calls until there is an answer worth having, or patience ends."""

    service: Service
    client: httpx.Client
    line: Line
    now_utc: np.datetime64

    def call(self, url: str, headers: dict[str, str]) -> _Answer:
        wait_s = self.line.first_wait_s
        for left in range(self.line.tries - 1, -1, -1):
            asked_s = None
            try:
                answer = self._once(url, headers)
            except httpx.TransportError as why:
                trouble = _trouble(why)
            except (httpx.HTTPError, httpx.InvalidURL) as why:
                raise UnreachableError(
                    f"{self.service.title} gave no usable answer ({_trouble(why)})."
                ) from why
            else:
                if answer.status not in _WORTH_ANOTHER_TRY:
                    return answer
                trouble = f"status {answer.status}"
                asked_s = _seconds(answer.headers.get("retry-after"), self.now_utc)
            _log.info("%s: %s, %d tries left", self.service.title, trouble, left)
            pause_s = max(wait_s, asked_s or 0.0)
            if left == 0 or pause_s > self.line.most_wait_s:
                raise UnreachableError(self._give_up(trouble, asked_s))
            self.line.sleep(pause_s)
            wait_s *= 2.0
        raise UnreachableError(f"{self.service.title} was not asked: no tries are allowed.")

    def _give_up(self, trouble: str, asked_s: float | None) -> str:
        later = f"; it asks for {asked_s / 60.0:.0f} min of patience" if asked_s else ""
        return (
            f"{self.service.title} did not answer with a forecast ({trouble}){later}; "
            "go on with the last stored one, or try again later."
        )

    def _once(self, url: str, headers: dict[str, str]) -> _Answer:
        stream = self.client.stream(
            "GET", url, headers=headers, timeout=self.line.timeout_s, follow_redirects=True
        )
        with stream as response:
            body = bytearray()
            for piece in response.iter_bytes():
                body += piece
                if len(body) > LARGEST_ANSWER_BYTES:
                    raise UnreadableFileError(
                        f"{self.service.title}'s answer is too long to be a forecast."
                    )
            return _Answer(response.status_code, dict(response.headers), bytes(body))


def _trouble(why: Exception) -> str:
    if isinstance(why, httpx.TimeoutException):
        return "no answer in time"
    if isinstance(why, httpx.ConnectError):
        return "no connection; is this machine offline?"
    return f"connection lost: {shown(why, type(why).__name__)}"


def _fetched(
    service: Service,
    answer: _Answer,
    same: Fetched | None,
    url: str,
    now_utc: np.datetime64,
) -> Fetched:
    kept = {name: answer.headers[name] for name in _KEPT_HEADERS if name in answer.headers}
    if answer.status == 304 and same is not None:
        return replace(
            same,
            headers={**same.headers, **kept},
            fetched_utc=now_utc,
            asked=True,
            not_modified=True,
        )
    if answer.status not in {200, 203}:
        raise _refusal(service, answer)
    if not answer.body.strip():
        raise UnreadableFileError(f"{service.title} sent an empty answer; try again later.")
    if not answer.body.lstrip(b"\xef\xbb\xbf \t\r\n").startswith((b"{", b"[")):
        raise UnreachableError(
            f"What came is not {service.title}'s JSON; a network that wants a login first "
            "answers so. Go on with the last stored forecast."
        )
    notice = ""
    if answer.status == 203:
        notice = f"{service.title} says that this way of asking will end; look for an update."
        _log.warning("%s", notice)
    return Fetched(
        service=service.name,
        kind=service.kind,
        url=url,
        payload=answer.body,
        headers=kept,
        fetched_utc=now_utc,
        notice=notice,
    )


def _refusal(service: Service, answer: _Answer) -> BadInputError | UnreachableError:
    reason = ""
    try:
        said = json.loads(answer.body)
        reason = shown(said.get("reason"), "") if isinstance(said, dict) else ""
    except (ValueError, RecursionError):
        pass  # it refuses in another form; its status says enough
    if answer.status == 403:
        reason = reason or "it wants a contact that it can reach, and few calls"
    words = f" ({reason})" if reason else ""
    text = f"{service.title} refuses the request with status {answer.status}{words}."
    return BadInputError(text) if 400 <= answer.status < 500 else UnreachableError(text)


def _life_s(headers: Mapping[str, str], fetched_utc: np.datetime64) -> float | None:
    """How long an answer stays fresh; by the service's own clock where it tells it. [s]."""
    control = headers.get("cache-control", "")
    if re.search(r"\bno-(?:cache|store)\b", control):
        return 0.0
    age = re.search(r"\bmax-age=(\d{1,9})\b", control)
    if age:
        return float(age[1])
    expires = _http_date(headers.get("expires"))
    if expires is None:
        return 0.0 if "expires" in headers else None
    sent = _http_date(headers.get("date"))
    return float((expires - (fetched_utc if sent is None else sent)) / np.timedelta64(1, "s"))


def _http_date(text: str | None) -> np.datetime64 | None:
    if text is None:
        return None
    try:
        moment = email.utils.parsedate_to_datetime(text)
        return from_datetime(moment if moment.tzinfo else moment.replace(tzinfo=dt.UTC))
    except (ValueError, TypeError, OverflowError):
        return None


def _seconds(retry_after: str | None, now_utc: np.datetime64) -> float | None:
    """Seconds that a Retry-After header asks for, given as a number or a date."""
    if retry_after is None:
        return None
    if re.fullmatch(r"\d{1,9}", retry_after.strip()):
        return float(retry_after)
    moment = _http_date(retry_after)
    return None if moment is None else max(0.0, float((moment - now_utc) / np.timedelta64(1, "s")))
