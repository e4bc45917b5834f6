"""Rows of the pictures that stand beside the field book."""

import datetime as dt
from dataclasses import fields, replace
from typing import Any

from sqlalchemy import ColumnElement, Connection, select, update

from shivelight.basis.errors import NotFoundError, UnreadableFileError
from shivelight.outing.pictures import Picture
from shivelight.store import schema
from shivelight.store.book import FieldBook
from shivelight.store.lists import insert_row
from shivelight.store.spots import spot_id

_PLAIN = tuple(
    field.name for field in fields(Picture) if field.name not in {"id", "spot", "taken"}
)


def add(book: FieldBook, picture: Picture) -> Picture:
    """Keep a picture's row; the same file again gives the row that is there, unchanged.

    Returns
    -------
    Picture
        With its number. One that brings a number, as an import does, keeps it.

    Raises
    ------
    NotFoundError
        If the book has no such spot.
    BadInputError
        If another picture has its number.
    """
    with book.writing() as tx:
        there = _read(tx, schema.picture.c.sha256 == picture.sha256)
        if there:
            return there[0]
        values: dict[str, Any] = {name: getattr(picture, name) for name in _PLAIN}
        values["spot_id"] = spot_id(tx, picture.spot) if picture.spot else None
        values["taken"] = None if picture.taken is None else picture.taken.isoformat()
        if picture.id:
            values["id"] = picture.id
        return replace(picture, id=insert_row(tx, schema.picture, values))


def get(book: FieldBook, number: int) -> Picture:
    """Picture of a number.

    Raises
    ------
    NotFoundError
        If there is none.
    """
    with book.reading() as tx:
        return _one(tx, number)


def with_sha256(book: FieldBook, sha256: str) -> Picture | None:
    """Picture of a file's fingerprint, if the book keeps it."""
    with book.reading() as tx:
        there = _read(tx, schema.picture.c.sha256 == sha256)
        return there[0] if there else None


def of_spot(book: FieldBook, spot: str) -> tuple[Picture, ...]:
    """Pictures of a spot in the order in which they were kept; with "", those of no spot.

    Raises
    ------
    NotFoundError
        If the book has no such spot.
    """
    column = schema.picture.c.spot_id
    with book.reading() as tx:
        return _read(tx, column == spot_id(tx, spot) if spot else column.is_(None))


def every(book: FieldBook) -> tuple[Picture, ...]:
    """All pictures, in the order in which they were kept."""
    with book.reading() as tx:
        return _read(tx, None)


def give_to(book: FieldBook, number: int, spot: str) -> Picture:
    """Say which spot a picture belongs to; with "" none.

    Raises
    ------
    NotFoundError
        If the book has no such picture or spot.
    """
    with book.writing() as tx:
        _one(tx, number)
        owner = spot_id(tx, spot) if spot else None
        table = schema.picture
        tx.execute(update(table).where(table.c.id == number).values(spot_id=owner))
        return _one(tx, number)


def _one(tx: Connection, number: int) -> Picture:
    there = _read(tx, schema.picture.c.id == number)
    if not there:
        raise NotFoundError(f"The field book holds no picture of number {number}.")
    return there[0]


def _read(tx: Connection, only: ColumnElement[bool] | None) -> tuple[Picture, ...]:
    table = schema.picture
    asked = (
        select(table, schema.spot.c.name.label("spot"))
        .outerjoin_from(table, schema.spot)
        .order_by(table.c.kept_utc, table.c.id)
    )
    if only is not None:
        asked = asked.where(only)
    return tuple(
        Picture(
            id=row["id"],
            spot=row["spot"] or "",
            taken=_clock(row["taken"]),
            **{name: row[name] for name in _PLAIN},
        )
        for row in tx.execute(asked).mappings()
    )


def _clock(text: str | None) -> dt.datetime | None:
    """Read the time on the camera's clock."""
    if text is None:
        return None
    try:
        return dt.datetime.fromisoformat(text)
    except ValueError as why:
        raise UnreadableFileError(f"The field book holds {text!r}, which is no time.") from why
