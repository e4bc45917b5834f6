"""On arrival: what was found there re-ranks the spots, in walking minutes.

Three taps (mist, air, light) and, where it tells, the ground. Pure functions of values: every
time is passed in, so the whole table can be made the evening before and looked up without power
to compute. Spots are taken to share what was found where one stands; the ground alone keeps what
the evening expected of each.
"""

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from shivelight.basis.errors import BadInputError, require_range
from shivelight.outing.arrive_scene import (
    AIR_TAPS,
    GROUND_TAPS,
    LIGHT_TAPS,
    MIST_RANGE_M,
    Answers,
    Scene,
    SpotChance,
)
from shivelight.outing.arrive_spans import Span, Spans, all_of, both, length_s
from shivelight.outing.arrive_wishes import Standing, stands
from shivelight.outing.wishes import WishKind

__all__ = [
    "AIR_TAPS", "GROUND_TAPS", "LIGHT_TAPS", "MIST_RANGE_M", "MIST_TAPS",
    "Answers", "ArrivalChoice", "ArrivalRow", "SpotChance", "arrival_table", "rerank",
]  # fmt: skip

MIST_TAPS = tuple(MIST_RANGE_M)
HORIZON_S = 4.0 * 3600.0
"""How far ahead minutes are counted: a morning. A judgement. [s]"""
ENOUGH_MIN = 30.0
"""Minutes on a spot that are enough for a picture: a judgement. [min]"""
WALK_STAGE_S = 600.0
"""Walks that differ by less are alike: a judgement. [s]"""
BEST_SHOWN = 4
"""How many choices a row of the table holds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ArrivalChoice:
    """One spot to go to as things were found.

    Attributes
    ----------
    spot, wood : str
        Names.
    walk_min : float
        From here. [min]
    from_utc, until_utc : datetime64 or None
        When its musts hold together for longest, by middle values, from arriving there on; None
        where they are not expected to, and ``until_utc`` None where no end is known.
    why : str
        One short sentence.
    """

    spot: str
    wood: str
    walk_min: float
    from_utc: np.datetime64 | None
    until_utc: np.datetime64 | None
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ArrivalRow:
    """The best spots for one set of taps."""

    mist: str
    air: str
    light: str
    choices: tuple[ArrivalChoice, ...]


def rerank(
    spots: Sequence[SpotChance],
    answers: Answers,
    *,
    at_utc: np.datetime64,
    here: Sequence[float],
) -> tuple[ArrivalChoice, ...]:
    """Rank the spots by what was found.

    First come spots whose musts are expected to hold together once one has walked there, then
    those where they only may, last those where one certainly fails, with the reason. Among the
    first, those of which every must is known, then expected minutes after walking as far as
    :data:`ENOUGH_MIN`, then the walk in stages of :data:`WALK_STAGE_S`, then would-likes, then
    the walk itself. Among the others the number of musts that hold or will, then expected
    minutes, would-likes and walk.

    Parameters
    ----------
    spots : sequence of SpotChance
        What each spot brings, length N.
    answers : Answers
        What was found.
    at_utc : datetime64
        When it was found.
    here : sequence of float
        Walking time from here to each spot, length N. [s]

    Returns
    -------
    tuple of ArrivalChoice
        All of them, best first.

    Raises
    ------
    BadInputError
        If there is not one walking time for each spot.
    """
    if len(here) != len(spots):
        raise BadInputError(f"{len(spots)} spots need as many walking times; got {len(here)}.")
    for walk_s in here:
        require_range("walk", walk_s, 0.0, 86_400.0, "s")
    judged = [
        _Judged(Scene(spot=spot, answers=answers, at_utc=at_utc), float(walk_s))
        for spot, walk_s in zip(spots, here, strict=True)
    ]
    return tuple(one.choice for one in sorted(judged, key=lambda one: one.key))


def arrival_table(
    spots: Sequence[SpotChance],
    *,
    at_utc: np.datetime64,
    here: Sequence[float],
    ground: str = "",
    best: int = BEST_SHOWN,
) -> tuple[ArrivalRow, ...]:
    """Rank the spots for every set of the three taps: 5 x 3 x 3 rows.

    Parameters
    ----------
    spots, at_utc, here
        As for :func:`rerank`.
    ground : str
        As for :class:`Answers`; empty uses what the evening expected at each spot.
    best : int
        How many choices a row holds.
    """
    return tuple(
        ArrivalRow(
            mist=mist,
            air=air,
            light=light,
            choices=rerank(
                spots,
                Answers(mist=mist, air=air, light=light, ground=ground),
                at_utc=at_utc,
                here=here,
            )[:best],
        )
        for mist, air, light in itertools.product(MIST_TAPS, AIR_TAPS, LIGHT_TAPS)
    )


class _Judged:
    """One spot as found: its musts joined from the time one is there."""

    def __init__(self, scene: Scene, walk_s: float) -> None:
        self.scene, self.walk_s = scene, walk_s
        standings = [stands(wish, scene) for wish in scene.spot.wishes]
        self.ahead: Spans = ((walk_s, max(HORIZON_S, walk_s + 1.0)),)
        self.musts = [one for one in standings if one.wish.must]
        # A spot without musts is judged by its would-likes together, as the evening does.
        self.needed = self.musts or standings
        known = [one for one in self.needed if one.known]
        self.joint = all_of([self.ahead, *(one.likely for one in known)])
        self.may = all_of([self.ahead, *(one.possible for one in known)])
        share_frac = min((one.share_frac for one in known), default=1.0)
        self.minutes = length_s(self.joint) * share_frac / 60.0 if known else 0.0
        self.met = sum(self._is_ahead(one) for one in self.musts if one.known)
        self.likes = sum(
            one.known and bool(both(one.likely, self.joint))
            for one in standings
            if not one.wish.must
        )

    def _is_ahead(self, one: Standing) -> bool:
        return bool(both(one.possible, self.ahead))

    @property
    def key(self) -> tuple[int, int, float, int, int, float, str, str]:
        """Sort key, best first."""
        fails = 2 if not self.may else int(not self.joint)
        spot = self.scene.spot
        # Minutes beyond enough do not pay for a longer walk: running about uses up the mist.
        lacking = -self.met if fails else len(self.musts) - self.met
        minutes = self.minutes if fails else min(self.minutes, ENOUGH_MIN)
        stage = 0 if fails else int(self.walk_s // WALK_STAGE_S)
        return (
            fails, lacking, -round(minutes, 3), stage, -self.likes, self.walk_s,
            spot.spot, spot.wood,
        )  # fmt: skip

    @property
    def best(self) -> Span | None:
        """The longest stretch in which all that is needed holds; the earlier of equals."""
        if not any(one.known for one in self.needed):
            return None
        return max(self.joint, key=lambda span: span[1] - span[0], default=None)

    @property
    def choice(self) -> ArrivalChoice:
        best = self.best
        ends = best is not None and best[1] < self.ahead[0][1]
        return ArrivalChoice(
            spot=self.scene.spot.spot,
            wood=self.scene.spot.wood,
            walk_min=self.walk_s / 60.0,
            from_utc=self._utc(best[0]) if best else None,
            until_utc=self._utc(best[1]) if best and ends else None,
            why=self._why(best),
        )

    def _utc(self, after_s: float) -> np.datetime64:
        start = self.scene.at_utc.astype("datetime64[us]")
        moment: np.datetime64 = start + np.timedelta64(round(after_s), "s")
        return moment

    def _why(self, best: Span | None) -> str:
        if not self.needed:
            return "no wishes noted"
        if not self.may:
            return self._why_not()
        unknown = [one.said for one in self.needed if not one.known]
        look = f"{', '.join(dict.fromkeys(unknown))} not known: look" if unknown else ""
        if best is None:
            return "; ".join(filter(None, [look or self._why_doubtful()]))
        said = [one for one in self.needed if one.known]
        late = [one for one in said if not _holds_at(one.likely, self.walk_s)]
        words = ", ".join(dict.fromkeys(one.said for one in said))
        if best[0] <= self.walk_s + 60.0:
            lead = f"go now: {words}"
        else:
            waited = ", ".join(dict.fromkeys(one.said for one in late)) or words
            lead = f"go and wait: {waited} from about {self.scene.clock(best[0])}"
        return "; ".join(filter(None, [lead, self._ending(best), look]))

    def _why_not(self) -> str:
        for one in self.needed:
            if not self._is_ahead(one):  # what is not known is always ahead
                return f"wants {one.said}: {one.lack}"
        return f"{' and '.join(one.said for one in self.needed)} do not meet any more"

    def _why_doubtful(self) -> str:
        """Say how all might yet hold together, though that is not expected."""
        kinds = {one.wish.kind for one in self.needed}
        if WishKind.CLEAR_AIR in kinds:
            return "only if the mist lifts early"
        thinning = any(not both(one.likely, ((-math.inf, 0.0),)) for one in self.needed
                       if one.wish.kind is WishKind.MIST)  # fmt: skip
        return f"only if the mist {'thins in time' if thinning else 'stays late'}"

    def _ending(self, best: Span) -> str:
        """Say what ends it: sun on frost first, since it is news; else what stops earliest."""
        falls = self._frost_falls()
        if falls or best[1] >= self.ahead[0][1]:
            return falls
        first = min(
            (one for one in self.needed if one.known),
            key=lambda one: min(
                (end for _, end in one.likely if end >= best[1]), default=math.inf
            ),
        )
        when = self.scene.clock(best[1])
        if first.wish.kind in {WishKind.MIST, WishKind.CLEAR_AIR}:
            return f"mist likely gone by {when}"
        return (
            f"{first.said} until about {when}" if len(self.needed) > 1 else f"until about {when}"
        )

    def _frost_falls(self) -> str:
        wanted = {
            state
            for wish in self.scene.spot.wishes
            if wish.kind is WishKind.GROUND
            for state in wish.choices
        } & {"frost", "hoar"} & self.scene.states  # fmt: skip
        suns = [start for start, end in self.scene.direct() if end > self.walk_s]
        if not wanted or not suns:
            return ""
        word, goes = ("hoar", "falls") if "hoar" in wanted else ("frost", "goes")
        return f"{word} {goes} soon after sun on it: {self.scene.clock(min(suns))}"


def _holds_at(spans: Spans, moment_s: float) -> bool:
    return any(start <= moment_s < end for start, end in spans)
