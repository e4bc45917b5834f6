"""Plain-text tables for a terminal: columns, wrapped words, numbers set to the right, no boxes."""

import re
import unicodedata
from collections.abc import Sequence

_BETWEEN = "  "
_NUMBER = re.compile(r"[+\-−]?\d+(?:[.,]\d+)?(?: ?(?:°C|°|m/s|hPa|mph|min|mm|km|m|s|h))?")
_NARROWEST = 8
"""A column is not squeezed below this many letters while another can give way."""


def table(rows: Sequence[Sequence[str]], headers: Sequence[str], *, width: int = 80) -> str:
    """Lay rows out in columns no wider together than the terminal.

    Cells are wrapped at spaces, the widest column first. Columns of numbers are set to the
    right. Where even the longest words do not fit side by side, each row becomes a block of
    "header: cell" lines.

    Parameters
    ----------
    rows : sequence of sequences of str
        Cells; a short row is filled up with empty cells.
    headers : sequence of str
        One for each column; may be empty words.
    width : int
        Letters across.

    Returns
    -------
    str
        The table, without a line break at its end.
    """
    count = len(headers)
    cells = [[*map(str, row), *[""] * (count - len(row))][:count] for row in rows]
    columns = [[headers[c], *(row[c] for row in cells)] for c in range(count)]
    sizes = _sizes(columns, width)
    if sizes is None:
        return _blocks(cells, headers, width)
    rights = [_is_numeric(column[1:]) for column in columns]
    lines = _row_lines(list(headers), sizes, rights) if any(headers) else []
    if lines:
        lines.append(_BETWEEN.join("-" * size for size in sizes))
    tall = any(len(wrap_cell(row[c], sizes[c])) > 1 for row in cells for c in range(count))
    for number, row in enumerate(cells):
        if tall and number:
            lines.append("")
        lines += _row_lines(row, sizes, rights)
    return "\n".join(line.rstrip() for line in lines)


def wrap_cell(text: str, width: int) -> list[str]:
    """Break words into lines of at most ``width`` letters; a longer word is cut."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in paragraph.split():
            piece = word
            while columns_of(piece) > width:
                if line:
                    lines.append(line)
                    line = ""
                lines.append(piece[:width])
                piece = piece[width:]
            longer = f"{line} {piece}" if line else piece
            if columns_of(longer) > width:
                lines.append(line)
                line = piece
            else:
                line = longer
        lines.append(line)
    return lines


def columns_of(text: str) -> int:
    """Columns of a terminal that a text takes: none for marks, two for wide letters."""
    return sum(
        0
        if unicodedata.combining(letter)
        else 2
        if unicodedata.east_asian_width(letter) in {"W", "F"}
        else 1
        for letter in text
    )


def _sizes(columns: list[list[str]], width: int) -> list[int] | None:
    """Widths of the columns; None when even the narrowest do not fit."""
    natural = [max(1, *map(_widest_line, column)) for column in columns]
    least = [
        min(max(_NARROWEST, *map(_longest_word, column)), size)
        for column, size in zip(columns, natural, strict=True)
    ]
    room = width - len(_BETWEEN) * (len(columns) - 1)
    if sum(least) > room:
        return None
    sizes = list(natural)
    while sum(sizes) > room:
        spare = [size - need for size, need in zip(sizes, least, strict=True)]
        widest = max(range(len(sizes)), key=lambda c: (spare[c] > 0, sizes[c]))
        sizes[widest] -= min(sum(sizes) - room, spare[widest], max(1, spare[widest] // 4))
    return sizes


def _widest_line(cell: str) -> int:
    return max(map(columns_of, cell.split("\n")))


def _longest_word(cell: str) -> int:
    return max(map(columns_of, cell.split()), default=0)


def _is_numeric(column: list[str]) -> bool:
    filled = [cell.strip() for cell in column if cell.strip() not in {"", "-", "–"}]
    return bool(filled) and all(_NUMBER.fullmatch(cell) for cell in filled)


def _row_lines(row: list[str], sizes: list[int], rights: list[bool]) -> list[str]:
    wrapped = [wrap_cell(cell, size) for cell, size in zip(row, sizes, strict=True)]
    lines = []
    for number in range(max(map(len, wrapped))):
        parts = []
        for cell, size, right in zip(wrapped, sizes, rights, strict=True):
            said = cell[number] if number < len(cell) else ""
            gap = " " * (size - columns_of(said))
            parts.append(gap + said if right else said + gap)
        lines.append(_BETWEEN.join(parts))
    return lines


def _blocks(cells: list[list[str]], headers: Sequence[str], width: int) -> str:
    blocks = []
    for row in cells:
        lines: list[str] = []
        for header, cell in zip(headers, row, strict=True):
            if cell:
                lines += wrap_cell(f"{header}: {cell}" if header else cell, max(width, 1))
        blocks.append("\n".join(lines))
    return "\n\n".join(blocks)
