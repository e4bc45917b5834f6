"""Forecasts in the field book, byte for byte as they were received."""

import hashlib
import json
import zlib

import numpy as np
from sqlalchemy import Connection, Select, insert, select
from sqlalchemy.engine import RowMapping

from shivelight.basis.errors import UnreadableFileError
from shivelight.outing.kept import StoredForecast
from shivelight.store import schema
from shivelight.store.book import FieldBook
from shivelight.store.lists import insert_row
from shivelight.store.woods import wood_id


def add(book: FieldBook, forecast: StoredForecast) -> int:
    """Keep a forecast; the same one again changes nothing.

    Returns
    -------
    int
        Its number in the book.

    Raises
    ------
    NotFoundError
        If the book has no such wood.
    """
    digest = forecast.sha256
    with book.writing() as tx:
        row = {
            "wood_id": wood_id(tx, forecast.wood),
            "kind": forecast.kind,
            "fetched_utc": forecast.fetched_utc,
            "sha256": digest,
        }
        same = select(schema.forecast.c.id)
        for name, value in row.items():
            same = same.where(schema.forecast.c[name] == value)
        known = tx.execute(same).scalar()
        if known is not None:
            return int(known)
        _keep_payload(tx, digest, forecast.payload)
        row["issued_utc"] = forecast.issued_utc
        row["url"] = forecast.url
        row["headers_json"] = json.dumps(forecast.headers, ensure_ascii=False)
        return insert_row(tx, schema.forecast, row)


def latest(
    book: FieldBook,
    wood: str,
    kind: str | None = None,
    *,
    until_utc: np.datetime64 | None = None,
) -> StoredForecast | None:
    """Give the forecast of a wood that was fetched last, of a kind or any; None when none was.

    With ``until_utc`` only what had come by that instant counts.

    Raises
    ------
    NotFoundError
        If the book has no such wood.
    UnreadableFileError
        If its bytes are no longer what was received.
    """
    with book.reading() as tx:
        asked = _asked().where(schema.forecast.c.wood_id == wood_id(tx, wood))
        if kind is not None:
            asked = asked.where(schema.forecast.c.kind == kind)
        if until_utc is not None:
            asked = asked.where(schema.forecast.c.fetched_utc <= until_utc)
        order = (schema.forecast.c.fetched_utc.desc(), schema.forecast.c.id.desc())
        row = tx.execute(asked.order_by(*order).limit(1)).mappings().first()
        return None if row is None else _forecast(row)


def get(book: FieldBook, number: int) -> StoredForecast | None:
    """Forecast of a number; None when the book has none of it."""
    with book.reading() as tx:
        row = tx.execute(_asked().where(schema.forecast.c.id == number)).mappings().first()
        return None if row is None else _forecast(row)


def every(book: FieldBook) -> tuple[StoredForecast, ...]:
    """All forecasts in the order in which they were kept."""
    with book.reading() as tx:
        rows = tx.execute(_asked().order_by(schema.forecast.c.id)).mappings()
        return tuple(_forecast(row) for row in rows)


def _asked() -> "Select[tuple[object, ...]]":
    return (
        select(schema.forecast, schema.payload.c.zlib_bytes, schema.wood.c.name.label("wood"))
        .join_from(schema.forecast, schema.payload)
        .join(schema.wood, schema.wood.c.id == schema.forecast.c.wood_id)
    )


def _keep_payload(tx: Connection, digest: str, payload: bytes) -> None:
    known = select(schema.payload.c.sha256).where(schema.payload.c.sha256 == digest)
    if tx.execute(known).scalar() is None:
        tx.execute(
            insert(schema.payload).values(
                sha256=digest, size=len(payload), zlib_bytes=zlib.compress(payload, 6)
            )
        )


def _forecast(row: RowMapping) -> StoredForecast:
    try:
        payload = zlib.decompress(row["zlib_bytes"])
        headers = json.loads(row["headers_json"])
    except (zlib.error, ValueError) as why:
        raise UnreadableFileError(
            f"Forecast {row['id']} in the field book is damaged ({why}); fetch it again."
        ) from why
    if hashlib.sha256(payload).hexdigest() != row["sha256"]:
        raise UnreadableFileError(
            f"Forecast {row['id']} in the field book is not what was received; fetch it again."
        )
    return StoredForecast(
        wood=row["wood"],
        kind=row["kind"],
        payload=payload,
        fetched_utc=row["fetched_utc"],
        issued_utc=row["issued_utc"],
        url=row["url"],
        headers=headers,
    )
