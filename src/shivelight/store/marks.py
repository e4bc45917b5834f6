"""The anchors of marks: two things in line, distances, and what is gone."""

from sqlalchemy import Connection, select
from sqlalchemy.engine import RowMapping

from shivelight.outing.marks import LostAnchor, MarkAnchors, NotedDistance, NotedTransit
from shivelight.scene.anchors import Side
from shivelight.store import schema
from shivelight.store.book import FieldBook
from shivelight.store.lists import read_lists, write_list
from shivelight.store.spots import spot_id


def put(book: FieldBook, kept: MarkAnchors) -> None:
    """Put anchors in place of those that the spot's mark had.

    Raises
    ------
    NotFoundError
        If the book has no such spot.
    """
    with book.writing() as tx:
        owner = spot_id(tx, kept.spot)
        write_list(
            tx,
            schema.anchor_transit,
            owner,
            [
                {
                    "near": one.near,
                    "near_side": one.near_side.value,
                    "far": one.far,
                    "far_side": one.far_side.value,
                }
                for one in kept.transits
            ],
        )
        write_list(
            tx,
            schema.anchor_distance,
            owner,
            [
                {
                    "name": one.to,
                    "distance_m": one.distance_m,
                    "doubt_m": one.doubt_m,
                    "how": one.how,
                }
                for one in kept.distances
            ],
        )
        write_list(
            tx,
            schema.anchor_lost,
            owner,
            [{"name": one.name, "noted_on": one.noted_on} for one in kept.lost],
        )


def get(book: FieldBook, spot: str) -> MarkAnchors:
    """Anchors of a spot's mark; none where none were noted.

    Raises
    ------
    NotFoundError
        If the book has no such spot.
    """
    with book.reading() as tx:
        owner = spot_id(tx, spot)
        name = tx.execute(select(schema.spot.c.name).filter_by(id=owner)).scalar_one()
        return _read(tx, {owner: str(name)})[0]


def every(book: FieldBook) -> tuple[MarkAnchors, ...]:
    """Anchors of all marks that have any, by the names of their spots."""
    with book.reading() as tx:
        asked = select(schema.spot.c.id, schema.spot.c.name).order_by(schema.spot.c.name_folded)
        names = {row.id: row.name for row in tx.execute(asked)}
        return tuple(one for one in _read(tx, names) if one.transits or one.distances or one.lost)


def _read(tx: Connection, names: dict[int, str]) -> list[MarkAnchors]:
    only = next(iter(names)) if len(names) == 1 else None
    transits = read_lists(tx, schema.anchor_transit, only)
    distances = read_lists(tx, schema.anchor_distance, only)
    lost = read_lists(tx, schema.anchor_lost, only)
    return [
        MarkAnchors(
            spot=name,
            transits=tuple(_transit(one) for one in transits[number]),
            distances=tuple(
                NotedDistance(
                    to=one["name"],
                    distance_m=one["distance_m"],
                    doubt_m=one["doubt_m"],
                    how=one["how"],
                )
                for one in distances[number]
            ),
            lost=tuple(
                LostAnchor(name=one["name"], noted_on=one["noted_on"]) for one in lost[number]
            ),
        )
        for number, name in names.items()
    ]


def _transit(one: RowMapping) -> NotedTransit:
    return NotedTransit(
        near=one["near"],
        near_side=Side(one["near_side"]),
        far=one["far"],
        far_side=Side(one["far_side"]),
    )
