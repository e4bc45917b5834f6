"""Skylines worked out from rasters: kept so that they need not be worked out again each time."""

from typing import Any

from sqlalchemy.engine import RowMapping

from shivelight.land.skyline import Skyline
from shivelight.outing.kept import StoredSkyline
from shivelight.store import schema
from shivelight.store.worked_out import Shelf


def _columns(kept: StoredSkyline) -> dict[str, Any]:
    return {
        "origin": kept.skyline.origin,
        "altitude_deg": kept.skyline.altitude_deg,
        "reach_m": kept.skyline.reach_m,
    }


def _made_from(row: RowMapping, parameters: dict[str, str]) -> StoredSkyline:
    return StoredSkyline(
        skyline=Skyline(
            altitude_deg=row["altitude_deg"], origin=row["origin"], reach_m=row["reach_m"]
        ),
        made_utc=row["made_utc"],
        seen_from=row["seen_from"],
        parameters=parameters,
    )


_SHELF = Shelf(
    table=schema.skyline,
    parameter_table=schema.skyline_parameter,
    columns=_columns,
    made_from=_made_from,
)
put, get, drop, every = _SHELF.put, _SHELF.get, _SHELF.drop, _SHELF.every
