"""Dated notes on the seasons of woods."""

from typing import Any

from sqlalchemy import Connection, delete, insert, select

from shivelight.basis.errors import NotFoundError
from shivelight.outing.season_notes import SeasonNote
from shivelight.store import schema
from shivelight.store.book import FieldBook
from shivelight.store.woods import wood_id


def add(book: FieldBook, wood: str, note: SeasonNote) -> None:
    """Keep a note of a wood; the same again changes nothing.

    Raises
    ------
    NotFoundError
        If the book has no such wood.
    """
    with book.writing() as tx:
        row = _row(tx, wood, note)
        if tx.execute(select(schema.season_note.c.id).filter_by(**row)).first() is None:
            tx.execute(insert(schema.season_note).values(row))


def remove(book: FieldBook, wood: str, note: SeasonNote) -> None:
    """Take a note out of the book.

    Raises
    ------
    NotFoundError
        If the book has no such wood, or the wood no such note.
    """
    with book.writing() as tx:
        row = _row(tx, wood, note)
        if tx.execute(delete(schema.season_note).filter_by(**row)).rowcount == 0:
            said = " ".join(part for part in (note.stage, note.words) if part)
            raise NotFoundError(f"{wood} has no season note {said!r} of {note.day}.")


def of_wood(book: FieldBook, wood: str) -> tuple[SeasonNote, ...]:
    """Give the notes of a wood, by day.

    Raises
    ------
    NotFoundError
        If the book has no such wood.
    """
    with book.reading() as tx:
        row = wood_id(tx, wood)
        return tuple(note for owner, note in _read(tx) if owner == row)


def every(book: FieldBook) -> tuple[tuple[str, SeasonNote], ...]:
    """All notes by day, with the names of the woods."""
    with book.reading() as tx:
        names = {row.id: row.name for row in tx.execute(select(schema.wood))}
        return tuple((names[owner], note) for owner, note in _read(tx))


def _row(tx: Connection, wood: str, note: SeasonNote) -> dict[str, Any]:
    return {
        "wood_id": wood_id(tx, wood),
        "day": note.day,
        "stage": note.stage,
        "words": note.words,
    }


def _read(tx: Connection) -> list[tuple[int, SeasonNote]]:
    table = schema.season_note
    asked = select(table).order_by(table.c.day, table.c.id)
    return [
        (row.wood_id, SeasonNote(day=row.day, stage=row.stage, words=row.words))
        for row in tx.execute(asked)
    ]
