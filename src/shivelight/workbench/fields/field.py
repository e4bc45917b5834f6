"""One thing that may be typed, read and written alike by the command line and the page."""

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from shivelight.basis.errors import BadInputError

_WRITERS: tuple[tuple[type, Callable[[Any], str]], ...] = (
    (type(None), lambda _: ""),
    (bool, lambda value: "yes" if value else "no"),
    (float, lambda value: f"{value:.10g}"),
    (dt.time, lambda value: f"{value:%H:%M}"),
    (dt.datetime, lambda value: f"{value:%Y-%m-%d %H:%M}"),
)


def written(value: Any) -> str:
    """Write a value as a person would type it; nothing for None."""
    for kind, write in _WRITERS:
        if isinstance(value, kind):
            return write(value)
    return str(value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One thing that may be typed about a wood, a spot, an evening or a log.

    Attributes
    ----------
    flag : str
        The option, with its two dashes; "--a/--no-a" for yes or no.
    key : str
        Name of the value in what is passed on.
    help : str
        In words, with the unit.
    metavar : str
        What stands for the value in the command line's help; empty for yes or no.
    read : callable
        Text to value.
    many : bool
        Whether it may be given again and again; the value is then a tuple.
    label : str
        What the page calls it.
    unit : str
        Unit that stands beside the box of the page.
    words : tuple of str
        All that it can be, where it is one of a few words; for yes or no the two answers,
        yes first.
    hint : str
        What the page says beneath, where the help's words fit the command line alone.
    place : callable, optional
        Reader of the page, where ``read`` would look at files.
    write : callable
        Value to text that ``read`` takes.
    """

    flag: str
    key: str
    help: str
    metavar: str = ""
    read: Callable[[str], Any] = str
    many: bool = False
    label: str = ""
    unit: str = ""
    words: tuple[str, ...] = ()
    hint: str = ""
    place: Callable[[str], Any] | None = None
    write: Callable[[Any], str] = written

    @property
    def is_yes_or_no(self) -> bool:
        """Whether it is answered by one of two words."""
        return not self.metavar

    def from_page(self, text: str) -> Any:
        """Read what was typed on a page; an empty box of one value gives None.

        Raises
        ------
        BadInputError
            If it cannot be read.
        """
        said = text.strip()
        if self.is_yes_or_no:
            return _answer(said, self.words)
        reader = self.place or self.read
        if self.many:
            return tuple(reader(line.strip()) for line in said.splitlines() if line.strip())
        return reader(said) if said else None

    def on_page(self, value: Any) -> str:
        """Write a value as the page's box holds it."""
        if self.is_yes_or_no:
            return "" if value is None else self.words[0 if value else 1]
        if self.many:
            return "\n".join(self.write(one) for one in value or ())
        return "" if value is None else self.write(value)


def _answer(said: str, words: tuple[str, ...]) -> bool | None:
    if not said:
        return None
    if said not in words:
        raise BadInputError(f"{said!r} is not one of: {', '.join(words)}.")
    return said == words[0]


def by_key(*tables: tuple[Field, ...]) -> Mapping[str, Field]:
    """Fields of some tables by their keys."""
    return {field.key: field for table in tables for field in table}
