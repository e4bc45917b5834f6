"""What is wished of a picture, and how far one will walk for it."""

import math
from dataclasses import dataclass

from shivelight.basis.errors import BadInputError, NotFoundError, require_range
from shivelight.scene.camera import Camera
from shivelight.scene.elements import Role, Segment, Survey, Trunk

MOST_STEPS = 400
"""Steps that a reach may have in any one direction; more would be finer than a foot can be put."""

Pair = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Framing:
    """How the picture should sit.

    Attributes
    ----------
    parts : tuple of (str, str)
        Pairs that should part; none for every two trunks that are no intruders and stand in the
        frame now.
    keeps : tuple of (str, str)
        Pairs whose overlap should stay.
    subject : str or None
        Which trunk or branch the picture is of; None for the survey's.
    subject_place : (u, v, tolerance) or None
        Where its foot should stand, in widths of the frame from the middle, right and down, and
        by how much it may miss; v is None where only the side matters.
    room_above_frac : float
        Share of the frame's height to be free above the subject's top; 0 for none asked, as a
        trunk may leave the frame by the top.
    whole : tuple of str
        What the border should not cut; trunks may still leave by the top.
    out : tuple of str or None
        Intruders that should be out of the frame or hidden; None for every intruder.
    hide : tuple of str or None
        Sky holes that should be out of the frame or hidden; None for all.
    least_gap_deg : float
        Gap from which two trunks read as parted. [°]
    focal_lengths_mm : tuple of float
        Lenses to try; none for the one that is on. [mm]
    print_width_m : float
        How wide the print is to be. [m]
    border_frac : float
        How near the border the subject and what is whole may come, in widths of the frame.
    """

    parts: tuple[Pair, ...] = ()
    keeps: tuple[Pair, ...] = ()
    subject: str | None = None
    subject_place: tuple[float, float | None, float] | None = None
    room_above_frac: float = 0.0
    whole: tuple[str, ...] = ()
    out: tuple[str, ...] | None = None
    hide: tuple[str, ...] | None = None
    least_gap_deg: float = 0.3
    focal_lengths_mm: tuple[float, ...] = ()
    print_width_m: float = 0.6
    border_frac: float = 0.02

    def __post_init__(self) -> None:
        require_range("room above the subject", self.room_above_frac, 0.0, 0.9)
        require_range("least gap", self.least_gap_deg, 0.0, 20.0, "°")
        require_range("width of the print", self.print_width_m, 0.02, 20.0, "m")
        require_range("border kept clear", self.border_frac, 0.0, 0.4)
        for focal_length_mm in self.focal_lengths_mm:
            require_range("focal length", focal_length_mm, 1.0, 2000.0, "mm")
        for one, other in (*self.parts, *self.keeps):
            if one.casefold() == other.casefold():
                raise BadInputError(f"{one} is paired with itself; a pair names two elements.")
        for pair in self.parts:
            if any(_same_pair(pair, kept) for kept in self.keeps):
                raise BadInputError(
                    f"{pair[0]} and {pair[1]} should both part and stay overlapped; keep one wish."
                )
        if self.subject_place is not None:
            side, down, miss = self.subject_place
            require_range("place of the subject across", side, -0.5, 0.5, "widths")
            require_range("place of the subject down", down or 0.0, -2.0, 2.0, "widths")
            require_range("miss allowed to the subject", miss, 0.001, 1.0, "widths")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """How far one will go from where the lens is now, and how finely places are tried.

    Attributes
    ----------
    left_m, right_m, back_m, forward_m : float
        On the ground. [m]
    low_m, high_m : float or None
        Heights of the lens above the ground; None for the height it has now. [m]
    step_m, height_step_m : float
        Between places tried. [m]
    turn_deg, turn_step_deg : float
        How far the camera may be turned to either side, and how finely. [°]
    tilt_deg, tilt_step_deg : float
        The same up and down. [°]
    """

    left_m: float = 0.8
    right_m: float = 0.8
    back_m: float = 0.0
    forward_m: float = 0.0
    low_m: float | None = None
    high_m: float | None = None
    step_m: float = 0.05
    height_step_m: float = 0.1
    turn_deg: float = 10.0
    turn_step_deg: float = 1.0
    tilt_deg: float = 0.0
    tilt_step_deg: float = 2.0

    def __post_init__(self) -> None:
        for name in ("left", "right", "back", "forward"):
            require_range(f"reach {name}", getattr(self, f"{name}_m"), 0.0, 100.0, "m")
        require_range("step", self.step_m, 0.005, 10.0, "m")
        require_range("step of the height", self.height_step_m, 0.005, 10.0, "m")
        require_range("turn", self.turn_deg, 0.0, 90.0, "°")
        require_range("step of the turn", self.turn_step_deg, 0.05, 45.0, "°")
        require_range("tilt", self.tilt_deg, 0.0, 45.0, "°")
        require_range("step of the tilt", self.tilt_step_deg, 0.05, 45.0, "°")
        for height_m in (self.low_m, self.high_m):
            if height_m is not None:
                require_range("height of the lens", height_m, 0.02, 20.0, "m")
        if self.low_m is not None and self.high_m is not None and self.low_m > self.high_m:
            raise BadInputError(
                f"The lowest lens, {self.low_m:g} m, is above the highest, {self.high_m:g} m."
            )
        longest_m = max(self.left_m, self.right_m, self.back_m, self.forward_m)
        if longest_m / self.step_m > MOST_STEPS:
            raise BadInputError(
                f"A reach of {longest_m:g} m in steps of {self.step_m:g} m is too fine; "
                f"take steps of {longest_m / MOST_STEPS:.2g} m or more."
            )

    def heights_m(self, now_m: float) -> tuple[float, ...]:
        """Heights of the lens to try, lowest first; the one it has now if none is named. [m].

        Parameters
        ----------
        now_m : float
            Height of the lens above the ground now. [m]
        """
        low = self.low_m if self.low_m is not None else min(now_m, self.high_m or now_m)
        high = self.high_m if self.high_m is not None else max(now_m, self.low_m or now_m)
        if high - low < 1e-9:
            return (low,)
        count = max(1, round((high - low) / self.height_step_m))
        return tuple(low + (high - low) * one / count for one in range(count + 1))


