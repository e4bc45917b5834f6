"""Ordered lists that belong to a row: written whole, read grouped by their owner."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import Any

from sqlalchemy import Connection, Table, delete, insert, select
from sqlalchemy.engine import RowMapping


def insert_row(tx: Connection, table: Table, values: Mapping[str, Any]) -> int:
    """Insert one row and give its number."""
    return int(tx.execute(insert(table).values(values).returning(table.c.id)).scalar_one())


def write_list(
    tx: Connection, table: Table, owner_id: int, rows: Iterable[Mapping[str, Any]]
) -> None:
    """Put a list in place of the one that the owner had."""
    owner = owner_column(table)
    tx.execute(delete(table).where(table.c[owner] == owner_id))
    numbered = [{owner: owner_id, "place": place, **row} for place, row in enumerate(rows)]
    if numbered:
        tx.execute(insert(table), numbered)


def read_lists(
    tx: Connection, table: Table, owner_id: int | None = None
) -> dict[int, list[RowMapping]]:
    """Read lists by owner, each in order; of one owner, or of all with None."""
    owner = owner_column(table)
    asked = select(table).order_by(table.c[owner], table.c.place)
    if owner_id is not None:
        asked = asked.where(table.c[owner] == owner_id)
    grouped: dict[int, list[RowMapping]] = defaultdict(list)
    for row in tx.execute(asked).mappings():
        grouped[row[owner]].append(row)
    return grouped


def owner_column(table: Table) -> str:
    """Name of the column that points at the owner: the first that is a foreign key."""
    return next(column.name for column in table.columns if column.foreign_keys)
