"""A spot's frame from any place near its mark, its gaps along a line, and stands kept and dropped.

The pages ask for these as the lens is moved: nothing here searches.
"""

import hashlib
import math
from dataclasses import dataclass, replace

from shivelight.basis.errors import BadInputError
from shivelight.drawing.figure import Figure
from shivelight.drawing.gap_ruler import gap_ruler_figure
from shivelight.drawing.gap_ruler_course import ruler_of
from shivelight.drawing.predicted_frame import predicted_frame_svg
from shivelight.outing.surveys import KeptStand
from shivelight.scene.camera import Camera
from shivelight.scene.elements import Survey
from shivelight.scene.framing import Framing, subject_of
from shivelight.scene.gaps import Gap, gap_course, gaps_at
from shivelight.scene.stands import Stand
from shivelight.store import stands_aside
from shivelight.store import surveys as survey_rows
from shivelight.workbench.bench import Workbench
from shivelight.workbench.stand_found import StandFound
from shivelight.workbench.survey import require_surveyed

BEYOND_M = 0.3
"""The ruler goes on so far past the reach, so that one sees what closes next. A judgement. [m]"""
MOST_POSITIONS = 401
"""Positions of a ruler at most; steps grow with the reach."""
FARTHEST_M = 100.0
"""No frame is drawn from farther off the mark. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameView:
    """The frame from a place.

    Attributes
    ----------
    page, phone : str
        SVG.
    camera : Camera
        From where, and how turned.
    gaps : tuple of Gap
        Neighbours, from left to right.
    """

    page: str
    phone: str
    camera: Camera
    gaps: tuple[Gap, ...]

    @property
    def smallest(self) -> Gap | None:
        """The smallest gap; None where there is no pair."""
        known = [one for one in self.gaps if math.isfinite(one.gap_deg)]
        return min(known, key=lambda one: one.gap_deg, default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """How the camera is turned as the lens is moved.

    Attributes
    ----------
    off_deg : float
        From the subject (or the middle of the trunks) to the lens axis, to the right. [°]
    pitch_deg : float
        Up. [°]
    """

    off_deg: float = 0.0
    pitch_deg: float = 0.0


def fingerprint(bench: Workbench, spot: str) -> str:
    """Tell all that an answer rests on apart from any other, in hexadecimal digits.

    Parameters
    ----------
    bench : Workbench
        With the book open.
    spot : str
        Which spot.
    """
    kept, wished = bench.kept_survey(spot), bench.framing_of(spot)
    told = (bench.book.path, kept.survey, wished.framing, wished.reach, bench.camera_at(spot))
    return hashlib.sha256(repr((spot, *told)).encode()).hexdigest()[:24]


def aim_of(survey: Survey, framing: Framing, camera: Camera) -> Aim:
    """Say how a camera is turned against the subject, so that it can be turned alike elsewhere.

    Parameters
    ----------
    survey, framing : Survey, Framing
        Where the subject is named.
    camera : Camera
        As it stands and is turned.
    """
    bearing = _subject_bearing_deg(survey, framing, camera)
    return Aim(off_deg=camera.yaw_deg - bearing, pitch_deg=camera.pitch_deg)


def aimed(survey: Survey, framing: Framing, camera: Camera, aim: Aim) -> Camera:
    """Turn a camera as an aim says.

    Parameters
    ----------
    survey, framing : Survey, Framing
        Where the subject is named.
    camera : Camera
        At its place.
    aim : Aim
        As :func:`aim_of` gives it.
    """
    bearing = _subject_bearing_deg(survey, framing, camera)
    return replace(camera, yaw_deg=bearing + aim.off_deg, pitch_deg=aim.pitch_deg)


def frame_from(survey: Survey, camera: Camera, *, mist_range_m: float | None = None) -> FrameView:
    """Draw the frame from a place for a page and a phone, with its gaps.

    Parameters
    ----------
    survey : Survey
        What stands there.
    camera : Camera
        From where, and how turned.
    mist_range_m : float, optional
        Optical range to draw it in; clear air when not given. [m]

    Raises
    ------
    BadInputError
        If the place is too far off, in a trunk or in the ground.
    """
    if math.hypot(camera.x_m, camera.y_m) > FARTHEST_M or abs(camera.z_m) > FARTHEST_M:
        raise BadInputError(
            f"That is more than {FARTHEST_M:.0f} m from the mark; frames are drawn near to it."
        )
    gaps = gaps_at(survey, (camera.x_m, camera.y_m, camera.z_m))
    told = [(one.left, one.right, one.gap_deg) for one in gaps]
    page, phone = (
        predicted_frame_svg(survey, camera, gaps=told, mist_range_m=mist_range_m, style=style)
        for style in ("page", "narrow")
    )
    return FrameView(page=page, phone=phone, camera=camera, gaps=gaps)


def ruler_through(found: StandFound, survey: Survey, stand: Stand, *, now: Camera) -> Figure:
    """Draw the gap ruler sideways through a stand, with its drift.

    Parameters
    ----------
    found : StandFound
        The search it came from.
    survey : Survey
        What stands there.
    stand : Stand
        One of its answers, or the compromise.
    now : Camera
        The camera on the mark.
    """
    span_m, step_m = ruler_span_m(found)
    line = replace(now, y_m=stand.y_m, z_m=stand.z_m)
    course = gap_course(survey, found.framing, along="x", span_m=span_m, step_m=step_m, now=line)
    at = stand.x_m - now.x_m
    clears = stand.smallest_gap_deg >= found.framing.least_gap_deg and stand.comfort is not None
    drift = None
    if clears and stand.comfort is not None:
        left, right = (min(stand.comfort.way_m(way), 2.0) for way in ("left", "right"))
        drift = (max(at - left, span_m[0]), min(at + right, span_m[1]))
    ruler = ruler_of(
        course,
        survey,
        least_gap_deg=found.framing.least_gap_deg,
        best_m=at,
        drift_m=drift,
    )
    return gap_ruler_figure(ruler)


def ruler_span_m(found: StandFound) -> tuple[tuple[float, float], float]:
    """From where to where the ruler goes, and its step. [m]."""
    beyond_m = BEYOND_M if found.answer.answers else 0.0  # nothing out of reach is offered
    low, high = -found.reach.left_m - beyond_m, found.reach.right_m + beyond_m
    if high - low < BEYOND_M:
        low, high = low - BEYOND_M / 2.0, high + BEYOND_M / 2.0
    step = max(1, math.ceil((high - low) * 100.0 / (MOST_POSITIONS - 1)))
    low_cm, high_cm = (round(one * 100.0 / step) * step for one in (low, high))
    return (low_cm / 100.0, high_cm / 100.0), step / 100.0


def surveyed_at(bench: Workbench, spot: str) -> tuple[Survey, Framing, Camera]:
    """Give the survey of a spot, what is wished there, and the camera on its mark.

    Raises
    ------
    BadInputError
        If fewer than two trunks are surveyed.
    """
    known = bench.spot(spot)
    survey = require_surveyed(bench.kept_survey(known.name))
    return survey, bench.framing_of(known.name).framing, bench.camera_at(known.name)


def take_stand(bench: Workbench, found: StandFound, number: int) -> KeptStand:
    """Keep one of the stands that were found, without looking for them again.

    Parameters
    ----------
    bench : Workbench
        With the book open.
    found : StandFound
        As it was found from what the book still holds.
    number : int
        Which answer, from 1.

    Raises
    ------
    NotFoundError
        If there is no answer of that number.
    """
    return bench._take(found, number)


def keep_stand(bench: Workbench, kept: KeptStand) -> None:
    """Keep a stand as it is, such as one that was dropped."""
    survey_rows.add_stand(bench.book, kept)


def drop_stand(bench: Workbench, kept: KeptStand) -> None:
    """Take a kept stand out of the book.

    Raises
    ------
    NotFoundError
        If it is not there.
    """
    stands_aside.drop_stand(bench.book, kept)


def _subject_bearing_deg(survey: Survey, framing: Framing, camera: Camera) -> float:
    """Bearing of the subject from a camera; of the middle of the trunks where none is named."""
    name = subject_of(survey, framing)
    trunks = [one for one in survey.trunks if name is None or one.name == name] or survey.trunks
    x_m = sum(one.x_m for one in trunks) / len(trunks) - camera.x_m
    y_m = sum(one.y_m for one in trunks) / len(trunks) - camera.y_m
    return math.degrees(math.atan2(x_m, y_m))
