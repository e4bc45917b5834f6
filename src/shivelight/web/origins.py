"""Read ``Host``, ``Origin`` and ``Referer`` strictly: what is not plain is none at all."""

import ipaddress
import re
from collections.abc import Iterable
from dataclasses import dataclass

PORTS = {"http": 80, "https": 443}
"""The port that is meant where none is written (RFC 9110, 4.2.1 and 4.2.2)."""
_HOST = re.compile(r"([A-Za-z0-9-]+(?:\.[A-Za-z0-9-]+)*|\[[0-9A-Fa-f:.]+\])(?::([0-9]{1,5}))?")
_ORIGIN = re.compile(r"(https?)://([^/?#@\\\s]+)", re.IGNORECASE)
_ADDRESS = re.compile(r"(https?)://([^/?#@\\\s]+)(?:[/?#].*)?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Origin:
    """Scheme, host and port: what a browser takes for one and the same site of ours.

    Attributes
    ----------
    scheme : str
        "http" or "https".
    host : str
        In small letters; an IPv6 address in its shortest form, without brackets.
    port : int
        Always written out.
    """

    scheme: str
    host: str
    port: int

    @property
    def text(self) -> str:
        """The origin as a browser writes it."""
        host = f"[{self.host}]" if ":" in self.host else self.host
        port = "" if self.port == PORTS[self.scheme] else f":{self.port}"
        return f"{self.scheme}://{host}{port}"


def read_host(text: str, scheme: str = "http") -> Origin | None:
    """Read the value of one ``Host`` header; None when it is not a host, or host and port.

    A name that ends in a dot is none: to a browser it is another site than the one without.
    """
    found = _HOST.fullmatch(text)
    if found is None or scheme not in PORTS:
        return None
    host, port = found[1].lower(), int(found[2] or PORTS[scheme])
    if not 1 <= port <= 65535:
        return None
    if host.startswith("["):
        try:
            host = ipaddress.IPv6Address(host[1:-1]).compressed
        except ValueError:
            return None
    return Origin(scheme, host, port)


def read_origin(text: str) -> Origin | None:
    """Read the value of an ``Origin`` header; None for "null" and whatever else is no origin."""
    found = _ORIGIN.fullmatch(text)
    return None if found is None else read_host(found[2], found[1].lower())


def origin_of(address: str) -> Origin | None:
    """Origin of a whole address, as ``Referer`` holds it; None when it has none."""
    found = _ADDRESS.fullmatch(address)
    return None if found is None else read_host(found[2], found[1].lower())


def read_hosts(texts: Iterable[str], scheme: str = "http") -> frozenset[Origin]:
    """Read a list of hosts that we answer to.

    Raises
    ------
    ValueError
        If one of them is no host: a fault of ours, not of a visitor.
    """
    read = {text: read_host(text, scheme) for text in texts}
    wrong = [text for text, origin in read.items() if origin is None]
    if wrong:
        raise ValueError(f"not a host: {', '.join(map(repr, wrong))}")
    return frozenset(origin for origin in read.values() if origin is not None)


def is_loopback(address: str) -> bool:
    """Whether an address of a visitor is this machine's own inside address."""
    try:
        read = ipaddress.ip_address(address)
    except ValueError:
        return False
    mapped = getattr(read, "ipv4_mapped", None)
    return bool((mapped or read).is_loopback)
