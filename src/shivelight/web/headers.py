"""The headers that every answer carries: what a page may load, who may frame it, what is kept."""

import re
from collections.abc import Mapping, MutableMapping
from dataclasses import dataclass
from typing import Any

from shivelight.web.origins import is_loopback

_HASH = re.compile(r"sha(256|384|512)-[A-Za-z0-9+/]{42,88}={0,2}")
_HASHED_NAME = re.compile(r"[.-][0-9a-f]{8,64}\.[a-z0-9]+$")
FIXED = {
    "x-content-type-options": "nosniff",
    # "no-referrer" would make browsers send "Origin: null" with a form (Fetch standard, "append a
    # request Origin header"), and then no form could be told from another site's.
    "referrer-policy": "same-origin",
    "x-frame-options": "DENY",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": (
        "accelerometer=(), camera=(), display-capture=(), geolocation=(), gyroscope=(), "
        "magnetometer=(), microphone=(), midi=(), payment=(), usb=()"
    ),
}
ONE_YEAR = "public, max-age=31536000, immutable"


@dataclass(frozen=True, slots=True, kw_only=True)
class Inline:
    """What one page holds inside itself, such as a sheet in one file.

    A page asks for it with ``request.state.inline = Inline(...)``.

    Attributes
    ----------
    scripts, styles : tuple of str
        Hashes as a content security policy writes them, without quotes: "sha256-...".
    has_data_fonts : bool
        Whether its fonts are ``data:`` addresses.

    Raises
    ------
    ValueError
        If one of them is no hash; there is no way to ask for any inline script.
    """

    scripts: tuple[str, ...] = ()
    styles: tuple[str, ...] = ()
    has_data_fonts: bool = False

    def __post_init__(self) -> None:
        wrong = [one for one in (*self.scripts, *self.styles) if not _HASH.fullmatch(one)]
        if wrong:
            raise ValueError(f"not a hash of a content security policy: {wrong[0]!r}")


def content_policy(inline: Inline | None = None) -> str:
    """Write the content security policy of a page (W3C, Content Security Policy Level 3)."""
    held = inline or Inline()
    scripts = "".join(f" '{one}'" for one in held.scripts)
    styles = "".join(f" '{one}'" for one in held.styles)
    fonts = " data:" if held.has_data_fonts else ""
    return (
        f"default-src 'none'; script-src 'self'{scripts}; style-src 'self'{styles}; "
        f"img-src 'self' data: blob:; font-src 'self'{fonts}; connect-src 'self'; "
        "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    )


def kept_how_long(path: str, status: int, *, static: str, said: str | None) -> str:
    """Say how long a browser may keep an answer.

    Parameters
    ----------
    path : str
        Path of the request.
    status : int
        Status of the answer.
    static : str
        Where our own files lie; those with a hash in their name never change.
    said : str or None
        What the page itself said; taken only where the answer may not be shared.
    """
    if status in {200, 304} and path.startswith(static):
        return ONE_YEAR if _HASHED_NAME.search(path) else "no-cache"
    if status in {200, 304} and said is not None and said.startswith(("private", "no-")):
        return said
    return "no-store"


def put_headers(
    message: MutableMapping[str, Any], scope: Mapping[str, Any], *, static: str
) -> None:
    """Put the fixed headers on the start of an answer, in place of any that it has."""
    state = scope.get("state") or {}
    inline = state.get("inline")
    ours = FIXED | {
        "content-security-policy": content_policy(inline if isinstance(inline, Inline) else None)
    }
    said = next(
        (v.decode("latin-1") for k, v in message["headers"] if k == b"cache-control"), None
    )
    ours["cache-control"] = kept_how_long(
        scope["path"], message["status"], static=static, said=said
    )
    others = [(k, v) for k, v in message["headers"] if k.decode("latin-1").lower() not in ours]
    message["headers"] = others + [(k.encode(), v.encode()) for k, v in ours.items()]


def _is_trustworthy(scope: Mapping[str, Any]) -> bool:
    """Whether browsers take the origin as trustworthy: this machine's own address."""
    host = next((value for name, value in scope["headers"] if name == b"host"), b"")
    name = host.decode("latin-1").rpartition(":")[0] or host.decode("latin-1")
    return name == "localhost" or is_loopback(name.strip("[]"))
