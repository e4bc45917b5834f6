"""A field of a plan: metres to pixels, strokes cut at its edge, hatched ground, a scale."""

import math
from collections.abc import Sequence
from itertools import pairwise

from shivelight.drawing.svg import Letters, Pen
from shivelight.scene.elements import ClosedGround

Place = tuple[float, float]
HATCH_PX = 9.0
_NAMED_FROM_PX = 40.0
_SCALES_M = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0)


class Field:
    """One field of a plan; ahead is up and both ways have one scale.

    Parameters
    ----------
    pen : Pen
        What draws.
    corner, size : (float, float)
        Of the field on the drawing. [px]
    low, high : (float, float)
        What must be shown, right and ahead of the mark; it is set in the middle. [m]
    """

    def __init__(self, pen: Pen, corner: Place, size: Place, *, low: Place, high: Place) -> None:
        self.pen, self.corner, self.size = pen, corner, size
        wide, tall = max(high[0] - low[0], 1e-3), max(high[1] - low[1], 1e-3)
        self.px_per_m = min(size[0] / wide, size[1] / tall)
        self.middle = ((low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0)

    @property
    def end(self) -> Place:
        """Its lower right corner. [px]."""
        return (self.corner[0] + self.size[0], self.corner[1] + self.size[1])

    def xy(self, place: Place) -> Place:
        """Where a place of the ground lies on the drawing."""
        x = self.corner[0] + self.size[0] / 2.0 + (place[0] - self.middle[0]) * self.px_per_m
        y = self.corner[1] + self.size[1] / 2.0 - (place[1] - self.middle[1]) * self.px_per_m
        return x, y

    def holds(self, at: Place, room: float = 0.0) -> bool:
        """Whether a place of the drawing lies in the field, with room round it."""
        (left, top), (right, foot) = self.corner, self.end
        return left + room <= at[0] <= right - room and top + room <= at[1] <= foot - room

    def line(self, start: Place, end: Place, **look: object) -> None:
        """Draw a straight stroke between places of the drawing, cut at the field's edge."""
        cut = self._cut(start, end)
        if cut is not None:
            self.pen.line(*cut, **look)  # type: ignore[arg-type]

    def ring(self, places: Sequence[Place], **look: object) -> None:
        """Draw a closed outline through places of the ground, cut at the field's edge."""
        points = [self.xy(one) for one in (*places, places[0])]
        if all(self.holds(one) for one in points):
            self.pen.path(points, **look)  # type: ignore[arg-type]
            return
        for start, end in pairwise(points):
            self.line(start, end, **look)

    def closed(self, ground: ClosedGround) -> None:
        """Hatch closed ground, where it is seen."""
        outline = list(ground.corners_m) or oval(ground.centre_m, (ground.radius_m,) * 4)
        self.ring(outline, token="ink", width=1.5)
        points = [self.xy(one) for one in outline]
        sums = [x + y for x, y in points]
        at = math.floor(min(sums) / HATCH_PX) * HATCH_PX
        low, high = sum(self.corner), sum(self.end)
        at = max(at, math.floor(low / HATCH_PX) * HATCH_PX)
        while at < min(max(sums), high):
            crossed = sorted(_crossings(points, at))
            for start, end in zip(crossed[::2], crossed[1::2], strict=False):
                self.line((start, at - start), (end, at - end), token="ink2", width=0.9)
            at += HATCH_PX

    def named(self, ground: ClosedGround) -> Place | None:
        """Where the name of closed ground may stand; None where too little of it is seen."""
        outline = list(ground.corners_m) or oval(ground.centre_m, (ground.radius_m,) * 4)
        inside = [at for at in map(self.xy, outline) if self.holds(at)]
        if not inside:
            return None
        xs, ys = zip(*inside, strict=True)
        if max(xs) - min(xs) < _NAMED_FROM_PX and max(ys) - min(ys) < _NAMED_FROM_PX:
            return None
        return (min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0

    def scale(self) -> None:
        """Draw a length to measure by, below the field at its right."""
        room = min(self.size[0] * 0.4, 200.0)
        metres = max(
            (one for one in _SCALES_M if one * self.px_per_m <= room), default=_SCALES_M[0]
        )
        right, y = self.end[0] - 2.0, self.end[1] + 14.0
        left = right - metres * self.px_per_m
        self.pen.path([(left, y - 5.0), (left, y), (right, y), (right, y - 5.0)], width=1.5)
        words = f"{metres * 100.0:.0f} cm" if metres < 1.0 else f"{metres:g} m"
        self.pen.text((left - 8.0, y + 3.0), words, Letters(size=14.5, anchor="end"))

    def _cut(self, start: Place, end: Place) -> tuple[Place, Place] | None:
        """Cut a stroke to the field (Liang and Barsky)."""
        way = (end[0] - start[0], end[1] - start[1])
        enter, leave = 0.0, 1.0
        for axis in (0, 1):
            for towards, room in (
                (-way[axis], start[axis] - self.corner[axis]),
                (way[axis], self.end[axis] - start[axis]),
            ):
                if towards == 0.0 and room < 0.0:
                    return None
                if towards < 0.0:
                    enter = max(enter, room / towards)
                elif towards > 0.0:
                    leave = min(leave, room / towards)
        if enter >= leave:
            return None
        first, last = (
            (start[0] + share * way[0], start[1] + share * way[1]) for share in (enter, leave)
        )
        return first, last


def oval(centre: Place, reach: tuple[float, float, float, float], count: int = 48) -> list[Place]:
    """Points of an oval that reaches so far left, right, back and forward of its centre."""
    left, right, back, forward = reach
    points = []
    for number in range(count):
        turn = 2.0 * math.pi * number / count
        x, y = math.sin(turn), math.cos(turn)
        wide, tall = (right if x > 0.0 else left), (forward if y > 0.0 else back)
        points.append((centre[0] + wide * x, centre[1] + tall * y))
    return points


def _crossings(points: Sequence[Place], total: float) -> list[float]:
    """Places x at which an outline crosses the line x + y = total."""
    found = []
    for (x, y), (to_x, to_y) in pairwise([*points, points[0]]):
        off, to_off = x + y - total, to_x + to_y - total
        if (off < 0.0) != (to_off < 0.0):
            found.append(x + (to_x - x) * off / (off - to_off))
    return found
