"""Positions as people write them, and points out of GPX and GeoJSON files."""

import json
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as Tree

from shivelight.basis.errors import (
    BadInputError,
    MissingDataError,
    ShivelightError,
    UnreadableFileError,
)
from shivelight.basis.places import Position

MOST_BYTES = 50_000_000
_SIGNS = {"n": 1.0, "s": -1.0, "e": 1.0, "w": -1.0}
_NUMBER = r"\d+(?:[.,]\d+)?"
_ANGLE = re.compile(
    rf"""\s*(?P<front>[nsew])?\s*(?P<minus>[-+])?\s*(?P<deg>{_NUMBER})
    (?:(?:\s*(?:°|deg)\s*|\s+)(?P<min>{_NUMBER})
    (?:(?:\s*(?:'|min)\s*|\s+)(?P<sec>{_NUMBER})\s*(?:"|sec)?)?)?
    \s*(?:°|deg|'|min)?\s*(?P<back>[nsew])?\s*""",
    re.VERBOSE | re.IGNORECASE,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedPlace:
    """A point out of a file, with its name when it has one."""

    name: str
    position: Position


def parse_position(text: str) -> Position:
    r"""Read a latitude and a longitude, WGS 84.

    Parameters
    ----------
    text : str
        Decimal degrees ("53.0012, -5.1003", "53.0012 N 5.1003 W") or degrees with minutes and
        seconds ("53° 0' 4.3\" N, 5° 6' 1\" W", "53 0 4.3 N 5 6 1 W"). Latitude first, unless
        the letters say otherwise.

    Returns
    -------
    Position
        Without a height.

    Raises
    ------
    BadInputError
        For words that are no position, letters that clash, or minutes of 60 and more.
    OutOfRangeError
        For degrees off the globe.
    """
    said = _plain(text)
    halves = _halves(said, text)
    (first, first_letter), (second, second_letter) = (_angle(half, text) for half in halves)
    if first_letter in {"e", "w"} or second_letter in {"n", "s"}:
        if (first_letter and first_letter in "ns") or (second_letter and second_letter in "ew"):
            raise _unread(text)
        first, second = second, first
    return Position(latitude_deg=first, longitude_deg=second)


def parse_degrees(text: str) -> float:
    """Read one angle in decimal degrees or degrees, minutes and seconds; S and W are negative.

    Parameters
    ----------
    text : str
        "50 52 12.0 N", "1° 36' W", "-1.6".

    Returns
    -------
    float
        [°]

    Raises
    ------
    BadInputError
        For words that are no angle.
    """
    return _angle(_plain(text), text)[0]


def read_places(path: Path) -> tuple[NamedPlace, ...]:
    """Read the points of a GPX or GeoJSON file: waypoints, else the points of routes and tracks.

    Parameters
    ----------
    path : Path
        A file that ends in ``.gpx``, ``.geojson`` or ``.json``.

    Returns
    -------
    tuple of NamedPlace
        In the file's order.

    Raises
    ------
    UnreadableFileError
        For a file that is absent, too big, damaged, of another kind, or an XML file that
        declares entities.
    MissingDataError
        For a file without a point.
    """
    text = _text_of(path)
    kind = path.suffix.lower()
    if kind not in {".gpx", ".geojson", ".json"}:
        raise UnreadableFileError(
            f"{path.name} is no kind of file that points are read from; give .gpx or .geojson."
        )
    return _places(text, "gpx" if kind == ".gpx" else "geojson", called=path.name)


def read_places_text(text: str, *, kind: str | None = None) -> tuple[NamedPlace, ...]:
    """Read the points of GPX or GeoJSON text, or of plain lines, one position each.

    Parameters
    ----------
    text : str
        What was pasted or sent up. A line may begin with a name and a colon:
        "Two Waters: 53.0012, -5.1003". Empty lines and those after a # are passed over.
    kind : {"gpx", "geojson", "lines"}, optional
        What it is; judged by how it begins when not given.

    Returns
    -------
    tuple of NamedPlace
        In the text's order.

    Raises
    ------
    UnreadableFileError, MissingDataError
        As :func:`read_places`.
    BadInputError
        For a line that is no position, or an unknown kind.
    """
    if len(text) > MOST_BYTES:
        raise UnreadableFileError("The text is too big for one of points (over 50 MB).")
    plain = text.removeprefix("\ufeff")
    kind = text_kind(plain) if kind is None else kind
    if kind not in {"gpx", "geojson", "lines"}:
        raise BadInputError(f"Points are read from gpx, geojson or lines, not from {kind!r}.")
    return _places(plain, kind, called="The text")


def text_kind(text: str) -> str:
    """Judge by its first mark whether text is "gpx", "geojson" or "lines"."""
    return {"<": "gpx", "{": "geojson", "[": "geojson"}.get(text.lstrip()[:1], "lines")


def gpx_root(text: str) -> Tree.Element:
    """Parse GPX text, refusing any document type.

    Raises
    ------
    UnreadableFileError
        If it declares one: entities can make a small file huge, and GPX has no use for them.
    xml.etree.ElementTree.ParseError
        If it is damaged.
    """
    if re.search(r"<!(?:DOCTYPE|ENTITY)", text, re.IGNORECASE):
        raise UnreadableFileError(
            "The GPX file declares a document type, which such files have no use for; it is not "
            "read."
        )
    return Tree.fromstring(text)


def _places(text: str, kind: str, *, called: str) -> tuple[NamedPlace, ...]:
    if kind == "lines":
        places = tuple(_lines(text))
    else:
        try:
            places = tuple(_gpx(text) if kind == "gpx" else _geojson(json.loads(text)))
        except (Tree.ParseError, json.JSONDecodeError, RecursionError) as why:
            raise UnreadableFileError(
                f"{called} is damaged or cut short; save or copy it again."
            ) from why
        except (KeyError, IndexError, TypeError, ValueError, AttributeError) as why:
            reason = f": {why}" if isinstance(why, ShivelightError) else "."
            raise UnreadableFileError(
                f"{called} holds a point that makes no sense{reason}"
            ) from why
    if not places:
        raise MissingDataError(f"{called} holds no point; save one in it, or type the place.")
    return places


def _lines(text: str) -> Iterator[NamedPlace]:
    for line in text.splitlines():
        if line.strip() and not line.lstrip().startswith("#"):
            name, colon, place = line.rpartition(":")
            yield NamedPlace(
                name=name.strip() if colon else "", position=parse_position(place.strip())
            )


def _text_of(path: Path) -> str:
    if path.is_dir():
        raise UnreadableFileError(f"{path} is a folder; name a file in it.")
    if not path.is_file():
        raise UnreadableFileError(f"There is no file {path.name}; check the name and the folder.")
    if path.stat().st_size > MOST_BYTES:
        raise UnreadableFileError(f"{path.name} is too big for a file of points (over 50 MB).")
    try:
        return path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as why:
        raise UnreadableFileError(f"{path.name} cannot be read as text (UTF-8).") from why


def _gpx(text: str) -> Iterator[NamedPlace]:
    root = gpx_root(text)
    for tag in ("wpt", "rtept", "trkpt"):
        points = root.findall(f".//{{*}}{tag}")
        if points:
            yield from (_gpx_point(point) for point in points)
            return


def _gpx_point(point: Tree.Element) -> NamedPlace:
    height = point.findtext("{*}ele")
    return NamedPlace(
        name=(point.findtext("{*}name") or "").strip(),
        position=_position(point.attrib["lat"], point.attrib["lon"], height),
    )


def _geojson(node: Any) -> Iterator[NamedPlace]:
    kind = node["type"]
    if kind == "FeatureCollection":
        for feature in node["features"]:
            yield from _geojson(feature)
    elif kind == "Feature":
        if node.get("geometry"):
            name = str((node.get("properties") or {}).get("name") or "")
            for place in _geojson(node["geometry"]):
                yield NamedPlace(name=name, position=place.position)
    elif kind == "GeometryCollection":
        for geometry in node["geometries"]:
            yield from _geojson(geometry)
    elif kind in {"Point", "MultiPoint"}:
        for point in [node["coordinates"]] if kind == "Point" else node["coordinates"]:
            height = point[2] if len(point) > 2 else None
            yield NamedPlace(name="", position=_position(point[1], point[0], height))


def _position(latitude: Any, longitude: Any, height: Any) -> Position:
    height_m = None if height is None or str(height).strip() == "" else float(height)
    if height_m is not None and not (math.isfinite(height_m) and -500 <= height_m <= 9000):
        height_m = None  # a receiver's nonsense height does not spoil its position
    return Position(
        latitude_deg=float(latitude), longitude_deg=float(longitude), ground_height_m=height_m
    )


def _plain(text: str) -> str:
    """Typographic marks made plain: minus, primes, letters for directions spelt out."""
    said = text.strip()
    for fancy, plain in (
        ("−", "-"), ("º", "°"), ("′", "'"), ("’", "'"), ("″", '"'), ("”", '"'), ("''", '"'),
    ):  # fmt: skip
        said = said.replace(fancy, plain)
    for word in ("north", "south", "east", "west"):
        said = re.sub(rf"\b{word}\b", word[0], said, flags=re.IGNORECASE)
    return said


def _halves(said: str, text: str) -> tuple[str, str]:
    """Part a position at its comma, semicolon, letter, or the blank between two numbers."""
    for pattern in (
        r"(.*\S)\s*;\s*(\S.*)",
        r"(.*\S),\s+(\S.*)",
        r"([^,]*),([^,]*)",
        r"([nsew][^nsew]*?)\s*([nsew].*)",
        r"([^nsew]*[nsew])\s*([-+\d].*)",
        r"(\S+)\s+(\S+)",
        r"(\S.*?)\s+([-+].*)",
    ):
        found = re.fullmatch(pattern, said, re.IGNORECASE)
        if found and found[1].strip() and found[2].strip():
            return found[1], found[2]
    raise _unread(text)


def _angle(said: str, text: str) -> tuple[float, str]:
    """Value of one angle and its letter."""
    found = _ANGLE.fullmatch(said)
    if not found or (found["front"] and found["back"]):
        raise _unread(text)
    letter = (found["front"] or found["back"] or "").lower()
    if letter and found["minus"]:
        raise BadInputError(
            f"The place {text!r} has both a sign and a letter; write one of them, such as "
            "5.1003 W or -5.1003."
        )
    minute, second = found["min"], found["sec"]
    parts = [float((part or "0").replace(",", ".")) for part in (found["deg"], minute, second)]
    if parts[1] >= 60.0 or parts[2] >= 60.0:
        raise BadInputError(f"The place {text!r} has 60 or more minutes or seconds; check it.")
    if (minute and parts[0] % 1.0) or (second and parts[1] % 1.0):
        raise BadInputError(
            f"The place {text!r} has a fraction before its minutes or seconds; check it."
        )
    sign = -1.0 if found["minus"] == "-" else _SIGNS.get(letter, 1.0)
    return sign * (parts[0] + parts[1] / 60.0 + parts[2] / 3600.0), letter


def _unread(text: str) -> BadInputError:
    return BadInputError(
        f"The place {text!r} is not read; write it like '53.0012 N 5.1003 W', '53.0012, -5.1003' "
        "or 53° 0' 4\" N, 5° 6' 1\" W."
    )