def offsets(less: float, more: float, step: float) -> tuple[float, ...]:
    """List steps from ``-less`` to ``more`` that pass through nought.

    Parameters
    ----------
    less, more : float
        How far down and up.
    step : float
        Between two.
    """
    first = -math.floor(less / step + 1e-9)
    last = math.floor(more / step + 1e-9)
    return tuple(round(one * step, 12) for one in range(first, last + 1))


def lenses_mm(framing: Framing, now: Camera) -> tuple[float, ...]:
    """Focal lengths to try, shortest first; the one that is on if none is named. [mm].

    Parameters
    ----------
    framing : Framing
        What is wished.
    now : Camera
        The camera as it stands.
    """
    return tuple(sorted(set(framing.focal_lengths_mm))) or (now.focal_length_mm,)


def altitudes_deg(framing: Framing, reach: Reach, now: Camera) -> tuple[float, float]:
    """Altitudes that the widest lens takes in, however it is tilted: the same for every lens.

    Gaps are judged over these, so that no lens can better a gap by cropping where it closes.

    Parameters
    ----------
    framing, reach, now
        What is wished, how far the camera may be tilted, how it stands.
    """
    wide = lenses_mm(framing, now)[0]
    half = math.degrees(math.atan(now.sensor_height_mm / 2.0 / wide))
    low = max(-89.0, now.pitch_deg - reach.tilt_deg - half)
    high = min(89.0, now.pitch_deg + reach.tilt_deg + half)
    return low, high


def name_in(survey: Survey, name: str) -> str:
    """Give a name as the survey writes it.

    Parameters
    ----------
    survey : Survey
        Where it should be.
    name : str
        As typed.

    Raises
    ------
    NotFoundError
        If no element is called that.
    """
    for known in survey.names:
        if known.casefold() == name.casefold():
            return known
    held = ", ".join(survey.names) or "nothing"
    raise NotFoundError(f"No element is called {name}; the survey holds {held}.")


def subject_of(survey: Survey, framing: Framing) -> str | None:
    """Name of the subject, the framing's before the survey's; None when there is none.

    Parameters
    ----------
    survey, framing
        Where it is named.
    """
    if framing.subject is not None:
        return name_in(survey, framing.subject)
    return survey.subject.name if survey.subject is not None else None


def intruders_of(survey: Survey, framing: Framing) -> tuple[str, ...]:
    """Names of what should be out of the frame or hidden: intruders, then sky holes.

    Parameters
    ----------
    survey, framing
        Where they are named.
    """
    every: tuple[Trunk | Segment, ...] = (*survey.trunks, *survey.segments)
    intruders = tuple(one.name for one in every if one.role is Role.INTRUDER)
    out = intruders if framing.out is None else framing.out
    hide = tuple(one.name for one in survey.holes) if framing.hide is None else framing.hide
    return tuple(name_in(survey, one) for one in (*out, *hide))


def _same_pair(one: Pair, other: Pair) -> bool:
    return {name.casefold() for name in one} == {name.casefold() for name in other}
