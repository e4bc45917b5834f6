"""Outings in the field book: one a day, with its woods and visits in order and the word left."""

import datetime as dt
from typing import Any

from sqlalchemy import Connection, delete, insert, select, update
from sqlalchemy.engine import RowMapping

from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.outing.outings import LeaveWord, Outing
from shivelight.store import schema
from shivelight.store.book import FieldBook
from shivelight.store.lists import insert_row, write_list
from shivelight.store.spots import spot_id
from shivelight.store.woods import wood_id


def add(book: FieldBook, outing: Outing) -> None:
    """Add an outing.

    Raises
    ------
    BadInputError
        If the book has an outing of that day.
    NotFoundError
        If a wood or spot of it is not in the book.
    """
    with book.writing() as tx:
        if _row_of(tx, outing.day) is not None:
            raise BadInputError(
                f"The book already has an outing of {outing.day}; change that one."
            )
        _write_parts(tx, insert_row(tx, schema.outing, _row(outing)), outing)


def replace(book: FieldBook, outing: Outing) -> None:
    """Put an outing in place of the one of its day.

    Raises
    ------
    NotFoundError
        If the book has no outing of that day, or a wood or spot of it is not in the book.
    """
    with book.writing() as tx:
        row = _row_of(tx, outing.day)
        if row is None:
            raise _no_outing(outing.day)
        tx.execute(update(schema.outing).where(schema.outing.c.id == row).values(_row(outing)))
        _write_parts(tx, row, outing)


def remove(book: FieldBook, day: dt.date) -> None:
    """Take an outing out of the book, with its word.

    Raises
    ------
    NotFoundError
        If the book has no outing of that day.
    """
    with book.writing() as tx:
        row = _row_of(tx, day)
        if row is None:
            raise _no_outing(day)
        tx.execute(delete(schema.outing).where(schema.outing.c.id == row))


def get(book: FieldBook, day: dt.date) -> Outing:
    """Outing of a day.

    Raises
    ------
    NotFoundError
        If there was none.
    """
    with book.reading() as tx:
        row = _row_of(tx, day)
        if row is None:
            raise _no_outing(day)
        return _read(tx, (row,))[0]


def every(book: FieldBook) -> tuple[Outing, ...]:
    """All outings, by day."""
    with book.reading() as tx:
        return tuple(_read(tx, None))


def _no_outing(day: dt.date) -> NotFoundError:
    return NotFoundError(f"The book has no outing of {day}.")


def of_spot(book: FieldBook, spot: str) -> tuple[Outing, ...]:
    """Outings that visit a spot, by day.

    Raises
    ------
    NotFoundError
        If the book has no such spot.
    """
    visit = schema.outing_visit
    with book.reading() as tx:
        asked = select(visit.c.outing_id).where(visit.c.spot_id == spot_id(tx, spot))
        rows = tuple(tx.execute(asked.distinct()).scalars())
        return tuple(_read(tx, rows))


def _row_of(tx: Connection, day: dt.date) -> int | None:
    return tx.execute(select(schema.outing.c.id).where(schema.outing.c.day == day)).scalar()


def _row(outing: Outing) -> dict[str, Any]:
    return {"day": outing.day, "sheet_given": outing.sheet_given, "note": outing.note}


def _write_parts(tx: Connection, row: int, outing: Outing) -> None:
    woods = [{"wood_id": wood_id(tx, name)} for name in outing.woods]
    write_list(tx, schema.outing_wood, row, woods)
    spots = [{"spot_id": spot_id(tx, name)} for name in outing.visits]
    write_list(tx, schema.outing_visit, row, spots)
    tx.execute(delete(schema.outing_word).where(schema.outing_word.c.outing_id == row))
    word = outing.word
    if word is not None:
        values = {
            "outing_id": row,
            "who": word.who,
            "car": word.car,
            "contact": word.contact,
            "back_by_utc": word.back_by_utc,
            "alarm_utc": word.alarm_utc,
            "note": word.note,
        }
        tx.execute(insert(schema.outing_word).values(values))


def _read(tx: Connection, only: tuple[int, ...] | None) -> list[Outing]:
    asked = select(schema.outing).order_by(schema.outing.c.day)
    if only is not None:
        asked = asked.where(schema.outing.c.id.in_(only))
    words = {row["outing_id"]: row for row in tx.execute(select(schema.outing_word)).mappings()}
    woods, visits = _names(tx, "wood"), _names(tx, "spot")
    return [
        Outing(
            day=row["day"],
            woods=tuple(woods.get(row["id"], ())),
            visits=tuple(visits.get(row["id"], ())),
            word=_word(words[row["id"]]) if row["id"] in words else None,
            sheet_given=row["sheet_given"],
            note=row["note"],
        )
        for row in tx.execute(asked).mappings()
    ]


def _names(tx: Connection, kind: str) -> dict[int, list[str]]:
    """Names of the woods or spots of each outing, in order."""
    listed = schema.outing_wood if kind == "wood" else schema.outing_visit
    named = schema.wood if kind == "wood" else schema.spot
    asked = (
        select(listed.c.outing_id, named.c.name)
        .join_from(listed, named)
        .order_by(listed.c.outing_id, listed.c.place)
    )
    names: dict[int, list[str]] = {}
    for outing, name in tx.execute(asked):
        names.setdefault(outing, []).append(name)
    return names


def _word(row: RowMapping) -> LeaveWord:
    return LeaveWord(
        who=row["who"],
        car=row["car"],
        contact=row["contact"],
        back_by_utc=row["back_by_utc"],
        alarm_utc=row["alarm_utc"],
        note=row["note"],
    )
