"""Which wishes one view does not meet, each asked of the same scoring by itself."""

from dataclasses import dataclass

import numpy as np

from shivelight.scene._view_scores import HARD_DEG, SHOWING_DEG, Views
from shivelight.scene._wish_boxes import Wish, Wood
from shivelight.scene.camera import Camera
from shivelight.scene.elements import Survey
from shivelight.scene.framing import (
    Framing,
    Pair,
    Reach,
    altitudes_deg,
    intruders_of,
    name_in,
    subject_of,
)
from shivelight.scene.gaps import gaps_at
from shivelight.scene.search import score_candidates, smallest_gaps_deg

NONE = np.empty(0, dtype=np.int64)
NO_PAIRS = np.empty((0, 2), dtype=np.int64)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Asked:
    """A question about a stand point, with its arrays."""

    survey: Survey
    framing: Framing
    reach: Reach
    now: Camera
    wood: Wood
    wish: Wish
    pairs: tuple[Pair, ...]


def broken_wishes(asked: Asked, camera: Camera) -> tuple[str, ...]:
    """Name hard wishes that a view does not meet, gaps aside, in sentences.

    Parameters
    ----------
    asked, camera
        The question and the view.
    """
    wish, survey, framing = asked.wish, asked.survey, asked.framing
    bare = wish._replace(boxes=NONE, subject=0, whole=0, keeps=NO_PAIRS)
    alone = bare._replace(pairs=NO_PAIRS, parting=NONE)
    found = []
    place = np.array([camera.x_m, camera.y_m, camera.z_m])
    band = altitudes_deg(framing, asked.reach, asked.now)
    for gap in gaps_at(survey, place, pairs=framing.keeps, altitudes_deg=band):
        if gap.gap_deg > 0.0:
            found.append(f"{gap.left} and {gap.right} no longer overlap.")
    gap_deg = float(smallest_gaps_deg(asked.wood, bare, place[np.newaxis])[0])
    if _score(asked, bare, camera) < gap_deg - HARD_DEG / 2.0:
        found.append("Trunks that should part are cut by the frame.")
    if (
        wish.subject
        and _price(asked, alone._replace(boxes=wish.boxes[:1], subject=1), camera) > 50
    ):
        found.append(f"{subject_of(survey, framing)} is cut, or not where it is wished.")
    for row, name in enumerate(framing.whole, start=wish.subject):
        single = alone._replace(boxes=wish.boxes[row : row + 1], whole=1)
        if _price(asked, single, camera) > HARD_DEG / 2.0:
            found.append(f"{name_in(survey, name)} is cut by the border.")
    return tuple(found)


def showing(asked: Asked, camera: Camera) -> tuple[str, ...]:
    """Name intruders and sky holes that a view shows.

    Parameters
    ----------
    asked, camera
        The question and the view.
    """
    wish = asked.wish
    alone = wish._replace(subject=0, whole=0, keeps=NO_PAIRS, pairs=NO_PAIRS, parting=NONE)
    first = wish.subject + wish.whole
    return tuple(
        name
        for row, name in enumerate(intruders_of(asked.survey, asked.framing), start=first)
        if _price(asked, alone._replace(boxes=wish.boxes[row : row + 1]), camera) > SHOWING_DEG / 2
    )


def _price(asked: Asked, wish: Wish, camera: Camera) -> float:
    """Work out what the boxes of a wish cost in a view. [°]."""
    empty = wish._replace(boxes=NONE, subject=0, whole=0)
    return _score(asked, empty, camera) - _score(asked, wish, camera)


def _score(asked: Asked, wish: Wish, camera: Camera) -> float:
    views = Views(
        np.array([[camera.x_m, camera.y_m, camera.z_m]]),
        np.zeros(1),
        np.radians([camera.yaw_deg]),
        np.zeros(1),
        np.radians([camera.pitch_deg]),
        np.array([camera.focal_in_widths]),
        np.zeros(1),
    )
    return float(score_candidates(asked.wood, wish, views).item())
