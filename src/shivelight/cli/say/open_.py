"""What is open, where, and how it is stopped, in words."""

import sys

from shivelight.cli.say.words import blocks, lines, para
from shivelight.web.pairing import qr_terminal, shown
from shivelight.web.serve import Opened


def told(one: Opened, width: int) -> str:
    """Say where the workbench is, how a phone gets in, and how to stop."""
    return blocks(
        lines(
            f"The workbench is at {one.address}",
            f"  over the field book {one.book}{', begun just now' if one.is_new else ''}.",
        ),
        _near(one, width),
        "Stop it with Ctrl+C.",
    )


def next_code(code: str) -> str:
    """Say which code takes the place of one that was used up."""
    return f"The last code is no longer good. The new one: {shown(code)}"


def _near(one: Opened, width: int) -> str:
    if one.code is None or one.link is None:
        return ""
    return blocks(
        lines(
            "For a phone on your home network:",
            *(f"  {address}" for address in one.near_addresses),
            f"  code {shown(one.code)}, good for {one.minutes} minutes and one device",
        ),
        qr_terminal(one.link) if sys.stdout.isatty() else "",
        para(
            "Caution: it is plain HTTP. Whoever can listen on that network can read what goes "
            "over it, places and the pairing too. Do not use it on a network you do not know, "
            "such as that of an inn or a car park.",
            width,
        ),
    )
