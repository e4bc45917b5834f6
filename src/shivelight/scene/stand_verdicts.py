"""Why no position clears it, and which ways are no use."""

import math

import numpy as np

from shivelight.basis.arrays import BoolArray, FloatArray
from shivelight.scene.framing import Reach
from shivelight.scene.parallax import step_to_part_m
from shivelight.scene.silhouettes import bodies_of
from shivelight.scene.stand_faults import Asked, broken_wishes
from shivelight.scene.stands import Stand, length_words


def no_position_words(asked: Asked, compromise: Stand | None) -> str:
    """Say plainly that no position within reach clears it, and what stands in the way.

    Parameters
    ----------
    asked : Asked
        The question.
    compromise : Stand or None
        The best that can be had; None where all ground in reach is closed.
    """
    if compromise is None:
        return (
            "No position within reach clears it: all of it is closed ground, inside a ring or "
            "against a trunk."
        )
    least = asked.framing.least_gap_deg
    gap, pair = compromise.smallest_gap_deg, compromise.pair
    if pair is not None and gap < least:
        names = " and ".join(pair)
        how = f"overlap by {-gap:.2f}°" if gap < 0.0 else f"stand only {gap:.2f}° apart"
        return f"No position within reach clears it: at best {names} {how}.{_needed(asked, pair)}"
    broken = " ".join(broken_wishes(asked, compromise.camera))
    return f"No position within reach clears it, though the gaps open. {broken}".strip()


def side_words(asked: Asked, places_m: FloatArray, clears: BoolArray) -> tuple[str, ...]:
    """Name ways within reach that are no use.

    Parameters
    ----------
    asked : Asked
        The question.
    places_m : ndarray of float64, shape (N, 3)
        Places tried. [m]
    clears : ndarray of bool, shape (N,)
        Which of them clear.
    """
    reach: Reach = asked.reach
    right = places_m[:, 0] - asked.now.x_m
    forward = places_m[:, 1] - asked.now.y_m
    ways = (
        ("Left", reach.left_m, right < -1e-9),
        ("Right", reach.right_m, right > 1e-9),
        ("Forward", reach.forward_m, forward > 1e-9),
        ("Back", reach.back_m, forward < -1e-9),
    )
    return tuple(
        f"{name} is no use: no place within {length_words(far)} clears it."
        for name, far, where in ways
        if far > 0.0 and np.any(where) and not np.any(clears & where)
    )


def _needed(asked: Asked, pair: tuple[str, str]) -> str:
    """How far a step would part these two, whatever it does to others."""
    turn = math.radians(asked.now.yaw_deg)
    sides = []
    for body in bodies_of(asked.survey):
        if body.name in pair:
            x = body.ends_m[0][0] - asked.now.x_m
            y = body.ends_m[0][1] - asked.now.y_m
            across = x * math.cos(turn) - y * math.sin(turn)
            along = x * math.sin(turn) + y * math.cos(turn)
            sides.append((across, along, body.width_m))
    if len(sides) != 2 or min(one[1] for one in sides) <= 0.1:
        return ""
    gap_tan = math.tan(math.radians(asked.framing.least_gap_deg))
    step = step_to_part_m(sides[0], sides[1], gap_tan=gap_tan)
    if math.isnan(step) or step == 0.0 or abs(step) > 50.0:
        return ""
    side = "right" if step > 0.0 else "left"
    kind = "strides, not inches" if abs(step) > 1.0 else "inches"
    return f" To part these two alone takes about {length_words(step)} to the {side}: {kind}."
