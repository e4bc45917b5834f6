"""What a view gives: gaps, drift, spread, and in words why it and at what price."""

import itertools
import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.scene.camera import Camera, project
from shivelight.scene.drift import closest_pair, drift_from
from shivelight.scene.elements import Survey
from shivelight.scene.framing import Pair, altitudes_deg
from shivelight.scene.gaps import Gap, edges_deg, gaps_at
from shivelight.scene.search import smallest_gaps_deg
from shivelight.scene.spread import has_doubt, spread_at
from shivelight.scene.stand_faults import Asked, broken_wishes, showing
from shivelight.scene.stands import (
    Stand,
    closes_words,
    gap_words,
    go_words,
    length_words,
    range_words,
    step_words,
)


def stand_at(asked: Asked, camera: Camera) -> Stand:
    """Describe one view.

    Parameters
    ----------
    asked : Asked
        The question.
    camera : Camera
        The view.
    """
    place = np.array([camera.x_m, camera.y_m, camera.z_m])
    slope, now = asked.survey.slope, asked.now
    height = camera.z_m - slope.height_m(camera.x_m, camera.y_m)
    up = height - (now.z_m - slope.height_m(now.x_m, now.y_m))
    right, forward = camera.x_m - now.x_m, camera.y_m - now.y_m
    gap = float(smallest_gaps_deg(asked.wood, asked.wish, place[np.newaxis])[0])
    gaps = _gaps(asked, place)
    closest = _closest(asked, place)
    frac = _frame_share(camera, asked.survey, closest) if closest else math.nan
    touch = comfort = None
    if asked.pairs:
        least = asked.framing.least_gap_deg
        touch = drift_from(place, asked.wood, asked.wish, slope=slope)
        comfort = drift_from(place, asked.wood, asked.wish, slope=slope, limit_deg=least)
    return Stand(
        x_m=camera.x_m,
        y_m=camera.y_m,
        z_m=camera.z_m,
        right_m=right,
        forward_m=forward,
        up_m=up,
        height_m=height,
        camera=camera,
        smallest_gap_deg=gap,
        smallest_gap_frac=frac,
        smallest_gap_print_mm=frac * asked.framing.print_width_m * 1000.0,
        pair=(closest.left, closest.right) if closest else None,
        gaps=gaps,
        touch=touch,
        comfort=comfort,
        go=go_words(right, forward, up),
        step=step_words(right, forward),
        closes=closes_words(asked.survey, touch, pairs=asked.pairs, moved_m=(right, forward)),
    )


def with_spread(stand: Stand, asked: Asked, *, tries: int, seed: int) -> Stand:
    """Add where the best place may lie, and whether to finish by eye.

    Parameters
    ----------
    stand, asked
        The stand and the question.
    tries, seed : int
        Draws, and their seed.
    """
    if not asked.pairs or stand.comfort is None or not has_doubt(asked.survey):
        return stand
    reach = asked.reach
    deep = reach.back_m > 0.0 or reach.forward_m > 0.0
    spread = spread_at(
        np.array([stand.x_m, stand.y_m, stand.z_m]),
        asked.survey,
        asked.wood,
        wish=asked.wish,
        tries=tries,
        seed=seed,
        deep=deep,
    )
    drift = stand.comfort
    loose = spread.left_m < stand.x_m - drift.left_m or spread.right_m > stand.x_m + drift.right_m
    if deep:
        loose = loose or spread.back_m < stand.y_m - drift.back_m
        loose = loose or spread.front_m > stand.y_m + drift.forward_m
    return replace(
        stand, spread=spread, finish_by_eye=loose, watch=watched(stand, asked) if loose else ()
    )


def with_prices(stands: Sequence[Stand], asked: Asked) -> list[Stand]:
    """Add reasons and prices, each stand's against the first.

    Parameters
    ----------
    stands : sequence of Stand
        The best first.
    asked : Asked
        The question.
    """
    return [
        replace(one, reasons=_reasons(one, asked), prices=_prices(one, stands[0], asked))
        for one in stands
    ]


