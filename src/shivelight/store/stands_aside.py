"""A stand that was kept by mistake is taken out of the book again."""

from sqlalchemy import delete

from shivelight.basis.errors import NotFoundError
from shivelight.outing.surveys import KeptStand
from shivelight.store import schema
from shivelight.store.book import FieldBook
from shivelight.store.spots import spot_id

_TOLD = ("x_m", "y_m", "z_m", "focal_length_mm", "words")


def drop_stand(book: FieldBook, kept: KeptStand) -> None:
    """Take a kept stand out.

    Parameters
    ----------
    book : FieldBook
        The open book.
    kept : KeptStand
        As :func:`shivelight.store.surveys.stands_of` gives it.

    Raises
    ------
    NotFoundError
        If it is not there, or the book has no such spot.
    """
    table = schema.stand
    with book.writing() as tx:
        told = table.c.spot_id == spot_id(tx, kept.spot)
        told &= table.c.kept_utc == kept.kept_utc
        for name in _TOLD:
            told &= table.c[name] == getattr(kept, name)
        if not tx.execute(delete(table).where(told)).rowcount:
            raise NotFoundError(f"That stand is not kept with {kept.spot} any more.")
