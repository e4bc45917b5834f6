"""A stand: a place for the lens, what it gives, and what it is worth knowing of it."""

import math
from dataclasses import dataclass

from shivelight.scene.camera import Camera
from shivelight.scene.drift import Drift
from shivelight.scene.elements import Survey
from shivelight.scene.framing import Pair
from shivelight.scene.gaps import Gap
from shivelight.scene.spread import Spread

STRIDE_M = 1.0
"""A move longer than this takes strides; inches will do below. A judgement (LOOK, 10 b). [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """One place for the lens.

    Attributes
    ----------
    x_m, y_m, z_m : float
        Where the lens is, in the local frame. [m]
    right_m, forward_m, up_m : float
        How far that is from where it is now; ``up_m`` above the ground there. [m]
    height_m : float
        Of the lens above the ground there. [m]
    camera : Camera
        The lens and how it is turned.
    smallest_gap_deg : float
        Of the pairs that should part; 90 where none should. [°]
    smallest_gap_frac, smallest_gap_print_mm : float
        The same as a share of the frame's width and on the wished print; NaN where none. [mm]
    pair : (str, str) or None
        Whose gap that is, from left to right.
    gaps : tuple of Gap
        Neighbours from left to right, or the pairs named.
    touch, comfort : Drift or None
        How far one may drift to the first touch, and while every gap stays comfortable; None
        where no pair should part. Nought everywhere when it is not open to begin with.
    spread : Spread or None
        Where the best place may lie for all that was measured; None without any doubt.
    finish_by_eye : bool
        Whether the spread is wider than the drift allowed.
    watch : tuple of (str, str)
        Gaps to watch then: the one that closes to the left, the one that closes to the right.
    go, step, closes : str
        "Go 65 cm to the right.", "Inches will do.", "Past 82 cm Crook closes on Plumb."
    reasons, prices : tuple of str
        Why this place, and what it costs.
    """

    x_m: float
    y_m: float
    z_m: float
    right_m: float
    forward_m: float
    up_m: float
    height_m: float
    camera: Camera
    smallest_gap_deg: float
    smallest_gap_frac: float
    smallest_gap_print_mm: float
    pair: Pair | None
    gaps: tuple[Gap, ...]
    touch: Drift | None
    comfort: Drift | None
    spread: Spread | None = None
    finish_by_eye: bool = False
    watch: tuple[Pair, ...] = ()
    go: str
    step: str
    closes: str
    reasons: tuple[str, ...] = ()
    prices: tuple[str, ...] = ()

    @property
    def focal_length_mm(self) -> float:
        """Focal length. [mm]."""
        return self.camera.focal_length_mm

    @property
    def yaw_deg(self) -> float:
        """How far the camera is turned to the right. [°]."""
        return self.camera.yaw_deg

    @property
    def pitch_deg(self) -> float:
        """How far the camera is tilted up. [°]."""
        return self.camera.pitch_deg

    @property
    def drift(self) -> Drift | None:
        """How far one may drift to the first touch."""
        return self.touch

    @property
    def words(self) -> str:
        """Which way to go, and whether in inches or strides."""
        return f"{self.go} {self.step}"

    @property
    def moved_m(self) -> float:
        """How far the stand is from where the lens is now, along the ground. [m]."""
        return math.hypot(self.right_m, self.forward_m)


def length_words(length_m: float) -> str:
    """Write a length as the tape shows it: "65 cm", "1.4 m".

    Parameters
    ----------
    length_m : float
        Any length; its sign is left out. [m]
    """
    cm = round(abs(length_m) * 100.0)
    return f"{cm} cm" if cm < 100 else f"{abs(length_m):.1f} m"


def go_words(right_m: float, forward_m: float, up_m: float) -> str:
    """Say which way to go, as in "Go 65 cm to the right and 20 cm forward".

    Parameters
    ----------
    right_m, forward_m, up_m : float
        From where the lens is now. [m]
    """
    steps = []
    if abs(right_m) >= 0.005:
        steps.append(f"{length_words(right_m)} to the {'right' if right_m > 0 else 'left'}")
    if abs(forward_m) >= 0.005:
        steps.append(f"{length_words(forward_m)} {'forward' if forward_m > 0 else 'back'}")
    walk = f"Go {' and '.join(steps)}." if steps else "Stay where you are."
    if abs(up_m) < 0.005:
        return walk
    turn = "Raise" if up_m > 0 else "Lower"
    return f"{walk} {turn} the lens by {length_words(up_m)}."


def step_words(right_m: float, forward_m: float) -> str:
    """Say whether inches will do or strides are needed.

    Parameters
    ----------
    right_m, forward_m : float
        From where the lens is now. [m]
    """
    far_m = math.hypot(right_m, forward_m)
    return "This needs strides." if far_m > STRIDE_M else "Inches will do."


def range_words(low_m: float, high_m: float) -> str:
    """Say from where to where sideways: "from 63 to 70 cm to the right".

    Parameters
    ----------
    low_m, high_m : float
        To the right of where the lens is now; infinite for without end. [m]
    """
    if math.isinf(low_m) and math.isinf(high_m):
        return "sideways as far as you like"
    if math.isinf(high_m):
        return f"to the right without end from {_sided(low_m)}"
    if math.isinf(low_m):
        return f"to the left without end from {_sided(high_m)}"
    if low_m * high_m < 0.0 and min(abs(low_m), abs(high_m)) >= 0.005:
        return f"from {_sided(low_m)} to {_sided(high_m)}"
    side = "right" if low_m + high_m > 0.0 else "left"
    near, far = sorted((abs(low_m), abs(high_m)))
    if round(far * 100.0) < 100:
        return f"from {round(near * 100.0)} to {round(far * 100.0)} cm to the {side}"
    return f"from {length_words(near)} to {length_words(far)} to the {side}"


def closes_words(
    survey: Survey, touch: Drift | None, *, pairs: tuple[Pair, ...], moved_m: tuple[float, float]
) -> str:
    """Say what closes on going on: "Past 82 cm to the right Crook closes on Plumb".

    Parameters
    ----------
    survey : Survey
        What stands there.
    touch : Drift or None
        How far one may go from the stand.
    pairs : tuple of (str, str)
        Pairs by their number in the drift.
    moved_m : (right, forward)
        How far the stand is from where the lens is now. [m]
    """
    right, forward = moved_m
    sideways = abs(right) >= abs(forward)
    moved = right if sideways else forward
    way = (
        ("right" if moved >= 0.0 else "left") if sideways else ("forward" if moved > 0 else "back")
    )
    row = None if touch is None else touch.pair_of(way)
    if touch is None or row is None or touch.way_m(way) == 0.0:
        return ""
    near, far = sorted(pairs[row], key=lambda name: _away_m(survey, name))
    past = length_words(abs(moved) + touch.way_m(way))
    toward = f"to the {way}" if sideways else way
    return f"Past {past} {toward} {far} closes on {near}."


def gap_words(gap_deg: float, print_mm: float, *, print_width_m: float) -> str:
    """Say how large a gap is: "0.37°, which is 5 mm on your 60 cm print".

    Parameters
    ----------
    gap_deg, print_mm : float
        The gap as an angle and on the print. [°, mm]
    print_width_m : float
        How wide the print is. [m]
    """
    wide = length_words(print_width_m)
    return f"{gap_deg:.2f}°, which is {print_mm:.0f} mm on your {wide} print"


def _sided(length_m: float) -> str:
    return f"{length_words(length_m)} {'right' if length_m >= 0.0 else 'left'}"


def _away_m(survey: Survey, name: str) -> float:
    """How far an element is from the mark. [m]."""
    for trunk in survey.trunks:
        if trunk.name == name:
            return trunk.distance_m
    segment = next(one for one in survey.segments if one.name == name)
    return min(math.hypot(end[0], end[1]) for end in (segment.start_m, segment.end_m))
