"""Names of values in words: "fog_area_frac" is "fog area"."""

from collections.abc import Iterable

UNITS = frozenset({"m", "km", "deg", "mps", "degc", "hpa", "mm", "frac", "k", "h"})


def plain_name(name: str) -> str:
    """Write a value's name in words, without its unit."""
    words = name.split("_")
    return " ".join(words[:-1] if len(words) > 1 and words[-1] in UNITS else words)


def named(names: Iterable[str], otherwise: str = "nothing") -> str:
    """Write names of values one after another."""
    return ", ".join(plain_name(name) for name in names) or otherwise
