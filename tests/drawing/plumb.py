"""Plumb and Lean, five beeches of the demo, and their gaps by the plain formula of the trade."""

import math
from itertools import pairwise

from shivelight.drawing.gap_ruler_words import GapRuler, Lane
from shivelight.scene.elements import Role, SkyHole, Survey, Trunk, trunk_at

FIVE = (
    ("Stub", -10.5, 18.0, 0.38),
    ("Crook", -6.0, 10.0, 0.60),
    ("Plumb", 0.0, 7.0, 0.55),
    ("Lean", 1.1, 13.0, 0.42),
    ("Pale", 5.2, 24.0, 0.30),
)
TRUNKS: tuple[Trunk, ...] = tuple(
    trunk_at(
        name,
        angle,
        distance_m=distance,
        width_m=width,
        role=Role.SUBJECT if name == "Plumb" else Role.COMPANION,
    )
    for name, angle, distance, width in FIVE
)
SURVEY = Survey(trunks=TRUNKS)
HOLE = SkyHole(name="hole", angle_deg=9.0, altitude_deg=7.0, width_deg=4.0, height_deg=2.0)


def gap_deg(left: Trunk, right: Trunk, x_m: float, y_m: float = 0.0) -> float:
    """Next left edge less this right edge, as seen from a place. [°]."""

    def edges(one: Trunk) -> tuple[float, float]:
        away = math.hypot(one.x_m - x_m, one.y_m - y_m)
        middle = math.atan2(one.x_m - x_m, one.y_m - y_m)
        half = math.asin(one.width_m / 2.0 / away)
        return math.degrees(middle - half), math.degrees(middle + half)

    return edges(right)[0] - edges(left)[1]


def gaps(x_m: float, y_m: float = 0.0) -> tuple[tuple[str, str, float], ...]:
    return tuple(
        (left.name, right.name, gap_deg(left, right, x_m, y_m)) for left, right in pairwise(TRUNKS)
    )


def ruler(low_cm: int = -80, high_cm: int = 110, **more: float | None) -> GapRuler:
    positions = tuple(cm / 100.0 for cm in range(low_cm, high_cm + 1))
    lanes = tuple(
        Lane(
            left=left.name,
            right=right.name,
            gap_deg=tuple(gap_deg(left, right, x) for x in positions),
            nearer=min((left, right), key=lambda one: one.distance_m).name,
        )
        for left, right in pairwise(TRUNKS)
    )
    return GapRuler(positions_m=positions, lanes=lanes, best_m=more.get("best_m"))
