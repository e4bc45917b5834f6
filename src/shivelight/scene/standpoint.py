"""Where to put the tripod: several stands with reasons and prices, or a plain no.

Every place in reach is scored with every lens and aim (``search``); the best view of each place
stands for it. A place **clears** where every wish that is hard holds and the smallest gap is the
least comfortable one or more. Of those the best is given; the nearest to where the lens is now;
and the best of each other patch of places that clear, patches being parted by places that do
not.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from shivelight.basis.arrays import BoolArray, FloatArray, IntArray
from shivelight.basis.errors import BadInputError, require_range
from shivelight.scene._view_scores import HARD_DEG, Views
from shivelight.scene.camera import Camera
from shivelight.scene.elements import Survey
from shivelight.scene.framing import Framing, Reach
from shivelight.scene.ground import is_open
from shivelight.scene.pairing import parting_pairs
from shivelight.scene.search import (
    places_of,
    score_candidates,
    smallest_gaps_deg,
    views_of,
    wish_of,
    wood_of,
)
from shivelight.scene.spread import SEED, TRIES
from shivelight.scene.stand_faults import Asked
from shivelight.scene.stand_report import stand_at, with_prices, with_spread
from shivelight.scene.stand_verdicts import no_position_words, side_words
from shivelight.scene.stands import Stand

MOST_STANDS = 4
APART_M = 0.5
"""Stands nearer to each other on the ground than this are neighbours. A judgement. [m]"""
CHUNK = 4_000_000
"""Views scored at one time, so that memory stays small."""
MOST_VIEWS = 400_000_000
"""Views searched at most; more is a reach typed by mistake."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StandpointAnswer:
    """Where to stand.

    Attributes
    ----------
    answers : tuple of Stand
        Stands that clear, the best first; none where no position does.
    here : Stand or None
        What is seen from where the lens is now; None where that is closed ground.
    no_position : str
        Empty, or why no position within reach clears it.
    compromise : Stand or None
        The best that can be had then; None where the ground within reach is closed.
    sides : tuple of str
        "Left is no use: no place within 80 cm clears it." for each way in reach that fails.
    lens : str
        That no lens changes an overlap.
    views : int
        How many views were scored.
    """

    answers: tuple[Stand, ...]
    here: Stand | None
    no_position: str
    compromise: Stand | None
    sides: tuple[str, ...]
    lens: str = "A longer or shorter lens changes none of these gaps; it only crops."
    views: int

    @property
    def best(self) -> Stand | None:
        """The first answer, or the compromise where there is none."""
        return self.answers[0] if self.answers else self.compromise


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Found:
    """The best view of each place, and its gap."""

    places_m: FloatArray
    shape: tuple[int, ...]
    allowed: BoolArray
    scores_deg: FloatArray
    views: IntArray
    gaps_deg: FloatArray
    count: int


def find_standpoints(
    survey: Survey,
    framing: Framing,
    reach: Reach,
    *,
    now: Camera,
    tries: int = TRIES,
    seed: int = SEED,
) -> StandpointAnswer:
    """Find where to stand.

    Parameters
    ----------
    survey : Survey
        What stands there, with its doubts.
    framing : Framing
        What is wished.
    reach : Reach
        How far one goes.
    now : Camera
        The camera where it stands now; ``z_m`` in the local frame.
    tries : int
        How often the survey is drawn again for the spread.
    seed : int
        Of the draws; the same seed gives the same answer.

    Raises
    ------
    NotFoundError
        If a name is not in the survey.
    BadInputError
        If nothing was surveyed, or the reach is too large to be meant.
    OutOfRangeError
        If the lens is in the ground.
    """
    if not survey.trunks and not survey.segments:
        raise BadInputError("Nothing stands before the lens yet; add two trunks or more.")
    above = now.z_m - survey.slope.height_m(now.x_m, now.y_m)
    require_range("height of the lens above the ground", above, 0.02, 20.0, "m")
    wood, wish = wood_of(survey), wish_of(survey, framing, reach, now=now)
    asked = Asked(
        survey=survey,
        framing=framing,
        reach=reach,
        now=now,
        wood=wood,
        wish=wish,
        pairs=parting_pairs(survey, framing, now),
    )
    found = _search(asked)
    clears = found.allowed & (found.scores_deg > -HARD_DEG / 2.0)
    clears &= found.gaps_deg >= framing.least_gap_deg
    rows = _distinct(found, clears, now)
    drawn = [with_spread(_stand(asked, found, row), asked, tries=tries, seed=seed) for row in rows]
    answers = with_prices(drawn, asked)
    compromise = None
    if not answers and found.allowed.any():
        row = int(np.argmax(np.where(found.allowed, found.scores_deg, -np.inf)))
        compromise = with_prices([_stand(asked, found, row)], asked)[0]
    return StandpointAnswer(
        answers=tuple(answers),
        here=_here(asked),
        no_position="" if answers else no_position_words(asked, compromise),
        compromise=compromise,
        sides=side_words(asked, found.places_m, clears) if answers else (),
        views=found.count,
    )


