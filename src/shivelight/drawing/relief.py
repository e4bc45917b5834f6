"""The relief picture: shaded ground as a PNG, and what is drawn over it as SVG."""

import base64
import io
import math
from dataclasses import dataclass, field

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.basis.places import Position
from shivelight.drawing.fit import width_px
from shivelight.drawing.svg import Letters, Pen, Points
from shivelight.land.contours import Contour
from shivelight.land.square import GroundSquare, pixels_at

DARKEST, BRIGHTEST = 116, 246
"""Greys of ground turned away from every lamp, and of full light; level ground lies between, so
that a stroke in ink has three to one on every tone. A judgement."""
LABEL_PX = 15.0
_STEPS = tuple(step * 10.0**power for power in range(5) for step in (1.0, 2.0, 5.0))


def relief_png(shade_frac: FloatArray, *, side_px: int) -> bytes:
    """Write shade as an 8 bit grey picture with transparency.

    Parameters
    ----------
    shade_frac : ndarray of float64, shape (N, N)
        0 to 1; NaN becomes transparent.
    side_px : int
        Side of the picture; the shade is drawn out to it smoothly.

    Returns
    -------
    bytes
        A PNG file without any metadata.
    """
    from PIL import Image  # noqa: PLC0415  wanted only when a picture is made

    known = np.isfinite(shade_frac)
    tone = DARKEST + (BRIGHTEST - DARKEST) * np.where(known, shade_frac, 0.5)
    grey = Image.fromarray(np.round(tone).astype(np.uint8))
    clear = Image.fromarray(np.where(known, 255, 0).astype(np.uint8))
    if grey.size != (side_px, side_px):
        grey = grey.resize((side_px, side_px), Image.Resampling.BICUBIC)
        clear = clear.resize((side_px, side_px), Image.Resampling.NEAREST)
    held = io.BytesIO()
    # Level 4 takes a fifth of the time of the usual 6, for 7 bytes more in 100 (measured, 720 px).
    Image.merge("LA", (grey, clear)).save(held, format="PNG", compress_level=4)
    return held.getvalue()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ReliefMarks:
    """What is drawn over a square of ground.

    Attributes
    ----------
    title : str
        Name of the picture.
    outline : tuple of (latitude_deg, longitude_deg)
        Corners, not closed; fewer than three are drawn as they stand. [°]
    parking : Position or None
        Where the car stands.
    spots : tuple of (str, Position)
        Names and places.
    editing : str
        "outline", "parking" or a spot's name: what is being placed, in copper; else empty.
    contours : tuple of Contour
        In the picture's pixels.
    interval_m : float or None
        Between contours; None for a plain grid of metres. [m]
    """

    title: str
    outline: tuple[tuple[float, float], ...] = ()
    parking: Position | None = None
    spots: tuple[tuple[str, Position], ...] = ()
    editing: str = ""
    contours: tuple[Contour, ...] = field(default=(), repr=False)
    interval_m: float | None = None


def relief_overlay_svg(
    square: GroundSquare,
    marks: ReliefMarks,
    *,
    sentence: str,
    style: str = "page",
    picture: bytes | None = None,
) -> str:
    """Draw contours, outline, parking, spots, a scale and true north over a square of ground.

    Parameters
    ----------
    square : GroundSquare
        What is shown.
    marks : ReliefMarks
        What is drawn.
    sentence : str
        The picture in words.
    style : {"page", "paper", "dim", "print"}
        Colours; "page" leaves the ground clear, to lie over the PNG.
    picture : bytes, optional
        A PNG to hold inside, for a drawing that stands alone.

    Returns
    -------
    str
        One ``<svg>`` element, ``side_px`` units each way.
    """
    sheet = _Sheet(square, style)
    if picture is not None:
        held = base64.b64encode(picture).decode("ascii")
        side = square.side_px
        sheet.pen.add(
            f'<image width="{side}" height="{side}" href="data:image/png;base64,{held}"/>'
        )
    step_m = scale_step_m(square)
    sheet.grid(step_m, plain=marks.interval_m is None)
    if marks.interval_m is not None:
        sheet.contours(marks.contours, marks.interval_m)
    sheet.outline(marks.outline, editing=marks.editing == "outline")
    sheet.scale(step_m)
    sheet.north()
    for name, place in marks.spots:
        sheet.upright(place, name, tall=26.0, copper=marks.editing == name)
    if marks.parking is not None:
        copper = marks.editing == "parking"
        sheet.upright(marks.parking, "parking", tall=15.0, copper=copper)
    sheet.heights()
    return sheet.pen.figure(
        (float(square.side_px), float(square.side_px)), title=marks.title, sentence=sentence
    )


