"""The skyline roll: skyline by bearing, the sun's path as beads on a thread, the frame beneath."""

from collections.abc import Iterator

import numpy as np

from shivelight.basis.angles import signed_difference_deg
from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError
from shivelight.basis.instants import clock, to_local
from shivelight.drawing.roll_scale import RollScale, SunPath, scale_of
from shivelight.drawing.roll_words import skyline_at
from shivelight.drawing.svg import Letters, Pen
from shivelight.light.reach import LightWindow

__all__ = ["MOST_PATHS", "Roll", "SunPath", "roll_sentence", "skyline_roll_svg"]

MOST_PATHS = 3
_POINTS = {0: "north", 45: "", 90: "east", 135: "", 180: "south", 225: "", 270: "west", 315: ""}


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
    style : {"paper", "dim", "print", "page", "narrow"}
        Colours; "narrow" is for a phone and shows the sun's way and the frame.

    Returns
    -------
    str
        One ``<svg>`` element. The bearing axis begins opposite to the middle of the chosen
        date's path, so that no path is cut. Other dates are cut above the chosen one's height.

    Raises
    ------
    BadInputError
        If the skyline is empty or more than three dates are given.
    """
    if altitude_deg.size < 4:
        raise BadInputError("A skyline roll needs a skyline of at least four heights.")
    if len(paths) > MOST_PATHS:
        raise BadInputError("A skyline roll holds three dates at most.")
    scale = scale_of(
        altitude_deg,
        paths,
        narrow=style == "narrow",
        frame_deg=(view_azimuth_deg, angle_of_view_deg or 0.0),
    )
    roll = Roll(scale, paths, style=style, zone_name=zone_name)
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


class Roll:
    """Draws the parts of one roll on its scale.

    Parameters
    ----------
    scale : RollScale
        Bearings along, heights up.
    paths : tuple of SunPath
        The chosen date first.
    style, zone_name : str
        Colours; clock of the beads.
    """

    def __init__(
        self, scale: RollScale, paths: tuple[SunPath, ...], *, style: str, zone_name: str
    ) -> None:
        self.pen = Pen(style)
        self.scale = scale
        self.zone_name = zone_name
        self.paths = paths
        self.taken: list[tuple[float, float]] = []
        self.skyline_deg: FloatArray | None = None

    def grid(self) -> None:
        """Draw lines of equal height, and the bearings beneath."""
        scale = self.scale
        step = 5 if scale.top_deg <= 30.0 else 10 if scale.top_deg <= 60.0 else 15
        for height in range(0, int(scale.top_deg) + 1, step):
            y = scale.y(height)
            self.pen.line((scale.left_px, y), (scale.right_px, y), token="line")
            at = (scale.left_px - 8.0, y + 5.0)
            self.pen.text(at, f"{height}°", Letters(size=14.5, token="ink2", anchor="end"))
        wide = scale.x_of(45.0) - scale.left_px > 80.0
        for bearing, word in _POINTS.items():
            x = scale.x(bearing)
            if x < scale.left_px + 20.0 or x > scale.right_px - (40.0 if word else 20.0):
                continue
            self.pen.line((x, scale.bottom_px), (x, scale.bottom_px + 6.0))
            if not (word or wide):
                continue
            at = (x, scale.bottom_px + 22.0)
            said = f"{bearing}° {word}".strip()
            self.pen.text(at, said, Letters(size=14.5, token="ink2", anchor="middle"))

    def frame(self, view_deg: float, width_deg: float | None) -> None:
        """Draw the standing panel and the bracket of the frame, in two parts over the cut."""
        scale = self.scale
        plot = (scale.right_px - scale.left_px, scale.bottom_px - scale.top_px)
        self.pen.box((scale.left_px, scale.top_px), plot, token="sheet")
        y = scale.bottom_px + 40.0
        label = "your view" if width_deg is None else f"your frame, {width_deg:.0f}° wide"
        half = (width_deg or 0.0) / 2.0
        left, right = scale.x(view_deg - half), scale.x(view_deg + half)
        spans = (
            [(left, right)] if left <= right else [(left, scale.right_px), (scale.left_px, right)]
        )
        for low, high in spans:
            if high - low > 0.5:
                self.pen.box(
                    (low, scale.top_px), (high - low, plot[1]), token="shade", opacity=0.55
                )
            self.pen.path([(low, y - 9.0), (low, y), (high, y), (high, y - 9.0)], width=3.0)
        middle = min(max(scale.x(view_deg), scale.left_px + 80.0), scale.right_px - 80.0)
        self.pen.text((middle, y + 20.0), label, Letters(size=15.0, bold=True, anchor="middle"))

    def ground(self, altitude_deg: FloatArray) -> None:
        """Fill the skyline; unknown stretches are a broken line at no height."""
        scale = self.scale
        self.skyline_deg = altitude_deg
        for run in self._runs(altitude_deg):
            tops = [(scale.x_of(turn), scale.y(height)) for turn, height in run]
            foot = scale.bottom_px
            self.pen.area([(tops[0][0], foot), *tops, (tops[-1][0], foot)], token="bark")
            self.pen.path(tops, token="ink", width=1.5)
        left, right, foot = scale.left_px, scale.right_px, scale.bottom_px
        if not np.isfinite(altitude_deg).all():
            y = foot - 8.0
            self.pen.line((left, y), (right, y), token="ink2", dash="3 4")
        self.pen.line((left, foot), (right, foot), width=1.5)

    def _runs(self, altitude_deg: FloatArray) -> Iterator[list[tuple[float, float]]]:
        """Known stretches of the skyline as turns from the left edge and heights."""
        count, start = altitude_deg.size, self.scale.start_deg
        step = 360.0 / count
        first = int(np.ceil(start / step - 1e-9))
        turns = (np.arange(count + 1) + first) * step - start
        order = (np.arange(count + 1) + first) % count
        run: list[tuple[float, float]] = []
        for turn, height in zip(turns, altitude_deg[order], strict=True):
            if np.isfinite(height) and turn <= self.scale.span_deg + 1e-9:
                run.append((float(turn), float(height)))
                continue
            if len(run) > 1:
                yield run
            run = []
        if len(run) > 1:
            yield run

    def path(self, path: SunPath, *, heavy: bool) -> None:
        """Draw the thread, a bead each quarter hour and a full one with its clock each hour."""
        scale = self.scale
        up = path.is_up & (path.altitude_deg <= scale.top_deg)
        points = [
            (scale.x(float(azimuth)), scale.y(float(height)))
            for azimuth, height in zip(path.azimuth_deg[up], path.altitude_deg[up], strict=True)
            if scale.holds(float(azimuth))
        ]
        if not points:
            return
        for part in _unbroken(points, (scale.right_px - scale.left_px) / 4.0):
            self.pen.path(part, token="ink" if heavy else "ink2", width=1.5 if heavy else 1.0)
        top = min(points, key=lambda point: point[1])
        hours = []
        for utc, bead in self._beads(path):
            hour = to_local(utc, self.zone_name).minute == 0
            radius = (4.6 if hour else 2.8) * (1.0 if heavy else 0.75)
            if not hour and scale.is_narrow:
                continue
            self.pen.ring(bead, radius, token="ink", filled=hour)
            if hour and heavy and abs(bead[0] - top[0]) > 60.0 and self._has_room(bead):
                hours.append((utc, bead))
        for utc, bead in hours:
            self._hour(utc, bead, top)
        at = (
            min(max(top[0], scale.left_px + 60.0), scale.right_px - 60.0),
            max(top[1] - 12.0, 16.0),
        )
        look = Letters(size=15.0 if heavy else 14.5, bold=heavy, anchor="middle", plate="sheet")
        short = scale.is_narrow and not heavy
        self.pen.text(at, path.label.split(",")[0] if short else path.label, look)

    def _hour(
        self, utc: np.datetime64, bead: tuple[float, float], top: tuple[float, float]
    ) -> None:
        """Write an hour outside the arc, where no other bead of this day can stand."""
        side = -1.0 if bead[0] < top[0] else 1.0
        x = bead[0] + side * 9.0
        if not self.scale.left_px + 44.0 < x < self.scale.right_px - 44.0:
            return
        look = Letters(size=15.0, bold=True, anchor="end" if side < 0 else "start")
        self.pen.text((x, bead[1] - 6.0), clock(utc, self.zone_name), look)

    def _beads(self, path: SunPath) -> Iterator[tuple[np.datetime64, tuple[float, float]]]:
        for utc, azimuth, height in zip(
            path.utc, path.azimuth_deg, path.altitude_deg, strict=True
        ):
            quarter = utc.astype("datetime64[s]").astype(np.int64) % 900 == 0
            seen = np.isfinite(height) and 0.0 <= height <= self.scale.top_deg
            if quarter and seen and self.scale.holds(float(azimuth)):
                yield utc, (self.scale.x(float(azimuth)), self.scale.y(float(height)))

    def leave_room(self, windows: tuple[LightWindow, ...]) -> None:
        """Keep the hours' words off the words of the clearings."""
        self.taken = [self._post(window) for window in windows if window.starts_at_skyline]

    def _has_room(self, bead: tuple[float, float]) -> bool:
        """Whether an hour's words would stand neither on the ground nor on a clearing's."""
        if any(
            x - 110.0 < bead[0] < x + 70.0 and y - 26.0 < bead[1] < y + 48.0 for x, y in self.taken
        ):
            return False
        if self.skyline_deg is None:
            return True
        skyline_deg = skyline_at(self.skyline_deg, self.scale.azimuth_deg(bead[0]))
        return not bead[1] > self.scale.y(skyline_deg)

    def _post(self, window: LightWindow) -> tuple[float, float]:
        height = self.scale.y(window.start_altitude_deg)
        return self.scale.x(window.start_azimuth_deg), max(height - 54.0, self.scale.top_px + 20.0)

    def clearings(self, windows: tuple[LightWindow, ...]) -> None:
        """Mark where the sun clears the skyline with a copper bead and a post."""
        for window in windows:
            if not (window.starts_at_skyline and self.scale.holds(window.start_azimuth_deg)):
                continue
            x, post = self._post(window)
            bead = (x, self.scale.y(window.start_altitude_deg))
            self.pen.line(bead, (x, post), token="light", width=2.0)
            self.pen.ring(bead, 5.0, token="light")
            words = f"clears {clock(window.start_utc, self.zone_name)}"
            first = x - self.scale.left_px < 90.0
            look = Letters(
                size=15.0, bold=True, token="light-ink", anchor="start" if first else "end",
                plate="sheet",
            )  # fmt: skip
            self.pen.text((x + (-4.0 if first else 4.0), post - 6.0), words, look)

    def finish(
        self,
        windows: tuple[LightWindow, ...],
        view_deg: float,
        *,
        title: str = "",
        sentence: str = "",
    ) -> str:
        """Close the figure with its title and sentence; those of a day's light unless given."""
        names = ", ".join(path.label for path in self.paths)
        usual = f"Skyline roll{': ' if names else ''}{names}"
        return self.pen.figure(
            (self.scale.width_px, self.scale.bottom_px + 68.0),
            title=title or usual,
            sentence=sentence or roll_sentence(windows, view_deg, zone_name=self.zone_name),
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
