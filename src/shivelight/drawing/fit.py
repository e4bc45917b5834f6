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

    A single word wider than the room is broken anywhere, as the pages do too.
    """
    lines: list[str] = []
    line = ""
    for word in _broken(_pieces(words), room_px=room_px, size_px=size_px, face=face):
        longer = line + word
        if line and width_px(longer.rstrip(), size_px=size_px, face=face) > room_px:
            lines.append(line.rstrip())
            line = word
        else:
            line = longer
    if line.strip():
        lines.append(line.rstrip())
    return tuple(lines)


def _broken(pieces: list[str], *, room_px: float, size_px: float, face: str) -> list[str]:
    """Break pieces that are wider than the room, letter by letter."""
    short: list[str] = []
    for piece in pieces:
        start = 0
        for end in range(1, len(piece.rstrip()) + 1):
            if width_px(piece[start:end], size_px=size_px, face=face) > room_px:
                if end - 1 > start:
                    short.append(piece[start : end - 1])
                start = max(end - 1, start)
        short.append(piece[start:])
    return short


def cut_to(words: str, *, room_px: float, size_px: float, face: str = "field-400") -> str:
    """Cut words that are wider than the room and end them with three dots."""
    if width_px(words, size_px=size_px, face=face) <= room_px:
        return words
    kept = words
    while kept and width_px(f"{kept}...", size_px=size_px, face=face) > room_px:
        kept = kept[:-1]
    return f"{kept.rstrip(' ,;')}..."


def _pieces(words: str) -> list[str]:
    """Words with the space or hyphen that ends them."""
    pieces: list[str] = []
    for word in words.split():
        *before, last = re.findall(r"[^-]*-+|[^-]+", word)
        pieces += [*before, f"{last} "]
    return pieces
