"""Which error answers with which status, as a page or as JSON of one shape.

::

    {"error": {"status": 404, "kind": "not found", "sentence": "There is no wood named ..."}}
"""

import logging
from dataclasses import dataclass
from urllib.parse import urlsplit

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException

from shivelight.basis.errors import (
    BadInputError,
    MissingDataError,
    NotFoundError,
    OutOfRangeError,
    ShivelightError,
    UnreadableFileError,
    UnwritableError,
)
from shivelight.web.boxes import RefusedError, opened
from shivelight.web.refusing import TurnedAwayError
from shivelight.web.show import show

log = logging.getLogger(__name__)

STATUSES: tuple[tuple[type[Exception], int, str], ...] = (
    (OutOfRangeError, 422, "a number outside its limits"),
    (BadInputError, 422, "words or values that make no sense"),
    (NotFoundError, 404, "not found"),
    (MissingDataError, 409, "what was needed is not there"),
    (UnreadableFileError, 422, "a file that cannot be read"),
    (UnwritableError, 507, "a book, folder or disk that cannot be written"),
)
"""The first kind that an error belongs to decides its status."""
KINDS = {
    400: "not understood", 403: "refused", 404: "not found", 405: "not done that way",
    413: "too large", 415: "another kind of file is needed", 421: "another address",
    422: "not understood", 429: "too often", 500: "a fault of shivelight's",
}  # fmt: skip
SENTENCES = {
    404: "There is no such page; the head of the page names those there are.",
    405: "This address does not take that sort of request.",
}
FAULT = (
    "This is a fault of shivelight's, not of what you did. What happened stands where shivelight "
    "was started from; nothing that was saved before is lost."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """What went wrong, as every shell of the page tells it."""

    status: int
    kind: str
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ErrorPage:
    """The page of a refusal, and the page that it is answered to; empty where that is unknown."""

    error: Refusal
    back: str = ""


def status_of(error: Exception) -> int:
    """Status of an error; 500 for what is no refusal of ours."""
    if isinstance(error, TurnedAwayError):
        return error.status
    if isinstance(error, RefusedError):
        return 422
    for kind, status, _ in STATUSES:
        if isinstance(error, kind):
            return status
    return 500


def kind_of(error: Exception) -> str:
    """Sort of an error in words; empty where its status says it."""
    if isinstance(error, TurnedAwayError):
        return ""
    return next((words for one, _, words in STATUSES if isinstance(error, one)), "")


def refused(request: Request, status: int, sentence: str, kind: str = "") -> Response:
    """Answer with a refusal."""
    words = kind or KINDS.get(status, "not done")
    page = ErrorPage(
        error=Refusal(status=status, kind=words, sentence=opened(sentence)), back=_back(request)
    )
    return show(request, "error.html.j2", page, title="Not done", status=status)


def _back(request: Request) -> str:
    """Address on this site that the request came from; empty for any other, and for itself."""
    try:
        came = urlsplit(request.headers.get("referer", ""))
    except ValueError:
        return ""
    if came.netloc != request.headers.get("host") or not came.path.startswith("/"):
        return ""
    if came.path.startswith("//") or (request.method == "GET" and came.path == request.url.path):
        return ""
    return f"{came.path}?{came.query}" if came.query else came.path


def add_error_pages(app: FastAPI) -> None:
    """Answer every error with a page or JSON of one shape."""

    @app.exception_handler(ShivelightError)
    async def ours(request: Request, error: ShivelightError) -> Response:
        return refused(request, status_of(error), str(error), kind_of(error))

    @app.exception_handler(RefusedError)
    async def form(request: Request, error: RefusedError) -> Response:
        return refused(request, 422, " ".join(error.wrong.values()))

    @app.exception_handler(RequestValidationError)
    async def parameters(request: Request, error: RequestValidationError) -> Response:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"][1:]) or "the request"
        return refused(request, 422, f"{where} is not understood: {first['msg'].lower()}.")

    @app.exception_handler(HTTPException)
    async def http(request: Request, error: HTTPException) -> Response:
        sentence = SENTENCES.get(error.status_code, str(error.detail))
        answer = refused(request, error.status_code, sentence)
        answer.headers.update(error.headers or {})
        return answer

    @app.exception_handler(Exception)
    async def fault(request: Request, error: Exception) -> Response:
        log.error("A page failed: %s", request.url.path, exc_info=error)
        return refused(request, 500, FAULT)
