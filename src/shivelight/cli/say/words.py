"""Setting text in a terminal: paragraphs, labelled lists, blocks."""

import textwrap
from collections.abc import Iterable
from typing import Any, TypeAlias

Instant: TypeAlias = Any
"""A ``datetime64`` in UTC; shells handle instants whole and never import NumPy for its name."""

MEASURE = 88
"""Running text is never set wider than this, however wide the terminal is."""


def para(text: str, width: int, *, indent: int = 0) -> str:
    """Fill a paragraph."""
    blank = " " * indent
    return textwrap.fill(text, min(width, MEASURE), initial_indent=blank, subsequent_indent=blank)


def item(label: str, texts: Iterable[str], width: int, *, gutter: int = 18) -> str:
    """Set sentences beside a label, each on its own line; nothing is said as a dash."""
    lines: list[str] = []
    blank = " " * gutter
    for text in texts:
        head = f"  {label}".ljust(gutter) if not lines else blank
        lines.append(
            textwrap.fill(
                text, min(width, MEASURE + 8), initial_indent=head,
                subsequent_indent=blank + "  ",
            )
        )  # fmt: skip
    return "\n".join(lines) if lines else f"  {label}".ljust(gutter) + "nothing"


def blocks(*parts: str) -> str:
    """Join parts that are not empty by one empty line."""
    return "\n\n".join(part for part in parts if part)


def lines(*parts: str) -> str:
    """Join parts that are not empty, each on its own line."""
    return "\n".join(part for part in parts if part)
