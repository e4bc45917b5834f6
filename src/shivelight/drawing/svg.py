"""A small pen for SVG: shapes, text and paint by token, numbers kept short."""

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from shivelight.drawing.fit import width_px
from shivelight.drawing.tokens import THEMES

STYLES = ("paper", "dim", "print", "narrow", "page")
"""Colours written out ("paper", "dim", "print"), or left to the page ("narrow", "page")."""
Points = Sequence[tuple[float, float]]


def short(number: float) -> str:
    """Write a coordinate to a tenth, without trailing noughts or a negative nought."""
    text = f"{number:.1f}"
    if text.endswith(".0"):
        text = text[:-2]
    return "0" if text == "-0" else text


@dataclass(frozen=True, slots=True, kw_only=True)
class Letters:
    """How words in a figure look; ``plate`` is the token laid behind them, empty for none."""

    size: float = 15.0
    token: str = "ink"
    anchor: str = "start"
    bold: bool = False
    plate: str = ""


class Pen:
    """Collects the parts of one figure.

    Parameters
    ----------
    style : str
        One of :data:`STYLES`.
    """

    def __init__(self, style: str) -> None:
        self.style = style
        self._colours = THEMES.get(style)
        self._parts: list[str] = []

    @property
    def is_print(self) -> bool:
        """Whether it is drawn for paper."""
        return self.style == "print"

    def paint(self, token: str) -> str:
        """Colour of a token: written out, or the page's own variable."""
        return f"var(--{token})" if self._colours is None else self._colours[token]

    def add(self, raw: str) -> None:
        """Add ready-made SVG."""
        self._parts.append(raw)

    def line(
        self,
        start: tuple[float, float],
        end: tuple[float, float],
        *,
        token: str = "ink",
        width: float = 1.0,
        dash: str = "",
        opacity: float = 1.0,
    ) -> None:
        """Draw a straight stroke."""
        self.add(
            f'<path d="M{short(start[0])} {short(start[1])}L{short(end[0])} {short(end[1])}"'
            f"{self._stroke(token, width, dash, opacity)}/>"
        )

    def path(
        self,
        points: Points,
        *,
        token: str = "ink",
        width: float = 1.0,
        dash: str = "",
        opacity: float = 1.0,
    ) -> None:
        """Draw a broken line through points."""
        self.add(f'<path d="{_route(points)}"{self._stroke(token, width, dash, opacity)}/>')

    def area(self, *shapes: Points, token: str, opacity: float = 1.0) -> None:
        """Fill polygons, all with the same paint."""
        if not shapes:
            return
        fade = "" if opacity >= 1.0 else f' opacity="{opacity:g}"'
        route = "".join(f"{_route(points)}Z" for points in shapes)
        self.add(f'<path d="{route}" fill="{self.paint(token)}"{fade}/>')

    def box(
        self,
        corner: tuple[float, float],
        size: tuple[float, float],
        *,
        token: str,
        opacity: float = 1.0,
        fill: str = "",
    ) -> None:
        """Fill an upright rectangle; ``fill`` overrides the token (a gradient)."""
        if size[0] <= 0.0 or size[1] <= 0.0:
            return
        fade = "" if opacity >= 1.0 else f' opacity="{opacity:g}"'
        self.add(
            f'<rect x="{short(corner[0])}" y="{short(corner[1])}" width="{short(size[0])}" '
            f'height="{short(size[1])}" fill="{fill or self.paint(token)}"{fade}/>'
        )

    def ring(
        self,
        centre: tuple[float, float],
        radius: float,
        *,
        token: str,
        filled: bool = True,
        ground: str = "sheet",
    ) -> None:
        """Draw a bead, full or open."""
        inside = self.paint(token) if filled else self.paint(ground)
        self.add(
            f'<circle cx="{short(centre[0])}" cy="{short(centre[1])}" r="{short(radius)}" '
            f'fill="{inside}" stroke="{self.paint(token)}" stroke-width="1.3"/>'
        )

    def text(self, at: tuple[float, float], words: str, look: "Letters | None" = None) -> None:
        """Write words; a plate in a ground colour keeps them readable over strokes."""
        looks = look or Letters()
        if looks.plate:
            face = "field-700" if looks.bold else "field-400"
            wide = width_px(words, size_px=looks.size, face=face)
            left = at[0] - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[looks.anchor]
            corner = (left - 3.0, at[1] - looks.size * 0.84)
            self.box(corner, (wide + 6.0, looks.size * 1.14), token=looks.plate)
        weight = ' font-weight="700"' if looks.bold else ""
        place = "" if looks.anchor == "start" else f' text-anchor="{looks.anchor}"'
        self.add(
            f'<text x="{short(at[0])}" y="{short(at[1])}" font-size="{short(looks.size)}"'
            f'{weight}{place} fill="{self.paint(looks.token)}">{escape(words)}</text>'
        )

    @property
    def shapes(self) -> str:
        """Everything drawn so far."""
        return "".join(self._parts)

    def figure(self, size: tuple[float, float], *, title: str, sentence: str) -> str:
        """Close the figure: an image with a title and a sentence for readers of screens."""
        width, height = short(size[0]), short(size[1])
        ground = ""
        if self._colours is not None:  # stands alone: whatever page it is laid on, it reads
            colour = self._colours["ground"]
            ground = f'<rect width="{width}" height="{height}" fill="{colour}"/>'
        name = escape(title, quote=True)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" '
            f'width="{width}" height="{height}" role="img" aria-label="{name}" '
            f'font-family="Field, sans-serif">'
            f"<title>{escape(title)}</title><desc>{escape(sentence)}</desc>"
            f"{ground}{self.shapes}</svg>"
        )

    def _stroke(self, token: str, width: float, dash: str, opacity: float) -> str:
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        fade = "" if opacity >= 1.0 else f' opacity="{opacity:.2f}"'
        return f' fill="none" stroke="{self.paint(token)}" stroke-width="{width:g}"{dashes}{fade}'


def clip_to_band(points: Points, low: float, high: float) -> list[tuple[float, float]]:
    """Cut a convex polygon to the upright band between two x; empty when nothing is left."""
    return _cut(_cut(list(points), low, keep_right=True), high, keep_right=False)


def _cut(
    points: list[tuple[float, float]], edge: float, *, keep_right: bool
) -> list[tuple[float, float]]:
    def inside(point: tuple[float, float]) -> bool:
        return point[0] >= edge if keep_right else point[0] <= edge

    kept: list[tuple[float, float]] = []
    for here, there in zip(points, points[1:] + points[:1], strict=True):
        if inside(here):
            kept.append(here)
        if inside(here) != inside(there):
            share = (edge - here[0]) / (there[0] - here[0])
            kept.append((edge, here[1] + share * (there[1] - here[1])))
    return kept


def _route(points: Points) -> str:
    return "M" + "L".join(f"{short(x)} {short(y)}" for x, y in points)
