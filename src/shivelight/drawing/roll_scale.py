"""How a skyline roll lays bearings along and heights up, for a page and for a phone."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from shivelight.basis.angles import signed_difference_deg, wrap_deg
from shivelight.basis.arrays import BoolArray, FloatArray, UtcArray

WIDTH_PX, NARROW_PX = 928.0, 358.0
ABOVE_CHOSEN_DEG = 6.0
"""So much of the other dates' paths is drawn above the chosen one's; higher, they are cut."""
NARROW_MOST_DEG = 220.0
SPARE_DEG = 12.0
"""A narrow roll shows the chosen sun's way and the frame with this much on either side, where that
is at most :data:`NARROW_MOST_DEG` together; else the full turn."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SunPath:
    """The sun's way over one day.

    Attributes
    ----------
    label : str
        The date in words.
    utc : ndarray of datetime64, shape (N,)
        Instants, in order.
    azimuth_deg, altitude_deg : ndarray, shape (N,)
        True azimuth and apparent altitude. [°]
    """

    label: str
    utc: UtcArray
    azimuth_deg: FloatArray
    altitude_deg: FloatArray

    @property
    def is_up(self) -> BoolArray:
        """Where the sun is over the level horizon, or a degree under it at most."""
        return np.asarray(np.isfinite(self.altitude_deg) & (self.altitude_deg > -1.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class RollScale:
    """Edges of a roll in degrees and in pixels.

    Attributes
    ----------
    start_deg, span_deg : float
        Bearing at the left edge of the plot, and how far it turns to the right one. [°]
    top_deg : float
        Height at the top of the plot; its foot is a degree under the level horizon. [°]
    left_px, right_px, top_px, bottom_px, width_px : float
        Edges of the plot, and the width of the figure. [px]
    """

    start_deg: float
    span_deg: float
    top_deg: float
    left_px: float
    right_px: float
    top_px: float
    bottom_px: float
    width_px: float

    def turn_deg(self, azimuth_deg: float) -> float:
        """How far a bearing lies clockwise from the left edge, from 0 to 360. [°]."""
        return float(wrap_deg(azimuth_deg - self.start_deg))

    def x_of(self, turn_deg: float) -> float:
        """Place of a turn from the left edge [px]."""
        return self.left_px + turn_deg / self.span_deg * (self.right_px - self.left_px)

    def x(self, azimuth_deg: float) -> float:
        """Place of a bearing, beyond the right edge where it is not on the roll [px]."""
        return self.x_of(self.turn_deg(azimuth_deg))

    def azimuth_deg(self, x_px: float) -> float:
        """Bearing at a place. [°]."""
        share = (x_px - self.left_px) / (self.right_px - self.left_px)
        return float(wrap_deg(self.start_deg + share * self.span_deg))

    def y(self, height_deg: float) -> float:
        """Place of a height, kept inside the plot [px]."""
        share = (height_deg + 1.0) / (self.top_deg + 1.0)
        return self.bottom_px - min(max(share, 0.0), 1.0) * (self.bottom_px - self.top_px)

    def holds(self, azimuth_deg: float) -> bool:
        """Whether a bearing is on the roll."""
        return self.turn_deg(azimuth_deg) <= self.span_deg

    @property
    def is_narrow(self) -> bool:
        """Whether it is drawn for a phone."""
        return self.width_px < WIDTH_PX

    @property
    def room_px(self) -> tuple[float, float]:
        """Room left and right of the full turn, negative where that runs out of the figure."""
        return self.left_px, self.width_px - self.x_of(360.0)


def scale_of(
    altitude_deg: FloatArray,
    paths: Sequence[SunPath],
    *,
    narrow: bool,
    frame_deg: tuple[float, float],
    lowest_top_deg: float = 15.0,
) -> RollScale:
    """Choose what a roll shows.

    Parameters
    ----------
    altitude_deg : ndarray, shape (N,)
        Skyline heights; NaN where not known. [°]
    paths : sequence of SunPath
        The chosen date first.
    narrow : bool
        Whether it is for a phone.
    frame_deg : (float, float)
        Bearing and width of the frame. [°]
    lowest_top_deg : float
        The plot reaches at least so high. [°]

    Returns
    -------
    RollScale
        The wide one is a full turn, cut opposite to the middle of the chosen date's path at a
        whole ten degrees, so that no path is cut.
    """
    middle = _noon_deg(paths)
    start, span = math.floor((middle - 180.0) / 10.0) * 10.0, 360.0
    if narrow:
        start, span = _narrow_span(paths, frame_deg, middle) or (start, span)
    tops = [float(np.nanmax(path.altitude_deg, initial=0.0)) for path in paths]
    most = [min(top, tops[0] + ABOVE_CHOSEN_DEG) for top in tops]
    highest = max([float(np.nanmax(altitude_deg, initial=0.0)), *most])
    top = 14.0 + 20.0
    width = NARROW_PX if narrow else WIDTH_PX
    return RollScale(
        start_deg=start,
        span_deg=span,
        top_deg=min(max(math.ceil((highest + 2.0) / 5.0) * 5.0, lowest_top_deg), 90.0),
        left_px=36.0 if narrow else 48.0,
        right_px=width - (4.0 if narrow else 8.0),
        top_px=top,
        bottom_px=top + (240.0 if narrow else 300.0),
        width_px=width,
    )


def _noon_deg(paths: Sequence[SunPath]) -> float:
    """Bearing of the chosen date's highest sun; south where there is none."""
    if not paths or not np.isfinite(paths[0].altitude_deg).any():
        return 180.0
    return float(paths[0].azimuth_deg[int(np.nanargmax(paths[0].altitude_deg))])


def _narrow_span(
    paths: Sequence[SunPath], frame_deg: tuple[float, float], middle_deg: float
) -> tuple[float, float] | None:
    """Start and span that hold the chosen sun's way and the frame; None where they are wide."""
    if not paths or not paths[0].is_up.any():
        return None
    view_deg, width_deg = frame_deg
    edges = [
        *signed_difference_deg(paths[0].azimuth_deg[paths[0].is_up], middle_deg).tolist(),
        float(signed_difference_deg(view_deg, middle_deg)) - width_deg / 2.0,
        float(signed_difference_deg(view_deg, middle_deg)) + width_deg / 2.0,
    ]
    low, high = min(edges) - SPARE_DEG, max(edges) + SPARE_DEG
    if high - low > NARROW_MOST_DEG:
        return None
    return float(wrap_deg(middle_deg + low)), high - low
