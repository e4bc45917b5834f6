"""The walk inside a wood as it is asked for, and its grid of whole steps for the search."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray, IntArray
from shivelight.basis.errors import BadInputError, require_range
from shivelight.basis.instants import seconds_between
from shivelight.outing.plan_search import Grid

SET_UP_S = 600.0
"""From arriving to the first picture: tripod, lens, frame. A judgement. [s]"""
STAY_S = 1200.0
"""Shortest stay worth setting up for: twenty minutes together, a house rule. [s]"""
MOST_STEPS = 1440
"""Steps of time that one search may have: a day in minutes."""

_UNIT = 1_000_000  # worth is counted in millionths of a tick
_STOPS = 64  # more than any number of stops; keeps "fewer stops" below one metre


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Walk:
    """The spots of one wood, what they are worth when, and the ways between them.

    Attributes
    ----------
    spots : tuple of str, length N
        Names, each once.
    start_utc : datetime64
        When the first slot of ``worth`` begins.
    worth : ndarray, shape (N, S)
        By spot and slot: worth of each minute there, usually the share of members in which all
        musts hold; 0 to 10. Outside the slots nothing is worth anything.
    walk_s : ndarray, shape (N + 1, N + 1)
        Walking from row to column, shortest ways; 0 is the parking place, then the spots. NaN
        where there is no way. [s]
    earliest_start_utc : datetime64
        One leaves the car no earlier.
    walk_m : ndarray or None, shape (N + 1, N + 1)
        Lengths of the same ways; None lets walking time choose among equals. [m]
    stay_s : float or array_like, shape (N,)
        Shortest stay once set up. [s]
    set_up_s : float
        From arriving to the first picture. [s]
    slot_s, tick_s : float
        Length of a slot, and of the steps in which times are searched; the first must be a
        multiple of the second. Ways are rounded up to whole steps. [s]
    back_by_utc : datetime64 or None
        Back at the car at the latest.
    """

    spots: tuple[str, ...]
    start_utc: np.datetime64
    worth: FloatArray
    walk_s: FloatArray
    earliest_start_utc: np.datetime64
    walk_m: FloatArray | None = None
    stay_s: ArrayLike = STAY_S
    set_up_s: float = SET_UP_S
    slot_s: float = 300.0
    tick_s: float = 60.0
    back_by_utc: np.datetime64 | None = None

    def __post_init__(self) -> None:
        count = len(self.spots)
        if len(set(self.spots)) != count:
            raise BadInputError("A walk names a spot twice; give each spot once.")
        _require_shape("worth of the spots", self.worth, (count, self.worth.shape[-1]))
        _require_shape("walking times", self.walk_s, (count + 1, count + 1))
        if self.walk_m is not None:
            _require_shape("walking distances", self.walk_m, (count + 1, count + 1))
        if not np.all((self.worth >= 0.0) & (self.worth <= 10.0)):
            raise BadInputError("The worth of a spot must be a number from 0 to 10 in each slot.")
        for ways, most in ((self.walk_s, 86_400.0), (self.walk_m, 100_000.0)):
            if ways is not None and np.any((ways < 0.0) | (ways > most)):
                raise BadInputError("A way must take 0 s to 24 h, be 0 to 100 km, or be NaN.")
        require_range("step of the search", self.tick_s, 1.0, self.slot_s, "s")
        require_range("set-up", self.set_up_s, 0.0, 7200.0, "s")
        if self.slot_s % self.tick_s:
            raise BadInputError(
                f"A slot of {self.slot_s:g} s is no multiple of the step of {self.tick_s:g} s."
            )
        steps = self.worth.shape[1] * self.slot_s / self.tick_s
        require_range("number of steps", steps, 0, MOST_STEPS, hint="Take longer steps.")
        stays = np.asarray(self.stay_s, dtype=np.float64)
        if stays.shape not in {(), (count,)} or not np.all((stays > 0.0) & (stays <= 86_400.0)):
            raise BadInputError("The shortest stay must be over 0 s and up to 24 h for each spot.")


class WalkGrid:
    """Between a walk with its clock and the grid of the search.

    Attributes
    ----------
    grid : Grid
        Spots that are worth something at some time, by name.
    used : list of int
        Their places in the walk.
    seconds, ways : ndarray, shape (M + 1, M + 1)
        Their walking times, and what chooses among equals (0 where there is no way). [s], [m]
    scale : int
        Score of one unit of worth.
    """

    def __init__(self, walk: Walk) -> None:
        used = [spot for spot in range(len(walk.spots)) if walk.worth[spot].any()]
        used.sort(key=lambda spot: walk.spots[spot])
        self.walk, self.used = walk, used
        self.set_up = _ticks(walk.set_up_s, walk.tick_s)
        self.origin = walk.start_utc.astype("datetime64[us]") - span(self.set_up * walk.tick_s)
        nodes = [0, *(spot + 1 for spot in used)]
        self.seconds = walk.walk_s[np.ix_(nodes, nodes)]
        ways = self.seconds if walk.walk_m is None else walk.walk_m[np.ix_(nodes, nodes)]
        self.ways = np.where(np.isnan(self.seconds) | np.isnan(ways), 0.0, ways)
        priced = np.rint(self.ways).astype(np.int64) * _STOPS
        # One unit of worth outweighs the longest way that any plan can have.
        self.scale = 1 + int(priced.max(initial=0) + 1) * (len(used) + 1)
        self.grid = self._grid(priced)

    def _grid(self, priced: IntArray) -> Grid:
        walk, count = self.walk, len(self.used)
        stays = np.broadcast_to(np.asarray(walk.stay_s, dtype=np.float64), (len(walk.spots),))
        stay = np.array([_ticks(stays[spot], walk.tick_s) for spot in self.used], dtype=np.int64)
        per_slot = round(walk.slot_s / walk.tick_s)
        worth = np.repeat(
            np.rint(walk.worth[self.used] * _UNIT).astype(np.int64), per_slot, axis=1
        )
        ticks = self.set_up + worth.shape[1] + int(stay.max(initial=0))
        gathered = np.zeros((count, ticks + 1), dtype=np.int64)
        gathered[:, self.set_up + 1 : self.set_up + 1 + worth.shape[1]] = worth
        gathered = np.cumsum(gathered, axis=1) * self.scale
        legs = np.array(
            [[_ticks(leg, walk.tick_s) for leg in row] for row in self.seconds], dtype=np.int64
        )
        early_s = seconds_between(walk.earliest_start_utc, self.origin)
        first = [
            max(_ticks(early_s + leg, walk.tick_s), 0) if leg >= 0 else -1
            for leg in self.seconds[0, 1:]
        ]
        return Grid(
            gathered=gathered,
            walk=np.where(np.eye(count, dtype=np.bool_), -1, legs[1:, 1:]),
            price=priced[1:, 1:] + 1,
            first=np.array(first, dtype=np.int64),
            first_price=priced[0, 1:] + 1,
            last=np.array([self._last(leg, ticks) for leg in self.seconds[1:, 0]], dtype=np.int64),
            home_price=priced[1:, 0],
            set_up=self.set_up,
            stay=stay,
        )

    def _last(self, leg_s: float, ticks: int) -> int:
        """Latest tick to leave a spot whose way to the car takes ``leg_s``."""
        if self.walk.back_by_utc is None:
            return ticks
        if math.isnan(leg_s):
            return -1
        left_s = seconds_between(self.walk.back_by_utc, self.origin) - leg_s
        return max(min(math.floor(left_s / self.walk.tick_s + 1e-9), ticks), -1)

    def minutes(self, score: int) -> float:
        """Turn a score into expected minutes; what the way costs is less than one unit."""
        return -(int(-score) // self.scale) * self.walk.tick_s / 60.0 / _UNIT

    def utc_at(self, tick: int) -> np.datetime64:
        """Instant of a tick."""
        moment: np.datetime64 = self.origin + span(tick * self.walk.tick_s)
        return moment


def _ticks(seconds: float, tick_s: float) -> int:
    """Whole steps that hold a span; −1 for NaN, no way."""
    return -1 if math.isnan(seconds) else math.ceil(seconds / tick_s - 1e-9)


def span(seconds: float) -> np.timedelta64:
    """Seconds as a span of time."""
    return np.timedelta64(round(seconds * 1e6), "us")


def _require_shape(name: str, values: FloatArray, shape: tuple[int, ...]) -> None:
    if values.ndim != 2 or values.shape != shape:
        raise BadInputError(
            f"The {name} are an array of shape {values.shape}; it must be {shape}."
        )
