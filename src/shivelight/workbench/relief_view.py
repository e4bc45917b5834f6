"""A relief picture as a value: what it shows, how pixels and places map, what stands on it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError
from shivelight.basis.places import Position
from shivelight.land.contours import Contour
from shivelight.land.ground import sample
from shivelight.land.square import GroundSquare, LinearDegrees, places_at


@dataclass(frozen=True, slots=True, kw_only=True)
class ReliefMark:
    """One thing in the picture, for tables and for pointers.

    Attributes
    ----------
    kind : {"corner", "parking", "spot"}
        What it is.
    name : str
        The spot's name, the corner's number, or "parking".
    latitude_deg, longitude_deg : float
        Where. [°]
    x_px, y_px : float
        In the picture, from its top left corner; outside it when not shown. [px]
    height_m : float or None
        Ground there, as the picture has it. [m]
    """

    kind: str
    name: str
    latitude_deg: float
    longitude_deg: float
    x_px: float
    y_px: float
    height_m: float | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ReliefView:
    """A square of a wood's ground: its picture, its measures, and what stands on it.

    Attributes
    ----------
    wood : str
        Whose ground.
    square : GroundSquare
        What is shown: centre, half side, pixels; true north up.
    pixel_m : float
        Side of a pixel. [m]
    stretch_frac : float
        How much lengths at a corner are stretched at most.
    degrees : LinearDegrees
        Degrees as a straight function of pixels, with the error of that.
    png : bytes or None
        Shaded relief; None for a plain grid.
    contours : tuple of Contour
        In pixels.
    interval_m : float or None
        Between contours; None for a plain grid. [m]
    lowest_m, highest_m : float or None
        Of the ground shown. [m]
    times : int
        How many times as steep as it is the ground is shaded.
    source : str
        Files and fineness, or why there is only a grid.
    sentence : str
        The picture in words.
    marks : tuple of ReliefMark
        Corners, parking and spots.
    heights_m : ndarray of float64, shape (N + 2, N + 2), or None
        Behind the picture, with a rim of one cell. [m]
    """

    wood: str
    square: GroundSquare
    pixel_m: float
    stretch_frac: float
    degrees: LinearDegrees
    png: bytes | None
    contours: tuple[Contour, ...]
    interval_m: float | None
    lowest_m: float | None
    highest_m: float | None
    times: int
    source: str
    sentence: str
    marks: tuple[ReliefMark, ...]
    heights_m: FloatArray | None

    def position_at(self, x_px: float, y_px: float) -> Position:
        """Place under a pixel, with its height where that is known.

        Raises
        ------
        BadInputError
            For a pixel outside the picture.
        """
        side = self.square.side_px
        if not (0.0 <= x_px <= side and 0.0 <= y_px <= side):
            raise BadInputError(
                f"The point {x_px:g}, {y_px:g} px lies outside the picture of {side} px; tap "
                "inside it."
            )
        latitude, longitude = places_at(self.square, x_px, y_px=y_px)
        return Position(
            latitude_deg=float(latitude),
            longitude_deg=float(longitude),
            ground_height_m=known_height_m(float(self.heights_at_m(x_px, y_px=y_px))),
        )

    def heights_at_m(self, x_px: ArrayLike, *, y_px: ArrayLike) -> FloatArray:
        """Ground heights under pixels, shapes that broadcast; NaN where not known. [m]."""
        return heights_under_m(self.heights_m, self.square, x_px, y_px=y_px)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReliefWritten:
    """A picture that was written."""

    path: Path
    wood: str
    centre: Position
    radius_m: float
    pixel_m: float
    interval_m: float | None
    lowest_m: float | None
    highest_m: float | None
    source: str
    sentence: str
    marks: tuple[ReliefMark, ...]


def heights_under_m(
    heights_m: FloatArray | None, square: GroundSquare, x_px: ArrayLike, *, y_px: ArrayLike
) -> FloatArray:
    """Heights under pixels between the cells behind a picture."""
    across, down = np.broadcast_arrays(
        np.asarray(x_px, dtype=np.float64), np.asarray(y_px, dtype=np.float64)
    )
    if heights_m is None:
        return np.full(across.shape, np.nan)
    per_px = (heights_m.shape[0] - 2) / square.side_px
    shown = (across >= 0) & (across <= square.side_px) & (down >= 0) & (down <= square.side_px)
    found = sample(heights_m.astype(np.float32), down * per_px + 0.5, column=across * per_px + 0.5)
    return np.where(shown, found, np.nan)


def view_sentence(
    square: GroundSquare,
    marks: Sequence[ReliefMark],
    span_m: tuple[float | None, float | None],
    interval_m: float | None,
) -> str:
    """Put a picture into words: how wide, how high, what stands on it."""
    shown = [
        one for one in marks
        if 0.0 <= one.x_px <= square.side_px and 0.0 <= one.y_px <= square.side_px
    ]  # fmt: skip
    low_m, high_m = span_m
    ground = f"A square of ground {2.0 * square.radius_m:,.0f} m across, true north up"
    if low_m is None or high_m is None:
        ground += ", without heights."
    else:
        ground += f", {low_m:.0f} to {high_m:.0f} m high, a line every {interval_m:g} m."
    spots = [one.name for one in shown if one.kind == "spot"]
    corners = sum(one.kind == "corner" for one in marks)
    parts = [
        f"Outline of {corners} corners" if corners else "No outline yet",
        "parking" if any(one.kind == "parking" for one in shown) else "",
        f"spots: {', '.join(spots)}" if spots else "no spots",
    ]
    return f"{ground} {'; '.join(part for part in parts if part)}."


def known_height_m(height_m: float) -> float | None:
    """Give a height that is known; Position takes none past its own limits."""
    return round(height_m, 2) if math.isfinite(height_m) else None
