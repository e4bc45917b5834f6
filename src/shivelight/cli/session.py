"""What every command shares: the book, the clock to pretend, the form of the answer."""

import datetime as dt
import logging
import os
import shutil
import sys
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeVar

import typer

from shivelight.cli.say.words import Instant

if TYPE_CHECKING:
    from shivelight.cli.progress import Progress
    from shivelight.workbench.bench import Workbench
    from shivelight.workbench.settings import Settings

T = TypeVar("T")
WIDEST = 100
NARROWEST = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """One run of the command line.

    Attributes
    ----------
    book : str or None
        The field book as typed.
    now : str or None
        The clock to pretend, as typed.
    zone_name : str or None
        Zone of times that are typed; None for this machine's.
    as_json : bool
        Whether the answer is one JSON document.
    verbose : bool
        Whether steps and the details of faults are told.
    """

    book: str | None = None
    now: str | None = None
    zone_name: str | None = None
    as_json: bool = False
    verbose: bool = False

    def settings(self, **typed: Any) -> "Settings":
        """Build the settings from the file, the environment and what was typed."""
        from shivelight.workbench.settings import read_settings

        return read_settings(os.environ, book=self.book, **typed)

    def bench(self, *, create: bool = False, **typed: Any) -> "Workbench":
        """Open the workbench over the book."""
        from shivelight.workbench.bench import Workbench

        return Workbench.open(self.settings(**typed), create=create, now=self.now_utc())

    def now_utc(self) -> Instant | None:
        """Instant of the clock to pretend; None when the machine's own clock is meant."""
        from shivelight.workbench.read import instant

        return None if self.now is None else instant(self.now, self.zone_name)

    def wall_now(self) -> dt.datetime:
        """Day and time of the clock to pretend, or of the machine's, without a zone."""
        from shivelight.basis.instants import zone
        from shivelight.workbench.read import wall_time

        if self.now is not None:
            return wall_time(self.now).replace(tzinfo=None)
        there = None if self.zone_name is None else zone(self.zone_name)
        return dt.datetime.now(dt.UTC).astimezone(there).replace(tzinfo=None)

    def today(self) -> dt.date:
        """Civil day now, on the clock of typed times."""
        return self.wall_now().date()

    def day(self, text: str, today: dt.date | None = None) -> dt.date:
        """Civil day from words: "tomorrow", "today" or 2027-11-03.

        Parameters
        ----------
        text : str
            As typed.
        today : date, optional
            Today on a wood's clock; on the clock of typed times when not given.
        """
        from shivelight.workbench.read import day

        return day(text, today or self.today())

    def morning(self, bench: "Workbench", text: str | None) -> dt.date:
        """Civil day of a morning, on the wood's clock; the coming one when nothing was typed."""
        return bench.next_morning() if text is None else self.day(text, bench.today())

    def progress(self) -> "Progress":
        """Somebody to tell about steps of long work."""
        from shivelight.cli.progress import Progress

        return Progress()

    def show(self, value: T, words: "Callable[[T, int], str]") -> None:
        """Print an answer: its JSON form, or its words at the terminal's width."""
        if self.as_json:
            from shivelight.basis.records import json_text

            typer.echo(json_text(value, indent=1))
        else:
            typer.echo(words(value, width()))


def width() -> int:
    """Columns to write in: the terminal's, between 60 and 100."""
    columns = shutil.get_terminal_size(fallback=(WIDEST, 40)).columns
    return min(max(columns, NARROWEST), WIDEST)


def listen(*, verbose: bool) -> None:
    """Send our own log to stderr: warnings, and with ``verbose`` the steps too."""
    teller = logging.StreamHandler(sys.stderr)
    teller.setFormatter(logging.Formatter("%(message)s"))
    ours = logging.getLogger("shivelight")
    ours.handlers = [teller]
    ours.setLevel(logging.INFO if verbose else logging.WARNING)
