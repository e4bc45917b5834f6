"""Trunks marked on a picture as they are typed, one a line, at the prompt as on a page."""

import math
import re

from shivelight.basis.errors import BadInputError
from shivelight.scene.elements import Role
from shivelight.scene.photo_marks import TrunkMark

MOST_MARKS = 60
_NUMBER = r"[-+]?\d+(?:\.\d+)?"
_LINE = re.compile(
    rf"(?P<name>[^:]+):\s*edges\s+(?P<left>{_NUMBER})\s+(?P<right>{_NUMBER})\s+at\s+"
    rf"(?P<row>{_NUMBER})(?P<rest>.*)"
)


def read_marks(text: str) -> tuple[TrunkMark, ...]:
    """Read marked trunks, one a line.

    Raises
    ------
    BadInputError
        With the line that is not understood.
    """
    lines = mark_lines(text)
    if len(lines) > MOST_MARKS:
        raise BadInputError(f"{len(lines)} trunks are marked; {MOST_MARKS} is the most.")
    return tuple(_mark(line) for line in lines)


def drawn_marks(text: str) -> tuple[TrunkMark, ...]:
    """Read the lines that can be read, for drawing."""
    found = []
    for line in mark_lines(text)[:MOST_MARKS]:
        try:
            found.append(_mark(line))
        except BadInputError:
            continue
    return tuple(found)


def _mark(line: str) -> TrunkMark:
    found = _LINE.fullmatch(line.strip())
    if found is None:
        raise BadInputError(
            f"{line[:60]!r} is not understood; write it as 'Plumb: edges 1204 1391 at 2210, foot "
            "1302 3104, width 0.55, subject'."
        )
    foot, width_m, role = None, None, Role.COMPANION
    for said in filter(None, (one.strip() for one in found["rest"].split(","))):
        if said.startswith("foot "):
            foot = pixel_place(said[5:], "foot")
        elif said.startswith("width "):
            width_m = _number(said[6:].removesuffix("m").strip(), "width")
        elif said in {one.value for one in Role}:
            role = Role(said)
        else:
            raise BadInputError(f"{said[:40]!r} in the line of {found['name']} is not understood.")
    return TrunkMark(
        name=" ".join(found["name"].split()),
        left_px=float(found["left"]),
        right_px=float(found["right"]),
        row_px=float(found["row"]),
        foot_px=foot,
        width_m=width_m,
        role=role,
    )


def place_of(text: str) -> tuple[float, float] | None:
    """Read "column row"; None where it is none."""
    try:
        return pixel_place(text, "place") if text else None
    except BadInputError:
        return None


def pixel_place(text: str, what: str) -> tuple[float, float]:
    """Read "column row", in pixels.

    Raises
    ------
    BadInputError
        If it is none.
    """
    parts = text.replace(",", " ").split()
    if len(parts) != 2:
        raise BadInputError(f"The {what} is {text[:30]!r}; write it as 'column row', in pixels.")
    return _number(parts[0], what), _number(parts[1], what)


def _number(text: str, what: str) -> float:
    try:
        value = float(text)
    except ValueError as why:
        raise BadInputError(f"The {what} {text[:30]!r} is no number.") from why
    if not math.isfinite(value) or abs(value) > 1e6:
        raise BadInputError(f"The {what} {text[:30]!r} is no number that fits a picture.")
    return value


def mark_lines(text: str) -> list[str]:
    """Lines of a text that hold something."""
    return [line.strip() for line in text.splitlines() if line.strip()]
