"""Trunks from marks on one photograph: pixels to directions, and distances with their errors.

The camera that took the picture stands at the origin of the local frame and looks along +y. The
distance of a trunk comes from where it meets the ground, from a width that is known, or from
both; each error is carried through by moving every measured number a little.

References
----------
.. [1] JCGM 100:2008, Guide to the expression of uncertainty in measurement, section 5.1.2: the
   law of propagation.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, MissingDataError, require_range
from shivelight.scene.elements import FARTHEST_M, Doubt, Trunk
from shivelight.scene.photo_marks import (
    LEAST_WIDTH_PX,
    PhotoView,
    TrunkMark,
    edges,
    ray,
    require_inside,
)

DISAGREE = 3.0
"""So many standard errors between two ways of measuring are told (common practice)."""
MOST_DOUBT_FRAC = 0.5
"""A distance that may be this much out is refused (a judgement)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredTrunk:
    """A trunk with what its distance rests on.

    Attributes
    ----------
    trunk : Trunk
        With its doubt.
    ways : tuple of str
        "foot", "width", "two photos": what the distance comes from.
    sentences : tuple of str
        What is odd about it.
    """

    trunk: Trunk
    ways: tuple[str, ...]
    sentences: tuple[str, ...] = ()


def trunk_on_photo(mark: TrunkMark, view: PhotoView) -> MeasuredTrunk:
    """Measure a trunk from its marks on one photograph.

    Parameters
    ----------
    mark : TrunkMark
        On the picture.
    view : PhotoView
        How it was taken.

    Returns
    -------
    MeasuredTrunk
        Where both its foot and its width are known, the two distances are weighed by their
        errors; the width is then the one worked out.

    Raises
    ------
    MissingDataError
        If neither its foot nor its width is given.
    BadInputError
        If its marks lie outside the picture, its foot does not lie below the horizon, or its
        distance is too doubtful to be of use.
    """
    require_inside(mark, view)
    found: dict[str, tuple[FloatArray, FloatArray]] = {}
    if mark.foot_px is not None:
        found["foot"] = _propagated(mark, view, _by_foot)
    if mark.width_m is not None:
        found["width"] = _propagated(mark, view, _by_width)
    if not found:
        raise MissingDataError(
            f"{mark.name} needs the point where it meets the ground, or its width; mark the one "
            "or give the other."
        )
    sentences = _disagreement(mark.name, found)
    weights = np.array([1.0 / one[1][0] ** 2 for one in found.values()])
    distance_m = float(np.sum(weights * [one[0][0] for one in found.values()]) / weights.sum())
    error_m = float(weights.sum() ** -0.5)
    if sentences:  # two ways that contradict each other: neither is better than their distance
        error_m = float(np.ptp([one[0][0] for one in found.values()])) / 2.0
    if error_m > MOST_DOUBT_FRAC * distance_m:
        raise BadInputError(
            f"{mark.name} is about {distance_m:.0f} m off, give or take {error_m:.0f} m, which is "
            "of no use; give its width, or take two photos a step apart."
        )
    best = min(found.values(), key=lambda one: float(one[1][0]))
    _middle, half = edges(mark, view)
    width_m = 2.0 * distance_m * math.sin(half)
    doubt = Doubt(
        distance_m=error_m,
        angle_deg=min(float(best[1][1]), 45.0),
        width_m=min(float(best[1][2]) if mark.width_m is None else mark.width_error_m, 20.0),
    )
    trunk = placed(mark, float(best[0][1]), distance_m=distance_m, width_m=width_m, doubt=doubt)
    return MeasuredTrunk(trunk=trunk, ways=tuple(found), sentences=sentences)


def placed(
    mark: TrunkMark, bearing_deg: float, *, distance_m: float, width_m: float, doubt: Doubt
) -> Trunk:
    """Put a marked trunk where its bearing and distance say."""
    require_range(f"distance of {mark.name}", distance_m, 0.1, FARTHEST_M, "m")
    turn = math.radians(bearing_deg)
    return Trunk(
        name=mark.name,
        x_m=distance_m * math.sin(turn),
        y_m=distance_m * math.cos(turn),
        width_m=width_m,
        role=mark.role,
        doubt=doubt,
    )


