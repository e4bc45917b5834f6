"""What was surveyed at spots, what is wished of their pictures, and stands that were chosen."""

import json
from dataclasses import fields
from typing import Any

from sqlalchemy import Connection, Select, Table, delete, insert, select, update
from sqlalchemy.engine import RowMapping

from shivelight.basis.errors import UnreadableFileError
from shivelight.basis.records import from_plain, to_plain
from shivelight.outing.surveys import KeptFraming, KeptStand, KeptSurvey
from shivelight.scene.elements import (
    ClosedGround,
    Doubt,
    Role,
    Segment,
    SkyHole,
    Slope,
    Survey,
    Trunk,
)
from shivelight.scene.framing import Framing, Reach
from shivelight.store import schema
from shivelight.store.book import FieldBook
from shivelight.store.lists import insert_row, read_lists, write_list
from shivelight.store.spots import spot_id

_TRUNK = tuple(one.name for one in fields(Trunk) if one.name not in {"role", "doubt"})
_HOLE = tuple(one.name for one in fields(SkyHole))
_STAND = tuple(one.name for one in fields(KeptStand) if one.name != "spot")


def put(book: FieldBook, kept: KeptSurvey) -> None:
    """Put a survey in place of the one that its spot had.

    Raises
    ------
    NotFoundError
        If the book has no such spot.
    """
    with book.writing() as tx:
        owner = spot_id(tx, kept.spot)
        slope = kept.survey.slope
        values = {
            "spot_id": owner,
            "rise_right_frac": slope.rise_right_frac,
            "rise_forward_frac": slope.rise_forward_frac,
            "scale_doubt_frac": kept.survey.scale_doubt_frac,
        }
        row = tx.execute(select(schema.survey.c.id).filter_by(spot_id=owner)).scalar()
        if row is None:
            row = insert_row(tx, schema.survey, values)
        else:
            tx.execute(update(schema.survey).where(schema.survey.c.id == row).values(values))
        _write_elements(tx, int(row), kept)


def get(book: FieldBook, spot: str) -> KeptSurvey | None:
    """Survey of a spot; None where nothing was surveyed.

    Raises
    ------
    NotFoundError
        If the book has no such spot.
    """
    with book.reading() as tx:
        return next(iter(_read(tx, spot_id(tx, spot))), None)


def every(book: FieldBook) -> tuple[KeptSurvey, ...]:
    """All surveys, by the names of their spots."""
    with book.reading() as tx:
        return tuple(_read(tx))


def put_framing(book: FieldBook, kept: KeptFraming) -> None:
    """Keep what is wished of a spot's picture, in place of what was.

    Raises
    ------
    NotFoundError
        If the book has no such spot.
    """
    with book.writing() as tx:
        owner = spot_id(tx, kept.spot)
        tx.execute(delete(schema.framing).where(schema.framing.c.spot_id == owner))
        values = {
            "spot_id": owner,
            "framing_json": _text(kept.framing),
            "reach_json": _text(kept.reach),
        }
        tx.execute(insert(schema.framing).values(values))


def get_framing(book: FieldBook, spot: str) -> KeptFraming | None:
    """Give what is wished of a spot's picture; None where nothing was said.

    Raises
    ------
    NotFoundError
        If the book has no such spot.
    """
    with book.reading() as tx:
        return next(iter(_framings(tx, spot_id(tx, spot))), None)


def every_framing(book: FieldBook) -> tuple[KeptFraming, ...]:
    """All wishes of pictures, by the names of their spots."""
    with book.reading() as tx:
        return tuple(_framings(tx))


def add_stand(book: FieldBook, kept: KeptStand) -> None:
    """Keep a stand that was chosen; the same again changes nothing.

    Raises
    ------
    NotFoundError
        If the book has no such spot.
    """
    with book.writing() as tx:
        owner = spot_id(tx, kept.spot)
        if kept not in _stands(tx, owner):
            values = {name: getattr(kept, name) for name in _STAND} | {"spot_id": owner}
            tx.execute(insert(schema.stand).values(values))


def stands_of(book: FieldBook, spot: str) -> tuple[KeptStand, ...]:
    """Stands that were chosen at a spot, the last one last.

    Raises
    ------
    NotFoundError
        If the book has no such spot.
    """
    with book.reading() as tx:
        return tuple(_stands(tx, spot_id(tx, spot)))


def every_stand(book: FieldBook) -> tuple[KeptStand, ...]:
    """All stands that were chosen, in the order in which they were kept."""
    with book.reading() as tx:
        return tuple(_stands(tx))


def _write_elements(tx: Connection, row: int, kept: KeptSurvey) -> None:
    survey, how = kept.survey, kept.how
    write_list(
        tx,
        schema.survey_trunk,
        row,
        [
            {name: getattr(one, name) for name in _TRUNK} | _judged(one, how)
            for one in survey.trunks
        ],
    )
    write_list(
        tx,
        schema.survey_segment,
        row,
        [_segment_row(one) | _judged(one, how) for one in survey.segments],
    )
    write_list(
        tx,
        schema.survey_hole,
        row,
        [
            {name: getattr(one, name) for name in _HOLE} | {"how": how.get(one.name, "")}
            for one in survey.holes
        ],
    )
    write_list(
        tx,
        schema.survey_closed,
        row,
        [
            {
                "name": one.name,
                "centre_x_m": one.centre_m[0],
                "centre_y_m": one.centre_m[1],
                "radius_m": one.radius_m,
                "how": how.get(one.name, ""),
            }
            for one in survey.closed
        ],
    )
    table = schema.survey_closed
    asked = select(table.c.place, table.c.id).where(table.c.survey_id == row)
    ids = {line.place: line.id for line in tx.execute(asked)}
    for place, one in enumerate(survey.closed):
        corners = [{"x_m": x_m, "y_m": y_m} for x_m, y_m in one.corners_m]
        write_list(tx, schema.survey_closed_corner, ids[place], corners)


