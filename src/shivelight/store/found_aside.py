"""A log that is taken back goes among those replaced: put aside, never away."""

import datetime as dt

from sqlalchemy import delete, func, insert, select

from shivelight.basis.errors import NotFoundError
from shivelight.store import schema
from shivelight.store.book import FieldBook
from shivelight.store.spots import spot_id
from shivelight.store.woods import wood_id


def put_aside(book: FieldBook, day: dt.date, *, wood: str, spot: str = "") -> None:
    """Take a log out of the counts; :func:`shivelight.store.found.replaced` still has it.

    Parameters
    ----------
    book : FieldBook
        The open book.
    day : date
        Of the log.
    wood, spot : str
        Its place; ``spot`` is empty for a log of the wood alone.

    Raises
    ------
    NotFoundError
        If there is no such log, wood or spot.
    """
    table = schema.found
    with book.writing() as tx:
        at = spot_id(tx, spot) if spot else 0
        key = (
            (table.c.day == day)
            & (table.c.wood_id == wood_id(tx, wood))
            & (func.coalesce(table.c.spot_id, 0) == at)
        )
        log = tx.execute(select(table).where(key)).mappings().first()
        if log is None:
            raise NotFoundError(f"Nothing was logged in {spot or wood} on {day}.")
        kept = {name: value for name, value in log.items() if name != "id"}
        tx.execute(insert(schema.found_replaced).values(kept))
        tx.execute(delete(table).where(table.c.id == log["id"]))
