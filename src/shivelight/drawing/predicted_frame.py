"""The frame as it will be from a place: trunks in their tone, gaps above, names below.

Outlines are exact silhouettes of leaning trunks and branches under the given camera, but for a
little flare at the foot. Tones follow the paced optical range and are rough. Quick enough to be
drawn anew for each place as the lens moves.
"""

import io
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.drawing.fit import width_px
from shivelight.drawing.frame_shapes import (
    Outline,
    ground_bands,
    hole_outline,
    segment_outline,
    trunk_outline,
    view_of,
)
from shivelight.drawing.predicted_words import frame_sentence
from shivelight.drawing.svg import Letters, Pen, Points
from shivelight.scene.camera import Camera
from shivelight.scene.elements import Role, Survey
from shivelight.scene.raycast import LowSun, cast, require_outside

__all__ = ["FrameWish", "predicted_frame_png", "predicted_frame_svg"]

_TOP_PX, _FOOT_PX, _ROW_PX, _ROWS = 62.0, 64.0, 18.0, 3
_GAMMA = 2.2
_EVEN_SKY = 0.85
"""Where the even sky stands on a screen; what is brighter is pressed into the rest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameWish:
    """Where the subject should stand, and the border to keep clear.

    Attributes
    ----------
    u_frac, v_frac : float
        Wished place of the subject's middle, in widths from the middle of the frame.
    tolerance_frac : float
        How far off it may be, in widths; 0 for no wish.
    border_frac : float
        Width of the border band, of the frame's long side; 0 for none.
    """

    u_frac: float = 0.0
    v_frac: float = 0.0
    tolerance_frac: float = 0.0
    border_frac: float = 0.0


def predicted_frame_svg(
    survey: Survey,
    camera: Camera,
    *,
    gaps: Sequence[tuple[str, str, float]] = (),
    mist_range_m: float | None = None,
    wish: FrameWish | None = None,
    style: str = "page",
) -> str:
    """Draw the frame that a camera will take in.

    Parameters
    ----------
    survey : Survey
        What stands there.
    camera : Camera
        From where, and how turned; with no distortion (a drawing leaves it out).
    gaps : sequence of (str, str, float)
        Left and right of each pair and the air between them; below 0 they overlap. [°]
    mist_range_m : float, optional
        Paced optical range; left out for clear air. [m]
    wish : FrameWish, optional
        Place of the subject and the border.
    style : {"paper", "dim", "print", "page", "narrow"}
        Colours and width; "narrow" is for a phone, "print" for a face of the folded sheet.

    Returns
    -------
    str
        One ``<svg>`` element.

    Raises
    ------
    BadInputError
        If the lens would be in the ground or in a trunk.
    """
    require_outside(survey, camera)
    drawing = _Frame(camera, style, mist_range_m)
    drawing.scene(survey)
    drawing.wish(wish or FrameWish(), survey)
    drawing.gaps(gaps)
    drawing.names()
    sentence = frame_sentence(gaps, mist_range_m=mist_range_m, cut=drawing.cut_off(survey))
    size = (drawing.width, drawing.bottom + drawing.foot)
    return drawing.pen.figure(size, title="The frame from here", sentence=sentence)


def predicted_frame_png(
    survey: Survey,
    camera: Camera,
    *,
    size: tuple[int, int] = (640, 426),
    mist_range_m: float | None = None,
    sun: LowSun | None = None,
) -> bytes:
    """Make a grey picture of the frame with the ray-caster, for looking at, not for measuring.

    Parameters
    ----------
    survey, camera, size, mist_range_m, sun
        As :func:`shivelight.scene.raycast.cast` takes them.

    Returns
    -------
    bytes
        A PNG. Tones are pressed together at the bright end and written for a screen.
    """
    from PIL import Image  # noqa: PLC0415  wanted only when a picture is made

    seen = cast(survey, camera, size=size, mist_range_m=mist_range_m, sun=sun, flare_frac=0.3)
    over = np.maximum(seen.tone - 1.0, 0.0) * _EVEN_SKY / (1.0 - _EVEN_SKY)
    shown = _EVEN_SKY * np.minimum(seen.tone, 1.0) + (1.0 - _EVEN_SKY) * (1.0 - np.exp(-over))
    grey = np.round(255.0 * shown ** (1.0 / _GAMMA)).astype(np.uint8)
    held = io.BytesIO()
    Image.fromarray(grey).save(held, format="PNG", optimize=True)
    return held.getvalue()


class _Frame:
    """Draws the parts of one frame; x and y of the picture follow from u and v."""

    def __init__(self, camera: Camera, style: str, mist_range_m: float | None) -> None:
        self.pen, self.camera, self.range_m = Pen(style), camera, mist_range_m
        self.width = {"narrow": 358.0, "print": 240.0}.get(style, 448.0)
        self.left = 2.0
        self.across = self.width - 4.0
        self.most_rows = 2 if style == "print" else _ROWS
        spared = (_ROWS - self.most_rows) * _ROW_PX
        self.top, self.foot = _TOP_PX - spared, _FOOT_PX - spared
        self.bottom = self.top + self.across * 2.0 * camera.half_height
        self.outlines: list[Outline] = []

    def xy(self, uv: FloatArray) -> list[tuple[float, float]]:
        """Turn places on the frame into places on the drawing."""
        x = self.left + (uv[:, 0] + 0.5) * self.across
        y = self.top + (uv[:, 1] + self.camera.half_height) * self.across
        return list(zip(x.tolist(), y.tolist(), strict=True))

    def contrast(self, distance_m: float) -> float:
        """Contrast left by the mist; in clear air far things still pale a little."""
        return float(0.05 ** (distance_m / (self.range_m or 2_000.0)))

    def scene(self, survey: Survey) -> None:
        """Draw air, ground, holes, then trunks and branches from far to near."""
        pen, half, view = self.pen, self.camera.half_height, view_of(self.camera)
        corner, size = (self.left, self.top), (self.across, self.bottom - self.top)
        pen.box(corner, size, token="sheet")
        for band, distance_m in ground_bands(view, survey.slope):
            shape = _clipped(self.xy(band), corner, (self.left + self.across, self.bottom))
            if shape:
                fade = round(0.15 + 0.6 * self.contrast(distance_m), 2)
                pen.area(shape, token="shade", opacity=fade)
        outlines = [hole_outline(one, view) for one in survey.holes]
        outlines += [segment_outline(one, view) for one in survey.segments]
        outlines += [trunk_outline(one, view, slope=survey.slope) for one in survey.trunks]
        seen = [one for one in outlines if one is not None and one.meets(0.5, half)]
        self.outlines = sorted(seen, key=lambda one: -one.distance_m)
        roles = {one.name: one.role for one in survey.trunks}
        roles |= {one.name: one.role for one in survey.segments}
        for one in self.outlines:
            shape = _clipped(self.xy(one.uv), corner, (self.left + self.across, self.bottom))
            if shape:
                self.piece(one, shape, roles.get(one.name))
        edge = [corner, (self.left + self.across, self.top)]
        edge += [(self.left + self.across, self.bottom), (self.left, self.bottom), corner]
        pen.path(edge, width=1.5)

    def piece(self, one: Outline, shape: Points, role: Role | None) -> None:
        """Draw one thing in its tone; a hole is air with an edge, an intruder is dashed."""
        pen, ring = self.pen, [*shape, shape[0]]
        if role is None:
            pen.area(shape, token="air")
            pen.path(ring, token="edge", width=1.4, dash="2 3")
            return
        left = self.contrast(one.distance_m)
        pen.area(shape, token="sheet")
        pen.area(shape, token="bark", opacity=round(max(left, 0.04), 2))
        dash = "5 3" if role is Role.INTRUDER else ""
        heavy = 2.4 if role is Role.SUBJECT else 1.0
        pen.path(ring, token="edge", width=heavy, dash=dash, opacity=round(max(left, 0.25), 2))

    def wish(self, wish: FrameWish, survey: Survey) -> None:
        """Draw the border band as a broken line, and the subject's place as a ring."""
        band = wish.border_frac * self.across
        if band > 0.0:
            low, high = self.left + band, self.left + self.across - band
            top, foot = self.top + band, self.bottom - band
            ring = [(low, top), (high, top), (high, foot), (low, foot), (low, top)]
            self.pen.path(ring, token="ink2", dash="3 4")
        if wish.tolerance_frac > 0.0 and survey.subject is not None:
            turn = np.linspace(0.0, 2.0 * np.pi, 25)
            place = np.array([wish.u_frac, wish.v_frac])
            ring_uv = place + wish.tolerance_frac * np.stack([np.cos(turn), np.sin(turn)], axis=1)
            ring_xy = self.xy(ring_uv)
            self.pen.path(ring_xy, token="sheet", width=4.0)
            self.pen.path(ring_xy, token="light", width=1.8, dash="6 3")

    def gaps(self, gaps: Sequence[tuple[str, str, float]]) -> None:
        """Write each gap above the place between its two; a cross and "closed" for an overlap."""
        by_name = {one.name: one for one in self.outlines}
        smallest = min((gap for _, _, gap in gaps), default=math.nan)
        words = []
        for left, right, gap in gaps:
            if left in by_name and right in by_name and gap < math.inf:
                u = (by_name[left].right_u + by_name[right].left_u) / 2.0
                said = "closed" if gap < 0.0 else f"{gap:.2f}°" if gap < 1.0 else f"{gap:.1f}°"
                words.append((u, said, gap < 0.0 or gap == smallest))
        for x, row, said, is_bold in self.rows(words):
            y = self.top - 12.0 - row * _ROW_PX
            look = Letters(size=14.5, bold=is_bold, anchor="middle")
            at = self.left + (x[0] + 0.5) * self.across
            if said == "closed":
                for rise in (-1.0, 1.0):
                    end = (at + 5.0, self.top - 5.0 + rise * 4.0)
                    self.pen.line((at - 5.0, self.top - 5.0 - rise * 4.0), end, width=2.4)
            else:
                self.pen.line((at, y + 3.0), (at, self.top + 10.0), token="light", width=2.0)
            self.pen.text((x[1], y), said, look)

    def names(self) -> None:
        """Write names below, in rows where they would touch."""
        wood = [one for one in self.outlines if one.is_wood]
        for x, row, said, is_bold in self.rows([(one.middle_u, one.name, False) for one in wood]):
            y = self.bottom + 20.0 + row * _ROW_PX
            at = self.left + (x[0] + 0.5) * self.across
            self.pen.line((at, self.bottom), (at, y - 12.0), width=1.4)
            self.pen.text((x[1], y), said, Letters(size=14.5, bold=is_bold, anchor="middle"))

    def rows(
        self, words: Sequence[tuple[float, str, bool]]
    ) -> list[tuple[tuple[float, float], int, str, bool]]:
        """Lay words out in a few rows by where they belong; what finds no room is left out."""
        ends, laid = [-math.inf] * self.most_rows, []
        for u, said, is_bold in sorted(words):
            if abs(u) > 0.5:
                continue
            half = width_px(said, size_px=14.5, face="field-700") / 2.0
            at = self.left + (u + 0.5) * self.across
            x = min(max(at, self.left + half), self.left + self.across - half)
            row = next((row for row in range(self.most_rows) if x - half > ends[row] + 4.0), None)
            if row is not None:
                ends[row] = x + half
                laid.append(((u, x), row, said, is_bold))
        return laid

    def cut_off(self, survey: Survey) -> tuple[str, ...]:
        """Names of surveyed wood that this frame does not show at all."""
        shown = {one.name for one in self.outlines}
        wood: tuple[str, ...] = tuple(one.name for one in survey.trunks)
        return tuple(name for name in wood if name not in shown)


def _clipped(
    points: Sequence[tuple[float, float]], low: tuple[float, float], high: tuple[float, float]
) -> list[tuple[float, float]]:
    """Cut a convex outline to a rectangle."""
    kept = list(points)
    for axis in (0, 1):
        for limit, sign in ((low[axis], 1.0), (high[axis], -1.0)):
            kept = _cut(kept, axis, limit=limit, sign=sign)
    return kept


def _cut(
    points: list[tuple[float, float]], axis: int, *, limit: float, sign: float
) -> list[tuple[float, float]]:
    kept: list[tuple[float, float]] = []
    for here, there in zip(points, points[1:] + points[:1], strict=True):
        inside, after = (sign * (one[axis] - limit) >= 0.0 for one in (here, there))
        if inside:
            kept.append(here)
        if inside != after:
            share = (limit - here[axis]) / (there[axis] - here[axis])
            kept.append(
                (here[0] + share * (there[0] - here[0]), here[1] + share * (there[1] - here[1]))
            )
    return kept
