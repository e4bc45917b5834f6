"""Woods in the field book."""

from typing import Any

from sqlalchemy import Connection, Table, delete, func, select, update
from sqlalchemy.engine import RowMapping

from shivelight.basis.errors import BadInputError
from shivelight.basis.places import Position
from shivelight.outing.woods import AccessFact, MistHabit, Privacy, Wood
from shivelight.store import schema
from shivelight.store.book import FieldBook
from shivelight.store.lists import insert_row, read_lists, write_list
from shivelight.store.names import find_id, folded


def add(book: FieldBook, wood: Wood) -> None:
    """Add a wood.

    Raises
    ------
    BadInputError
        If the book has a wood of that name, whatever its capitals.
    """
    with book.writing() as tx:
        known = select(schema.wood.c.name).where(schema.wood.c.name_folded == folded(wood.name))
        taken = tx.execute(known).scalar()
        if taken is not None:
            raise BadInputError(
                f"The book already has a wood named {taken!r}; choose another name."
            )
        _write_lists(tx, insert_row(tx, schema.wood, _row(wood)), wood)


def replace(book: FieldBook, wood: Wood) -> None:
    """Put a wood in place of the one with its name.

    Raises
    ------
    NotFoundError
        If the book has no wood of that name.
    """
    with book.writing() as tx:
        row = wood_id(tx, wood.name)
        tx.execute(update(schema.wood).where(schema.wood.c.id == row).values(_row(wood)))
        _write_lists(tx, row, wood)


def remove(book: FieldBook, name: str) -> None:
    """Remove a wood about which nothing else is kept.

    Raises
    ------
    NotFoundError
        If the book has no wood of that name.
    BadInputError
        If spots, logs, judgements, forecasts or outings refer to it.
    """
    with book.writing() as tx:
        instead = "Nothing is deleted with it; mark its spots lost instead."
        delete_unheld(tx, schema.wood, wood_id(tx, name), name=name, instead=instead)


def get(book: FieldBook, name: str) -> Wood:
    """Wood of a name.

    Raises
    ------
    NotFoundError
        If there is none; the text offers near names.
    """
    with book.reading() as tx:
        row = wood_id(tx, name)
        return _read(tx, row)[0]


def every(book: FieldBook) -> tuple[Wood, ...]:
    """All woods, by name."""
    with book.reading() as tx:
        return tuple(_read(tx, None))


def wood_id(tx: Connection, name: str) -> int:
    """Row of a wood within a transaction."""
    return find_id(tx, schema.wood, kind="wood", name=name)


def delete_unheld(tx: Connection, table: Table, row: int, *, name: str, instead: str) -> None:
    """Delete a row to which nothing refers.

    Parameters
    ----------
    tx : Connection
        The transaction.
    table : Table
        Of woods or of spots.
    row : int
        Its number.
    name : str
        What it is called, for the refusal.
    instead : str
        What to do instead, in a sentence.

    Raises
    ------
    BadInputError
        If anything still refers to it.
    """
    held = _still_held(tx, table, row)
    if held:
        raise BadInputError(
            f"{name} was not removed: the book still holds {held} of it. {instead}"
        )
    tx.execute(delete(table).where(table.c.id == row))


def _still_held(tx: Connection, held: Table, row: int) -> str:
    """Say what still refers to a row ("2 spots, 1 log"); empty when nothing."""
    counts = []
    for table in schema.BOOK.sorted_tables:
        for column in table.columns:
            for key in column.foreign_keys:
                if key.column.table is not held or key.ondelete != "RESTRICT":
                    continue
                count = tx.execute(
                    select(func.count()).select_from(table).where(column == row)
                ).scalar_one()
                if count:
                    one, many = schema.WORDS[table.name]
                    counts.append(f"{count} {one if count == 1 else many}")
    return ", ".join(counts)


def position_row(prefix: str, position: Position | None) -> dict[str, Any]:
    """Columns of a position."""
    return {
        f"{prefix}_latitude_deg": None if position is None else position.latitude_deg,
        f"{prefix}_longitude_deg": None if position is None else position.longitude_deg,
        f"{prefix}_ground_height_m": None if position is None else position.ground_height_m,
    }


def position_from(row: RowMapping, prefix: str) -> Position:
    """Position in columns."""
    return Position(
        latitude_deg=row[f"{prefix}_latitude_deg"],
        longitude_deg=row[f"{prefix}_longitude_deg"],
        ground_height_m=row[f"{prefix}_ground_height_m"],
    )


def _row(wood: Wood) -> dict[str, Any]:
    return {
        "name": wood.name,
        "name_folded": folded(wood.name),
        "zone_name": wood.zone_name,
        **position_row("parking", wood.parking),
        "ground_height_m": wood.ground_height_m,
        "stand": wood.stand,
        "habit_hollow_depth_m": wood.habit.hollow_depth_m,
        "habit_near_water": wood.habit.near_water,
        "habit_fog_top_m": wood.habit.fog_top_m,
        "habit_depth_m": wood.habit.depth_m,
        "habit_note": wood.habit.note,
        "road_min": wood.road_min,
        "privacy": wood.privacy.value,
        "note": wood.note,
    }


def _write_lists(tx: Connection, row: int, wood: Wood) -> None:
    corners = [{"latitude_deg": lat, "longitude_deg": lon} for lat, lon in wood.outline]
    write_list(tx, schema.wood_outline, row, corners)
    write_list(tx, schema.wood_hazard, row, [{"hazard": one} for one in wood.hazards])
    facts = [
        {
            "what": fact.what,
            "noted_on": fact.noted_on,
            "from_day": fact.from_day,
            "to_day": fact.to_day,
            "closes": fact.closes,
            "contact": fact.contact,
        }
        for fact in wood.access
    ]
    write_list(tx, schema.wood_access, row, facts)


def _read(tx: Connection, only: int | None) -> list[Wood]:
    asked = select(schema.wood).order_by(schema.wood.c.name_folded)
    if only is not None:
        asked = asked.where(schema.wood.c.id == only)
    outlines = read_lists(tx, schema.wood_outline, only)
    hazards = read_lists(tx, schema.wood_hazard, only)
    facts = read_lists(tx, schema.wood_access, only)
    return [
        _wood(row, outlines[row["id"]], hazards[row["id"]], facts[row["id"]])
        for row in tx.execute(asked).mappings()
    ]


def _wood(
    row: RowMapping, outline: list[RowMapping], hazards: list[RowMapping], facts: list[RowMapping]
) -> Wood:
    return Wood(
        name=row["name"],
        zone_name=row["zone_name"],
        parking=position_from(row, "parking"),
        ground_height_m=row["ground_height_m"],
        stand=row["stand"],
        outline=tuple((corner["latitude_deg"], corner["longitude_deg"]) for corner in outline),
        habit=MistHabit(
            hollow_depth_m=row["habit_hollow_depth_m"],
            near_water=row["habit_near_water"],
            fog_top_m=row["habit_fog_top_m"],
            depth_m=row["habit_depth_m"],
            note=row["habit_note"],
        ),
        road_min=row["road_min"],
        privacy=Privacy(row["privacy"]),
        hazards=tuple(one["hazard"] for one in hazards),
        access=tuple(
            AccessFact(
                what=fact["what"],
                noted_on=fact["noted_on"],
                from_day=fact["from_day"],
                to_day=fact["to_day"],
                closes=fact["closes"],
                contact=fact["contact"],
            )
            for fact in facts
        ),
        note=row["note"],
    )
