"""The stand: a row of upright strokes under the head of a page, one lance falling. Ornament."""

from shivelight.drawing.svg import Pen

_WIDE_PX, _TALL_PX = 1200, 26


def stand_svg(*, lance: bool = True) -> str:
    """Draw the ornament, always the same, hidden from readers of screens.

    Parameters
    ----------
    lance : bool
        Whether the lance falls at the left; a page that lets it fall from its own name says no.
    """
    pen = Pen("page")
    seed = 7
    x = 2.0
    while x < _WIDE_PX:
        # A plain congruential sequence: the same wood on every sheet, no random module.
        seed = (seed * 1103515245 + 12345) % 2**31
        tall = 8 + seed // 65536 % 18
        fade = 0.3 + 0.6 * (seed // 1024 % 100) / 100
        wide = 1.0 + seed // 4096 % 4
        pen.line((x, _TALL_PX), (x, _TALL_PX - tall), width=wide, opacity=round(fade, 1))
        x += 6.0 + seed // 256 % 17
    if lance:
        pen.area([(222, 0), (230, 0), (206, 26), (196, 26)], token="light")
    pen.line((0, 25.2), (_WIDE_PX, 25.2), width=1.6)
    return (
        f'<svg class="stand" viewBox="0 0 {_WIDE_PX} {_TALL_PX}" '
        'preserveAspectRatio="xMinYMax slice" '
        f'aria-hidden="true">{pen.shapes}</svg>'
    )
