"""How much the book holds, in counts."""

from dataclasses import dataclass

from sqlalchemy import func, select

from shivelight.store import schema
from shivelight.store.book import FieldBook


@dataclass(frozen=True, slots=True, kw_only=True)
class Contents:
    """Counts of what is in a book; ``mornings_logged`` counts logs, one a day, wood and spot."""

    woods: int
    spots: int
    forecasts: int
    judgements: int
    outings: int
    mornings_logged: int


def contents(book: FieldBook) -> Contents:
    """Count what the book holds."""
    tables = {
        "woods": schema.wood,
        "spots": schema.spot,
        "forecasts": schema.forecast,
        "judgements": schema.judgement,
        "outings": schema.outing,
        "mornings_logged": schema.found,
    }
    with book.reading() as tx:
        counts = {
            name: int(tx.execute(select(func.count()).select_from(table)).scalar_one())
            for name, table in tables.items()
        }
    return Contents(**counts)
