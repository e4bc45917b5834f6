"""The skyline as it is being typed: a roll that a script draws on, and the scale for it."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.drawing.roll import Roll
from shivelight.drawing.roll_scale import RollScale, SunPath, scale_of
from shivelight.drawing.svg import Pen

WIDEST_GAP_DEG = 45.0
"""Typed heights farther apart are not joined: ``land.skyline`` knows nothing between them."""
LOWEST_TOP_DEG = 30.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sketch:
    """A drawing for the page and one for the phone.

    Attributes
    ----------
    page, phone : str
        SVG; the typed line is the one group of class "typed".
    page_scale, phone_scale : RollScale
        Where bearings and heights lie on them.
    """

    page: str
    phone: str
    page_scale: RollScale
    phone_scale: RollScale


def skyline_sketch(
    worked_deg: FloatArray | None,
    typed: Sequence[tuple[float, float]],
    *,
    path: SunPath,
    frame_deg: tuple[float, float],
    zone_name: str,
) -> Sketch:
    """Draw the worked-out skyline as ground, and the typed heights as a line over it.

    Parameters
    ----------
    worked_deg : ndarray, shape (N,), or None
        Worked out from a raster; None where it was not. [°]
    typed : sequence of (azimuth_deg, altitude_deg)
        By bearing. [°]
    path : SunPath
        One date, for where the sun comes.
    frame_deg : (float, float)
        Bearing and width of the frame. [°]
    zone_name : str
        Clock of the beads.
    """
    drawn = [
        _draw(worked_deg, typed, path=path, frame_deg=frame_deg, zone_name=zone_name, style=style)
        for style in ("page", "narrow")
    ]
    (page, page_scale), (phone, phone_scale) = drawn
    return Sketch(page=page, phone=phone, page_scale=page_scale, phone_scale=phone_scale)


def _draw(
    worked_deg: FloatArray | None,
    typed: Sequence[tuple[float, float]],
    *,
    path: SunPath,
    frame_deg: tuple[float, float],
    zone_name: str,
    style: str,
) -> tuple[str, RollScale]:
    heights = np.array([height for _, height in typed] or [0.0])
    known = heights if worked_deg is None else np.concatenate([heights, worked_deg])
    scale = scale_of(
        known,
        (path,),
        narrow=style == "narrow",
        frame_deg=(frame_deg[0], 360.0),  # any bearing can be typed, so the phone too has them all
        lowest_top_deg=LOWEST_TOP_DEG,
    )
    roll = Roll(scale, (path,), style=style, zone_name=zone_name)
    roll.frame(*frame_deg)
    roll.grid()
    if worked_deg is not None:
        roll.ground(worked_deg)
    roll.path(path, heavy=True)
    roll.pen.add('<g class="typed">')
    draw_typed(roll.pen, scale, typed)
    roll.pen.add("</g>")
    words = f"{len(typed)} typed heights" if typed else "No typed heights"
    return roll.finish((), frame_deg[0], title=f"Skyline: {words}", sentence=f"{words}."), scale


def draw_typed(pen: Pen, scale: RollScale, typed: Sequence[tuple[float, float]]) -> None:
    """Draw the typed line over whatever is beneath, and a bead at each height."""
    points = sorted((scale.turn_deg(azimuth), height) for azimuth, height in typed)
    for low, high in _pairs(points):
        line = [(scale.x_of(low[0]), scale.y(low[1])), (scale.x_of(high[0]), scale.y(high[1]))]
        pen.path(line, token="sheet", width=6.0)
        pen.path(line, token="ink", width=2.6)
    for turn, height in points:
        pen.ring((scale.x_of(turn), scale.y(height)), 3.6, token="ink")


def _pairs(
    points: list[tuple[float, float]],
) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Neighbours near enough to be joined, over the cut in two parts."""
    if len(points) < 2:
        return []
    made = [(low, high) for low, high in pairwise(points) if high[0] - low[0] <= WIDEST_GAP_DEG]
    first, last = points[0], points[-1]
    gap = first[0] + 360.0 - last[0]
    if 0.0 < gap <= WIDEST_GAP_DEG:
        at_cut = last[1] + (first[1] - last[1]) * (360.0 - last[0]) / gap
        made += [(last, (360.0, at_cut)), ((0.0, at_cut), first)]
    return made
