"""Which elements make pairs: those named, or the trunks in the frame, or neighbours."""

import itertools
import math
from collections.abc import Mapping, Sequence

import numpy as np

from shivelight.basis.arrays import IntArray
from shivelight.basis.errors import BadInputError
from shivelight.scene.camera import Camera
from shivelight.scene.elements import Role, Survey, Trunk
from shivelight.scene.framing import Framing, Pair, lenses_mm, name_in
from shivelight.scene.silhouettes import bodies_of, level_edges, outlines, solids_of


def parting_pairs(survey: Survey, framing: Framing, now: Camera) -> tuple[Pair, ...]:
    """Pairs that should part: those named, or else every two of the trunks in the frame.

    The frame is that of the shortest lens as the camera stands now, whichever lens is tried: a
    longer one does not better a gap by leaving a trunk out. Where every two are parted, the
    smallest gap is between neighbours.

    Parameters
    ----------
    survey, framing, now
        What stands there, what is wished, and the camera as it stands.

    Raises
    ------
    NotFoundError
        If a pair names what the survey does not hold.
    """
    if framing.parts:
        return tuple(
            (name_in(survey, one), name_in(survey, other)) for one, other in framing.parts
        )
    edges = _edges_now(survey, now)
    half = math.degrees(math.atan(now.sensor_width_mm / 2.0 / lenses_mm(framing, now)[0]))
    chosen = [one for one in survey.trunks if one.role is not Role.INTRUDER]
    shown = [one for one in chosen if _is_between(edges[one.name], now.yaw_deg, half)]
    names = _in_order(shown if len(shown) >= 2 else chosen, edges)
    return tuple((one, other) for n, one in enumerate(names) for other in names[n + 1 :])


def neighbours(survey: Survey, edges: Mapping[str, tuple[float, float]]) -> tuple[Pair, ...]:
    """Pairs of trunks next to each other, from left to right, intruders left out.

    Parameters
    ----------
    survey : Survey
        What stands there.
    edges : mapping of str to (float, float)
        As :func:`edges_deg` gives them. [°]
    """
    names = _in_order([one for one in survey.trunks if one.role is not Role.INTRUDER], edges)
    return tuple(itertools.pairwise(names))


def index_of(survey: Survey) -> dict[str, int]:
    """Give the number of each trunk and segment by its name.

    Parameters
    ----------
    survey : Survey
        What stands there.
    """
    return {body.name: number for number, body in enumerate(bodies_of(survey))}


def pair_rows(survey: Survey, pairs: Sequence[Pair]) -> IntArray:
    """Write pairs of names as pairs of numbers, shape (P, 2).

    Parameters
    ----------
    survey : Survey
        What stands there.
    pairs : sequence of (str, str)
        Names.

    Raises
    ------
    NotFoundError
        If the survey does not hold a name.
    BadInputError
        If a name is that of a sky hole or closed ground.
    """
    rows = index_of(survey)
    found = []
    for pair in pairs:
        names = [name_in(survey, one) for one in pair]
        for name in names:
            if name not in rows:
                raise BadInputError(f"{name} has no edges to part; name trunks or branches.")
        found.append([rows[name] for name in names])
    return np.array(found, dtype=np.int64).reshape(-1, 2)


def _edges_now(survey: Survey, now: Camera) -> dict[str, tuple[float, float]]:
    solids = solids_of(survey)
    place = np.array([now.x_m, now.y_m, now.z_m])
    sides = np.degrees(
        level_edges(solids, outlines(solids, place), np.zeros(len(solids.first) - 1))
    )
    return {
        name: (float(sides[row, 0]), float(sides[row, 1]))
        for name, row in index_of(survey).items()
    }


def _in_order(trunks: Sequence[Trunk], edges: Mapping[str, tuple[float, float]]) -> list[str]:
    return sorted((one.name for one in trunks), key=lambda name: sum(edges[name]))


def _is_between(edges: tuple[float, float], yaw_deg: float, half_deg: float) -> bool:
    turn = 360.0 * math.floor((sum(edges) / 2.0 - yaw_deg) / 360.0 + 0.5)
    left, right = edges[0] - yaw_deg - turn, edges[1] - yaw_deg - turn
    return -half_deg < left and right < half_deg
