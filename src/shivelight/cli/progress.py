"""Tell how far long work has come: a bar on a terminal, plain lines elsewhere, on stderr."""

import sys
import time
from collections.abc import Callable
from types import TracebackType
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from rich.progress import Progress as Bar

SILENT_S = 2.0
"""Work that is over sooner says nothing, and lines come no oftener than this."""


class Progress:
    """Called by the workbench with a step's name, how many are done and of how many.

    Parameters
    ----------
    stream : text stream, optional
        Where to tell it; stderr unless given.
    clock : callable, optional
        Seconds that only grow.
    """

    def __init__(
        self, stream: TextIO | None = None, *, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self._stream = stream or sys.stderr
        self._clock = clock
        self._last_s = clock()
        self._bar: Bar | None = None
        self._tasks: dict[str, int] = {}

    def __enter__(self) -> "Progress":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._bar is not None:
            self._bar.stop()

    def __call__(self, step: str, done: int, total: int) -> None:
        """Take note that ``done`` of ``total`` parts of a step are finished."""
        if self._stream.isatty():
            self._draw(step, done, total)
            return
        now_s = self._clock()
        if now_s - self._last_s >= SILENT_S:
            self._last_s = now_s
            self._stream.write(f"{step} {done} of {total}\n")
            self._stream.flush()

    def _draw(self, step: str, done: int, total: int) -> None:
        if self._bar is None:
            if self._clock() - self._last_s < SILENT_S / 4:
                return
            self._bar = _new_bar(self._stream)
            self._bar.start()
        if step not in self._tasks:
            self._tasks[step] = int(self._bar.add_task(step, total=total))
        self._bar.update(self._bar.task_ids[self._tasks[step]], completed=done, total=total)


def _new_bar(stream: TextIO) -> "Bar":
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

    return Progress(
        TextColumn("{task.description}"),
        BarColumn(complete_style="default", finished_style="default", pulse_style="default"),
        MofNCompleteColumn(separator=" of "),
        console=Console(file=stream, no_color=True),
        transient=True,
    )
