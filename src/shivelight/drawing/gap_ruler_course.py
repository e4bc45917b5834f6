"""From the course of gaps that the scene works out to the gap ruler."""

import math

from shivelight.drawing.gap_ruler_words import OPEN_DEG, GapRuler, Lane
from shivelight.scene.elements import Survey
from shivelight.scene.gaps import GapCourse


def ruler_of(
    course: GapCourse,
    survey: Survey,
    *,
    least_gap_deg: float = 0.3,
    best_m: float | None = None,
    drift_m: tuple[float, float] | None = None,
    along: str = "x",
) -> GapRuler:
    """Lay a course of gaps out as a gap ruler.

    Parameters
    ----------
    course : GapCourse
        Gaps along a line through the mark; infinite where a pair shares no altitude.
    survey : Survey
        Tells which of two stands nearer.
    least_gap_deg : float
        Less than this is a kiss. [°]
    best_m, drift_m
        Place to stand and how far the lens may stray; None finds them on the course. [m]
    along : {"x", "y", "z"}
        As the course was taken.
    """
    away_m = {one.name: one.distance_m for one in survey.trunks}
    lanes = tuple(
        Lane(
            left=left,
            right=right,
            gap_deg=tuple(OPEN_DEG if math.isinf(gap) else gap for gap in row),
            nearer=min((left, right), key=away_m.__getitem__)
            if {left, right} <= set(away_m)
            else "",
        )
        for (left, right), row in zip(course.pairs, course.gaps_deg.tolist(), strict=True)
    )
    lanes = deciding_lanes(lanes, least_gap_deg=least_gap_deg)
    return GapRuler(
        positions_m=tuple(round(at, 6) for at in course.offsets_m.tolist()),
        lanes=lanes,
        least_gap_deg=least_gap_deg,
        best_m=best_m,
        drift_m=drift_m,
        along=along,
    )


def deciding_lanes(lanes: tuple[Lane, ...], *, least_gap_deg: float) -> tuple[Lane, ...]:
    """Keep the pairs of neighbours, and any other that closes where all of those are open.

    Parameters
    ----------
    lanes : tuple of Lane
        Pairs, left to right; of every two of some trunks, or any pairs that were named.
    least_gap_deg : float
        Less than this is a kiss. [°]

    Returns
    -------
    tuple of Lane
        In the order given.
    """
    pairs = {(one.left, one.right) for one in lanes}
    names = {name for pair in pairs for name in pair}
    kept = [
        one
        for one in lanes
        if not any((one.left, mid) in pairs and (mid, one.right) in pairs for mid in names)
    ]
    for one in lanes:
        if one not in kept and any(
            gap < least_gap_deg <= min(others)
            for gap, *others in zip(one.gap_deg, *(lane.gap_deg for lane in kept), strict=True)
        ):
            kept.append(one)
    return tuple(one for one in lanes if one in kept)