def _gaps(asked: Asked, place: FloatArray) -> tuple[Gap, ...]:
    """Named pairs, or neighbours among those that should part."""
    pairs: tuple[Pair, ...] = asked.framing.parts
    if not pairs:
        edges = edges_deg(asked.survey, place)
        names = {name for pair in asked.pairs for name in pair}
        ordered = sorted(names, key=lambda name: sum(edges[name]))
        pairs = tuple(itertools.pairwise(ordered))
    band = altitudes_deg(asked.framing, asked.reach, asked.now)
    return gaps_at(asked.survey, place, pairs=pairs, altitudes_deg=band)


def _closest(asked: Asked, place: FloatArray) -> Gap | None:
    if not asked.pairs:
        return None
    pair = asked.pairs[closest_pair(place, asked.wood, asked.wish)]
    band = altitudes_deg(asked.framing, asked.reach, asked.now)
    gap = gaps_at(asked.survey, place, pairs=(pair,), altitudes_deg=band)[0]
    return gap if math.isfinite(gap.gap_deg) else None


def _frame_share(camera: Camera, survey: Survey, gap: Gap) -> float:
    """Share of the frame's width that a gap takes up, level with the lens."""
    place = np.array([camera.x_m, camera.y_m, camera.z_m])
    edges = edges_deg(survey, place)
    middle = (edges[gap.left][1] + edges[gap.right][0]) / 2.0
    sides = np.radians([middle - gap.gap_deg / 2.0, middle + gap.gap_deg / 2.0])
    ahead = np.stack([np.sin(sides), np.cos(sides), np.zeros(2)], axis=-1)
    u, _, _ = project(replace(camera, k1=0.0, k2=0.0, roll_deg=0.0), place + ahead)
    return float(u[1] - u[0])


def watched(stand: Stand, asked: Asked) -> tuple[Pair, ...]:
    """Give the gaps that close first to the left and to the right, each once.

    Parameters
    ----------
    stand, asked
        The stand and the question.
    """
    found: list[Pair] = []
    for way in ("left", "right", "back", "forward"):
        row = None if stand.touch is None else stand.touch.pair_of(way)
        if row is not None and asked.pairs[row] not in found and len(found) < 2:
            found.append(asked.pairs[row])
    return tuple(found)


def _reasons(stand: Stand, asked: Asked) -> tuple[str, ...]:
    framing, found = asked.framing, []
    if stand.pair is not None:
        size = gap_words(
            stand.smallest_gap_deg,
            stand.smallest_gap_print_mm,
            print_width_m=framing.print_width_m,
        )
        names = " and ".join(stand.pair)
        found.append(
            f"The smallest gap becomes {size} ({names})."
            if stand.smallest_gap_deg >= 0.0
            else f"{names} still overlap by {-stand.smallest_gap_deg:.2f}°."
        )
    if stand.comfort is not None and stand.smallest_gap_deg >= framing.least_gap_deg:
        low, high = stand.right_m - stand.comfort.left_m, stand.right_m + stand.comfort.right_m
        found.append(f"You may drift {range_words(low, high)}.")
    if stand.spread is not None:
        low, high = (one - asked.now.x_m for one in (stand.spread.left_m, stand.spread.right_m))
        found.append(
            f"What was measured puts it {range_words(low, high)}, "
            f"8 in 10 of {stand.spread.tries} tries."
        )
    if stand.finish_by_eye and stand.watch:
        watched = "; ".join(" and ".join(pair) for pair in stand.watch)
        found.append(f"That is looser than the drift, so finish by eye. Watch: {watched}.")
    return tuple(found)


def _prices(stand: Stand, first: Stand, asked: Asked) -> tuple[str, ...]:
    now, found = asked.now, []
    if stand.closes:
        found.append(stand.closes)
    if abs(stand.up_m) >= 0.005:
        found.append(f"It needs the lens at {length_words(stand.height_m)}.")
    if abs(stand.focal_length_mm - now.focal_length_mm) > 1e-6:
        found.append(
            f"It is framed with {stand.focal_length_mm:g} mm; that crops, and moves no gap."
        )
    less = first.smallest_gap_deg - stand.smallest_gap_deg
    if less >= 0.005:
        found.append(f"Its smallest gap is {less:.2f}° less than the widest that clears.")
    shown = showing(asked, stand.camera)
    if shown:
        found.append(f"In the frame and not hidden: {', '.join(shown)}.")
    return (*found, *broken_wishes(asked, stand.camera))
