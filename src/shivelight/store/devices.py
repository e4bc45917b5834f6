"""Devices that were paired with this machine. They are no part of what a book exports."""

from typing import Any

import numpy as np
from sqlalchemy import delete, select, update

from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.outing.devices import Device
from shivelight.store import schema
from shivelight.store.book import FieldBook
from shivelight.store.lists import insert_row


def add(book: FieldBook, device: Device) -> Device:
    """Keep a device; gives it with its number.

    Raises
    ------
    BadInputError
        If one with the same token is there.
    """
    with book.writing() as tx:
        table = schema.device
        same = select(table.c.name).where(table.c.token_sha256 == device.token_sha256)
        if tx.execute(same).first() is not None:
            raise BadInputError("A device with this token is paired already; pair it anew.")
        values: dict[str, Any] = {
            "name": device.name,
            "token_sha256": device.token_sha256,
            "paired_utc": device.paired_utc,
            "last_seen_utc": device.last_seen_utc,
        }
        number = insert_row(tx, table, values)
    return Device(id=number, **values)


def with_token(book: FieldBook, token_sha256: str) -> Device | None:
    """Device whose token has a fingerprint; None when none has."""
    return next((one for one in every(book) if one.token_sha256 == token_sha256), None)


def every(book: FieldBook) -> tuple[Device, ...]:
    """All devices, first paired first."""
    with book.reading() as tx:
        asked = select(schema.device).order_by(schema.device.c.id)
        return tuple(Device(**row) for row in tx.execute(asked).mappings())


def saw(book: FieldBook, number: int, utc: np.datetime64) -> None:
    """Note when a device came."""
    table = schema.device
    with book.writing() as tx:
        tx.execute(update(table).where(table.c.id == number).values(last_seen_utc=utc))


def remove(book: FieldBook, number: int) -> None:
    """Forget a device.

    Raises
    ------
    NotFoundError
        If there is none of that number.
    """
    table = schema.device
    with book.writing() as tx:
        if tx.execute(delete(table).where(table.c.id == number)).rowcount == 0:
            raise NotFoundError(f"No device of number {number} is paired.")
