"""The workbench: everything that can be done with a field book, one method each.

The methods live in one module for each thing a person does (``woods``, ``skyline``, ``light``,
``forecast``, ``evening``, ``found``, ``sheet``, ``relief``, ``pictures``, ``seasons``,
``devices``, ``history``, ``week``, ``keeping``, ``keeping_rasters``, ``survey``, ``stand``,
``mark``); this class is all of them together.
"""

import logging
import os
import shlex
from pathlib import Path

import numpy as np

from shivelight.basis.errors import NotFoundError
from shivelight.store.book import FieldBook
from shivelight.workbench.afterwards import AfterDesk
from shivelight.workbench.desk import Progress, silent
from shivelight.workbench.devices import DeviceDesk
from shivelight.workbench.drafts import DraftDesk
from shivelight.workbench.figures import FigureDesk
from shivelight.workbench.history import HistoryDesk
from shivelight.workbench.keeping import KeepingDesk, make_folder
from shivelight.workbench.keeping_rasters import RasterDesk
from shivelight.workbench.relief import ReliefDesk
from shivelight.workbench.seasons import SeasonDesk
from shivelight.workbench.settings import Settings
from shivelight.workbench.sheet import SheetDesk
from shivelight.workbench.stand_pictures import StandPictureDesk
from shivelight.workbench.week import WeekDesk

_log = logging.getLogger(__name__)


class Workbench(
    SheetDesk,
    ReliefDesk,
    DraftDesk,
    SeasonDesk,
    DeviceDesk,
    KeepingDesk,
    HistoryDesk,
    WeekDesk,
    AfterDesk,
    RasterDesk,
    FigureDesk,
    StandPictureDesk,
):
    """An open field book with all that can be done with it. Use it in ``with``."""

    @classmethod
    def open(
        cls, settings: Settings, *, create: bool = False, now: np.datetime64 | None = None
    ) -> "Workbench":
        """Open the field book that the settings name.

        Parameters
        ----------
        settings : Settings
            As chosen.
        create : bool
            Whether to start a new book where there is none. One that may not be written is
            opened for reading alone.
        now : datetime64, optional
            The present to go by, to rehearse another evening; the clock's when not given.

        Raises
        ------
        NotFoundError, UnreadableFileError, UnwritableError
            As :meth:`shivelight.store.book.FieldBook.open`.
        """
        path = settings.book_path
        if create:
            make_folder(path.parent)
        elif not path.exists():
            raise NotFoundError(
                f"There is no field book at {path}; begin one there with: shivelight --book "
                f"{shlex.quote(str(path))} book new, or check the name."
            )
        book = FieldBook.open(path, create=create, read_only=not _may_be_written(path))
        return cls(book, settings, np.datetime64("now", "us") if now is None else now)

    @staticmethod
    def hindcast(cases: Path, out: Path, *, progress: Progress = silent) -> int:
        """Try the mist model on old cases; see :func:`shivelight.workbench.hindcast.hindcast`."""
        from shivelight.workbench.hindcast import hindcast  # noqa: PLC0415  wanted alone

        return hindcast(cases, out, progress=progress)

    @staticmethod
    def warm() -> None:
        """Compile what is compiled once, so that the first evening is as quick as the next."""
        from shivelight.workbench.warm import warm  # noqa: PLC0415  wanted alone

        warm()

    @staticmethod
    def read_ahead() -> None:
        """Load what judging wants, so that the first judgement does not wait for it."""
        from shivelight.workbench import judging  # noqa: PLC0415  half a second to load

        del judging

    def close(self) -> None:
        """Close the book."""
        self.book.close()

    def __enter__(self) -> "Workbench":
        return self

    def __exit__(self, *raised: object) -> None:
        self.close()


def _may_be_written(path: Path) -> bool:
    """Whether a book, and its folder for SQLite's side files, may be written; a new one may."""
    if not path.is_file():
        return True
    may = os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)
    if not may:
        _log.info("%s, or its folder, is read-only: it is only read", path)
    return may
