"""Judgements in the field book, as they were given: later the log is held against them."""

import datetime as dt
import json
import math
from collections import defaultdict
from collections.abc import Mapping

from sqlalchemy import Connection, insert, select

from shivelight.basis.errors import UnreadableFileError
from shivelight.basis.records import from_plain, to_plain
from shivelight.outing.judgement import Morning
from shivelight.outing.kept import Given
from shivelight.store import schema
from shivelight.store.book import FieldBook
from shivelight.store.lists import insert_row
from shivelight.store.names import find_ids
from shivelight.store.woods import wood_id

Signs = Mapping[str, Mapping[str, float]]
"""Numbers of the evening by wood and name, such as ``{"Pinnet Heath": {"spread_k": 1.8}}``."""


def add(book: FieldBook, morning: Morning, *, signs: Signs | None = None) -> int:
    """Keep the judgement of one morning: whole, and its key numbers spot by spot.

    Parameters
    ----------
    book : FieldBook
        Where.
    morning : Morning
        What was said.
    signs : mapping of str to mapping of str to float, optional
        The evening's numbers by wood, by which like evenings are found later.

    Returns
    -------
    int
        Its number in the book.

    Raises
    ------
    NotFoundError
        If a spot or wood of it is not in the book.
    """
    with book.writing() as tx:
        whole = {
            "day": morning.day,
            "made_utc": morning.made_utc,
            "zone_name": morning.zone_name,
            "answer": morning.answer,
            "go": morning.go,
            "morning_json": json.dumps(to_plain(morning), ensure_ascii=False, allow_nan=False),
        }
        number = insert_row(tx, schema.judgement, whole)
        sources = {wood: note.source for wood, note in morning.forecasts}
        said = signs or {}
        named = [*(one.wood for one in morning.spots), *said]
        woods = find_ids(tx, schema.wood, kind="wood", names=named)
        spots = find_ids(tx, schema.spot, kind="spot", names=[one.spot for one in morning.spots])
        rows = [
            {
                "judgement_id": number,
                "rank": rank,
                "wood_id": woods[one.wood],
                "spot_id": spots[one.spot],
                "chance_frac": one.chance_frac,
                "morning_mist_frac": one.mist.morning_mist_frac,
                "forecast_frac": one.mist.forecast_frac,
                "source": sources.get(one.wood, ""),
            }
            for rank, one in enumerate(morning.spots)
        ]
        if rows:
            tx.execute(insert(schema.judged_spot), rows)
        _write_signs(tx, number, said, woods)
        return number


def given(book: FieldBook, wood: str) -> tuple[Given, ...]:
    """List what was said about a wood's spots, by morning, then by when it was said.

    Raises
    ------
    NotFoundError
        If the book has no such wood.
    """
    spot, said, whole = schema.spot, schema.judged_spot, schema.judgement
    with book.reading() as tx:
        row_id = wood_id(tx, wood)
        asked = (
            select(
                said, whole.c.day, whole.c.made_utc, spot.c.name, schema.wood.c.name.label("wood")
            )
            .join_from(said, whole)
            .join(spot, spot.c.id == said.c.spot_id)
            .join(schema.wood, schema.wood.c.id == said.c.wood_id)
            .where(said.c.wood_id == row_id)
            .order_by(whole.c.day, whole.c.made_utc, whole.c.id, said.c.rank)
        )
        signs = _read_signs(tx, row_id)
        return tuple(
            Given(
                day=row.day,
                wood=row.wood,
                spot=row.name,
                made_utc=row.made_utc,
                rank=row.rank,
                chance_frac=_or_nan(row.chance_frac),
                morning_mist_frac=_or_nan(row.morning_mist_frac),
                forecast_frac=_or_nan(row.forecast_frac),
                source=row.source,
                signs=dict(signs[row.judgement_id]),
            )
            for row in tx.execute(asked)
        )


def latest(book: FieldBook, day: dt.date) -> Morning | None:
    """Give the judgement of a morning that was made last, whole; None when none was made."""
    whole = schema.judgement
    with book.reading() as tx:
        asked = (
            select(whole.c.id, whole.c.morning_json)
            .where(whole.c.day == day)
            .order_by(whole.c.made_utc.desc(), whole.c.id.desc())
            .limit(1)
        )
        row = tx.execute(asked).first()
    return None if row is None else _morning(row.id, row.morning_json)


def every(book: FieldBook) -> tuple[tuple[Morning, dict[str, dict[str, float]]], ...]:
    """All judgements in the order in which they were kept, each with its evening's numbers."""
    whole, wood, sign = schema.judgement, schema.wood, schema.judged_sign
    with book.reading() as tx:
        signs: dict[int, dict[str, dict[str, float]]] = defaultdict(dict)
        asked = (
            select(sign.c.judgement_id, wood.c.name.label("wood"), sign.c.name, sign.c.value)
            .join_from(sign, wood)
            .order_by(sign.c.id)
        )
        for row in tx.execute(asked):
            signs[row.judgement_id].setdefault(row.wood, {})[row.name] = row.value
        rows = tx.execute(select(whole.c.id, whole.c.morning_json).order_by(whole.c.id))
        return tuple((_morning(row.id, row.morning_json), signs[row.id]) for row in rows)


def _write_signs(tx: Connection, number: int, signs: Signs, woods: Mapping[str, int]) -> None:
    rows = [
        {"judgement_id": number, "wood_id": woods[wood], "name": name, "value": value}
        for wood, numbers in signs.items()
        for name, value in numbers.items()
        if not math.isnan(value)
    ]
    if rows:
        tx.execute(insert(schema.judged_sign), rows)


def _read_signs(tx: Connection, wood: int) -> dict[int, dict[str, float]]:
    signs: dict[int, dict[str, float]] = defaultdict(dict)
    asked = select(schema.judged_sign).where(schema.judged_sign.c.wood_id == wood)
    for row in tx.execute(asked.order_by(schema.judged_sign.c.id)):
        signs[row.judgement_id][row.name] = row.value
    return signs


def _morning(number: int, text: str) -> Morning:
    try:
        return from_plain(Morning, json.loads(text))
    except (ValueError, UnreadableFileError) as why:
        raise UnreadableFileError(
            f"Judgement {number} in the field book is damaged: {why}"
        ) from why


def _or_nan(value: float | None) -> float:
    return math.nan if value is None else value
