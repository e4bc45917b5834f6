"""How long a walk takes: on the slope, off the path, in the dark, with a pack."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, MissingDataError, require_range
from shivelight.basis.places import Position, distance_and_azimuth
from shivelight.land.ground import Ground, heights_at_m
from shivelight.land.rays import positions_on_rays


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkingPace:
    """How one person walks, as shares of Tobler's speed.

    Attributes
    ----------
    own_frac : float
        One's own pace with pack and tripod; 1 is Tobler's unladen walker.
    off_path_frac : float
        Off the path; Tobler's own figure is 0.6.
    dark_frac : float
        By torchlight. Slower is common practice; how much is a judgement.
    """

    own_frac: float = 1.0
    off_path_frac: float = 0.6
    dark_frac: float = 0.75

    def __post_init__(self) -> None:
        require_range("own pace", self.own_frac, 0.1, 2.0)
        require_range("off-path share", self.off_path_frac, 0.1, 1.0)
        require_range("share in the dark", self.dark_frac, 0.1, 1.0)


USUAL_PACE = WalkingPace()
LEAST_MPS = 0.1
"""Ground steeper than about 3 in 4 is scrambled over or gone round, no slower than this (a
judgement): Tobler's curve would take hours over one bank. [m/s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Walk:
    """One way over the ground.

    Attributes
    ----------
    distance_m, ascent_m, descent_m : float
        Level length, all climbs together, all descents together. [m]
    time_s : float
        Walking time without halts. [s]
    guessed_m : float
        How much of the way lay over holes in the raster, taken as an even slope. [m]
    """

    distance_m: float
    ascent_m: float
    descent_m: float
    time_s: float
    guessed_m: float


def tobler_speed_mps(slope_frac: ArrayLike) -> FloatArray:
    """Tobler's walking speed by slope.

    Parameters
    ----------
    slope_frac : array_like, shape S
        Rise over run in the direction walked; uphill positive.

    Returns
    -------
    ndarray of float64, shape S
        On a path by day; fastest, 6 km/h, a little downhill. [m/s]

    References
    ----------
    .. [1] W. Tobler, Three Presentations on Geographical Analysis and Modeling, NCGIA Technical
       Report 93-1, 1993.
    """
    slope = np.asarray(slope_frac, dtype=np.float64)
    return np.asarray(6.0 / 3.6 * np.exp(-3.5 * np.abs(slope + 0.05)))


def naismith_time_s(distance_m: ArrayLike, *, ascent_m: ArrayLike = 0.0) -> FloatArray:
    """Naismith's rule: an hour for every 5 km, and an hour for every 600 m climbed.

    Parameters
    ----------
    distance_m, ascent_m : array_like, shapes that broadcast to S
        Length of the way, and all its climbs together; descents are free. [m]

    Returns
    -------
    ndarray of float64, shape S
        [s]

    References
    ----------
    .. [1] W. W. Naismith, Scottish Mountaineering Club Journal 2, 1892; metric form.
    """
    distance = np.asarray(distance_m, dtype=np.float64)
    ascent = np.asarray(ascent_m, dtype=np.float64)
    return np.asarray((distance / 5000.0 + ascent / 600.0) * 3600.0)


def walk_time_s(
    distance_m: float,
    *,
    rise_m: float = 0.0,
    dark: bool = False,
    off_path: bool = False,
    pace: WalkingPace = USUAL_PACE,
) -> float:
    """Time a walk over one even slope, by Tobler.

    Parameters
    ----------
    distance_m : float
        Level length of the way. [m]
    rise_m : float
        From start to end; negative downhill. Climbs that are lost again are not in it: add the
        parts, or use :func:`walk_over`. [m]
    dark, off_path : bool
        Whether by torchlight; whether off the path.
    pace : WalkingPace
        One's own.

    Returns
    -------
    float
        [s]

    Raises
    ------
    OutOfRangeError, BadInputError
        For a negative distance, or a rise without distance.
    """
    require_range("distance", distance_m, 0.0, 1e6, "m")
    require_range("rise", rise_m, -9000.0, 9000.0, "m")
    if distance_m == 0.0:
        if rise_m != 0.0:
            raise BadInputError(f"A rise of {rise_m:g} m needs a distance to walk it in.")
        return 0.0
    speed = max(float(tobler_speed_mps(rise_m / distance_m)), LEAST_MPS)
    return distance_m / (speed * _share(pace, dark=dark, off_path=off_path))


def walk_over(
    ground: Ground,
    waypoints: Sequence[Position],
    *,
    dark: bool = False,
    off_path: bool = False,
    pace: WalkingPace = USUAL_PACE,
    step_m: float = 10.0,
) -> Walk:
    """Walk straight from waypoint to waypoint over the ground.

    Parameters
    ----------
    ground : Ground
        Heights.
    waypoints : sequence of Position, at least two
        Start, bends and end.
    dark, off_path, pace
        As in :func:`walk_time_s`.
    step_m : float
        Slopes are taken over steps of about this length; shorter ones count every rut. [m]

    Returns
    -------
    Walk
        A straight line knows nothing of walls, bogs and streams: give the path's bends.

    Raises
    ------
    BadInputError
        For fewer than two waypoints.
    MissingDataError
        If the walk starts or ends where the raster has no height, or half of it does.
    """
    if len(waypoints) < 2:
        raise BadInputError("A walk needs at least a start and an end.")
    require_range("step", step_m, 0.5, 1000.0, "m")
    along_m, height_m = _profile(ground, waypoints, step_m)
    known = np.isfinite(height_m)
    if not (known[0] and known[-1]) or known.mean() < 0.5:
        raise MissingDataError(
            "The ground raster does not cover the walk; give its length and rise instead."
        )
    run = np.diff(along_m)
    guessed_m = float(run[~(known[1:] & known[:-1])].sum())
    height_m = np.interp(along_m, along_m[known], height_m[known])
    rise, run = np.diff(height_m)[run > 0.0], run[run > 0.0]
    speed = np.maximum(tobler_speed_mps(rise / run), LEAST_MPS) * _share(
        pace, dark=dark, off_path=off_path
    )
    return Walk(
        distance_m=float(along_m[-1]),
        ascent_m=float(rise[rise > 0.0].sum()),
        descent_m=float(-rise[rise < 0.0].sum()),
        time_s=float((run / speed).sum()),
        guessed_m=guessed_m,
    )


def _profile(
    ground: Ground, waypoints: Sequence[Position], step_m: float
) -> tuple[FloatArray, FloatArray]:
    """Distances along a way and the ground's height there."""
    along, heights = [np.zeros(1)], []
    first = waypoints[0]
    heights.append(heights_at_m(ground, [first.latitude_deg], longitude_deg=[first.longitude_deg]))
    for start, end in pairwise(waypoints):
        length_m, azimuth_deg = distance_and_azimuth(start, end)
        count = max(1, math.ceil(length_m / step_m))
        part = np.arange(1.0, count + 1.0) * (length_m / count)
        latitude, longitude = positions_on_rays(start, np.array(azimuth_deg), distance_m=part)
        along.append(along[-1][-1] + part)
        heights.append(heights_at_m(ground, latitude, longitude_deg=longitude))
    return np.concatenate(along), np.concatenate(heights)


def _share(pace: WalkingPace, *, dark: bool, off_path: bool) -> float:
    share = pace.own_frac
    if dark:
        share *= pace.dark_frac
    if off_path:
        share *= pace.off_path_frac
    return share
