"""Measurements with their anchors as arrays, and the walk down to where they fit best."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.scene.anchors import Anchor, Measurement, Taped, Transit, names_in, predicted

FIRST_STEPS, LAST_STEPS = 12, 40
MOST_PLACES = 6
SAME_PLACE_M = 0.05
SETTLED_M = 1e-7
STUCK = 1e6
LEAST_SIZE = 1e-12
"""Of a direction of errors, as a share of the largest; under it is rounding."""
_RINGS = (0.25, 0.7, 1.3, 2.0)
_ROUND = 16
_ORIGIN = np.zeros((1, 2))


@dataclass(frozen=True, slots=True)
class Problem:
    """Measurements with their anchors, as arrays."""

    anchors: Mapping[str, Anchor]
    measured: tuple[Measurement, ...]
    wanted: tuple[float, ...]

    def model(self, places_m: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Misfits (S, n), in metres or degrees, and their slopes (S, n, 2)."""
        misfit = np.zeros((len(places_m), len(self.measured)))
        slope = np.zeros((*misfit.shape, 2))
        for column, one in enumerate(self.measured):
            value, change, _ = predicted(one, self.anchors, places_m)
            off = self.wanted[column] - value
            misfit[:, column] = off if isinstance(one, Taped) else (off + 180.0) % 360.0 - 180.0
            slope[:, column] = change
        return misfit, slope

    def whitener(self, place: FloatArray) -> FloatArray:
        """Matrix that makes the errors of the misfits at a place independent and of size 1."""
        count = len(self.measured)
        errors = np.zeros((count, count))
        moved: dict[str, FloatArray] = {}
        for row, one in enumerate(self.measured):
            errors[row, row] = _own_variance(one)
            if _is_noted(one):
                continue
            for name, change in predicted(one, self.anchors, place[None])[2].items():
                moved.setdefault(name, np.zeros((count, 2)))[row] += change[0]
        for name, change in moved.items():
            errors += change @ self.anchors[name].covariance_m2 @ change.T
        sizes, ways = np.linalg.eigh(errors)
        # Measurements that hang together wholly leave a size of nought, or under it by rounding.
        floor = max(float(sizes[-1]) * LEAST_SIZE, np.finfo(np.float64).tiny)
        # Symmetric, so that each row stays with its own measurement.
        return np.asarray((ways / np.sqrt(np.maximum(sizes, floor))) @ ways.T)


def problem_of(anchors: Mapping[str, Anchor], measured: tuple[Measurement, ...]) -> Problem:
    """Put measurements beside their anchors.

    Raises
    ------
    NotFoundError
        If the place of an anchor is not known.
    """
    wanted = tuple(_given(one) - _set_right(one, anchors) for one in measured)
    return Problem(anchors, measured, wanted)


def unlike(places_m: FloatArray, squares: FloatArray) -> list[int]:
    """Pick the few best places that are not next to each other."""
    kept: list[int] = []
    for place in np.argsort(squares, kind="stable"):
        if all(np.hypot(*(places_m[place] - places_m[one])) > SAME_PLACE_M for one in kept):
            kept.append(int(place))
        if len(kept) == MOST_PLACES:
            break
    return kept


def starts_of(problem: Problem) -> FloatArray:
    """Spread places to start from, about the mark and out beyond the farthest anchor."""
    far_m = max(
        math.hypot(problem.anchors[name].x_m, problem.anchors[name].y_m)
        for one in problem.measured
        for name in names_in(one)
    )
    turns = np.arange(_ROUND) * (2.0 * math.pi / _ROUND)
    around = np.stack([np.sin(turns), np.cos(turns)], axis=1)
    rings = [around * share * far_m for share in _RINGS]
    return np.concatenate([_ORIGIN, around * 0.5, *rings])


def descended(
    problem: Problem, places_m: FloatArray, whitener: FloatArray, *, steps: int
) -> tuple[FloatArray, FloatArray]:
    """Walk every start down to a place of least squared misfits (Levenberg, Marquardt)."""
    places_m = places_m.copy()
    damp = np.full(len(places_m), 1e-3)
    settled = np.zeros(len(places_m), dtype=np.bool_)
    misfit, slope = problem.model(places_m)
    off, bent = misfit @ whitener.T, whitener @ slope
    squares = np.sum(off**2, axis=1)
    for _ in range(steps):
        normal = np.einsum("sni,snj->sij", bent, bent)
        damped = normal + damp[:, None, None] * (
            np.eye(2) * (np.trace(normal, axis1=1, axis2=2)[:, None, None] / 2.0 + 1e-12)
        )
        pull = np.einsum("sni,sn->si", bent, off)
        step = np.linalg.solve(damped, pull[:, :, None])[:, :, 0]
        tried = places_m + step
        misfit, slope = problem.model(tried)
        tried_off = misfit @ whitener.T
        tried_squares = np.sum(tried_off**2, axis=1)
        better = tried_squares <= squares
        small = np.max(np.abs(step), axis=1) < SETTLED_M
        settled |= small | (~better & (damp > STUCK))
        places_m[better] = tried[better]
        squares = np.where(better, tried_squares, squares)
        off = np.where(better[:, None], tried_off, off)
        bent = np.where(better[:, None, None], whitener @ slope, bent)
        if settled.all():
            break
        damp = np.clip(np.where(better, damp * 0.2, damp * 6.0), 1e-9, 1e9)
    return places_m, squares


def _given(one: Measurement) -> float:
    if isinstance(one, Taped):
        return one.distance_m
    return one.open_deg if isinstance(one, Transit) else one.angle_deg


def _noted(one: Measurement) -> float | None:
    if isinstance(one, Taped):
        return one.noted_m
    return one.noted_deg if isinstance(one, Transit) else None


def _is_noted(one: Measurement) -> bool:
    return _noted(one) is not None


def _set_right(one: Measurement, anchors: Mapping[str, Anchor]) -> float:
    """Give what the survey has wrong about a measurement that was noted at the mark."""
    there = predicted(one, anchors, _ORIGIN)[0][0]
    noted = _noted(one)
    return 0.0 if noted is None else float(noted - there)


def _own_variance(one: Measurement) -> float:
    if isinstance(one, Taped):
        return one.doubt_m**2 + (one.noted_doubt_m**2 if _is_noted(one) else 0.0)
    if isinstance(one, Transit):
        return one.doubt_deg**2 + (one.noted_doubt_deg**2 if _is_noted(one) else 0.0)
    return one.doubt_deg**2
