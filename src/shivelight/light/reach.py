"""When direct light reaches a spot, from which side, and how much of it the crowns leave.

Direct light begins when the Sun's upper limb, refraction included, passes the skyline of the
place where it is wanted. For the subject and for the stand point the same functions are called
with the skyline and position of each.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.angles import signed_difference_deg
from shivelight.basis.arrays import BoolArray, FloatArray, UtcArray
from shivelight.basis.errors import require_range
from shivelight.basis.places import Position
from shivelight.land.skyline import Skyline
from shivelight.light.beams import LEAST_BEAM_FRAC, Crowned, beam_left_frac
from shivelight.light.edge import Edge, lit_spans, sun_over_edge
from shivelight.sky.refraction import COOL_DAWN, AirColumn

STEP_S = 30.0
"""The sun moves less than a quarter of a skyline sample in this time, except near overhead."""
BACK_WITHIN_DEG = 60.0
"""Sun within this of the view direction is back light; within it of straight behind the camera
front light; else side light. (Common practice; nobody prints a limit.)"""
BEAM_SAMPLES = 33
BEAM_STEP = np.timedelta64(60, "s")


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """Where the lens looks.

    Attributes
    ----------
    azimuth_deg : float
        True bearing of the lens axis. [°]
    angle_of_view_deg : float or None
        Horizontal angle of view; None when not known. [°]
    """

    azimuth_deg: float
    angle_of_view_deg: float | None = None

    def __post_init__(self) -> None:
        require_range("bearing of view", self.azimuth_deg, 0.0, 360.0, "°")
        if self.angle_of_view_deg is not None:
            require_range("angle of view", self.angle_of_view_deg, 0.1, 360.0, "°")


@dataclass(frozen=True, slots=True, kw_only=True)
class LightWindow:
    """One unbroken stretch of direct light on a spot.

    Attributes
    ----------
    start_utc, end_utc : datetime64[us]
        To ±10 s of the skyline given; a skyline 0.1° off moves them by most of a minute.
    start_azimuth_deg, end_azimuth_deg : float
        True azimuth of the disc's centre. [°]
    start_altitude_deg, end_altitude_deg : float
        Apparent altitude of the disc's centre. [°]
    starts_at_skyline, ends_at_skyline : bool
        False when the asked span cut the window there.
    beam_frac : float
        Mean share of the direct beam that the canopy leaves; 1.0 in the open.
    beam_most_frac : float
        The greatest share at any time of the window.
    beam_start_utc, beam_end_utc : datetime64[us] or None
        First and last time, to a minute, at which crowns leave at least ``LEAST_BEAM_FRAC``;
        None in the open, and where they never leave so much.
    facing : str
        "front", "side" or "back" light in the middle of the window; "" without a view.
    sun_in_frame : bool
        Whether the disc may stand inside the horizontal angle of view at some time.
    skyline_assumed : bool
        Whether, during the window, an unknown bearing was taken as level.
    """

    start_utc: np.datetime64
    end_utc: np.datetime64
    start_azimuth_deg: float
    end_azimuth_deg: float
    start_altitude_deg: float
    end_altitude_deg: float
    starts_at_skyline: bool = True
    ends_at_skyline: bool = True
    beam_frac: float = 1.0
    beam_most_frac: float = 1.0
    beam_start_utc: np.datetime64 | None = None
    beam_end_utc: np.datetime64 | None = None
    facing: str = ""
    sun_in_frame: bool = False
    skyline_assumed: bool = False

    @property
    def length_min(self) -> float:
        """How long it lasts [min]."""
        return float((self.end_utc - self.start_utc) / np.timedelta64(1, "s")) / 60.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SunTrack:
    """The sun as one spot has it at S instants, clouds and mist apart.

    Attributes
    ----------
    altitude_deg, azimuth_deg : ndarray of float64, shape S
        Apparent altitude of the disc's centre; true azimuth. [°]
    past_skyline : ndarray of bool, shape S
        Whether the upper limb stands past the skyline.
    disc_frac : ndarray of float64, shape S
        Share of the disc's height that stands above the skyline, 0 to 1.
    off_view_deg : ndarray of float64, shape S
        Angle between the sun's bearing and the view, 0 into the sun, 180 from behind; NaN
        without a view. [°]
    in_frame : ndarray of bool, shape S
        Whether the disc is past the skyline and inside the horizontal angle of view.
    beam_frac : ndarray of float64, shape S
        Share of the beam that the crowns leave, 1 in the open; means something only where the
        limb is past the skyline.
    skyline_assumed : bool
        Whether an unknown bearing was taken as level at some instant that matters.
    """

    altitude_deg: FloatArray
    azimuth_deg: FloatArray
    past_skyline: BoolArray
    disc_frac: FloatArray
    off_view_deg: FloatArray
    in_frame: BoolArray
    beam_frac: FloatArray
    skyline_assumed: bool


def facing_of(sun_azimuth_deg: float, *, view_azimuth_deg: float) -> str:
    """Say whether light is "front", "side" or "back" light for a view.

    Parameters
    ----------
    sun_azimuth_deg, view_azimuth_deg : float
        True bearings of the sun and of the lens axis. [°]
    """
    off_deg = abs(float(signed_difference_deg(sun_azimuth_deg, view_azimuth_deg)))
    if off_deg <= BACK_WITHIN_DEG:
        return "back"
    return "front" if off_deg >= 180.0 - BACK_WITHIN_DEG else "side"


def sun_track(
    skyline: Skyline,
    *,
    position: Position,
    utc: UtcArray,
    view: View | None = None,
    canopy: Crowned | None = None,
    air: AirColumn = COOL_DAWN,
    unknown_as_level: bool = False,
) -> SunTrack:
    """Follow the sun over one spot's skyline, for the overlap with the air.

    Parameters
    ----------
    skyline : Skyline
        Of the place where the light is wanted.
    position : Position
        Of that place.
    utc : ndarray of datetime64, shape S
        Instants in any order; several mornings in one call cost least.
    view, canopy, air, unknown_as_level
        As in :func:`direct_light_windows`.

    Returns
    -------
    SunTrack

    Raises
    ------
    MissingDataError
        As in :func:`direct_light_windows`.
    """
    edge = Edge(skyline=skyline, position=position, air=air, unknown_as_level=unknown_as_level)
    sun = sun_over_edge(edge, utc)
    past = sun.limb_over_deg >= 0.0
    off_deg = off_view_deg(sun.azimuth_deg, view)
    return SunTrack(
        altitude_deg=sun.centre_deg,
        azimuth_deg=sun.azimuth_deg,
        past_skyline=past,
        disc_frac=np.clip(sun.limb_over_deg / sun.width_deg, 0.0, 1.0),
        off_view_deg=off_deg,
        in_frame=past & _inside(off_deg, sun.centre_deg, view),
        beam_frac=beam_left_frac(sun.azimuth_deg, sun.centre_deg, canopy=canopy),
        skyline_assumed=bool(sun.is_assumed.any()),
    )


def direct_light_windows(
    skyline: Skyline,
    *,
    position: Position,
    start_utc: np.datetime64,
    end_utc: np.datetime64,
    view: View | None = None,
    canopy: Crowned | None = None,
    air: AirColumn = COOL_DAWN,
    unknown_as_level: bool = False,
) -> tuple[LightWindow, ...]:
    """Find when direct light reaches a spot.

    Parameters
    ----------
    skyline : Skyline
        Of the place where the light is wanted: the subject, or the stand point.
    position : Position
        Of that place.
    start_utc, end_utc : datetime64
        Span to look in, such as a civil day.
    view : View, optional
        For front, side and back light and for the sun in the frame.
    canopy : Canopy or CrownTable, optional
        Crowns between the spot and the sun on that day. They dim a window; they do not move its
        ends.
    air : AirColumn
        For refraction.
    unknown_as_level : bool
        Take bearings of unknown skyline as level; the windows then say so.

    Returns
    -------
    tuple of LightWindow
        In order; empty when there is none. Windows and gaps of less than half a minute may be
        missed behind a ragged skyline.

    Raises
    ------
    MissingDataError
        If the sun stands where the skyline is not known, naming the bearings.
    BadInputError
        If the span runs backward.
    OutOfRangeError
        If the span lies outside the ephemeris.
    """
    edge = Edge(skyline=skyline, position=position, air=air, unknown_as_level=unknown_as_level)
    starts, ends = lit_spans(edge, start_utc, end_utc, step_s=STEP_S)
    span = start_utc.astype("datetime64[us]"), end_utc.astype("datetime64[us]")
    return tuple(
        _window(edge, start, end, view=view, canopy=canopy, span=span)
        for start, end in zip(starts, ends, strict=True)
    )


def _window(
    edge: Edge,
    start: np.datetime64,
    end: np.datetime64,
    *,
    view: View | None,
    canopy: Crowned | None,
    span: tuple[np.datetime64, np.datetime64],
) -> LightWindow:
    whole_us = int((end - start) / np.timedelta64(1, "us"))
    parts = np.linspace(0.0, whole_us, BEAM_SAMPLES).round().astype("timedelta64[us]")
    sun = sun_over_edge(edge, start + parts)
    middle_deg = float(sun.azimuth_deg[BEAM_SAMPLES // 2])
    inside = _inside(off_view_deg(sun.azimuth_deg, view), sun.centre_deg, view)
    beam = beam_left_frac(sun.azimuth_deg, sun.centre_deg, canopy=canopy)
    most_frac, beam_start, beam_end = _brightest(edge, start, end, canopy)
    return LightWindow(
        start_utc=start,
        end_utc=end,
        start_azimuth_deg=float(sun.azimuth_deg[0]),
        end_azimuth_deg=float(sun.azimuth_deg[-1]),
        start_altitude_deg=float(sun.centre_deg[0]),
        end_altitude_deg=float(sun.centre_deg[-1]),
        starts_at_skyline=bool(start > span[0]),
        ends_at_skyline=bool(end < span[1]),
        beam_frac=float(beam.mean()),
        beam_most_frac=most_frac,
        beam_start_utc=beam_start,
        beam_end_utc=beam_end,
        facing="" if view is None else facing_of(middle_deg, view_azimuth_deg=view.azimuth_deg),
        sun_in_frame=bool(inside.any()),
        skyline_assumed=bool(sun.is_assumed.any()),
    )


def off_view_deg(azimuth_deg: ArrayLike, view: View | None) -> FloatArray:
    """Angle between the sun's bearing and a view, 0 to 180; NaN without a view [°], shape S."""
    if view is None:
        return np.full(np.shape(azimuth_deg), np.nan)
    return np.asarray(np.abs(signed_difference_deg(azimuth_deg, view.azimuth_deg)))


