"""Skylines worked out from rasters: kept so that they need not be worked out again each time."""

from sqlalchemy import Connection, delete, insert, select
from sqlalchemy.engine import RowMapping

from shivelight.land.skyline import Skyline
from shivelight.outing.kept import StoredSkyline
from shivelight.store import schema
from shivelight.store.book import FieldBook
from shivelight.store.lists import insert_row
from shivelight.store.spots import spot_id


def put(book: FieldBook, spot: str, kept: StoredSkyline) -> None:
    """Keep a skyline of a spot in place of the one seen from the same place before.

    Raises
    ------
    NotFoundError
        If the book has no such spot.
    """
    table = schema.skyline
    with book.writing() as tx:
        row = spot_id(tx, spot)
        same = (table.c.spot_id == row) & (table.c.seen_from == kept.seen_from)
        tx.execute(delete(table).where(same))
        values = {
            "spot_id": row,
            "seen_from": kept.seen_from,
            "made_utc": kept.made_utc,
            "origin": kept.skyline.origin,
            "altitude_deg": kept.skyline.altitude_deg,
            "reach_m": kept.skyline.reach_m,
        }
        number = insert_row(tx, table, values)
        parameters = [
            {"skyline_id": number, "name": name, "value": value}
            for name, value in kept.parameters.items()
        ]
        if parameters:
            tx.execute(insert(schema.skyline_parameter), parameters)


def get(book: FieldBook, spot: str, seen_from: str = "stand point") -> StoredSkyline | None:
    """Skyline of a spot as it was kept; None when none was.

    Raises
    ------
    NotFoundError
        If the book has no such spot.
    """
    table = schema.skyline
    with book.reading() as tx:
        asked = select(table).where(
            table.c.spot_id == spot_id(tx, spot), table.c.seen_from == seen_from
        )
        row = tx.execute(asked).mappings().first()
        return None if row is None else _kept(tx, row)


def drop(book: FieldBook, spot: str) -> None:
    """Forget the skylines of a spot, as when it was moved; they can be worked out again.

    Raises
    ------
    NotFoundError
        If the book has no such spot.
    """
    with book.writing() as tx:
        row = spot_id(tx, spot)
        tx.execute(delete(schema.skyline).where(schema.skyline.c.spot_id == row))


def every(book: FieldBook) -> tuple[tuple[str, StoredSkyline], ...]:
    """All skylines with the names of their spots."""
    with book.reading() as tx:
        asked = (
            select(schema.skyline, schema.spot.c.name)
            .join_from(schema.skyline, schema.spot)
            .order_by(schema.spot.c.name_folded, schema.skyline.c.seen_from.desc())
        )
        rows = tx.execute(asked).mappings().all()
        return tuple((row["name"], _kept(tx, row)) for row in rows)


def _kept(tx: Connection, row: RowMapping) -> StoredSkyline:
    table = schema.skyline_parameter
    asked = select(table).where(table.c.skyline_id == row["id"]).order_by(table.c.id)
    return StoredSkyline(
        skyline=Skyline(
            altitude_deg=row["altitude_deg"], origin=row["origin"], reach_m=row["reach_m"]
        ),
        made_utc=row["made_utc"],
        seen_from=row["seen_from"],
        parameters={one.name: one.value for one in tx.execute(asked)},
    )
