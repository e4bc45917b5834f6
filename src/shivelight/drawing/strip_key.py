"""The key under the first morning strip of a page."""

from shivelight.drawing.fit import wrap
from shivelight.drawing.strip_parts import leaf_shape
from shivelight.drawing.svg import Letters, Pen

_ENTRIES = (
    ("Mist", "stands up from the ground: line, how often; soft edge, how far that may be off."),
    ("Direct light", "comes down slanting, once the sun is past this skyline."),
    ("Leaf", "hangs straight in still air, leans as it moves; a dot is not known."),
    ("Bracket", "all you want, together; dashes, how late it may run."),
)
_SIZE = 14.5
_LINE = 19.0
_PICTURE = 40.0


def draw_key(pen: Pen, corner: tuple[float, float], *, room_px: float, narrow: bool) -> float:
    """Draw four small pictures with their words; give back the height used [px]."""
    columns = 1 if narrow else 4
    column_px = room_px / columns
    low = 0.0
    y = corner[1]
    for number, (word, rest) in enumerate(_ENTRIES):
        column, row = number % columns, number // columns
        x = corner[0] + column * column_px
        if column == 0 and row:
            y, low = y + low + 6.0, 0.0
        lines = wrap(f"{word} {rest}", room_px=column_px - _PICTURE - 16.0, size_px=_SIZE)
        _picture(pen, word, (x, y + 2.0))
        for line_number, line in enumerate(lines):
            at = (x + _PICTURE, y + _SIZE + line_number * _LINE)
            pen.text(at, line, Letters(size=_SIZE, token="ink2"))
        low = max(low, len(lines) * _LINE)
    return y + low + 4.0 - corner[1]


def _picture(pen: Pen, word: str, corner: tuple[float, float]) -> None:
    x, y = corner
    if word == "Mist":
        for step, high in ((0.0, 9.0), (15.0, 14.0)):
            pen.box((x + step, y + 20.0 - high), (13.0, high), token="mist")
            pen.line(
                (x + step, y + 17.0 - high),
                (x + step + 13.0, y + 17.0 - high),
                token="mist-ink",
                width=1.6,
            )
    elif word == "Direct light":
        pen.line((x + 1.3, y), (x + 1.3, y + 20.0), token="light", width=2.6)
        for step in (9.0, 18.0, 27.0):
            pen.line((x + step + 3.0, y), (x + step - 7.0, y + 20.0), token="light", width=2.2)
    elif word == "Leaf":
        pen.add(leaf_shape((x + 6.0, y), lean_deg=0.0, ink=pen.paint("ink")))
        pen.add(leaf_shape((x + 20.0, y), lean_deg=26.0, ink=pen.paint("ink")))
    else:
        pen.path([(x + 2, y + 20), (x + 2, y + 2), (x + 20, y + 2), (x + 20, y + 20)], width=3.0)
        pen.line((x + 20, y + 2), (x + 30, y + 2), width=3.0, dash="3 4")