def scale_step_m(square: GroundSquare) -> float:
    """Round length (1, 2 or 5 by tens) of the scale, at most a quarter of the side. [m]."""
    quarter_m = square.radius_m / 2.0
    return max((step for step in _STEPS if step <= quarter_m), default=1.0)


class _Sheet:
    """The pen over one square, and what room is taken."""

    def __init__(self, square: GroundSquare, style: str) -> None:
        self.square = square
        self.side = float(square.side_px)
        self.pen = Pen(style)
        self.taken: list[tuple[float, float, float, float]] = []
        self.named: tuple[Contour, ...] = ()

    def at(self, place: Position) -> tuple[float, float]:
        x, y = pixels_at(self.square, place.latitude_deg, longitude_deg=place.longitude_deg)
        return float(x), float(y)

    def grid(self, step_m: float, *, plain: bool) -> None:
        """Ticks at the edges every step from the centre; whole lines on plain ground."""
        count = math.floor(self.square.radius_m / step_m)
        for number in range(-count, count + 1):
            at = self.side / 2.0 + number * step_m / self.square.pixel_m
            if plain:
                wide = 2.0 if number == 0 else 1.0
                self.pen.line((at, 0.0), (at, self.side), token="line", width=wide)
                self.pen.line((0.0, at), (self.side, at), token="line", width=wide)
            for low, high in ((0.0, 8.0), (self.side - 8.0, self.side)):
                self.pen.line((at, low), (at, high), token="edge", width=1.3)
                self.pen.line((low, at), (high, at), token="edge", width=1.3)

    def contours(self, lines: tuple[Contour, ...], interval_m: float) -> None:
        """Strokes, every fifth heavier; the longest of each level to be named says its height."""
        few = len({line.level_m for line in lines}) <= 6
        longest: dict[float, Contour] = {}
        for line in lines:
            heavy = round(line.level_m / interval_m) % 5 == 0
            points = list(zip(line.x_px.tolist(), line.y_px.tolist(), strict=True))
            self.pen.path(
                points, token="ink2", width=1.4 if heavy else 0.8, opacity=0.75 if heavy else 0.5
            )
            known = longest.get(line.level_m)
            if (few or heavy) and (known is None or line.x_px.size > known.x_px.size):
                longest[line.level_m] = line
        self.named = tuple(longest.values())

    def heights(self) -> None:
        """Write the heights of contours where nothing else stands."""
        for line in self.named:
            self._height(line)

    def _height(self, line: Contour) -> None:
        if line.x_px.size < 24:
            return
        words = f"{line.level_m:g} m"
        half = width_px(words, size_px=LABEL_PX) / 2.0 + 4.0
        for share in (0.5, 0.35, 0.65, 0.2, 0.8):
            middle = int((line.x_px.size - 1) * share)
            x, y = float(line.x_px[middle]), float(line.y_px[middle])
            box = (x - half, y - 10.0, x + half, y + 10.0)
            if self._is_free(box):
                self.taken.append(box)
                look = Letters(size=LABEL_PX, token="ink2", anchor="middle", plate="sheet")
                self.pen.text((x, y + 5.0), words, look)
                return

    def outline(self, corners: tuple[tuple[float, float], ...], *, editing: bool) -> None:
        """Edge of the wood, on a pale casing so that it reads over any shade."""
        if not corners:
            return
        x, y = pixels_at(
            self.square, [one[0] for one in corners], longitude_deg=[one[1] for one in corners]
        )
        points: Points = list(zip(x.tolist(), y.tolist(), strict=True))
        self.taken += [(a - 8.0, b - 8.0, a + 8.0, b + 8.0) for a, b in points]
        edge = [*points, points[0]] if len(points) > 2 else points
        if len(edge) > 1:
            self.pen.path(edge, token="sheet", width=6.0, opacity=0.8)
            self.pen.path(edge, token="light" if editing else "ink", width=2.6)
        if editing:
            for point in points:
                self.pen.ring(point, 5.0, token="light", filled=False)

    def upright(self, place: Position, name: str, *, tall: float, copper: bool) -> None:
        """Draw a trunk whose foot is the place, and its name beside it where there is room."""
        x, y = self.at(place)
        if not (0.0 <= x <= self.side and 0.0 <= y <= self.side):
            return
        token = "light" if copper else "bark"
        self.pen.area(_trunk(x, y + 1.6, tall + 3.2, 4.6), token="sheet", opacity=0.85)
        self.pen.area(_trunk(x, y, tall, 3.0), token=token)
        self.taken.append((x - 5.0, y - tall, x + 5.0, y + 3.0))
        wide = width_px(name, size_px=LABEL_PX, face="field-700" if copper else "field-400") + 8.0
        ink = "light-ink" if copper else "ink"
        spots = (
            (x + 9.0, y - 4.0, "start"), (x - 9.0, y - 4.0, "end"),
            (x + 9.0, y + 14.0, "start"), (x - 9.0, y + 14.0, "end"),
            (x + 9.0, y - 22.0, "start"), (x - 9.0, y - 22.0, "end"),
        )  # fmt: skip
        boxes = [
            (left if side == "start" else left - wide, base - 13.0,
             left + wide if side == "start" else left, base + 5.0)
            for left, base, side in spots
        ]  # fmt: skip
        choice = next((n for n, box in enumerate(boxes) if self._is_free(box)), None)
        if choice is None:
            choice = 0 if boxes[0][2] <= self.side else 1
        self.taken.append(boxes[choice])
        left, base, side = spots[choice]
        look = Letters(size=LABEL_PX, token=ink, anchor=side, bold=copper, plate="sheet")
        self.pen.text((left, base), name, look)

    def scale(self, step_m: float) -> None:
        """Draw a length on the ground at the lower left."""
        long = step_m / self.square.pixel_m
        words = f"{step_m:,.0f} m" if step_m < 1000.0 else f"{step_m / 1000.0:g} km"
        wide = max(long, width_px(words, size_px=LABEL_PX)) + 16.0
        left, foot = 12.0, self.side - 14.0
        box = (left - 2.0, foot - 34.0, left + wide, foot + 6.0)
        self.pen.box((box[0], box[1]), (box[2] - box[0], box[3] - box[1]), token="sheet")
        start, end = (left + 6.0, foot - 4.0), (left + 6.0 + long, foot - 4.0)
        self.pen.line(start, end, width=3.0)
        for x in (start[0], end[0]):
            self.pen.line((x, foot - 12.0), (x, foot - 2.5), width=2.0)
        self.pen.text((start[0], foot - 18.0), words, Letters(size=LABEL_PX))
        self.taken.append(box)

    def north(self) -> None:
        """Draw a lance that points up, and say that it is true north."""
        words = "true north"
        wide = width_px(words, size_px=LABEL_PX) + 24.0
        box = (self.side - wide - 12.0, 12.0, self.side - 12.0, 42.0)
        self.pen.box((box[0], box[1]), (wide, 30.0), token="sheet")
        x = box[0] + 9.0
        self.pen.line((x, 38.0), (x, 20.0), width=2.0)
        self.pen.area([(x - 4.0, 25.0), (x, 15.0), (x + 4.0, 25.0)], token="ink")
        self.pen.text((x + 9.0, 32.0), words, Letters(size=LABEL_PX))
        self.taken.append(box)

    def _is_free(self, box: tuple[float, float, float, float]) -> bool:
        left, top, right, bottom = box
        if left < 0.0 or top < 0.0 or right > self.side or bottom > self.side:
            return False
        return all(
            right < one[0] or left > one[2] or bottom < one[1] or top > one[3]
            for one in self.taken
        )


def _trunk(x: float, foot: float, tall: float, half: float) -> Points:
    """Upright that tapers: wide at its foot."""
    return [
        (x - half, foot), (x - half * 0.55, foot - tall), (x + half * 0.55, foot - tall),
        (x + half, foot),
    ]  # fmt: skip