def _by_foot(mark: TrunkMark, view: PhotoView) -> FloatArray:
    """Distance, bearing and width from the foot. [m, °, m]."""
    if mark.foot_px is None:
        return np.full(3, np.nan)
    middle, half = edges(mark, view)
    right, forward, up = ray(view, *mark.foot_px)
    falls = (
        view.slope.rise_right_frac * right + view.slope.rise_forward_frac * forward - up
    )  # how fast the line of sight nears the ground
    if falls <= 1e-6:
        raise BadInputError(
            f"The foot of {mark.name} is marked above where flat ground could be seen; mark where "
            "it meets the ground, or correct the tilt of the camera or the slope."
        )
    near_m = view.camera.z_m / falls * math.hypot(right, forward)
    distance_m = near_m / (1.0 - math.sin(half))  # the mark is on the near side of the trunk
    return np.array([distance_m, math.degrees(middle), 2.0 * distance_m * math.sin(half)])


def _by_width(mark: TrunkMark, view: PhotoView) -> FloatArray:
    """Distance, bearing and width from a width that is known. [m, °, m]."""
    middle, half = edges(mark, view)
    width_m = math.nan if mark.width_m is None else mark.width_m
    return np.array([width_m / 2.0 / math.sin(half), math.degrees(middle), width_m])


def _propagated(
    mark: TrunkMark, view: PhotoView, way: Callable[[TrunkMark, PhotoView], FloatArray]
) -> tuple[FloatArray, FloatArray]:
    """Measure one way, and give the standard errors [1]_."""
    plain = way(mark, view)
    square = np.zeros(3)
    for other_mark, other_view in _moved_by_errors(mark, view):
        try:
            square += (way(other_mark, other_view) - plain) ** 2
        except BadInputError:  # one error more and the foot is above the horizon
            square[0] += plain[0] ** 2
    return plain, np.sqrt(square)


def _moved_by_errors(mark: TrunkMark, view: PhotoView) -> list[tuple[TrunkMark, PhotoView]]:
    """Each measured number in turn, moved by its standard error to where it does more."""
    camera, slope, px = view.camera, view.slope, view.pixel_error_px
    narrower = math.copysign(px, mark.left_px - mark.right_px)
    if abs(mark.right_px - mark.left_px) - px < LEAST_WIDTH_PX:
        narrower = -narrower
    cases = [
        (replace(mark, right_px=mark.right_px + narrower), view),
        (replace(mark, left_px=mark.left_px - narrower), view),
    ]
    if mark.foot_px is not None:
        column, row = mark.foot_px
        cases.append((replace(mark, foot_px=(column, row - px)), view))
    if mark.width_m is not None:
        cases.append((replace(mark, width_m=mark.width_m + mark.width_error_m), view))
    steeper = min(slope.rise_forward_frac - view.slope_error_frac, 3.0)
    views = (
        replace(view, camera=replace(camera, z_m=camera.z_m + view.height_error_m)),
        replace(view, camera=replace(camera, pitch_deg=camera.pitch_deg + view.pitch_error_deg)),
        replace(view, camera=replace(camera, roll_deg=camera.roll_deg + view.roll_error_deg)),
        replace(
            view,
            camera=replace(
                camera, focal_length_mm=camera.focal_length_mm * (1.0 + view.focal_error_frac)
            ),
        ),
        replace(view, slope=replace(slope, rise_forward_frac=steeper)),
    )
    return [*cases, *((mark, one) for one in views)]


def _disagreement(name: str, found: dict[str, tuple[FloatArray, FloatArray]]) -> tuple[str, ...]:
    """Say where two ways of measuring contradict each other."""
    if len(found) < 2:
        return ()
    (by_foot, foot_error), (by_width, width_error) = found["foot"], found["width"]
    apart_m = abs(float(by_foot[0] - by_width[0]))
    if apart_m <= DISAGREE * math.hypot(float(foot_error[0]), float(width_error[0])):
        return ()
    return (
        f"{name} is {by_foot[0]:.1f} m off by its foot and {by_width[0]:.1f} m by its width: "
        "the tilt, the slope or the width is wrong; measure one again.",
    )
