"""Values that a person read off and typed of an evening."""

from dataclasses import fields
from typing import Any

from sqlalchemy import Connection, delete, insert, select

from shivelight.outing.kept import EveningNote
from shivelight.store import schema
from shivelight.store.book import FieldBook
from shivelight.store.woods import wood_id

_FIELDS = tuple(field.name for field in fields(EveningNote) if field.name != "wood")


def add(book: FieldBook, note: EveningNote) -> None:
    """Keep an evening's values; those of the same wood and instant take each other's place.

    Raises
    ------
    NotFoundError
        If the book has no such wood.
    """
    table = schema.evening
    with book.writing() as tx:
        row = wood_id(tx, note.wood)
        same = (table.c.wood_id == row) & (table.c.typed_utc == note.typed_utc)
        tx.execute(delete(table).where(same))
        values: dict[str, Any] = {name: getattr(note, name) for name in _FIELDS}
        tx.execute(insert(table).values(wood_id=row, **values))


def of_wood(book: FieldBook, wood: str) -> tuple[EveningNote, ...]:
    """Evenings of a wood, oldest first.

    Raises
    ------
    NotFoundError
        If the book has no such wood.
    """
    with book.reading() as tx:
        return _read(tx, wood_id(tx, wood))


def every(book: FieldBook) -> tuple[EveningNote, ...]:
    """All evenings, oldest first."""
    with book.reading() as tx:
        return _read(tx, None)


def _read(tx: Connection, wood: int | None) -> tuple[EveningNote, ...]:
    table = schema.evening
    asked = select(table, schema.wood.c.name.label("wood")).join_from(table, schema.wood)
    if wood is not None:
        asked = asked.where(table.c.wood_id == wood)
    rows = tx.execute(asked.order_by(table.c.typed_utc, schema.wood.c.name_folded)).mappings()
    return tuple(
        EveningNote(wood=row["wood"], **{name: row[name] for name in _FIELDS}) for row in rows
    )
