"""Crowns round spots, worked out from rasters: kept so that they need not be each time."""

from sqlalchemy import Connection, delete, insert, select
from sqlalchemy.engine import RowMapping

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import UnreadableFileError
from shivelight.outing.kept import StoredCrowns
from shivelight.store import schema
from shivelight.store.book import FieldBook
from shivelight.store.lists import insert_row
from shivelight.store.spots import spot_id


def put(book: FieldBook, spot: str, kept: StoredCrowns) -> None:
    """Keep the crowns round a spot in place of those seen from the same place before.

    Raises
    ------
    NotFoundError
        If the book has no such spot.
    """
    table = schema.crown_table
    with book.writing() as tx:
        row = spot_id(tx, spot)
        same = (table.c.spot_id == row) & (table.c.seen_from == kept.seen_from)
        tx.execute(delete(table).where(same))
        values = {
            "spot_id": row,
            "seen_from": kept.seen_from,
            "made_utc": kept.made_utc,
            "azimuth_deg": kept.azimuth_deg,
            "altitude_deg": kept.altitude_deg,
            "path_m": kept.path_m,
            "unseen_m": kept.unseen_m,
        }
        number = insert_row(tx, table, values)
        parameters = [
            {"crown_table_id": number, "name": name, "value": value}
            for name, value in kept.parameters.items()
        ]
        if parameters:
            tx.execute(insert(schema.crown_parameter), parameters)


def get(book: FieldBook, spot: str, seen_from: str = "stand point") -> StoredCrowns | None:
    """Crowns round a spot as they were kept; None when none were.

    Raises
    ------
    NotFoundError
        If the book has no such spot.
    """
    table = schema.crown_table
    with book.reading() as tx:
        asked = select(table).where(
            table.c.spot_id == spot_id(tx, spot), table.c.seen_from == seen_from
        )
        row = tx.execute(asked).mappings().first()
        return None if row is None else _kept(tx, row)


def drop(book: FieldBook, spot: str) -> None:
    """Forget the crowns round a spot; they can be worked out again.

    Raises
    ------
    NotFoundError
        If the book has no such spot.
    """
    with book.writing() as tx:
        row = spot_id(tx, spot)
        tx.execute(delete(schema.crown_table).where(schema.crown_table.c.spot_id == row))


def every(book: FieldBook) -> tuple[tuple[str, StoredCrowns], ...]:
    """All crowns with the names of their spots."""
    with book.reading() as tx:
        asked = (
            select(schema.crown_table, schema.spot.c.name)
            .join_from(schema.crown_table, schema.spot)
            .order_by(schema.spot.c.name_folded, schema.crown_table.c.seen_from.desc())
        )
        rows = tx.execute(asked).mappings().all()
        return tuple((row["name"], _kept(tx, row)) for row in rows)


def _kept(tx: Connection, row: RowMapping) -> StoredCrowns:
    table = schema.crown_parameter
    asked = select(table).where(table.c.crown_table_id == row["id"]).order_by(table.c.id)
    return StoredCrowns(
        azimuth_deg=row["azimuth_deg"],
        altitude_deg=row["altitude_deg"],
        path_m=_by_bearing(row, "path_m"),
        unseen_m=_by_bearing(row, "unseen_m"),
        made_utc=row["made_utc"],
        seen_from=row["seen_from"],
        parameters={one.name: one.value for one in tx.execute(asked)},
    )


def _by_bearing(row: RowMapping, name: str) -> FloatArray:
    """Lengths in the shape of a table."""
    shape = row["azimuth_deg"].size, row["altitude_deg"].size
    lengths_m: FloatArray = row[name]
    if lengths_m.size != shape[0] * shape[1]:
        raise UnreadableFileError("The field book holds a crown table that is cut short.")
    return lengths_m.reshape(shape)
