"""The skyline roll: skyline by bearing, the sun's path as beads on a thread, the frame beneath."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from shivelight.basis.angles import signed_difference_deg, wrap_deg
from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.basis.errors import BadInputError
from shivelight.basis.instants import clock, to_local
from shivelight.drawing.svg import Letters, Pen
from shivelight.light.reach import LightWindow

MOST_PATHS = 3
WIDTH_PX = 928.0
_LEFT, _RIGHT, _TOP, _PLOT = 48.0, 8.0, 34.0, 300.0
_POINTS = {0: "north", 45: "", 90: "east", 135: "", 180: "south", 225: "", 270: "west", 315: ""}


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


def skyline_roll_svg(
    altitude_deg: FloatArray,
    *,
    paths: tuple[SunPath, ...],
    windows: tuple[LightWindow, ...],
    view_azimuth_deg: float,
    angle_of_view_deg: float | None,
    zone_name: str,
    style: str = "paper",
) -> str:
    """Draw a spot's skyline with up to three days of sun.

    Parameters
    ----------
    altitude_deg : ndarray, shape (N,)
        Skyline heights, evenly spaced from true north; NaN where not known. [°]
    paths : tuple of SunPath
        The chosen date first; at most three.
    windows : tuple of LightWindow
        Direct light of the chosen date, for "clears".
    view_azimuth_deg : float
        Bearing of the lens axis. [°]
    angle_of_view_deg : float or None
        Width of the frame; None draws the bearing alone. [°]
    zone_name : str
        Clock of the beads.
    style : {"paper", "dim", "print", "page"}
        Colours.

    Returns
    -------
    str
        One ``<svg>`` element. The bearing axis begins opposite to the middle of the chosen
        date's path, so that no path is cut.

    Raises
    ------
    BadInputError
        If the skyline is empty or more than three dates are given.
    """
    if altitude_deg.size < 4:
        raise BadInputError("A skyline roll needs a skyline of at least four heights.")
    if len(paths) > MOST_PATHS:
        raise BadInputError("A skyline roll holds three dates at most.")
    roll = _Roll(altitude_deg, paths, style=style, zone_name=zone_name)
    roll.frame(view_azimuth_deg, angle_of_view_deg)
    roll.grid()
    roll.ground(altitude_deg)
    for path in paths[1:]:
        roll.path(path, heavy=False)
    roll.leave_room(windows)
    for path in paths[:1]:
        roll.path(path, heavy=True)
    roll.clearings(windows)
    return roll.finish(windows, view_azimuth_deg)


class _Roll:
    """Bearings to x and heights to y, from one point of the compass all the way round."""

    def __init__(
        self,
        altitude_deg: FloatArray,
        paths: tuple[SunPath, ...],
        *,
        style: str,
        zone_name: str,
    ) -> None:
        self.pen = Pen(style)
        self.zone_name = zone_name
        self.paths = paths
        self.taken: list[tuple[float, float]] = []
        self.width = WIDTH_PX
        self.bottom = _TOP + _PLOT
        middle = 180.0
        if paths and np.isfinite(paths[0].altitude_deg).any():
            middle = float(paths[0].azimuth_deg[int(np.nanargmax(paths[0].altitude_deg))])
        # The roll is cut opposite to noon, at a whole ten degrees.
        self.start_deg = math.floor((middle - 180.0) / 10.0) * 10.0
        tops = [np.nanmax(p.altitude_deg, initial=0.0) for p in paths]
        highest = max([float(np.nanmax(altitude_deg, initial=0.0)), *map(float, tops)])
        self.top_deg = min(max(math.ceil((highest + 2.0) / 5.0) * 5.0, 15.0), 90.0)

    def x(self, azimuth_deg: float) -> float:
        turn = float(wrap_deg(azimuth_deg - self.start_deg))
        return _LEFT + turn / 360.0 * (self.width - _LEFT - _RIGHT)

    def y(self, height_deg: float) -> float:
        share = (height_deg + 1.0) / (self.top_deg + 1.0)
        return self.bottom - min(max(share, 0.0), 1.0) * _PLOT

    def grid(self) -> None:
        step = 5 if self.top_deg <= 30.0 else 10 if self.top_deg <= 60.0 else 15
        for height in range(0, int(self.top_deg) + 1, step):
            y = self.y(height)
            self.pen.line((_LEFT, y), (self.width - _RIGHT, y), token="line")
            at = (_LEFT - 8.0, y + 5.0)
            self.pen.text(at, f"{height}°", Letters(size=14.5, token="ink2", anchor="end"))
        for bearing, word in _POINTS.items():
            x = self.x(bearing)
            if x < _LEFT + 20.0 or x > self.width - _RIGHT - 40.0:
                continue
            self.pen.line((x, self.bottom), (x, self.bottom + 6.0))
            said = f"{bearing}° {word}".strip()
            at = (x, self.bottom + 22.0)
            self.pen.text(at, said, Letters(size=14.5, token="ink2", anchor="middle"))

    def frame(self, view_deg: float, width_deg: float | None) -> None:
        """Draw the standing panel and the bracket of the frame, in two parts over the cut."""
        right_edge = self.width - _RIGHT
        self.pen.box((_LEFT, _TOP), (right_edge - _LEFT, _PLOT), token="sheet")
        y = self.bottom + 40.0
        label = "your view" if width_deg is None else f"your frame, {width_deg:.0f}° wide"
        half = (width_deg or 0.0) / 2.0
        left, right = self.x(view_deg - half), self.x(view_deg + half)
        spans = [(left, right)] if left <= right else [(left, right_edge), (_LEFT, right)]
        for low, high in spans:
            if high - low > 0.5:
                self.pen.box((low, _TOP), (high - low, _PLOT), token="shade", opacity=0.55)
            self.pen.path([(low, y - 9.0), (low, y), (high, y), (high, y - 9.0)], width=3.0)
        middle = min(max(self.x(view_deg), _LEFT + 80.0), right_edge - 80.0)
        self.pen.text((middle, y + 20.0), label, Letters(size=15.0, bold=True, anchor="middle"))

    def ground(self, altitude_deg: FloatArray) -> None:
        """Fill the skyline; unknown stretches are a broken line at no height."""
        for run in self._runs(altitude_deg):
            tops = [(self.x_of(turn), self.y(height)) for turn, height in run]
            self.pen.area(
                [(tops[0][0], self.bottom), *tops, (tops[-1][0], self.bottom)], token="bark"
            )
            self.pen.path(tops, token="ink", width=1.5)
        if not np.isfinite(altitude_deg).all():
            y = self.bottom - 8.0
            self.pen.line((_LEFT, y), (self.width - _RIGHT, y), token="ink2", dash="3 4")
        self.pen.line((_LEFT, self.bottom), (self.width - _RIGHT, self.bottom), width=1.5)

    def x_of(self, turn_deg: float) -> float:
        return _LEFT + turn_deg / 360.0 * (self.width - _LEFT - _RIGHT)

    def _runs(self, altitude_deg: FloatArray) -> Iterator[list[tuple[float, float]]]:
        count = altitude_deg.size
        step = 360.0 / count
        turns = np.arange(count + 1) * step
        order = (np.round(self.start_deg / step).astype(np.int64) + np.arange(count + 1)) % count
        run: list[tuple[float, float]] = []
        for turn, height in zip(turns, altitude_deg[order], strict=True):
            if np.isfinite(height):
                run.append((float(turn), float(height)))
                continue
            if len(run) > 1:
                yield run
            run = []
        if len(run) > 1:
            yield run

    def path(self, path: SunPath, *, heavy: bool) -> None:
        """Draw the thread, a bead each quarter hour and a full one with its clock each hour."""
        up = np.isfinite(path.altitude_deg) & (path.altitude_deg > -1.0)
        up &= path.altitude_deg <= self.top_deg
        points = [
            (self.x(float(a)), self.y(float(h)))
            for a, h in zip(path.azimuth_deg[up], path.altitude_deg[up], strict=True)
        ]
        if not points:
            return
        for part in _unbroken(points, self.width / 2.0):
            self.pen.path(part, token="ink" if heavy else "ink2", width=1.5 if heavy else 1.0)
        top = min(points, key=lambda point: point[1])
        hours = []
        for utc, bead in self._beads(path):
            hour = to_local(utc, self.zone_name).minute == 0
            radius = (4.6 if hour else 2.8) * (1.0 if heavy else 0.75)
            self.pen.ring(bead, radius, token="ink", filled=hour)
            if hour and heavy and abs(bead[0] - top[0]) > 60.0 and not self._is_taken(bead):
                hours.append((utc, bead))
        for utc, bead in hours:
            # Outside the arc, where no other bead of this day can stand.
            side = -1.0 if bead[0] < top[0] else 1.0
            at = (bead[0] + side * 9.0, bead[1] - 6.0)
            look = Letters(size=15.0, bold=True, anchor="end" if side < 0 else "start")
            self.pen.text(at, clock(utc, self.zone_name), look)
        at = (min(max(top[0], 60.0), self.width - 60.0), max(top[1] - 12.0, 16.0))
        look = Letters(size=15.0 if heavy else 14.5, bold=heavy, anchor="middle", plate="sheet")
        self.pen.text(at, path.label, look)

    def _beads(self, path: SunPath) -> Iterator[tuple[np.datetime64, tuple[float, float]]]:
        for utc, azimuth, height in zip(
            path.utc, path.azimuth_deg, path.altitude_deg, strict=True
        ):
            quarter = utc.astype("datetime64[s]").astype(np.int64) % 900 == 0
            if quarter and np.isfinite(height) and 0.0 <= height <= self.top_deg:
                yield utc, (self.x(float(azimuth)), self.y(float(height)))

    def leave_room(self, windows: tuple[LightWindow, ...]) -> None:
        """Keep the hours' words off the words of the clearings."""
        self.taken = [self._post(window) for window in windows if window.starts_at_skyline]

    def _is_taken(self, bead: tuple[float, float]) -> bool:
        return any(
            x - 110.0 < bead[0] < x + 70.0 and y - 26.0 < bead[1] < y + 48.0 for x, y in self.taken
        )

    def _post(self, window: LightWindow) -> tuple[float, float]:
        height = self.y(window.start_altitude_deg)
        return self.x(window.start_azimuth_deg), max(height - 54.0, _TOP + 20.0)

    def clearings(self, windows: tuple[LightWindow, ...]) -> None:
        """Mark where the sun clears the skyline with a copper bead and a post."""
        for window in windows:
            if not window.starts_at_skyline:
                continue
            bead = (self.x(window.start_azimuth_deg), self.y(window.start_altitude_deg))
            post = self._post(window)[1]
            self.pen.line(bead, (bead[0], post), token="light", width=2.0)
            self.pen.ring(bead, 5.0, token="light")
            words = f"clears {clock(window.start_utc, self.zone_name)}"
            look = Letters(size=15.0, bold=True, token="light-ink", anchor="end", plate="sheet")
            self.pen.text((bead[0] + 4.0, post - 6.0), words, look)

    def finish(self, windows: tuple[LightWindow, ...], view_deg: float) -> str:
        """Close the figure with its sentence."""
        names = ", ".join(path.label for path in self.paths)
        title = f"Skyline roll{': ' if names else ''}{names}"
        return self.pen.figure(
            (self.width, self.bottom + 68.0),
            title=title,
            sentence=roll_sentence(windows, view_deg, zone_name=self.zone_name),
        )


def roll_sentence(
    windows: tuple[LightWindow, ...], view_azimuth_deg: float, *, zone_name: str
) -> str:
    """Say when the sun clears the skyline, over which bearing, and where it then stands."""
    if not windows:
        return "No direct light reaches this spot that day."
    said = []
    for window in windows:
        off = float(signed_difference_deg(window.start_azimuth_deg, view_azimuth_deg))
        side = "right" if off > 0 else "left"
        where = f"{abs(off):.0f}° {side} of the view"
        if window.sun_in_frame:
            where = "inside the frame"
        said.append(
            f"Clears at {clock(window.start_utc, zone_name)} over {window.start_azimuth_deg:.0f}° "
            f"true, {where}; direct light until {clock(window.end_utc, zone_name)}."
        )
    return " ".join(said)


def _unbroken(
    points: list[tuple[float, float]], jump_px: float
) -> Iterator[list[tuple[float, float]]]:
    """Part a thread where it runs over the cut of the roll."""
    part: list[tuple[float, float]] = []
    for point in points:
        if part and abs(point[0] - part[-1][0]) > jump_px:
            if len(part) > 1:
                yield part
            part = []
        part.append(point)
    if len(part) > 1:
        yield part
