"""Spots in the field book. Their names are unique in the whole book, whatever their wood."""

from typing import Any

from sqlalchemy import ColumnElement, Connection, select, update
from sqlalchemy.engine import RowMapping

from shivelight.basis.errors import BadInputError
from shivelight.outing.spots import Mark, Sight, Spot, SpotState
from shivelight.outing.wishes import Wish, WishKind
from shivelight.outing.woods import Privacy
from shivelight.store import schema
from shivelight.store.book import FieldBook
from shivelight.store.lists import insert_row, read_lists, write_list
from shivelight.store.names import find_id, folded
from shivelight.store.woods import delete_unheld, position_from, position_row, wood_id


def add(book: FieldBook, spot: Spot) -> None:
    """Add a spot to its wood.

    Raises
    ------
    NotFoundError
        If the book has no such wood.
    BadInputError
        If the book has a spot of that name, in this wood or another.
    """
    with book.writing() as tx:
        known = select(schema.spot.c.name, schema.wood.c.name).join_from(schema.spot, schema.wood)
        taken = tx.execute(known.where(schema.spot.c.name_folded == folded(spot.name))).first()
        if taken is not None:
            raise BadInputError(
                f"The book already has a spot named {taken[0]!r}, in {taken[1]}; "
                "choose another name."
            )
        _write_lists(tx, insert_row(tx, schema.spot, _row(tx, spot)), spot)


def replace(book: FieldBook, spot: Spot) -> None:
    """Put a spot in place of the one with its name; this may move it to another wood.

    Raises
    ------
    NotFoundError
        If the book has no spot of that name, or no such wood.
    """
    with book.writing() as tx:
        row = spot_id(tx, spot.name)
        tx.execute(update(schema.spot).where(schema.spot.c.id == row).values(_row(tx, spot)))
        _write_lists(tx, row, spot)


def remove(book: FieldBook, name: str) -> None:
    """Remove a spot about which nothing else is kept.

    Raises
    ------
    NotFoundError
        If the book has no spot of that name.
    BadInputError
        If logs, judgements or outings refer to it; mark it lost instead.
    """
    with book.writing() as tx:
        instead = "Mark it lost instead; nothing is deleted with it."
        delete_unheld(tx, schema.spot, spot_id(tx, name), name=name, instead=instead)


def get(book: FieldBook, name: str) -> Spot:
    """Spot of a name.

    Raises
    ------
    NotFoundError
        If there is none; the text offers near names.
    """
    with book.reading() as tx:
        row = spot_id(tx, name)
        return _read(tx, schema.spot.c.id == row)[0]


def every(book: FieldBook) -> tuple[Spot, ...]:
    """All spots, by name."""
    with book.reading() as tx:
        return tuple(_read(tx, None))


def of_wood(book: FieldBook, wood: str) -> tuple[Spot, ...]:
    """Spots of one wood, by name.

    Raises
    ------
    NotFoundError
        If the book has no such wood.
    """
    with book.reading() as tx:
        return tuple(_read(tx, schema.spot.c.wood_id == wood_id(tx, wood)))


def spot_id(tx: Connection, name: str) -> int:
    """Row of a spot within a transaction."""
    return find_id(tx, schema.spot, kind="spot", name=name)


def _row(tx: Connection, spot: Spot) -> dict[str, Any]:
    return {
        "name": spot.name,
        "name_folded": folded(spot.name),
        "wood_id": wood_id(tx, spot.wood),
        **position_row("position", spot.position),
        "view_azimuth_deg": spot.view_azimuth_deg,
        "lens_height_m": spot.lens_height_m,
        "focal_length_mm": spot.focal_length_mm,
        "sensor_width_mm": spot.sensor_width_mm,
        "subject": spot.subject,
        **position_row("subject_position", spot.subject_position),
        "mark_last_confirmed": spot.mark.last_confirmed,
        "walk_min": spot.walk_min,
        "if_not": spot.if_not,
        "privacy": spot.privacy.value,
        "state": spot.state.value,
        "note": spot.note,
        "under_canopy": spot.under_canopy,
    }


