"""Try the mist model on old cases, from one file of lines to another."""

import gzip
import io
from collections.abc import Iterator
from pathlib import Path

from shivelight.air.mist_hindcast import hindcast_lines
from shivelight.basis.errors import UnreadableFileError
from shivelight.workbench.desk import Progress, silent
from shivelight.workbench.keeping import write_whole

TOLD_EVERY = 500


def hindcast(cases: Path, out: Path, *, progress: Progress = silent) -> int:
    """Predict every case of a JSON-lines file, plain or gzipped.

    Parameters
    ----------
    cases : Path
        One case a line, see docs/mist.md.
    out : Path
        Where the predictions go, one a line; there whole or not at all.
    progress : callable
        Told of the steps.

    Returns
    -------
    int
        How many were predicted.

    Raises
    ------
    UnreadableFileError
        If the file cannot be read.
    BadInputError
        If a line is no case; the text names the line.
    """
    lines = _lines(cases)
    total = len(lines)
    written = io.StringIO()
    count = 0
    for count, predicted in enumerate(hindcast_lines(iter(lines)), start=1):
        written.write(predicted.rstrip("\n") + "\n")
        if count % TOLD_EVERY == 0:
            progress("predicting", count, total)
    progress("predicting", total, total)
    text = written.getvalue()
    zipped = out.suffix == ".gz"
    write_whole(out, gzip.compress(text.encode("utf-8")) if zipped else text)
    return count


def _lines(path: Path) -> list[str]:
    """Lines that are not empty, from a plain or gzipped file."""
    try:
        raw = path.read_bytes()
        text = (gzip.decompress(raw) if raw[:2] == b"\x1f\x8b" else raw).decode("utf-8")
    except (OSError, EOFError, UnicodeDecodeError) as why:
        raise UnreadableFileError(f"{path} cannot be read as lines of JSON: {why}.") from why
    return list(_kept(text))


def _kept(text: str) -> Iterator[str]:
    return (line for line in text.splitlines() if line.strip())
