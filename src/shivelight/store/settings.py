"""Small facts of the book's owner by key: home, whom to ring, how the sheet is wanted."""

from sqlalchemy import delete, insert, select

from shivelight.basis.errors import BadInputError
from shivelight.store import schema
from shivelight.store.book import FieldBook


def get(book: FieldBook, key: str) -> str | None:
    """Value of a key; None when it was not set."""
    with book.reading() as tx:
        asked = select(schema.setting.c.value).where(schema.setting.c.key == key)
        return tx.execute(asked).scalar()


def put(book: FieldBook, key: str, value: str) -> None:
    """Set a key.

    Raises
    ------
    BadInputError
        If the key is empty.
    """
    if not key.strip():
        raise BadInputError("A setting needs a key.")
    with book.writing() as tx:
        tx.execute(delete(schema.setting).where(schema.setting.c.key == key))
        tx.execute(insert(schema.setting).values(key=key, value=value))


def every(book: FieldBook) -> dict[str, str]:
    """All settings, by key."""
    with book.reading() as tx:
        rows = tx.execute(select(schema.setting).order_by(schema.setting.c.key))
        return {row.key: row.value for row in rows}
