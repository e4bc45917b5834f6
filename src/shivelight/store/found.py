"""Logs of what was found, one for a day, wood and spot; a log that is replaced is kept too."""

from typing import Any

from sqlalchemy import Connection, Table, delete, func, insert, select
from sqlalchemy.engine import RowMapping

from shivelight.basis.errors import BadInputError
from shivelight.outing.found import Found
from shivelight.store import schema
from shivelight.store.book import FieldBook
from shivelight.store.spots import spot_id
from shivelight.store.woods import wood_id

_FIELDS = (
    "day", "mist", "optical_range_m", "lifted_utc", "air", "light", "leaf", "why_looked", "note",
)  # fmt: skip


def add(book: FieldBook, log: Found) -> None:
    """Keep a log; one of the same day, wood and spot takes the place of the former.

    The former is kept among those replaced, see :func:`replaced`.

    Raises
    ------
    NotFoundError
        If the wood or spot is not in the book.
    BadInputError
        If the spot is in another wood.
    """
    table = schema.found
    with book.writing() as tx:
        row = _row(tx, log)
        key = (
            (table.c.day == row["day"])
            & (table.c.wood_id == row["wood_id"])
            & (func.coalesce(table.c.spot_id, 0) == (row["spot_id"] or 0))
        )
        former = tx.execute(select(table).where(key)).mappings().first()
        if former is not None:
            kept = {name: value for name, value in former.items() if name != "id"}
            if kept == row:
                return
            tx.execute(insert(schema.found_replaced).values(kept))
            tx.execute(delete(table).where(table.c.id == former["id"]))
        tx.execute(insert(table).values(row))


def of_wood(book: FieldBook, wood: str) -> tuple[Found, ...]:
    """Give the logs of a wood, by day.

    Raises
    ------
    NotFoundError
        If the book has no such wood.
    """
    with book.reading() as tx:
        return _read(tx, schema.found, wood_id(tx, wood))


def every(book: FieldBook) -> tuple[Found, ...]:
    """Give all logs, by day."""
    with book.reading() as tx:
        return _read(tx, schema.found, None)


def replaced(book: FieldBook) -> tuple[Found, ...]:
    """Give the logs that later ones took the place of, in the order in which that happened."""
    with book.reading() as tx:
        return _read(tx, schema.found_replaced, None)


def keep_replaced(book: FieldBook, log: Found) -> None:
    """Put a log among those replaced, as an import does."""
    with book.writing() as tx:
        tx.execute(insert(schema.found_replaced).values(_row(tx, log)))


def _row(tx: Connection, log: Found) -> dict[str, Any]:
    wood = wood_id(tx, log.wood)
    spot = spot_id(tx, log.spot) if log.spot else None
    if spot is not None:
        its_wood = select(schema.spot.c.wood_id).where(schema.spot.c.id == spot)
        if tx.execute(its_wood).scalar_one() != wood:
            raise BadInputError(f"{log.spot} is not in {log.wood}; name the wood it is in.")
    return {
        **{name: getattr(log, name) for name in _FIELDS},
        "wood_id": wood,
        "spot_id": spot,
    }


def _read(tx: Connection, table: Table, wood: int | None) -> tuple[Found, ...]:
    asked = (
        select(table, schema.wood.c.name.label("wood"), schema.spot.c.name.label("spot"))
        .join_from(table, schema.wood, schema.wood.c.id == table.c.wood_id)
        .outerjoin(schema.spot, schema.spot.c.id == table.c.spot_id)
    )
    if wood is not None:
        asked = asked.where(table.c.wood_id == wood)
    if table is schema.found:
        asked = asked.order_by(table.c.day, table.c.id)
    else:
        asked = asked.order_by(table.c.id)
    return tuple(_found(row) for row in tx.execute(asked).mappings())


def _found(row: RowMapping) -> Found:
    fields: dict[str, Any] = {name: row[name] for name in _FIELDS}
    return Found(wood=row["wood"], spot=row["spot"] or "", **fields)
