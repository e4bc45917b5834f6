"""Which rasters of ground, canopy and surface belong to a wood; the files stay where they are."""

from sqlalchemy import delete, insert, select, update

from shivelight.basis.errors import NotFoundError
from shivelight.outing.kept import RasterNote
from shivelight.store import schema
from shivelight.store.book import FieldBook
from shivelight.store.woods import wood_id


def attach(book: FieldBook, wood: str, note: RasterNote) -> None:
    """Note a raster of a wood; the same file of the same kind again only changes its units.

    Raises
    ------
    NotFoundError
        If the book has no such wood.
    """
    table = schema.raster
    with book.writing() as tx:
        row = wood_id(tx, wood)
        same = (table.c.wood_id == row) & (table.c.kind == note.kind) & (table.c.path == note.path)
        said = {"height_unit": note.height_unit, "crs": note.crs}
        if tx.execute(update(table).where(same).values(said)).rowcount == 0:
            key = {"wood_id": row, "kind": note.kind, "path": note.path}
            tx.execute(insert(table).values({**key, **said}))


def detach(book: FieldBook, wood: str, path: str) -> None:
    """Forget a raster of a wood; its file is not touched.

    Raises
    ------
    NotFoundError
        If the book has no such wood, or the wood no such raster.
    """
    table = schema.raster
    with book.writing() as tx:
        same = (table.c.wood_id == wood_id(tx, wood)) & (table.c.path == path)
        if tx.execute(delete(table).where(same)).rowcount == 0:
            raise NotFoundError(f"{wood} has no raster {path!r}.")


def of_wood(book: FieldBook, wood: str) -> tuple[RasterNote, ...]:
    """Rasters of a wood in the order in which they were noted.

    Raises
    ------
    NotFoundError
        If the book has no such wood.
    """
    table = schema.raster
    with book.reading() as tx:
        asked = select(table).where(table.c.wood_id == wood_id(tx, wood)).order_by(table.c.id)
        return tuple(
            RasterNote(kind=row.kind, path=row.path, height_unit=row.height_unit, crs=row.crs)
            for row in tx.execute(asked)
        )