def _write_lists(tx: Connection, row: int, spot: Spot) -> None:
    sights = [
        {"azimuth_deg": one.azimuth_deg, "altitude_deg": one.altitude_deg} for one in spot.sights
    ]
    write_list(tx, schema.spot_sight, row, sights)
    write_list(tx, schema.spot_hazard, row, [{"hazard": one} for one in spot.hazards])
    write_list(tx, schema.spot_transit, row, [{"transit": one} for one in spot.mark.transits])
    write_list(tx, schema.spot_wish, row, [_wish_row(wish) for wish in spot.wishes])
    places = tx.execute(
        select(schema.spot_wish.c.place, schema.spot_wish.c.id).where(
            schema.spot_wish.c.spot_id == row
        )
    )
    ids = {row.place: row.id for row in places}
    for place, wish in enumerate(spot.wishes):
        choices = [{"choice": one} for one in wish.choices]
        write_list(tx, schema.spot_wish_choice, ids[place], choices)


def _wish_row(wish: Wish) -> dict[str, Any]:
    from_month, from_day = wish.from_day or (None, None)
    to_month, to_day = wish.to_day or (None, None)
    return {
        "kind": wish.kind.value,
        "must": wish.must,
        "low": wish.low,
        "high": wish.high,
        "from_month": from_month,
        "from_day_of_month": from_day,
        "to_month": to_month,
        "to_day_of_month": to_day,
    }


def _read(tx: Connection, only: ColumnElement[bool] | None) -> list[Spot]:
    asked = select(schema.spot, schema.wood.c.name.label("wood")).join_from(
        schema.spot, schema.wood
    )
    if only is not None:
        asked = asked.where(only)
    rows = tx.execute(asked.order_by(schema.spot.c.name_folded)).mappings().all()
    one = rows[0]["id"] if len(rows) == 1 else None
    lists = {
        table.name: read_lists(tx, table, one)
        for table in (
            schema.spot_sight, schema.spot_hazard, schema.spot_transit, schema.spot_wish,
        )
    }  # fmt: skip
    choices = read_lists(tx, schema.spot_wish_choice)
    made = []
    for row in rows:
        parts = {name: grouped[row["id"]] for name, grouped in lists.items()}
        wishes = tuple(_wish(wish, choices[wish["id"]]) for wish in parts["spot_wish"])
        made.append(_spot(row, parts, wishes))
    return made


def _wish(row: RowMapping, choices: list[RowMapping]) -> Wish:
    return Wish(
        kind=WishKind(row["kind"]),
        must=row["must"],
        low=row["low"],
        high=row["high"],
        choices=tuple(one["choice"] for one in choices),
        from_day=_month_day(row["from_month"], row["from_day_of_month"]),
        to_day=_month_day(row["to_month"], row["to_day_of_month"]),
    )


def _month_day(month: int | None, day: int | None) -> tuple[int, int] | None:
    return None if month is None or day is None else (month, day)


def _spot(row: RowMapping, parts: dict[str, list[RowMapping]], wishes: tuple[Wish, ...]) -> Spot:
    elsewhere = row["subject_position_latitude_deg"] is not None
    return Spot(
        name=row["name"],
        wood=row["wood"],
        position=position_from(row, "position"),
        view_azimuth_deg=row["view_azimuth_deg"],
        lens_height_m=row["lens_height_m"],
        focal_length_mm=row["focal_length_mm"],
        sensor_width_mm=row["sensor_width_mm"],
        subject=row["subject"],
        subject_position=position_from(row, "subject_position") if elsewhere else None,
        sights=tuple(
            Sight(azimuth_deg=one["azimuth_deg"], altitude_deg=one["altitude_deg"])
            for one in parts["spot_sight"]
        ),
        wishes=wishes,
        mark=Mark(
            transits=tuple(one["transit"] for one in parts["spot_transit"]),
            last_confirmed=row["mark_last_confirmed"],
        ),
        walk_min=row["walk_min"],
        under_canopy=row["under_canopy"],
        if_not=row["if_not"],
        hazards=tuple(one["hazard"] for one in parts["spot_hazard"]),
        privacy=Privacy(row["privacy"]),
        state=SpotState(row["state"]),
        note=row["note"],
    )
