"""The field book in words."""

from pathlib import Path

from shivelight.cli.say.words import counted, lines
from shivelight.workbench.results import BookReport


def report(book: BookReport, width: int) -> str:
    """Say what the book holds."""
    del width  # a few short lines
    state = "is whole" if book.whole else "is damaged: bring back the last backup"
    return lines(
        f"The field book {book.path} {state}.",
        f"  It holds {counted(book.woods, 'wood')}, {counted(book.spots, 'spot')}, "
        f"{counted(book.forecasts, 'forecast')}, {counted(book.judgements, 'judgement')}, "
        f"{counted(book.outings, 'outing')}, {counted(book.mornings_logged, 'morning')} logged.",
        f"  {book.size_kb} kB, form {book.version} of the book.",
    )


def written(path: Path, width: int) -> str:
    """Say where a file was written."""
    del width
    return f"Written: {path}"