def _inside(off_view_deg: FloatArray, altitude_deg: FloatArray, view: View | None) -> BoolArray:
    """Whether some of the disc lies inside the horizontal angle of view, at any tilt."""
    if view is None or view.angle_of_view_deg is None:
        return np.zeros(off_view_deg.shape, dtype=np.bool_)
    # A disc high up spans more azimuth than its own width.
    half_disc_deg = 0.27 / np.maximum(np.cos(np.radians(altitude_deg)), 0.01)
    return np.asarray(off_view_deg <= view.angle_of_view_deg / 2.0 + half_disc_deg)


def _brightest(
    edge: Edge, start: np.datetime64, end: np.datetime64, canopy: Crowned | None
) -> tuple[float, np.datetime64 | None, np.datetime64 | None]:
    """Greatest share of the beam in a window; first and last time at which it can be seen."""
    if canopy is None:
        return 1.0, None, None
    utc = np.append(np.arange(start, end, BEAM_STEP), end)
    sun = sun_over_edge(edge, utc)
    beam = beam_left_frac(sun.azimuth_deg, sun.centre_deg, canopy=canopy)
    seen = np.flatnonzero(beam >= LEAST_BEAM_FRAC)
    most_frac = float(beam.max())
    if not seen.size:
        return most_frac, None, None
    return most_frac, utc[seen[0]], utc[seen[-1]]
