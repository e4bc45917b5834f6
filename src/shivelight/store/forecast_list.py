"""Which forecasts are kept, without their bytes: quick to ask however many there are."""

from dataclasses import dataclass

import numpy as np
from sqlalchemy import func, or_, select

from shivelight.store import schema
from shivelight.store.book import FieldBook


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """A kept forecast without its bytes.

    Attributes
    ----------
    number : int
        By which :func:`shivelight.store.forecasts.get` reads it.
    wood, kind : str
        For which wood, and which reader.
    fetched_utc : datetime64
        When it came.
    sha256 : str
        Of its bytes.
    """

    number: int
    wood: str
    kind: str
    fetched_utc: np.datetime64
    sha256: str


def newest_first(
    book: FieldBook, *, since_utc: np.datetime64, until_utc: np.datetime64
) -> tuple[Listed, ...]:
    """List the forecasts that came within a span, the newest first.

    The newest of each wood is listed even when it is older.
    """
    table, wood = schema.forecast, schema.wood
    place = func.row_number().over(
        partition_by=table.c.wood_id, order_by=(table.c.fetched_utc.desc(), table.c.id.desc())
    )
    with book.reading() as tx:
        ranked = (
            select(
                table.c.id,
                table.c.wood_id,
                table.c.kind,
                table.c.fetched_utc,
                table.c.sha256,
                place.label("p"),
            )
            .where(table.c.fetched_utc <= until_utc)
            .subquery()
        )
        asked = (
            select(ranked.c.id, ranked.c.kind, ranked.c.fetched_utc, ranked.c.sha256, wood.c.name)
            .join_from(ranked, wood, wood.c.id == ranked.c.wood_id)
            .where(or_(ranked.c.p == 1, ranked.c.fetched_utc >= since_utc))
            .order_by(ranked.c.fetched_utc.desc(), ranked.c.id.desc())
        )
        return tuple(
            Listed(
                number=row.id,
                wood=row.name,
                kind=row.kind,
                fetched_utc=row.fetched_utc,
                sha256=row.sha256,
            )
            for row in tx.execute(asked)
        )
