"""Take a port of this machine: on its inside address, and on the home network where asked to."""

import contextlib
import ipaddress
import os
import socket
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from shivelight.basis.errors import BadInputError, MissingDataError, UnwritableError

NEXT_PORTS = 20
"""How many ports from the usual one on are tried."""
INSIDE = "127.0.0.1"
BACKLOG = 128
_PROBES = ("192.168.255.254", "10.255.255.254", "172.31.255.254", "192.0.2.1", "fdff::1")
"""Addresses to ask the routes about; nothing is sent to them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Doors:
    """The sockets on which the app will answer, already its own.

    Attributes
    ----------
    port : int
        The same on every address.
    sockets : tuple of socket
        Bound and listening.
    near : tuple of str
        Addresses of this machine on the home network; empty when it stays inside.
    """

    port: int
    sockets: tuple[socket.socket, ...] = field(repr=False)
    near: tuple[str, ...] = ()

    @property
    def address(self) -> str:
        """Address for this machine's own browser."""
        return f"http://{INSIDE}:{self.port}"

    @property
    def near_addresses(self) -> tuple[str, ...]:
        """Addresses for other devices."""
        return tuple(f"http://{_in_address(one)}:{self.port}" for one in self.near)

    @property
    def hosts(self) -> tuple[str, ...]:
        """What a browser may say that it asks."""
        names = (INSIDE, "localhost", *map(_in_address, self.near))
        return tuple(f"{name}:{self.port}" for name in names)

    def close(self) -> None:
        """Give the port back."""
        _close(self.sockets)

    def __enter__(self) -> "Doors":
        return self

    def __exit__(self, *raised: object) -> None:
        self.close()


def open_doors(usual: int, *, port: int | None = None, near: tuple[str, ...] = ()) -> Doors:
    """Take a port on this machine's inside address and on those of the home network.

    Parameters
    ----------
    usual : int
        Port to begin with; the next ones are tried when it is taken.
    port : int, optional
        The only port to try.
    near : tuple of str
        Addresses beside the inside one.

    Raises
    ------
    UnwritableError
        If no port is free, or the one asked for is taken or not to be had.
    BadInputError
        If an address is not one of this machine's.
    """
    wanted = [port] if port is not None else list(range(usual, min(usual + NEXT_PORTS, 65536)))
    for one in wanted:
        sockets = _sockets(one, (INSIDE, *near), is_only=port is not None)
        if sockets:
            return Doors(port=one, sockets=sockets, near=near)
    raise UnwritableError(
        f"The ports {wanted[0]} to {wanted[-1]} are all taken; name a free one with --port N."
    )


def _sockets(port: int, addresses: tuple[str, ...], *, is_only: bool) -> tuple[socket.socket, ...]:
    made: list[socket.socket] = []
    for address in addresses:
        try:
            made.append(_listening(address, port))
        except PermissionError as why:
            _close(made)
            raise UnwritableError(
                f"This machine does not give you port {port}; name one above 1024 with --port N."
            ) from why
        except OSError as why:
            _close(made)
            if address != INSIDE and not _is_own(address):
                raise BadInputError(
                    f"{address} is no address of this machine; leave out --address to let "
                    "shivelight find them."
                ) from why
            if is_only:
                raise UnwritableError(
                    f"Port {port} is taken, perhaps by a shivelight that is open already; name "
                    "another with --port N, or leave it out."
                ) from why
            return ()
    return tuple(made)


def _listening(address: str, port: int) -> socket.socket:
    family = socket.AF_INET6 if ":" in address else socket.AF_INET
    made = socket.socket(family, socket.SOCK_STREAM)
    try:
        if os.name == "posix":
            made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        if family == socket.AF_INET6:
            made.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 1)
        made.bind((address, port))
        made.listen(BACKLOG)
    except OSError:
        made.close()
        raise
    return made


def _is_own(address: str) -> bool:
    try:
        _listening(address, 0).close()
    except OSError:
        return False
    return True


def _close(sockets: Iterable[socket.socket]) -> None:
    for one in sockets:
        one.close()


def _in_address(host: str) -> str:
    return f"[{host}]" if ":" in host else host


def home_addresses(
    asked: str | None = None, *, find: Callable[[], list[str]] | None = None
) -> tuple[str, ...]:
    """Addresses of this machine on the home network.

    Parameters
    ----------
    asked : str, optional
        The only one to use.
    find : callable, optional
        Finds candidates; the machine's own unless given.

    Raises
    ------
    BadInputError
        If the one asked for is no address of a network of one's own.
    MissingDataError
        If there is none.
    """
    if asked is not None:
        if not is_of_home(asked):
            raise BadInputError(
                f"{asked} is no single address of a home network; those begin with 192.168., 10., "
                "172.16. to 172.31. or fd."
            )
        return (ipaddress.ip_address(asked).compressed,)
    found = tuple(dict.fromkeys(one for one in (find or _candidates)() if is_of_home(one)))
    if not found:
        raise MissingDataError(
            "This machine has no address on a home network; join one, or name its address with "
            "--address."
        )
    return found


def is_of_home(address: str) -> bool:
    """Whether it is one address of a private network.

    References
    ----------
    .. [1] RFC 1918, section 3 (IPv4); RFC 4193, section 3 (IPv6).
    """
    try:
        read = ipaddress.ip_address(address)
    except ValueError:
        return False
    nets = ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "fc00::/7")
    return any(read in ipaddress.ip_network(net) for net in nets if "%" not in address)


def _candidates() -> list[str]:
    found = []
    for probe in _PROBES:
        family = socket.AF_INET6 if ":" in probe else socket.AF_INET
        with contextlib.suppress(OSError), socket.socket(family, socket.SOCK_DGRAM) as one:
            one.connect((probe, 9))
            found.append(str(one.getsockname()[0]))
    with contextlib.suppress(OSError):
        found += [str(entry[4][0]) for entry in socket.getaddrinfo(socket.gethostname(), None)]
    return sorted(found, key=lambda one: ":" in one)
