"""What is found on arrival, what each spot brings to it, and the two put together."""

import math
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.basis.errors import BadInputError
from shivelight.basis.instants import clock, seconds_between
from shivelight.outing.arrive_spans import Spans, both, where_within
from shivelight.outing.wishes import LEAF_STAGES, Wish

MIST_RANGE_M: dict[str, tuple[float, float]] = {
    "none": (5000.0, math.inf),
    "wisps": (1000.0, 5000.0),  # patchy
    "thin": (300.0, 1000.0),
    "good": (100.0, 300.0),
    "thick": (0.0, 100.0),
}
"""Optical range that each word of mist stands for: a judgement, made once, here. [m]"""
AIR_TAPS = ("still", "stirring", "moving")
LIGHT_TAPS = ("clear", "broken", "overcast")
GROUND_TAPS = ("dry", "wet", "frost", "hoar")
_MIDDLE_RANGE_M = {"wisps": 2236.0, "thin": 548.0, "good": 173.0, "thick": 50.0}  # geometric; half


class LightSpan(Protocol):
    """What is used of a window of direct light; ``light.reach.LightWindow`` will do."""

    @property
    def start_utc(self) -> np.datetime64: ...  # noqa: D102
    @property
    def end_utc(self) -> np.datetime64: ...  # noqa: D102
    @property
    def facing(self) -> str: ...  # noqa: D102


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What is found on arrival.

    Attributes
    ----------
    mist : str
        One of the words of :data:`MIST_RANGE_M`.
    air : str
        At leaf height: one of :data:`AIR_TAPS`.
    light : str
        The sky: one of :data:`LIGHT_TAPS`.
    ground : str
        One of :data:`GROUND_TAPS`, or empty when not looked at.
    """

    mist: str
    air: str
    light: str
    ground: str = ""

    def __post_init__(self) -> None:
        for name, word, known in (
            ("mist", self.mist, tuple(MIST_RANGE_M)),
            ("air", self.air, AIR_TAPS),
            ("light", self.light, LIGHT_TAPS),
            ("ground", self.ground, ("", *GROUND_TAPS)),
        ):
            if word not in known:
                choices = ", ".join(one for one in known if one)
                raise BadInputError(f"{name} {word!r} is not one of: {choices}.")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SpotChance:
    """What a spot brings to the re-ranking.

    Attributes
    ----------
    spot, wood, zone_name : str
        Names, and the clock of the sentences.
    wishes : tuple of Wish
        Musts and would-likes.
    light : tuple of LightSpan
        All windows of direct light on the subject that day, clouds and mist apart.
    sun_utc, sun_altitude_deg : ndarray, shape (S,)
        Apparent altitude of the sun through the morning, a few minutes apart; empty when not
        known, which leaves sun wishes not known. [°]
    leaf : str
        Leaf stage, or empty when not known.
    ground : str
        What the evening expects on the ground there: dry, wet, frost, hoar, or empty.
    lifts_utc : tuple of datetime64
        When mist has lifted in 1, 5 and 9 of 10 cases; entries may be missing at the end.
    mist_depth_m : float
        How deep the mist lies where light comes through it. [m]
    """

    spot: str
    wood: str
    zone_name: str
    wishes: tuple[Wish, ...]
    light: tuple[LightSpan, ...]
    sun_utc: UtcArray
    sun_altitude_deg: FloatArray
    leaf: str = ""
    ground: str = ""
    lifts_utc: tuple[np.datetime64, ...] = ()
    mist_depth_m: float = 10.0

    def __post_init__(self) -> None:
        if self.sun_utc.shape != self.sun_altitude_deg.shape or self.sun_utc.ndim != 1:
            raise BadInputError("The sun's altitudes and their times must be two equal rows.")
        if len(self.lifts_utc) > 3 or list(self.lifts_utc) != sorted(self.lifts_utc):
            raise BadInputError("Lifting times are three at most, in 1, 5 and 9 of 10 cases.")
        for name, word, known in (
            ("leaf stage", self.leaf, LEAF_STAGES),
            ("ground", self.ground, GROUND_TAPS),
        ):
            if word and word not in known:
                raise BadInputError(f"{name} {word!r} is not one of: {', '.join(known)}.")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scene:
    """One spot as found at one moment, with what its wishes are asked about."""

    spot: SpotChance
    answers: Answers
    at_utc: np.datetime64

    def after_s(self, moment: np.datetime64) -> float:
        """Seconds from the moment of looking [s]."""
        return seconds_between(moment, self.at_utc)

    def clock(self, after_s: float) -> str:
        """Print a time on the spot's clock."""
        moment = self.at_utc.astype("datetime64[us]") + np.timedelta64(round(after_s), "s")
        return clock(moment, self.spot.zone_name)

    def sun_within(self, low_deg: float, high_deg: float) -> Spans:
        """When the sun stands between two altitudes."""
        at_s = (self.spot.sun_utc - self.at_utc) / np.timedelta64(1, "s")
        return where_within(at_s, self.spot.sun_altitude_deg, low=low_deg, high=high_deg)

    @property
    def lifted_s(self) -> tuple[float, float]:
        """When mist is gone, likely and at the latest; infinite where that is not known.

        Mist that is still there when half of such mornings are clear is given until the time by
        which 9 in 10 are; after that, no end is known.
        """
        after = [self.after_s(moment) for moment in self.spot.lifts_utc[1:]]
        likely_s, late_s = [*after, math.inf, math.inf][:2]
        if likely_s <= 0.0:
            likely_s = late_s = late_s if late_s > 0.0 else math.inf
        return likely_s, late_s

    @property
    def states(self) -> frozenset[str]:
        """What lies on the ground at the spot; empty when not known.

        Hoar is a frost. Frost where one stands and hoar expected at the spot make hoar there.
        """
        found, expected = self.answers.ground, self.spot.ground
        said = {found or expected} - {""}
        if found == "frost" and expected == "hoar":
            said.add("hoar")
        return frozenset(said | ({"frost"} if "hoar" in said else set()))

    def direct(self, facings: tuple[str, ...] = ()) -> Spans:
        """When direct light is on the subject: windows, sky and mist taken together.

        A beam through mist of depth h and range V keeps 5 % while the sun's sine is above h/V
        (Koschmieder, extinction 3/V, as the evening's overlap has it).
        """
        if self.answers.light == "overcast":
            return ()
        windows = [
            (self.after_s(window.start_utc), self.after_s(window.end_utc))
            for window in self.spot.light
            if not facings or window.facing in facings
        ]
        range_m = _MIDDLE_RANGE_M.get(self.answers.mist)
        if range_m is None or not self.spot.sun_utc.size:
            return tuple(windows)
        sine = min(self.spot.mist_depth_m / range_m, 1.0)
        through = self.sun_within(math.degrees(math.asin(sine)), 90.0)
        lifted = self.lifted_s[0]
        before, after = ((-math.inf, lifted),), ((lifted, math.inf),)
        return both(both(tuple(windows), through), before) + both(tuple(windows), after)