def _search(asked: Asked) -> _Found:
    """Score every view in reach, some places at a time."""
    places, shape = places_of(asked.reach, asked.now, asked.survey)
    allowed = is_open(asked.survey, places)
    views = _views(asked, places[:1])
    each = len(views.turns_rad) * len(views.tilts_rad) * len(views.focal_widths)
    if each * len(places) > MOST_VIEWS:
        raise BadInputError(
            f"That reach holds {each * len(places):,} views; take larger steps or fewer lenses."
        )
    scores = np.full(len(places), -np.inf)
    best = np.zeros(len(places), dtype=np.int64)
    rows = np.flatnonzero(allowed)
    step = max(1, CHUNK // each)
    for start in range(0, len(rows), step):
        some = rows[start : start + step]
        found = score_candidates(asked.wood, asked.wish, _views(asked, places[some]))
        flat = found.reshape(len(some), -1)
        best[some] = flat.argmax(axis=1)
        scores[some] = flat.max(axis=1)
    return _Found(
        places_m=places,
        shape=shape,
        allowed=allowed,
        scores_deg=scores,
        views=best,
        gaps_deg=smallest_gaps_deg(asked.wood, asked.wish, places),
        count=each * len(rows),
    )


def _views(asked: Asked, places: FloatArray) -> Views:
    return views_of(
        places,
        asked.wish,
        wood=asked.wood,
        framing=asked.framing,
        reach=asked.reach,
        now=asked.now,
    )


def _stand(asked: Asked, found: _Found, row: int) -> Stand:
    return _viewed(asked, found.places_m[row], view=int(found.views[row]))


def _here(asked: Asked) -> Stand | None:
    """Describe what is seen from where the lens is now, best aimed."""
    now = asked.now
    place = np.array([[now.x_m, now.y_m, now.z_m]])
    if not is_open(asked.survey, place)[0]:
        return None
    scores = score_candidates(asked.wood, asked.wish, _views(asked, place))
    return _viewed(asked, place[0], view=int(scores.argmax()))


def _viewed(asked: Asked, place: FloatArray, *, view: int) -> Stand:
    views = _views(asked, place[np.newaxis])
    counts = (len(views.turns_rad), len(views.tilts_rad), len(views.focal_widths))
    turn, tilt, lens = (int(one) for one in np.unravel_index(view, counts))
    camera = replace(
        asked.now,
        x_m=float(place[0]),
        y_m=float(place[1]),
        z_m=float(place[2]),
        yaw_deg=math.degrees(views.base_yaw_rad[0] + views.turns_rad[turn]),
        pitch_deg=math.degrees(views.tilts_rad[tilt]),
        focal_length_mm=float(views.focal_widths[lens] * asked.now.sensor_width_mm),
    )
    return stand_at(asked, camera)


def _distinct(found: _Found, clears: BoolArray, now: Camera) -> list[int]:
    """Rows of places that clear and are no neighbours: the best of each patch, the nearest."""
    if not clears.any():
        return []
    tops = []
    for patch in _patches(clears.reshape(found.shape)):
        tops.append(int(patch[np.argmax(found.scores_deg[patch])]))
    tops.sort(key=lambda row: (-found.scores_deg[row], row))
    open_rows = np.flatnonzero(clears)
    away = np.linalg.norm(found.places_m[open_rows] - [now.x_m, now.y_m, now.z_m], axis=1)
    nearest = int(open_rows[np.argmin(away)])
    chosen: list[int] = []
    for row in (tops[0], nearest, *tops[1:]):
        apart = [np.hypot(*(found.places_m[row] - found.places_m[one])[:2]) for one in chosen]
        if len(chosen) < MOST_STANDS and all(one >= APART_M for one in apart):
            chosen.append(row)
    return [tops[0], *sorted(chosen[1:], key=lambda row: -found.scores_deg[row])]


def _patches(clears: BoolArray) -> Iterator[IntArray]:
    """Rows of each patch of places that clear and touch each other, corners too."""
    left = {tuple(int(one) for one in cell) for cell in np.argwhere(clears)}
    steps = [tuple(one - 1 for one in step) for step in np.ndindex(3, 3, 3)]
    while left:
        patch, edge = [], [min(left)]
        left.discard(edge[0])
        while edge:
            cell = edge.pop()
            patch.append(cell)
            near = (tuple(a + b for a, b in zip(cell, step, strict=True)) for step in steps)
            for one in near:
                if one in left:
                    left.discard(one)
                    edge.append(one)
        yield np.ravel_multi_index(tuple(np.array(patch).T), clears.shape)
