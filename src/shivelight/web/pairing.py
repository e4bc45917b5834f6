"""Let a phone in: a short code that is read off one screen and typed on another, once.

The codes live in memory alone. What is kept of a device is the SHA-256 of its token.
"""

import datetime as dt
import hmac
import secrets
import threading
import time
from collections import deque
from collections.abc import Callable, Iterable
from typing import Final

from shivelight.web.refusing import TooManyTriesError, TurnedAwayError
from shivelight.web.tokens import DEVICE, cookie, random_token

ALPHABET: Final = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
"""Without 0, O, 1, I and L, which look alike."""
LENGTH: Final = 8
GOOD_FOR_S: Final = 600.0
MOST_WRONG: Final = 5
MOST_TRIES_A_MINUTE: Final = 10
KEPT_S: Final = 400 * 86_400
"""Browsers keep no cookie longer than 400 days (RFC 6265bis, "Max-Age")."""
QUIET: Final = 4
"""Modules left light around a QR code (ISO/IEC 18004, from memory)."""


class WrongCodeError(TurnedAwayError):
    """A code that is not, or no longer, the one on the screen."""

    status = 403


class Pairing:
    """The one code that is good at a time.

    Parameters
    ----------
    address : str
        Where devices of the home network find the app, such as "http://192.168.7.20:8017".
    clock : callable, optional
        Seconds that only grow.
    choose : callable, optional
        Makes a code; random unless given.
    told : callable, optional
        Told each code that takes the place of one on which somebody has just tried.
    """

    def __init__(
        self,
        address: str,
        *,
        clock: Callable[[], float] = time.monotonic,
        choose: Callable[[], str] | None = None,
        told: Callable[[str], None] | None = None,
    ) -> None:
        self.address = address
        self.told = told
        self._clock = clock
        self._choose = choose or random_code
        self._lock = threading.Lock()
        self._tries: deque[float] = deque()
        self._renew()

    @property
    def code(self) -> str:
        """The code that is good now; a new one when the last has run out."""
        with self._lock:
            if self._is_over():
                self._renew()
            return self._code

    @property
    def minutes_left(self) -> int:
        """Whole minutes for which the code is good yet."""
        with self._lock:
            return max(0, int((self._until_s - self._clock()) // 60))

    @property
    def link(self) -> str:
        """Address that carries the code, for a QR code."""
        return f"{self.address}/pair?code={self.code}"

    def redeem(self, given: str) -> str:
        """Take a code, once, for a new device's token.

        Parameters
        ----------
        given : str
            As typed: small letters, spaces and hyphens do not matter.

        Returns
        -------
        token : str
            256 random bits; it goes into the device's cookie and nowhere else.

        Raises
        ------
        WrongCodeError
            If it is not the code, or ran out.
        TooManyTriesError
            If there were too many tries within a minute, by whomever.
        """
        with self._lock:
            self._count_try()
            was_over = self._is_over()
            is_right = hmac.compare_digest(plain(given).encode(), self._code.encode())
            if is_right and not was_over:
                self._renew()
                return random_token()
            self._wrong += 1
            is_new = was_over or self._wrong >= MOST_WRONG
            if is_new:
                self._renew()
            code, told = self._code, self.told
        if is_new and told is not None:
            told(code)
        if is_new:
            raise WrongCodeError(
                "That code is no longer good; read the new one where shivelight was started."
            )
        raise WrongCodeError("That is not the code on the screen; look again and type it anew.")

    def _count_try(self) -> None:
        now_s = self._clock()
        while self._tries and now_s - self._tries[0] >= 60.0:
            self._tries.popleft()
        if len(self._tries) >= MOST_TRIES_A_MINUTE:
            raise TooManyTriesError("Too many codes were tried; wait a minute and try again.")
        self._tries.append(now_s)

    def _is_over(self) -> bool:
        return self._clock() >= self._until_s

    def _renew(self) -> None:
        self._code = self._choose()
        self._wrong = 0
        self._until_s = self._clock() + GOOD_FOR_S


def random_code() -> str:
    """Eight letters and figures: 31 to the power of 8, about 850 thousand million codes."""
    return "".join(secrets.choice(ALPHABET) for _ in range(LENGTH))


def plain(given: str) -> str:
    """Write a code as it was made, whatever case, spaces and hyphens it was typed with."""
    return "".join(one for one in given[:64].upper() if one.isalnum())


def shown(code: str) -> str:
    """Write a code in two halves, as it is easier to read across."""
    return f"{code[: LENGTH // 2]} {code[LENGTH // 2 :]}"


def device_cookie(token: str) -> str:
    """``Set-Cookie`` header that lets a device in from now on."""
    return cookie(DEVICE, token, kept_s=KEPT_S)


def forget_cookie() -> str:
    """``Set-Cookie`` header that makes a device forget its token."""
    return cookie(DEVICE, "", kept_s=0)


def device_name(agent: str, day: dt.date) -> str:
    """Name offered for a new device, from what its browser says of itself."""
    kinds = ("iPhone", "iPad", "Android", "Windows", "Macintosh", "Linux")
    kind = next((one for one in kinds if one in agent), "Device")
    words = {"Android": "Android phone", "Macintosh": "Mac"}.get(kind, kind)
    return f"{words} of {day.day} {day:%B}"


def qr_svg(text: str, *, title: str, ink: str = "var(--on-air)", plate: str = "var(--air)") -> str:
    """Draw a QR code, dark on a light plate in either theme.

    Parameters
    ----------
    text : str
        What it says.
    title : str
        For those who cannot see it: what it is for and what to do instead.
    ink, plate : str
        Colours; the page's own unless given. The ink must be the darker.

    References
    ----------
    .. [1] ISO/IEC 18004; the modules are those of the library segno, error correction M.
    """
    from html import escape  # noqa: PLC0415  wanted by this figure alone

    rows = _modules(text)
    side = len(rows) + 2 * QUIET
    bars = "".join(
        f"M{QUIET + start} {QUIET + down}h{length}v1h-{length}z"
        for down, row in enumerate(rows)
        for start, length in _runs(row)
    )
    return (
        f'<svg class="qr" role="img" viewBox="0 0 {side} {side}" '
        f'xmlns="http://www.w3.org/2000/svg" shape-rendering="crispEdges">'
        f"<title>{escape(title)}</title>"
        f'<rect width="{side}" height="{side}" fill="{plate}"/>'
        f'<path d="{bars}" fill="{ink}"/></svg>'
    )


def qr_terminal(text: str) -> str:
    """Draw a QR code in half blocks, black on white whatever the terminal's colours are."""
    rows = _modules(text)
    wide = len(rows) + 2 * QUIET
    light = [False] * wide
    padded = [light] * QUIET + [[False] * QUIET + row + [False] * QUIET for row in rows]
    padded += [light] * (QUIET + len(padded) % 2)
    blocks = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}
    return "\n".join(
        "\x1b[30;107m"
        + "".join(blocks[above, below] for above, below in zip(upper, lower, strict=True))
        + "\x1b[0m"
        for upper, lower in zip(padded[::2], padded[1::2], strict=True)
    )


def _modules(text: str) -> list[list[bool]]:
    import segno  # noqa: PLC0415  wanted only where a code is drawn

    return [[bool(one) for one in row] for row in segno.make(text, error="m", micro=False).matrix]


def _runs(row: list[bool]) -> Iterable[tuple[int, int]]:
    start = 0
    while start < len(row):
        end = start
        while end < len(row) and row[end]:
            end += 1
        if end > start:
            yield start, end - start
        start = end + 1
