"""The Wennick valley read from its table: invented woods, spots, evenings and logs.

``demo_data/valley.toml`` is made to be read; here its metres become positions, its words wishes.
"""

import datetime as dt
import tomllib
from dataclasses import dataclass, replace
from functools import lru_cache
from importlib import resources
from typing import Any

from shivelight.basis.places import Position, destination
from shivelight.basis.records import from_plain
from shivelight.outing.kit import Kit
from shivelight.outing.spots import Mark, Sight, Spot
from shivelight.outing.wishes import Wish, parse_wish
from shivelight.outing.woods import Wood

MORNING = dt.date(2027, 11, 3)
"""The demo morning."""
SIGHT_STEP_DEG = 15.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Valley:
    """Everything the demo loads, as the field book takes it.

    ``evenings`` and ``logs`` are the tables of the file: typed values and what was found.
    ``surveyed`` has the elements and anchors of spots as they are typed in the field.
    """

    zone_name: str
    origin: Position
    kit: Kit
    woods: tuple[Wood, ...]
    spots: tuple[Spot, ...]
    evenings: tuple[dict[str, Any], ...]
    logs: tuple[dict[str, Any], ...]
    surveyed: tuple["Surveyed", ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Surveyed:
    """What was typed before the lens at a spot, and on its mark."""

    spot: str
    elements: tuple[dict[str, str], ...] = ()
    transits: tuple[str, ...] = ()
    distances: tuple[str, ...] = ()


@lru_cache(maxsize=1)
def valley() -> Valley:
    """Read the valley."""
    file = resources.files("shivelight.workbench") / "demo_data" / "valley.toml"
    table = tomllib.loads(file.read_text(encoding="utf-8"))
    origin = Position(latitude_deg=table["latitude_deg"], longitude_deg=table["longitude_deg"])
    return Valley(
        zone_name=table["zone_name"],
        origin=origin,
        kit=from_plain(Kit, {"bodies": table["body"], "lenses": table["lens"]}),
        woods=tuple(_wood(one, table["zone_name"], origin) for one in table["wood"]),
        spots=tuple(_spot(one, origin) for one in table["spot"]),
        evenings=tuple(table["evening"]),
        logs=tuple(table["log"]),
        surveyed=tuple(
            Surveyed(
                spot=one["name"],
                elements=tuple(one.get("elements", ())),
                transits=tuple(one.get("anchors", {}).get("transits", ())),
                distances=tuple(one.get("anchors", {}).get("distances", ())),
            )
            for one in table["spot"]
            if "elements" in one or "anchors" in one
        ),
    )


def place(origin: Position, said: dict[str, float]) -> Position:
    """Turn metres east and north of the origin into a position."""
    north = destination(origin, azimuth_deg=0.0, distance_m=said["north_m"])
    point = destination(north, azimuth_deg=90.0, distance_m=said["east_m"])
    return Position(
        latitude_deg=round(point.latitude_deg, 7),
        longitude_deg=round(point.longitude_deg, 7),
        ground_height_m=said.get("height_m"),
    )


def _wood(said: dict[str, Any], zone_name: str, origin: Position) -> Wood:
    corners = [place(origin, {"east_m": x, "north_m": y}) for x, y in said.get("outline", ())]
    plain = {
        **said,
        "zone_name": zone_name,
        "parking": _plain(place(origin, said["parking"])),
        "outline": [[one.latitude_deg, one.longitude_deg] for one in corners],
        "access": [
            {
                key: str(value) if isinstance(value, dt.date) else value
                for key, value in fact.items()
            }
            for fact in said.get("access", ())
        ],
    }
    return from_plain(Wood, plain)


def _spot(said: dict[str, Any], origin: Position) -> Spot:
    direct = (
        "name", "wood", "view_azimuth_deg", "lens_height_m", "focal_length_mm", "subject",
        "walk_min", "if_not", "hazards", "privacy", "note",
    )  # fmt: skip
    plain = {key: said[key] for key in direct if key in said}
    plain["position"] = _plain(place(origin, said["place"]))
    made = from_plain(Spot, plain)
    wishes: tuple[Wish, ...] = (
        *(parse_wish(text, must=True) for text in said["musts"]),
        *(parse_wish(text, must=False) for text in said.get("likes", ())),
    )
    mark = Mark(
        transits=tuple(said.get("transits", ())), last_confirmed=said.get("last_confirmed")
    )
    return replace(made, wishes=wishes, mark=mark, sights=_sights(said))


def _sights(said: dict[str, Any]) -> tuple[Sight, ...]:
    """Typed heights: one level all round, or the steep walls of a gorge with a lower north."""
    bearings = [SIGHT_STEP_DEG * step for step in range(round(360.0 / SIGHT_STEP_DEG))]
    if said.get("gorge_skyline"):
        walls = {bearing: 28.0 if 75.0 <= bearing <= 285.0 else 22.0 for bearing in bearings}
    else:
        walls = dict.fromkeys(bearings, float(said["level_skyline_deg"]))
    return tuple(
        Sight(azimuth_deg=bearing, altitude_deg=height) for bearing, height in walls.items()
    )


def _plain(position: Position) -> dict[str, float | None]:
    return {
        "latitude_deg": position.latitude_deg,
        "longitude_deg": position.longitude_deg,
        "ground_height_m": position.ground_height_m,
    }
