"""A survey's elements as a table (CSV), read and written.

A table has a heading line; a unit may follow a heading ("distance ft", "angle_deg"); lines that
begin with ``#`` are passed over. Trunks, branches, logs, holes, closed ground and rings share it.
"""

import csv
import io
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from shivelight.basis.errors import BadInputError, ShivelightError
from shivelight.intake.elements import KEYS, Element, element_from
from shivelight.intake.measures import Hands
from shivelight.scene.elements import Segment, SkyHole, Trunk

MOST_REFUSALS = 4
_CELL_UNITS = {
    "m": " m", "metres": " m", "cm": " cm", "mm": " mm", "ft": " ft", "feet": " ft", "in": " in",
    "inches": " in", "paces": " paces", "pace": " paces", "deg": "", "degrees": "", "°": "",
    "bearing": "at ", "fingers": " fingers",
}  # fmt: skip
_OTHER_NAMES = {
    "what": "kind", "type": "kind", "lean right": "lean", "bearing": "angle", "diameter": "width",
    "start": "from", "end": "to", "away": "distance", "note": "how",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class ElementsRead:
    """What a table holds.

    Attributes
    ----------
    elements : tuple of (Trunk, Segment, SkyHole or ClosedGround, str)
        Each with how it was measured, in words.
    unknown : tuple of str
        Headings that mean nothing here and were passed over.
    """

    elements: tuple[tuple[Element, str], ...]
    unknown: tuple[str, ...] = ()


def read_elements(text: str, *, hands: Hands, trunks: Sequence[Trunk] = ()) -> ElementsRead:
    """Read a table of elements.

    Parameters
    ----------
    text : str
        CSV with a heading line; commas, semicolons or tabs.
    hands : Hands
        Pace, hand and bearing of view of who measured.
    trunks : sequence of Trunk
        Those that are there already.

    Raises
    ------
    BadInputError
        If there is no heading with names, or with the first lines that are not read; nothing of
        the table is then taken.
    """
    heading, lines = _table(text)
    columns = [_column(one) for one in heading]
    if not any(key == "name" for key, _ in columns):
        raise BadInputError(
            "The table has no column of names; its first line should be like "
            "kind,name,angle,distance,width."
        )
    made: list[tuple[Element, str]] = []
    refused: list[str] = []
    for number, cells in lines:
        said = {
            key: _cell(words, unit)
            for (key, unit), words in zip(columns, cells, strict=False)
            if key
        }
        known = [*trunks, *(one for one, _ in made if isinstance(one, Trunk))]
        try:
            if len(cells) > len(columns) and any(one.strip() for one in cells[len(columns) :]):
                raise BadInputError("it has more cells than the heading.")
            made.append(element_from(said, hands=hands, trunks=known))
        except ShivelightError as why:
            refused.append(f"Line {number} ({said.get('name') or 'no name'}): {why}")
    if refused:
        more = len(refused) - MOST_REFUSALS
        rest = f" And {more} more lines." if more > 0 else ""
        raise BadInputError(
            f"{' '.join(refused[:MOST_REFUSALS])}{rest} Nothing of the table was taken."
        )
    if not made:
        raise BadInputError("The table holds no element below its heading.")
    unknown = tuple(
        words
        for words, (key, _) in zip(heading, columns, strict=True)
        if not key and words.strip()
    )
    return ElementsRead(elements=tuple(made), unknown=unknown)


def write_elements(elements: Sequence[tuple[Element, str]]) -> str:
    """Write elements as a table that :func:`read_elements` reads back.

    Parameters
    ----------
    elements : sequence of (element, how)
        As kept.
    """
    out = io.StringIO()
    heads = (
        "kind", "name", "angle deg", "distance m", "width m", "height m", "lean deg",
        "lean away deg", "role", "altitude deg", "size deg", "from", "to", "corners", "radius m",
        "doubt distance m", "doubt angle deg", "doubt width m", "how",
    )  # fmt: skip
    writer = csv.DictWriter(out, heads, lineterminator="\n", restval="")
    writer.writeheader()
    for one, how in elements:
        writer.writerow(_row(one) | {"name": one.name, "how": how})
    return out.getvalue()


def _table(text: str) -> tuple[list[str], list[tuple[int, list[str]]]]:
    """Part a table into its heading and its lines with their numbers."""
    kept = [
        (number, line)
        for number, line in enumerate(text.removeprefix("\ufeff").splitlines(), start=1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    if not kept:
        raise BadInputError("The table is empty; its first line should be a heading.")
    marks = ("\t", ";", ",")
    mark = max(marks, key=kept[0][1].count)
    rows = [next(csv.reader([line], delimiter=mark)) for _, line in kept]
    numbered = [(number, row) for (number, _), row in zip(kept[1:], rows[1:], strict=True)]
    return rows[0], numbered


def _column(heading: str) -> tuple[str, str]:
    """Key of a heading and its unit; an empty key for one that means nothing here."""
    words = re.sub(r"[_()\[\],]+", " ", heading.strip().lower()).split()
    if words and words[0] == "bearing":
        return "angle", "bearing"
    for count in (len(words), len(words) - 1):
        name = " ".join(words[:count])
        key = _OTHER_NAMES.get(name, name)
        unit = " ".join(words[count:])
        if key in KEYS and (not unit or unit in _CELL_UNITS):
            return key, unit
    return "", ""


def _cell(words: str, unit: str) -> str:
    """Give a cell that is a bare number the unit of its heading."""
    said = words.strip()
    if not unit or not re.fullmatch(r"[-+−]?\d+(?:[.,]\d+)?", said):
        return said
    added = _CELL_UNITS[unit]
    return f"{added}{said}" if unit == "bearing" else f"{said}{added}"


def row_of(one: Element) -> dict[str, str]:
    """Write an element as words by the names of ``KEYS``, as a person would type them.

    Parameters
    ----------
    one : Trunk, Segment, SkyHole or ClosedGround
        The element.
    """
    return {_key(head): words for head, words in _row(one).items()} | {"name": one.name}


def _key(head: str) -> str:
    return _column(head)[0]


def _row(one: Element) -> dict[str, str]:
    if isinstance(one, Trunk):
        return {
            "kind": "trunk",
            "angle deg": _figure(one.angle_deg),
            "distance m": _figure(one.distance_m),
            "width m": _figure(one.width_m),
            "height m": _figure(one.height_m),
            "lean deg": _figure(one.lean_right_deg),
            "lean away deg": _figure(one.lean_away_deg),
        } | _judged(one)
    if isinstance(one, Segment):
        ends = {"from": _place(one.start_m), "to": _place(one.end_m)}
        return {"kind": "branch", "width m": _figure(one.width_m)} | ends | _judged(one)
    if isinstance(one, SkyHole):
        return {
            "kind": "hole",
            "angle deg": _figure(one.angle_deg),
            "altitude deg": _figure(one.altitude_deg),
            "size deg": f"{_figure(one.width_deg)} x {_figure(one.height_deg)}",
            "distance m": _figure(one.distance_m),
        }
    if one.corners_m:
        corners = " | ".join(_place((x_m, y_m)) for x_m, y_m in one.corners_m)
        return {"kind": "closed", "corners": corners}
    angle, distance = _place(one.centre_m).split(" / ")
    return {
        "kind": "ring",
        "angle deg": angle,
        "distance m": distance.removesuffix(" m"),
        "radius m": _figure(one.radius_m),
    }


def _judged(one: Trunk | Segment) -> dict[str, str]:
    return {
        "role": one.role.value,
        "doubt distance m": _figure(one.doubt.distance_m),
        "doubt angle deg": _figure(one.doubt.angle_deg),
        "doubt width m": _figure(one.doubt.width_m),
    }


def _place(point: Sequence[float]) -> str:
    angle_deg = math.degrees(math.atan2(point[0], point[1]))
    flat = f"{_figure(angle_deg)} / {_figure(math.hypot(point[0], point[1]))} m"
    return flat if len(point) == 2 else f"{flat} / {_figure(point[2])} m"


def _figure(value: float) -> str:
    return f"{value:.12f}".rstrip("0").rstrip(".")
