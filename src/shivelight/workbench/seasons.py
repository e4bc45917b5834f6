"""Dated notes on what the seasons of a wood did."""

from shivelight.basis.errors import BadInputError
from shivelight.outing.season_notes import SeasonNote
from shivelight.store import season_notes as note_rows
from shivelight.store import woods as wood_rows
from shivelight.workbench.desk import Desk


class SeasonDesk(Desk):
    """The diary of leaf, flower and fern."""

    def note_season(self, wood: str, note: SeasonNote) -> tuple[SeasonNote, ...]:
        """Keep a note and give all of the wood; the same note again changes nothing.

        Raises
        ------
        NotFoundError
            If the book has no such wood.
        BadInputError
            If the day is still to come.
        """
        if note.day > self.today(wood_rows.get(self.book, wood)):
            raise BadInputError(
                f"{note.day} has not come yet; a season note tells what was seen on a day."
            )
        note_rows.add(self.book, wood, note)
        return self.season_notes(wood)

    def season_notes(self, wood: str) -> tuple[SeasonNote, ...]:
        """Give the notes of a wood, by day."""
        return note_rows.of_wood(self.book, wood)

    def drop_season_note(self, wood: str, note: SeasonNote) -> tuple[SeasonNote, ...]:
        """Take a note out of the book and give those that are left."""
        note_rows.remove(self.book, wood, note)
        return self.season_notes(wood)
