"""What a running app holds between requests: settings, the clock to go by, jobs, last words."""

import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from shivelight.web.held import Held
from shivelight.web.jobs import Jobs
from shivelight.workbench.bench import Workbench
from shivelight.workbench.settings import Settings

MOST_NOTES = 200
"""Sessions whose last words are kept."""
MOST_PAPERS = 12
MOST_STEPS = 100
"""Steps that can be taken back at one time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Undo:
    """How the last thing done is taken back: the address and the boxes that are sent to it."""

    path: str
    boxes: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """One sentence shown once, on the page after something was done."""

    words: str
    undo: Undo | None = None


@dataclass(slots=True, kw_only=True)
class House:
    """One running app.

    Attributes
    ----------
    settings : Settings
        As chosen; replaced when a page changes them or the demo is visited.
    now_utc : datetime64 or None
        The clock to pretend; None for the machine's.
    zone_name : str or None
        Zone that a new wood is offered; None when the shell did not say.
    environment : mapping
        What the settings were read from, so that they can be read again.
    pairing : Pairing or None
        Where other devices of the home network may come in; None on loopback alone.
    secret : bytes
        Of this process, for form tokens.
    notes, papers, results, steps : Held
        Last words by session; PDFs by what they say; results of jobs by what they were asked;
        steps that can be taken back.
    """

    settings: Settings
    now_utc: Any = None
    zone_name: str | None = None
    environment: Mapping[str, str] = field(default_factory=dict)
    pairing: Any = None
    secret: bytes = b""
    jobs: Jobs = field(default_factory=Jobs)
    own: "tuple[Settings, Any] | None" = None
    notes: Held[Note] = field(default_factory=lambda: Held(MOST_NOTES))
    papers: Held[bytes] = field(default_factory=lambda: Held(MOST_PAPERS))
    results: Held[Any] = field(default_factory=Held)
    steps: Held[Any] = field(default_factory=lambda: Held(MOST_STEPS))
    _lock: threading.Lock = field(default_factory=threading.Lock)

    @contextmanager
    def bench(self) -> Iterator[Workbench]:
        """Open the workbench for one request."""
        with Workbench.open(self.settings, create=True, now=self.now_utc) as bench:
            yield bench

    @property
    def is_demo(self) -> bool:
        """Whether the demo valley is being visited."""
        return self.own is not None

    def visit_demo(self, book: Path, now_utc: Any) -> None:
        """Show the demo's book on its own evening until :meth:`come_home`."""
        with self._lock:
            self.own = self.own or (self.settings, self.now_utc)
            self.settings = replace(self.settings, book=str(book))
            self.now_utc = now_utc

    def come_home(self) -> None:
        """Show the photographer's own book again, by their own clock."""
        with self._lock:
            if self.own is not None:
                self.settings, self.now_utc = self.own
                self.own = None
