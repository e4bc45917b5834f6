"""Judgements in the field book, as they were given: later the log is held against them."""

import datetime as dt
import json
import math
from collections import defaultdict
from collections.abc import Iterable, Mapping
from functools import lru_cache

from sqlalchemy import Connection, func, insert, select

from shivelight.basis.errors import UnreadableFileError
from shivelight.basis.records import from_plain, to_plain
from shivelight.outing.history import SpotSaid
from shivelight.outing.judgement import Morning, Stretch
from shivelight.outing.kept import Given
from shivelight.store import schema
from shivelight.store.book import FieldBook
from shivelight.store.lists import insert_row
from shivelight.store.names import find_ids
from shivelight.store.spots import spot_id
from shivelight.store.woods import wood_id

Signs = Mapping[str, Mapping[str, float]]
"""Numbers of the evening by wood and name, such as ``{"Pinnet Heath": {"spread_k": 1.8}}``."""

MORNINGS_KEPT = 14
"""Judgements last read that stay in memory: a week's, and as many from before they changed."""


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
    return latest_of(book, (day,)).get(day)


def latest_of(book: FieldBook, days: Iterable[dt.date]) -> dict[dt.date, Morning]:
    """Give the judgement made last of each of several mornings, in one question.

    Mornings that were not judged are left out. A judgement that was read before is not read
    from its text again.
    """
    whole = schema.judgement
    newest = func.row_number().over(
        partition_by=whole.c.day, order_by=(whole.c.made_utc.desc(), whole.c.id.desc())
    )
    with book.reading() as tx:
        ranked = (
            select(whole.c.id, newest.label("newest")).where(whole.c.day.in_(set(days))).subquery()
        )
        asked = (
            select(whole.c.id, whole.c.day, whole.c.morning_json)
            .join_from(whole, ranked, ranked.c.id == whole.c.id)
            .where(ranked.c.newest == 1)
            .order_by(whole.c.day)
        )
        return {row.day: _morning_once(row.id, row.morning_json) for row in tx.execute(asked)}


def of_spot(book: FieldBook, spot: str) -> tuple[SpotSaid, ...]:
    """List what was said last of a spot for each morning, by morning.

    Raises
    ------
    NotFoundError
        If the book has no such spot.
    UnreadableFileError
        If a judgement is damaged.
    """
    whole, said = schema.judgement, schema.judged_spot
    newest = func.row_number().over(
        partition_by=whole.c.day,
        order_by=(whole.c.made_utc.desc(), whole.c.id.desc(), said.c.rank),
    )
    times = func.count().over(partition_by=whole.c.day)
    with book.reading() as tx:
        ranked = (
            select(
                said.c.judgement_id, said.c.rank, said.c.chance_frac, said.c.morning_mist_frac,
                newest.label("newest"), times.label("times"),
            )
            .join_from(said, whole)
            .where(said.c.spot_id == spot_id(tx, spot))
            .subquery()
        )  # fmt: skip
        best = func.json_extract(
            whole.c.morning_json, func.printf("$.spots[%d].best", ranked.c.rank)
        )
        asked = (
            select(ranked, whole.c.day, whole.c.made_utc, best.label("best"))
            .join_from(whole, ranked, ranked.c.judgement_id == whole.c.id)
            .where(ranked.c.newest == 1)
            .order_by(whole.c.day)
        )
        return tuple(
            SpotSaid(
                day=row.day,
                made_utc=row.made_utc,
                rank=row.rank,
                chance_frac=_or_nan(row.chance_frac),
                morning_mist_frac=_or_nan(row.morning_mist_frac),
                best=_stretch(row.judgement_id, row.best),
                times_said=row.times,
            )
            for row in tx.execute(asked)
        )


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


_morning_once = lru_cache(maxsize=MORNINGS_KEPT)(_morning)


def _stretch(number: int, text: str | None) -> Stretch | None:
    if text is None:
        return None
    try:
        return from_plain(Stretch, json.loads(text))
    except (ValueError, UnreadableFileError) as why:
        raise UnreadableFileError(
            f"Judgement {number} in the field book is damaged: {why}"
        ) from why


def _or_nan(value: float | None) -> float:
    return math.nan if value is None else value
