"""Crowns round spots, worked out from rasters: kept so that they need not be each time."""

from typing import Any

from sqlalchemy.engine import RowMapping

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import UnreadableFileError
from shivelight.outing.kept import StoredCrowns
from shivelight.store import schema
from shivelight.store.worked_out import Shelf


def _columns(kept: StoredCrowns) -> dict[str, Any]:
    return {
        "azimuth_deg": kept.azimuth_deg,
        "altitude_deg": kept.altitude_deg,
        "path_m": kept.path_m,
        "unseen_m": kept.unseen_m,
    }


def _made_from(row: RowMapping, parameters: dict[str, str]) -> StoredCrowns:
    return StoredCrowns(
        azimuth_deg=row["azimuth_deg"],
        altitude_deg=row["altitude_deg"],
        path_m=_by_bearing(row, "path_m"),
        unseen_m=_by_bearing(row, "unseen_m"),
        made_utc=row["made_utc"],
        seen_from=row["seen_from"],
        parameters=parameters,
    )


def _by_bearing(row: RowMapping, name: str) -> FloatArray:
    """Lengths in the shape of a table."""
    shape = row["azimuth_deg"].size, row["altitude_deg"].size
    lengths_m: FloatArray = row[name]
    if lengths_m.size != shape[0] * shape[1]:
        raise UnreadableFileError("The field book holds a crown table that is cut short.")
    return lengths_m.reshape(shape)


_SHELF = Shelf(
    table=schema.crown_table,
    parameter_table=schema.crown_parameter,
    columns=_columns,
    made_from=_made_from,
)
put, get, drop, every = _SHELF.put, _SHELF.get, _SHELF.drop, _SHELF.every
