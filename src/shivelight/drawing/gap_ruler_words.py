"""The gap ruler in words: what it takes, where gaps open and close, readings, table, sentence."""

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from shivelight.basis.errors import BadInputError

STRIDES_FROM_M = 1.0
_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_SIDES = {"x": ("left", "right"), "y": ("back", "forward"), "z": ("down", "up")}
_ROWS_AT_MOST = 45
OPEN_DEG = 90.0
"""Stands for a pair of which one is above the other: nothing to part. [°]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """One pair of neighbours along the way of the lens.

    Attributes
    ----------
    left, right : str
        The two, as they stand in the picture.
    gap_deg : tuple of float
        Air between them at each position; below 0 they overlap; NaN where one is not seen. [°]
    nearer : str
        Which of them stands in front; empty where it is not said.
    """

    left: str
    right: str
    gap_deg: tuple[float, ...]
    nearer: str = ""

    @property
    def farther(self) -> str:
        """The one behind; empty where it is not said."""
        return "" if not self.nearer else self.right if self.nearer == self.left else self.left


@dataclass(frozen=True, slots=True, kw_only=True)
class GapRuler:
    """Gaps along a line through the mark.

    Attributes
    ----------
    positions_m : tuple of float
        Rising; right, forward or up of the mark is positive. [m]
    lanes : tuple of Lane
        One for each pair that should stay apart, left to right.
    least_gap_deg : float
        Less than this is a kiss. [°]
    best_m : float or None
        The place to stand; None takes the widest smallest gap. [m]
    drift_m : (float, float) or None
        How far the lens may stray along the line; None takes the comfortable stretch round the
        best place. [m]
    along : {"x", "y", "z"}
        Sideways, forward or up.
    """

    positions_m: tuple[float, ...]
    lanes: tuple[Lane, ...]
    least_gap_deg: float = 0.3
    best_m: float | None = None
    drift_m: tuple[float, float] | None = None
    along: str = "x"

    def __post_init__(self) -> None:
        if len(self.positions_m) < 2 or any(b <= a for a, b in pairwise(self.positions_m)):
            raise BadInputError("A gap ruler needs two positions or more, in rising order.")
        if not self.lanes:
            raise BadInputError("A gap ruler needs a pair of trunks; type two, near one first.")
        if any(len(lane.gap_deg) != len(self.positions_m) for lane in self.lanes):
            raise BadInputError("Each pair needs a gap at every position.")
        if self.along not in _SIDES:
            raise BadInputError("A gap ruler runs along x, y or z.")
        low, high = self.positions_m[0], self.positions_m[-1]
        if self.best_m is not None and not low - 1e-6 <= self.best_m <= high + 1e-6:
            best, ends = place_words(self.best_m, self.along), span_words((low, high), self.along)
            raise BadInputError(f"The place to stand, {best}, lies off the ruler, {ends}.")

    @property
    def smallest_deg(self) -> tuple[float, ...]:
        """Smallest gap at each position; NaN where a pair is not known. [°]."""
        return tuple(
            math.nan if any(map(math.isnan, gaps)) else min(gaps)
            for gaps in zip(*(lane.gap_deg for lane in self.lanes), strict=True)
        )

    @property
    def best(self) -> float | None:
        """The best position; None where nothing is clear. [m]."""
        if self.best_m is not None:
            return self.best_m
        known = [
            (gap, -abs(at), at)
            for gap, at in zip(self.smallest_deg, self.positions_m, strict=True)
            if gap > 0.0
        ]
        return max(known)[2] if known else None

    @property
    def drift(self) -> tuple[float, float] | None:
        """The stretch round the best position in which every gap is comfortable. [m]."""
        if self.drift_m is not None or self.best is None:
            return self.drift_m
        at = self.best
        return next(
            (one for one in self.comfortable if one[0] - 1e-9 <= at <= one[1] + 1e-9), None
        )

    @property
    def comfortable(self) -> tuple[tuple[float, float], ...]:
        """Stretches in which every gap is at least the least comfortable one. [m]."""
        return spans_over(self.positions_m, self.smallest_deg, self.least_gap_deg)

    def at(self, lane: Lane, position_m: float) -> float:
        """Gap of a pair at a position, between the given ones on a straight line. [°]."""
        return value_at(self.positions_m, lane.gap_deg, position_m)


def value_at(positions: Sequence[float], values: Sequence[float], at: float) -> float:
    """Read a course at a position; NaN outside it."""
    if not positions[0] - 1e-9 <= at <= positions[-1] + 1e-9:
        return math.nan
    after = min(max(bisect_right(positions, at), 1), len(positions) - 1)
    (low, high), (one, other) = positions[after - 1 : after + 1], values[after - 1 : after + 1]
    share = min(max((at - low) / (high - low), 0.0), 1.0)
    return one if share == 0.0 else other if share == 1.0 else one + share * (other - one)


def spans_over(
    positions: Sequence[float], values: Sequence[float], limit: float
) -> tuple[tuple[float, float], ...]:
    """Stretches over which a course is at least the limit; edges lie on straight lines."""
    spans: list[tuple[float, float]] = []
    start: float | None = None
    before: tuple[float, float] | None = None
    for at, value in zip(positions, values, strict=True):
        over = not math.isnan(value) and value >= limit
        if over and start is None:
            start = at if before is None else _crossing(before, (at, value), limit)
        if not over and start is not None and before is not None:
            spans.append((start, _crossing(before, (at, value), limit)))
            start = None
        before = (at, value)
    if start is not None and before is not None:
        spans.append((start, before[0]))
    return tuple(spans)


def _crossing(before: tuple[float, float], after: tuple[float, float], limit: float) -> float:
    if math.isnan(before[1]) or math.isnan(after[1]) or before[1] == after[1]:
        return before[0] if math.isnan(after[1]) else after[0]
    return before[0] + (after[0] - before[0]) * (limit - before[1]) / (after[1] - before[1])


def place_words(metres: float, along: str = "x") -> str:
    """Write a position: "65 cm right", "2.4 m left", "at your mark"."""
    if round(abs(metres) * 100.0) == 0:
        return "at your mark"
    side = _SIDES[along][metres > 0.0]
    return f"{length_words(metres)} {side}"


def length_words(metres: float) -> str:
    """Write a length in cm, from 2 m on in metres."""
    size = abs(metres)
    return f"{round(size * 100.0)} cm" if size < 1.995 else f"{size:.1f} m"


def span_words(span: tuple[float, float], along: str = "x") -> str:
    """Write a stretch: "63 to 70 cm right", "5 cm left to 12 cm right"."""
    low, high = span
    short = max(abs(low), abs(high)) < 1.995
    if low * high > 0.0 and short and round(low * 100.0) != 0:
        near, far = sorted((abs(low), abs(high)))
        return f"{round(near * 100.0)} to {round(far * 100.0)} cm {_SIDES[along][high > 0.0]}"
    first, last = (place_words(one, along).removeprefix("at ") for one in span)
    return f"{first} to {last}"


def drift_words(drift: tuple[float, float], along: str) -> str:
    """Write the drift short: on one side the side is already said above."""
    low, high = drift
    if low > 0.0 or high < 0.0:
        near, far = sorted((abs(low), abs(high)))
        return f"{round(near * 100.0)} to {length_words(far)}"
    return span_words(drift, along)


def lane_events(ruler: GapRuler, lane: Lane) -> tuple[tuple[float, str], ...]:
    """Positions at which a pair opens and closes, walked from left to right."""
    found: list[tuple[float, str]] = []
    ends = (ruler.positions_m[0], ruler.positions_m[-1])
    for low, high in spans_over(ruler.positions_m, lane.gap_deg, 0.0):
        if low > ends[0]:
            found.append((low, "opens"))
        if high < ends[1]:
            found.append((high, "closes"))
    return tuple(found)


def ruler_sentence(ruler: GapRuler) -> str:
    """Say where each pair opens and closes, where all is comfortable, and the best place."""
    ends = (ruler.positions_m[0], ruler.positions_m[-1])
    said = [f"Lens from {span_words(ends, ruler.along)} of your mark."]
    for lane in ruler.lanes:
        events = lane_events(ruler, lane)
        name = f"The gap between {lane.left} and {lane.right}"
        words = [f"{what} {_at(place_words(at, ruler.along))}" for at, what in events]
        if words:
            said.append(f"{name} {' and '.join(words)}.")
        elif all(gap < 0.0 for gap in lane.gap_deg):
            said.append(f"{name} is closed all along.")
        elif all(gap >= 0.0 for gap in lane.gap_deg):
            said.append(f"{name} is open all along.")
        else:
            said.append(f"{name} is not known all along.")
    return " ".join([*said, _best_sentence(ruler)])


def _best_sentence(ruler: GapRuler) -> str:
    if ruler.best is None:
        return "No place here clears it."
    best = place_words(ruler.best, ruler.along)
    smallest = value_at(ruler.positions_m, ruler.smallest_deg, ruler.best)
    far = " This needs strides." if abs(ruler.best) >= STRIDES_FROM_M else ""
    least = f"{ruler.least_gap_deg:g}°"
    count = len(ruler.lanes)
    gaps = "The gap is" if count == 1 else f"All {_count(count)} gaps are"
    if ruler.comfortable:
        spans = " and ".join(span_words(span, ruler.along) for span in ruler.comfortable)
        return f"{gaps} {least} or wider from {spans}; best {best}, {gap_words(smallest)}.{far}"
    return (
        f"No place here gives every gap {least}; the best is {best}, "
        f"where the smallest is {gap_words(smallest)}.{far}"
    )


def _at(place: str) -> str:
    return place if place.startswith("at ") else f"at {place}"


def _count(number: int) -> str:
    return _COUNTS[number] if number < len(_COUNTS) else str(number)


def gap_words(gap_deg: float) -> str:
    """Write a gap: "0.37°", "closed", "clear" for one above the other, "not seen"."""
    if math.isnan(gap_deg) or gap_deg >= OPEN_DEG:
        return "not seen" if math.isnan(gap_deg) else "clear"
    return "closed" if gap_deg < 0.0 else f"{gap_deg:.2f}°"


def ruler_readings(ruler: GapRuler) -> tuple[str, ...]:
    """Write one line for each position: the smallest gap, whose it is, what is closed."""
    lines = []
    for number, at in enumerate(ruler.positions_m):
        gaps = [(lane.gap_deg[number], f"{lane.left} and {lane.right}") for lane in ruler.lanes]
        closed = [name for gap, name in gaps if gap < 0.0]
        known = [one for one in gaps if not math.isnan(one[0])]
        place = place_words(at, ruler.along)
        place = place[0].upper() + place[1:]
        if closed:
            lines.append(f"{place}: closed, {'; '.join(closed)}.")
        elif known:
            gap, name = min(known)
            kiss = "" if gap >= ruler.least_gap_deg else ", a kiss"
            lines.append(f"{place}: smallest gap {gap:.2f}°, {name}{kiss}.")
        else:
            lines.append(f"{place}: no pair is seen.")
    return tuple(lines)


def ruler_headers(ruler: GapRuler) -> tuple[str, ...]:
    """Name the columns of the table."""
    return ("lens", *(f"{lane.left} | {lane.right}" for lane in ruler.lanes))


def ruler_rows(ruler: GapRuler) -> tuple[tuple[str, ...], ...]:
    """Lay the gaps out as a table: every few positions, the mark and the best place too."""
    step = max(1, math.ceil(len(ruler.positions_m) / _ROWS_AT_MOST))
    while step > 1 and 10 % step and step < 10:
        step += 1
    places = set(ruler.positions_m[::step])
    places |= {at for at in (ruler.best, 0.0) if at is not None}
    low, high = ruler.positions_m[0], ruler.positions_m[-1]
    return tuple(
        (
            place_words(at, ruler.along),
            *(gap_words(ruler.at(lane, at)) for lane in ruler.lanes),
        )
        for at in sorted(places)
        if low <= at <= high
    )
