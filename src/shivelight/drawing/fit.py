"""How wide words are in the shipped faces, and where their lines break.

Used where a layout must be known before anything is rendered: the faces of the printed sheet,
plates behind words in a figure.
"""

import re

from shivelight.drawing._advances_table import ADVANCES

FACES = tuple(ADVANCES)
_UNKNOWN_ADVANCE = 700
"""A letter that the face lacks comes from another font; taken as wide as a capital."""


def width_px(words: str, *, size_px: float, face: str = "field-400") -> float:
    """Width of words on one line [px], kerning left out (it only narrows)."""
    table = ADVANCES[face]
    return sum(table.get(letter, _UNKNOWN_ADVANCE) for letter in words) * size_px / 1000.0


def wrap(
    words: str, *, room_px: float, size_px: float, face: str = "field-400"
) -> tuple[str, ...]:
    """Break words into lines as a browser does: at spaces and after hyphens, greedily.

    A single word wider than the room stands alone on its line.
    """
    lines: list[str] = []
    line = ""
    for word in _pieces(words):
        longer = line + word
        if line and width_px(longer.rstrip(), size_px=size_px, face=face) > room_px:
            lines.append(line.rstrip())
            line = word
        else:
            line = longer
    if line.strip():
        lines.append(line.rstrip())
    return tuple(lines)


def _pieces(words: str) -> list[str]:
    """Words with the space or hyphen that ends them."""
    pieces: list[str] = []
    for word in words.split():
        *before, last = re.findall(r"[^-]*-+|[^-]+", word)
        pieces += [*before, f"{last} "]
    return pieces
