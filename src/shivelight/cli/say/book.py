"""The field book in words."""

from pathlib import Path

from shivelight.cli.say.words import lines
from shivelight.drawing.words import counted
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


def begun(book: BookReport, width: int) -> str:
    """Say that a book is there, and what comes next in an empty one."""
    if book.woods:
        return lines("There was a book there already; it was left as it is.", report(book, width))
    return lines(
        f"An empty field book is at {book.path}.",
        "  Next: shivelight wood add NAME --parking PLACE --height M --clock ZONE, then spot add.",
        "  Say which book with --book FILE, or in the setting SHIVELIGHT_BOOK.",
    )


def written(path: Path, width: int) -> str:
    """Say where a file was written."""
    del width
    return f"Written: {path}"
