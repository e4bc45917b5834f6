"""Season notes in words."""

from collections.abc import Sequence

from shivelight.drawing.tables import table
from shivelight.drawing.words import date_words
from shivelight.outing.season_notes import SeasonNote


def notes(all_: Sequence[SeasonNote], width: int) -> str:
    """List notes, one a line."""
    if not all_:
        return "No season notes here yet. Add one with: shivelight wood season WOOD WORDS ..."
    rows = [(date_words(note.day), note.stage, note.words) for note in all_]
    return table(rows, ("day", "leaves", "seen"), width=width)
