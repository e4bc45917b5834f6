"""Count the bytes of a request's body, and wait for them only so long."""

import time
from collections.abc import Awaitable, Callable, MutableMapping
from dataclasses import dataclass
from typing import Any, TypeAlias

import anyio

from shivelight.web.refusing import TooLargeError, TooSlowError, TurnedAwayError, header

Message: TypeAlias = MutableMapping[str, Any]
Receive: TypeAlias = Callable[[], Awaitable[Message]]
MB = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyLimits:
    """How much a body may hold and how slowly it may come (all judgements).

    Attributes
    ----------
    most_bytes : int
        Refused above it, announced or not.
    idle_s : float
        Longest wait for the next piece.
    grace_s, least_bytes_per_s : float
        After the grace the whole body must have come at this mean rate.
    """

    most_bytes: int = MB
    idle_s: float = 20.0
    grace_s: float = 60.0
    least_bytes_per_s: float = 2_000.0


class CountedBody:
    """The body of one request, counted; itself an ASGI ``receive``.

    Attributes
    ----------
    refused : TurnedAwayError or None
        Why the body was stopped: it is raised to whoever reads, and kept here because the reader
        may turn it into an error of its own.
    """

    def __init__(
        self, receive: Receive, limits: BodyLimits, *, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self._receive = receive
        self._limits = limits
        self._clock = clock
        self._began_s = clock()
        self._count = 0
        self.is_over = False
        self.refused: TurnedAwayError | None = None

    def check_length(self, headers: list[tuple[bytes, bytes]]) -> None:
        """Refuse at once what announces that it is too large.

        Raises
        ------
        TooLargeError
            If ``Content-Length`` is above the limit.
        TurnedAwayError
            If it is no length at all.
        """
        said = header(headers, b"content-length")
        if said is None:
            return
        if not (said.isascii() and said.isdigit()):
            raise self._stop(
                TurnedAwayError("The length of what was sent is no number; send it anew.")
            )
        if len(said) > 18 or int(said) > self._limits.most_bytes:
            raise self._stop(self._too_large())

    async def __call__(self) -> Message:
        """Give the next piece.

        Raises
        ------
        TooLargeError, TooSlowError
            If it is one too many, or did not come.
        """
        if self.is_over:
            return await self._receive()
        if self.refused is not None:
            raise self.refused
        patience_s = self._patience_s()
        with anyio.move_on_after(patience_s) as wait:
            message = await self._receive()
        if patience_s <= 0.0 or wait.cancelled_caught:
            raise self._stop(TooSlowError("What was sent came too slowly; try it once more."))
        self._count += len(message.get("body", b""))
        self.is_over = message["type"] != "http.request" or not message.get("more_body", False)
        if self._count > self._limits.most_bytes:
            raise self._stop(self._too_large())
        return message

    async def run_out(self, most_bytes: int, most_s: float) -> None:
        """Read and drop what is still coming, up to so many bytes and so long."""
        dropped = 0
        with anyio.move_on_after(most_s):
            while not self.is_over and dropped < most_bytes:
                message = await self._receive()
                dropped += len(message.get("body", b""))
                self.is_over = not message.get("more_body", False)

    def _patience_s(self) -> float:
        spent_s = self._clock() - self._began_s
        whole_s = self._limits.grace_s + self._count / self._limits.least_bytes_per_s
        return max(0.0, min(self._limits.idle_s, whole_s - spent_s))

    def _too_large(self) -> TooLargeError:
        return too_large(self._limits.most_bytes)

    def _stop(self, why: TurnedAwayError) -> TurnedAwayError:
        self.refused = why
        return why


def too_large(most_bytes: int) -> TooLargeError:
    """Say what is the most that can be sent."""
    most = f"{most_bytes / MB:,.0f} MB" if most_bytes >= MB else f"{most_bytes / 1000:,.0f} kB"
    return TooLargeError(f"That is too large: at most {most} can be sent here.")