def _judged(one: Trunk | Segment, how: dict[str, str]) -> dict[str, Any]:
    return {
        "role": one.role.value,
        "doubt_distance_m": one.doubt.distance_m,
        "doubt_angle_deg": one.doubt.angle_deg,
        "doubt_width_m": one.doubt.width_m,
        "how": how.get(one.name, ""),
    }


def _segment_row(one: Segment) -> dict[str, Any]:
    ends = {"start": one.start_m, "end": one.end_m}
    return {"name": one.name, "width_m": one.width_m} | {
        f"{end}_{axis}_m": point[place]
        for end, point in ends.items()
        for place, axis in enumerate("xyz")
    }


def _with_spot(table: Table, owner: int | None) -> Select[Any]:
    """Rows of a table with the names of their spots; of one spot, or of all with None."""
    asked = select(table, schema.spot.c.name.label("spot")).join_from(table, schema.spot)
    return asked if owner is None else asked.where(table.c.spot_id == owner)


def _read(tx: Connection, owner: int | None = None) -> list[KeptSurvey]:
    asked = _with_spot(schema.survey, owner).order_by(schema.spot.c.name_folded)
    rows = tx.execute(asked).mappings().all()
    only = rows[0]["id"] if owner is not None and rows else None
    tables = (
        schema.survey_trunk, schema.survey_segment, schema.survey_hole, schema.survey_closed,
    )  # fmt: skip
    parts = {table: read_lists(tx, table, only) for table in tables}
    corners = read_lists(tx, schema.survey_closed_corner)
    return [
        _kept(row, {table: parts[table][row["id"]] for table in tables}, corners) for row in rows
    ]


def _kept(
    row: RowMapping, parts: dict[Table, list[RowMapping]], corners: dict[int, list[RowMapping]]
) -> KeptSurvey:
    survey = Survey(
        trunks=tuple(
            Trunk(**{name: one[name] for name in _TRUNK}, **_judgement(one))
            for one in parts[schema.survey_trunk]
        ),
        segments=tuple(_segment(one) for one in parts[schema.survey_segment]),
        holes=tuple(
            SkyHole(**{name: one[name] for name in _HOLE}) for one in parts[schema.survey_hole]
        ),
        closed=tuple(_closed(one, corners[one["id"]]) for one in parts[schema.survey_closed]),
        slope=Slope(
            rise_right_frac=row["rise_right_frac"], rise_forward_frac=row["rise_forward_frac"]
        ),
        scale_doubt_frac=row["scale_doubt_frac"],
    )
    how = {one["name"]: one["how"] for list_ in parts.values() for one in list_ if one["how"]}
    return KeptSurvey(spot=row["spot"], survey=survey, how=how)


def _judgement(one: RowMapping) -> dict[str, Any]:
    doubt = Doubt(
        distance_m=one["doubt_distance_m"],
        angle_deg=one["doubt_angle_deg"],
        width_m=one["doubt_width_m"],
    )
    return {"role": Role(one["role"]), "doubt": doubt}


def _segment(one: RowMapping) -> Segment:
    start = (one["start_x_m"], one["start_y_m"], one["start_z_m"])
    end = (one["end_x_m"], one["end_y_m"], one["end_z_m"])
    return Segment(
        name=one["name"], start_m=start, end_m=end, width_m=one["width_m"], **_judgement(one)
    )


def _closed(one: RowMapping, corners: list[RowMapping]) -> ClosedGround:
    return ClosedGround(
        name=one["name"],
        corners_m=tuple((corner["x_m"], corner["y_m"]) for corner in corners),
        centre_m=(one["centre_x_m"], one["centre_y_m"]),
        radius_m=one["radius_m"],
    )


def _framings(tx: Connection, owner: int | None = None) -> list[KeptFraming]:
    asked = _with_spot(schema.framing, owner).order_by(schema.spot.c.name_folded)
    return [
        KeptFraming(
            spot=row["spot"],
            framing=from_plain(Framing, _plain(row["framing_json"])),
            reach=from_plain(Reach, _plain(row["reach_json"])),
        )
        for row in tx.execute(asked).mappings()
    ]


def _stands(tx: Connection, owner: int | None = None) -> list[KeptStand]:
    asked = _with_spot(schema.stand, owner).order_by(schema.stand.c.kept_utc, schema.stand.c.id)
    return [
        KeptStand(spot=row["spot"], **{name: row[name] for name in _STAND})
        for row in tx.execute(asked).mappings()
    ]


def _text(value: Framing | Reach) -> str:
    return json.dumps(to_plain(value), ensure_ascii=False, allow_nan=False)


def _plain(text: str) -> Any:
    try:
        return json.loads(text)
    except ValueError as why:
        raise UnreadableFileError("The field book holds a damaged wish of a picture.") from why
