"""The kit in the field book: kept and given whole."""

from dataclasses import asdict

from sqlalchemy import delete, insert, select

from shivelight.outing.kit import Body, Kit, KitLens
from shivelight.store import schema
from shivelight.store.book import FieldBook


def get(book: FieldBook) -> Kit:
    """Everything in the bag; an empty kit when none was noted."""
    with book.reading() as tx:
        bodies = tx.execute(select(schema.body).order_by(schema.body.c.place)).mappings().all()
        lenses = tx.execute(select(schema.lens).order_by(schema.lens.c.place)).mappings().all()
    dropped = {"id", "place"}
    return Kit(
        bodies=tuple(
            Body(**{key: value for key, value in row.items() if key not in dropped})
            for row in bodies
        ),
        lenses=tuple(
            KitLens(**{key: value for key, value in row.items() if key not in dropped})
            for row in lenses
        ),
    )


def replace(book: FieldBook, kit: Kit) -> None:
    """Put a kit in place of the one before."""
    with book.writing() as tx:
        bodies = [asdict(body) for body in kit.bodies]
        lenses = [asdict(lens) for lens in kit.lenses]
        for table, things in ((schema.body, bodies), (schema.lens, lenses)):
            tx.execute(delete(table))
            rows = [{"place": place, **thing} for place, thing in enumerate(things)]
            if rows:
                tx.execute(insert(table), rows)
