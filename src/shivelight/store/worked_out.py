"""What is worked out from rasters round a spot, kept by the place that it is seen from.

Skylines and crowns are kept alike: at most one a spot and place it is seen from, each with the
parameters that it depends on. All of it goes with its spot and can be worked out again.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Generic, Protocol, TypeVar

import numpy as np
from sqlalchemy import Connection, Table, delete, insert, select
from sqlalchemy.engine import RowMapping

from shivelight.store import schema
from shivelight.store.book import FieldBook
from shivelight.store.lists import insert_row, owner_column
from shivelight.store.spots import spot_id


class WorkedOut(Protocol):
    """A thing that was worked out."""

    @property
    def made_utc(self) -> np.datetime64:
        """When."""

    @property
    def seen_from(self) -> str:
        """Which place of the spot it is seen from."""

    @property
    def parameters(self) -> Mapping[str, str]:
        """What it depends on."""


T = TypeVar("T", bound=WorkedOut)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf(Generic[T]):
    """Things of one kind in the book.

    Attributes
    ----------
    table, parameter_table : Table
        Where the things are, and the names and values of their parameters.
    columns : callable
        Gives a thing's own columns.
    made_from : callable
        Makes a thing of its row and its parameters.
    """

    table: Table
    parameter_table: Table
    columns: Callable[[T], dict[str, Any]]
    made_from: Callable[[RowMapping, dict[str, str]], T]

    def put(self, book: FieldBook, spot: str, kept: T) -> None:
        """Keep what was worked out for a spot in place of what was seen from there before.

        Raises
        ------
        NotFoundError
            If the book has no such spot.
        """
        table, parameters = self.table, self.parameter_table
        with book.writing() as tx:
            row = spot_id(tx, spot)
            tx.execute(
                delete(table).where(table.c.spot_id == row, table.c.seen_from == kept.seen_from)
            )
            values = {"spot_id": row, "seen_from": kept.seen_from, "made_utc": kept.made_utc}
            number = insert_row(tx, table, {**values, **self.columns(kept)})
            owner = owner_column(parameters)
            rows = [
                {owner: number, "name": name, "value": value}
                for name, value in kept.parameters.items()
            ]
            if rows:
                tx.execute(insert(parameters), rows)

    def get(self, book: FieldBook, spot: str, seen_from: str = "stand point") -> T | None:
        """Give what was kept for a spot; None when nothing was.

        Raises
        ------
        NotFoundError
            If the book has no such spot.
        """
        table = self.table
        with book.reading() as tx:
            asked = select(table).where(
                table.c.spot_id == spot_id(tx, spot), table.c.seen_from == seen_from
            )
            row = tx.execute(asked).mappings().first()
            return None if row is None else self._kept(tx, row)

    def drop(self, book: FieldBook, spot: str) -> None:
        """Forget all that was kept for a spot, as when it was moved.

        Raises
        ------
        NotFoundError
            If the book has no such spot.
        """
        with book.writing() as tx:
            tx.execute(delete(self.table).where(self.table.c.spot_id == spot_id(tx, spot)))

    def every(self, book: FieldBook) -> tuple[tuple[str, T], ...]:
        """All that was kept, with the names of the spots."""
        table = self.table
        with book.reading() as tx:
            asked = (
                select(table, schema.spot.c.name)
                .join_from(table, schema.spot)
                .order_by(schema.spot.c.name_folded, table.c.seen_from.desc())
            )
            rows = tx.execute(asked).mappings().all()
            return tuple((row["name"], self._kept(tx, row)) for row in rows)

    def _kept(self, tx: Connection, row: RowMapping) -> T:
        table = self.parameter_table
        owned = table.c[owner_column(table)] == row["id"]
        parameters = tx.execute(select(table).where(owned).order_by(table.c.id))
        return self.made_from(row, {one.name: one.value for one in parameters})
