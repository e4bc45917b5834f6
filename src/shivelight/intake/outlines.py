"""Outlines of woods out of GPX and GeoJSON files, or out of pasted lines of corners."""

import json
import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeAlias
from xml.etree import ElementTree as Tree

from shivelight.basis.errors import (
    BadInputError,
    MissingDataError,
    ShivelightError,
    UnreadableFileError,
)
from shivelight.basis.places import Position, distance_and_azimuth, wgs84
from shivelight.intake.places import MOST_BYTES, gpx_root, parse_position, text_kind

if TYPE_CHECKING:
    from shapely.geometry import Polygon

Corners: TypeAlias = tuple[tuple[float, float], ...]
"""Latitudes and longitudes. [°]"""

MOST_CORNERS = 400
MOST_READ = 200_000
WIDEST_M = 50_000.0
"""No wood that is worked by one book is wider: a judgement that catches swapped columns. [m]"""
LEAST_AREA_M2 = 100.0
ENDS_APART_M, ENDS_APART_SHARE = 30.0, 0.05
"""A track is taken as closed when its ends lie so near, or so near for its length: a judgement."""
LOOPS_SHARE = 0.03
"""A walked track may lose so much of its area with the loops where it crosses itself, which a
receiver under trees makes; a judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedOutline:
    """An outline out of a file.

    Attributes
    ----------
    name : str
        As the file has it; may be empty.
    corners : tuple of (latitude_deg, longitude_deg)
        In order, not closed, at most :data:`MOST_CORNERS`. [°]
    tolerance_m : float
        How far the edge was allowed to move when corners were left out; 0 for none. [m]
    notes : tuple of str
        What was changed in reading, in sentences.
    """

    name: str
    corners: Corners
    tolerance_m: float = 0.0
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ring:
    name: str
    corners: Corners
    walked: bool = False
    notes: tuple[str, ...] = ()


def read_outlines(data: bytes | str) -> tuple[NamedOutline, ...]:
    """Read every outline of a file or of pasted text.

    Parameters
    ----------
    data : bytes or str
        GeoJSON with polygons (bare, in features or collections; outer edges only), GPX with
        tracks or routes that come back to their start (else its waypoints, as corners in order),
        or plain lines, one corner each: "53.0012, -5.1003".

    Returns
    -------
    tuple of NamedOutline
        In the file's order. More than 400 corners are thinned, and the notes say how far the
        edge moved.

    Raises
    ------
    UnreadableFileError
        For a file that is too big, damaged, not text, or an XML file that declares entities.
    MissingDataError
        For a file without an outline.
    BadInputError
        For an outline with fewer than three corners, that crosses itself, does not close, or is
        of no size that a wood has.
    """
    text = _text(data)
    kind = text_kind(text)
    try:
        if kind == "gpx":
            rings = list(_gpx(text))
        elif kind == "geojson":
            rings = list(_geojson(json.loads(text), ""))
        else:
            rings = [_Ring(name="", corners=_lines(text))]
    except (Tree.ParseError, json.JSONDecodeError, RecursionError) as why:
        raise UnreadableFileError(
            "The file is damaged or cut short; save or copy it again."
        ) from why
    except ShivelightError:
        raise
    except (KeyError, IndexError, TypeError, ValueError, AttributeError) as why:
        raise UnreadableFileError("The file holds a corner that makes no sense.") from why
    if not rings:
        raise MissingDataError(
            "The file holds no outline; save a polygon, a closed track or route, or the corners "
            "as waypoints."
        )
    return tuple(_checked(ring) for ring in rings)


def _text(data: bytes | str) -> str:
    if len(data) > MOST_BYTES:
        raise UnreadableFileError("The file is too big for one of outlines (over 50 MB).")
    if isinstance(data, str):
        return data.removeprefix("\ufeff")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as why:
        raise UnreadableFileError("The file cannot be read as text (UTF-8).") from why


def _lines(text: str) -> Corners:
    lines = [line.strip() for line in text.splitlines()]
    corners = [
        _corner(place.latitude_deg, place.longitude_deg)
        for line in lines if line and not line.startswith("#")
        for place in (parse_position(line),)
    ]  # fmt: skip
    if not corners:
        raise MissingDataError(
            "No corners were given; write one a line, such as 53.0012, -5.1003."
        )
    return tuple(corners)


def _gpx(text: str) -> Iterator[_Ring]:
    root = gpx_root(text)
    for tag, points in (("trk", ".//{*}trkpt"), ("rte", "{*}rtept")):
        for line in root.findall(f".//{{*}}{tag}"):
            corners = tuple(_point(one) for one in line.findall(points))
            if corners:
                name = (line.findtext("{*}name") or "").strip()
                yield _closed(_Ring(name=name, corners=corners, walked=tag == "trk"))
    if root.find(".//{*}trkpt") is None and root.find(".//{*}rtept") is None:
        corners = tuple(_point(one) for one in root.findall(".//{*}wpt"))
        if corners:
            yield _Ring(name="", corners=corners, notes=("Its waypoints were taken as corners.",))


def _point(point: Tree.Element) -> tuple[float, float]:
    return _corner(point.attrib["lat"], point.attrib["lon"])


def _closed(ring: _Ring) -> _Ring:
    """Refuse a line whose ends lie apart."""
    first, last = ring.corners[0], ring.corners[-1]
    apart_m = _apart_m(first, last)
    long_m = sum(
        _apart_m(one, other) for one, other in zip(ring.corners, ring.corners[1:], strict=False)
    )
    if ring.walked and apart_m > max(ENDS_APART_M, ENDS_APART_SHARE * long_m):
        raise BadInputError(
            f"{_named(ring, 'The track')} does not come back to its start: its ends are "
            f"{apart_m:,.0f} m apart; walk or draw it all round the wood."
        )
    return ring


def _apart_m(one: tuple[float, float], other: tuple[float, float]) -> float:
    ends = [Position(latitude_deg=lat, longitude_deg=lon) for lat, lon in (one, other)]
    return distance_and_azimuth(*ends)[0]


def _geojson(node: Any, name: str) -> Iterator[_Ring]:
    kind = node["type"]
    if kind == "FeatureCollection":
        for feature in node["features"]:
            yield from _geojson(feature, name)
    elif kind == "Feature":
        if node.get("geometry"):
            own = str((node.get("properties") or {}).get("name") or "").strip()
            yield from _geojson(node["geometry"], own or name)
    elif kind == "GeometryCollection":
        for geometry in node["geometries"]:
            yield from _geojson(geometry, name)
    elif kind in {"Polygon", "MultiPolygon"}:
        parts = [node["coordinates"]] if kind == "Polygon" else node["coordinates"]
        for number, rings in enumerate(parts, start=1):
            label = f"{name} {number}".strip() if len(parts) > 1 else name
            holes = len(rings) - 1
            yield _Ring(
                name=label,
                corners=tuple(_corner(one[1], one[0]) for one in rings[0]),
                notes=(f"{holes} gap{'s' * (holes > 1)} inside it left out.",) if holes else (),
            )


def _corner(latitude: Any, longitude: Any) -> tuple[float, float]:
    place = Position(latitude_deg=float(latitude), longitude_deg=float(longitude))
    turned = (place.longitude_deg + 180.0) % 360.0 - 180.0
    return place.latitude_deg, place.longitude_deg if abs(place.longitude_deg) <= 180 else turned


def _checked(ring: _Ring) -> NamedOutline:
    """Make an outline that a wood can have, or say why not."""
    said = _named(ring)
    if len(ring.corners) > MOST_READ:
        raise BadInputError(f"{said} has over {MOST_READ:,} corners; save it with fewer.")
    corners = _without_repeats(ring.corners)
    if len(corners) < 3:
        raise BadInputError(
            f"{said} has {len(corners)} different corners; it needs three or more."
        )
    first = Position(latitude_deg=corners[0][0], longitude_deg=corners[0][1])
    flat = _Flat(first)
    if max(_apart_m(corners[0], one) for one in corners) > WIDEST_M:
        raise BadInputError(
            f"{said} is more than {WIDEST_M / 1000:.0f} km wide; check that latitude and "
            "longitude are not swapped, and that it is one wood."
        )
    polygon, notes = _whole(ring, flat, corners)
    if polygon.area < LEAST_AREA_M2:
        raise BadInputError(f"{said} encloses under {LEAST_AREA_M2:g} m²; check its corners.")
    changed = bool(notes)
    thin, tolerance_m = _thinned(polygon)
    if tolerance_m:
        notes = (
            *notes,
            f"{len(polygon.exterior.coords) - 1:,} corners were thinned to "
            f"{len(thin.exterior.coords) - 1}; its edge moved by at most {tolerance_m:g} m.",
        )
    if tolerance_m or changed:
        corners = tuple(flat.back(x, y) for x, y in list(thin.exterior.coords)[:-1])
    return NamedOutline(
        name=ring.name, corners=corners, tolerance_m=tolerance_m, notes=(*ring.notes, *notes)
    )


class _Flat:
    """Metres east and north of a first corner, along geodesics."""

    def __init__(self, first: Position) -> None:
        self.first = first

    def out(self, corners: Corners) -> list[tuple[float, float]]:
        count = len(corners)
        azimuth, _, away_m = wgs84().inv(
            [self.first.longitude_deg] * count, [self.first.latitude_deg] * count,
            [one[1] for one in corners], [one[0] for one in corners],
        )  # fmt: skip
        return [
            (far * math.sin(math.radians(turn)), far * math.cos(math.radians(turn)))
            for turn, far in zip(azimuth, away_m, strict=True)
        ]

    def back(self, east_m: float, north_m: float) -> tuple[float, float]:
        longitude, latitude, _ = wgs84().fwd(
            self.first.longitude_deg, self.first.latitude_deg,
            math.degrees(math.atan2(east_m, north_m)), math.hypot(east_m, north_m),
        )  # fmt: skip
        return round(float(latitude), 7), round(float(longitude), 7)


def _whole(ring: _Ring, flat: _Flat, corners: Corners) -> tuple["Polygon", tuple[str, ...]]:
    """Polygon in metres; a walked one may lose small loops, any other must not cross itself."""
    from shapely import get_parts, make_valid  # noqa: PLC0415  wanted only here
    from shapely.geometry import Polygon  # noqa: PLC0415
    from shapely.validation import explain_validity  # noqa: PLC0415

    polygon = Polygon(flat.out(corners))
    if polygon.is_valid:
        return polygon, ()
    parts = [one for one in get_parts(make_valid(polygon)) if one.geom_type == "Polygon"]
    parts = [one for part in parts for one in [Polygon(part.exterior)]]
    whole_m2 = sum(one.area for one in parts)
    if ring.walked and parts:
        largest = max(parts, key=lambda one: one.area)
        if whole_m2 - largest.area <= LOOPS_SHARE * whole_m2:
            return largest, ("Small loops where the track crosses itself were cut off.",)
    where = re.search(r"\[(\S+) (\S+)\]", explain_validity(polygon))
    near = ""
    if where:
        latitude, longitude = flat.back(float(where[1]), float(where[2]))
        near = f" near {latitude:.5f}, {longitude:.5f}"
    raise BadInputError(
        f"{_named(ring)} crosses or touches itself{near}; put its corners in order round the "
        "wood, or move one."
    )


def _thinned(polygon: "Polygon") -> tuple["Polygon", float]:
    """Leave corners out until few enough are left, moving the edge as little as need be."""
    if len(polygon.exterior.coords) - 1 <= MOST_CORNERS:
        return polygon, 0.0
    tolerance_m = 0.5
    while True:
        thin = polygon.simplify(tolerance_m, preserve_topology=True)
        if len(thin.exterior.coords) - 1 <= MOST_CORNERS and thin.is_valid:
            return thin, tolerance_m
        tolerance_m *= 2.0


def _without_repeats(corners: Sequence[tuple[float, float]]) -> Corners:
    kept = [one for one, before in zip(corners, (None, *corners), strict=False) if one != before]
    if len(kept) > 1 and kept[0] == kept[-1]:
        kept.pop()
    return tuple(kept)


def _named(ring: _Ring, kind: str = "The outline") -> str:
    return f"{kind} {ring.name!r}" if ring.name else kind
