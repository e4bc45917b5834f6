"""The printed sheet: four faces of A6 on one A4, and what runs over onto a second page.

Heights are worked out from the widths of the letters, so that the same pages come from a
browser's print and from the PDF. Sizes here and in ``templates/faces.css`` belong together.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, replace

from shivelight.drawing.fit import width_px, wrap

ROOM_PX = 343.0
"""Width of a face, 105 mm less 7 mm on each side [px]."""
HEIGHT_PX = 506.0
"""Height of a face, 148.5 mm less 7 mm on each side [px]."""
_CONTINUED_PX = 18.0
_TALLEST_PX = 380.0
"""No single row is taller, so that it fits under any title [px]."""
_BOX_PX = 18.0
_BETWEEN_PX = 13.0
_LEAD = re.compile(r"((?:^|(?<=[.;] ))[A-Z][a-z]+(?: [a-z]+)?:)")
_BOLD_ROOM_PX = 12.0
"""Left free for the bold words of a fine line, which are a little wider [px]."""
FINE_PX = 12.2
"""Smallest letters on paper, a little over 9 pt [px]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One piece of a face that is never cut in two.

    Attributes
    ----------
    kind : str
        Which macro draws it.
    words : tuple of str
        What it says.
    height_px : float
        Its height with its own spacing. [px]
    keep : bool
        Stays with the block after it (a heading).
    """

    kind: str
    words: tuple[str, ...]
    height_px: float
    keep: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """One A6 face.

    Attributes
    ----------
    place : str
        "times", "first", "ifnot" or "found".
    blocks : tuple of Block
        From the top.
    runs_on : bool
        Whether it says "continued" at its foot.
    """

    place: str
    blocks: tuple[Block, ...] = field(default=())
    runs_on: bool = False


def paged(faces: Iterable[Face]) -> tuple[tuple[Face, ...], ...]:
    """Lay faces on pages: what does not fit goes to the next page in full, never smaller.

    Parameters
    ----------
    faces : iterable of Face
        The four faces, however long.

    Returns
    -------
    tuple of tuple of Face
        Pages; the first has all four faces, later ones only those that run on.
    """
    pages: list[tuple[Face, ...]] = []
    left = [replace(face, blocks=tuple(_short_enough(face.blocks))) for face in faces]
    while left:
        cut = [_cut(face) for face in left]
        pages.append(tuple(kept for kept, _ in cut))
        left = [rest for _, rest in cut if rest.blocks]
    return tuple(pages)


def _cut(face: Face) -> tuple[Face, Face]:
    blocks = face.blocks
    if sum(block.height_px for block in blocks) <= HEIGHT_PX:
        return face, replace(face, blocks=())
    used, count = _CONTINUED_PX, 0
    while count < len(blocks) and used + blocks[count].height_px <= HEIGHT_PX:
        used += blocks[count].height_px
        count += 1
    heads = [block for block in blocks[:count] if block.kind == "title"][:1]
    # Whatever the blocks, a page takes one beside its title: no page is made for nothing.
    least = len(heads) + 1
    while count > least and blocks[count - 1].keep:
        count -= 1
    count = max(count, least)
    rest = blocks[count:]
    kept = replace(face, blocks=blocks[:count], runs_on=bool(rest))
    return kept, replace(face, blocks=(*heads, *rest) if rest else ())


def _short_enough(blocks: tuple[Block, ...]) -> Iterator[Block]:
    """Part a sentence that no face could hold into two rows, and again until each can be held."""
    for block in blocks:
        remake = _PARTED.get(block.kind)
        words = block.words[-1].split() if remake else []
        if remake is None or block.height_px <= _TALLEST_PX or len(words) < 2:
            yield block
            continue
        middle = len(words) // 2
        first = (*block.words[:-1], " ".join(words[:middle]))
        second = (*("" for _ in block.words[:-1]), " ".join(words[middle:]))
        yield from _short_enough((remake(*first), remake(*second)))


def title(kicker: str, words: str) -> Block:
    """Set the italic line and title of a face."""
    lines = len(wrap(words, room_px=ROOM_PX, size_px=26.0, face="book-500"))
    above = len(wrap(kicker, room_px=ROOM_PX, size_px=15.0, face="book-italic-400"))
    tall = 19.0 * max(above, 1) + 29.0 * lines + 6.0
    return Block(kind="title", words=(kicker, words), height_px=tall)


def time_row(clock: str, words: str, *, heavy: bool = False) -> Block:
    """Set one line of the times: the clock large, the words beside."""
    size, face = (20.0, "field-700") if heavy else (15.5, "field-400")
    lines = len(wrap(words, room_px=ROOM_PX - 92.0, size_px=size, face=face))
    tall = max(26.0, lines * (23.0 if heavy else 18.0) + 7.0) + (2.5 if heavy else 0.0)
    return Block(kind="sun" if heavy else "time", words=(clock, words), height_px=tall + 1.4)


def head(words: str) -> Block:
    """Set a small bold heading under a rule."""
    return Block(kind="head", words=(words,), height_px=23.0, keep=True)


def fine_lines(words: str) -> tuple[Block, ...]:
    """Break small running words into lines, a block each, so that none is lost at a foot.

    The word before a colon that opens a sentence is set bold: ``words`` of the block are plain
    and bold by turns.
    """
    lines = wrap(words, room_px=ROOM_PX - _BOLD_ROOM_PX, size_px=FINE_PX)
    return tuple(
        Block(kind="fine", words=tuple(_LEAD.split(line)), height_px=15.0) for line in lines
    )


def lines_of(words: str) -> tuple[str, ...]:
    """Break an answer into lines as bold as a heading."""
    return wrap(words, room_px=ROOM_PX, size_px=15.0, face="field-700")


def bullet(words: str) -> Block:
    """Set a line behind an upright bar."""
    lines = len(wrap(words, room_px=ROOM_PX - 17.0, size_px=14.5))
    return Block(kind="bullet", words=(words,), height_px=lines * 17.5 + 2.0)


def pair(word: str, words: str) -> Block:
    """Set a bold word and its sentence."""
    lines = len(wrap(words, room_px=ROOM_PX - 64.0, size_px=14.5))
    return Block(kind="pair", words=(word, words), height_px=max(lines, 1) * 17.5 + 1.0)


def state_row(word: str, words: str) -> Block:
    """Set a state as found, and what to do."""
    lines = len(wrap(words, room_px=ROOM_PX - 104.0, size_px=14.5))
    left = len(wrap(word, room_px=94.0, size_px=15.5, face="field-700"))
    return Block(kind="state", words=(word, words), height_px=max(lines * 17.5, left * 18.5) + 7.0)


def boxes(*words: str) -> Block:
    """Set boxes to tick with a pencil."""
    # Laid out as inline blocks: the box, the word and the room after it.
    rows, used = 1, 0.0
    for word in words:
        wide = _BOX_PX + 5.0 + width_px(word, size_px=14.5)
        if used and used + wide > ROOM_PX:
            rows, used = rows + 1, 0.0
        used += wide + _BETWEEN_PX
    return Block(kind="boxes", words=words, height_px=rows * 24.0)


def rule() -> Block:
    """Set a rule."""
    return Block(kind="rule", words=(), height_px=6.0, keep=True)


def room_px(blocks: Iterable[Block]) -> float:
    """Height left on a face under these blocks [px]."""
    return HEIGHT_PX - sum(block.height_px for block in blocks)


def blanks(*words: str) -> Block:
    """Set words with a rule to write on after each."""
    return Block(kind="blanks", words=words, height_px=25.0)


def rule_lines(count: int) -> Block:
    """Set empty lines to write on."""
    return Block(kind="lines", words=("",) * count, height_px=26.0 * count)


def figure(svg: str, *, height_px: float) -> Block:
    """Set a drawing."""
    return Block(kind="figure", words=(svg,), height_px=height_px + 4.0)


_PARTED: dict[str, Callable[..., Block]] = {
    "state": state_row,
    "pair": pair,
    "bullet": bullet,
    "time": time_row,
}
