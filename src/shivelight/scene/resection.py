"""Where one stands, from what is measured to anchors: resection by weighted least squares.

What was noted at the mark itself counts as it was noted: only the *change* since then is laid on
the surveyed places, so that a survey that is a little wrong does not move the mark. What was
never noted there carries the survey's own errors.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, MissingDataError
from shivelight.scene._misfits import (
    FIRST_STEPS,
    LAST_STEPS,
    SAME_PLACE_M,
    Problem,
    descended,
    problem_of,
    starts_of,
    unlike,
)
from shivelight.scene.anchors import Anchor, Measurement, Taped, names_in, words_of

HOLDS_FRAC = 2.0 / 3.0
"""Share of tries that the error oval holds: 2 in 3."""
OVAL_SCALE = math.sqrt(-2.0 * math.log(1.0 - HOLDS_FRAC))
"""The oval in standard errors, for two normal errors (Rayleigh's distribution)."""
ODD_ONE_OUT = 3.29
"""A misfit of this many standard errors is an outlier: 1 in 1,000 by chance (Baarda 1968)."""
PLAUSIBLE_CHI2 = 6.0
"""Other places that fit nearly as well (squared standard errors) are told. A judgement."""
NEAR_THE_MARK_M = 1.5
"""Who looks for a mark stands about this near to it. [m] A judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Oval:
    """Where one really stands in 2 of 3 tries: an ellipse about the place that was found.

    Attributes
    ----------
    long_m, short_m : float
        Half axes. [m]
    turn_deg : float
        Direction of the long axis, from straight ahead to the right, 0 to 180. [°]
    """

    long_m: float
    short_m: float
    turn_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Misfit:
    """How far one measurement is from what it would read at the place that was found.

    Attributes
    ----------
    what : str
        Which measurement.
    names : tuple of str
        Its anchors.
    off : float
        Measured less predicted, in ``unit``.
    unit : {"m", "°"}
        Its unit.
    times_doubt : float
        The same in standard errors of a misfit; NaN where nothing checks it.
    """

    what: str
    names: tuple[str, ...]
    off: float
    unit: str
    times_doubt: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Fix:
    """Where one stands.

    Attributes
    ----------
    right_m, forward_m : float
        From the mark. [m]
    oval : Oval
        Where it really is in 2 of 3 tries.
    misfits : tuple of Misfit
        One for each measurement that was used.
    outlier : Misfit or None
        The one that was left out because it does not fit the others.
    outlier_sure : bool
        Whether the others by themselves tell which one is wrong; with three measurements only
        the thought that one stands near the mark does.
    disagree : bool
        Whether measurements contradict each other and none could be left out.
    elsewhere_m : tuple of (right, forward)
        Other places that fit about as well. [m]
    """

    right_m: float
    forward_m: float
    oval: Oval
    misfits: tuple[Misfit, ...]
    outlier: Misfit | None = None
    outlier_sure: bool = True
    disagree: bool = False
    elsewhere_m: tuple[tuple[float, float], ...] = ()

    @property
    def likely_error_m(self) -> float:
        """Half of the oval's long axis. [m]."""
        return self.oval.long_m


def resect(
    anchors: Sequence[Anchor], measured: Sequence[Measurement], *, whole: bool = False
) -> Fix:
    """Find where one stands.

    Parameters
    ----------
    anchors : sequence of Anchor
        Things whose places are known.
    measured : sequence of Measurement
        Two or more, to those anchors.
    whole : bool
        Whether no measurement may be left out.

    Returns
    -------
    Fix
        The place nearest to the mark that fits; an outlier among them is left out and named.

    Raises
    ------
    MissingDataError
        If fewer than two measurements were given, or if all of them draw the same line.
    BadInputError
        If there is no place where they could be read, nor one near it.
    NotFoundError
        If the place of an anchor is not known.

    References
    ----------
    .. [1] E. M. Mikhail, Observations and Least Squares, 1976 (weighted least squares, error
       ellipse); from memory.
    .. [2] W. Baarda, A testing procedure for use in geodetic networks, 1968 (the misfit in
       standard errors that names an outlier); from memory.
    """
    if len(measured) < 2:
        raise MissingDataError(
            "One measurement draws a line, not a place; measure a second, well to the side of it."
        )
    problem = problem_of({one.name: one for one in anchors}, tuple(measured))
    fix = _solved(problem)
    return fix if whole else _without_outlier(problem, fix)


def _without_outlier(problem: Problem, fix: Fix) -> Fix:
    """Leave the one measurement out that contradicts the others, where that can be told."""
    worst = max(fix.misfits, key=lambda one: _size(one.times_doubt))
    if _size(worst.times_doubt) < ODD_ONE_OUT:
        return fix
    if len(problem.measured) == 2:
        return _replaced(fix, disagree=True)
    rest: list[tuple[float, int, Fix]] = []
    for place in range(len(problem.measured)):
        others = (*problem.measured[:place], *problem.measured[place + 1 :])
        try:
            made = _solved(problem_of(problem.anchors, others))
        except (BadInputError, MissingDataError):
            continue
        left = max(_size(one.times_doubt) for one in made.misfits)
        if left < ODD_ONE_OUT:
            rest.append((math.hypot(made.right_m, made.forward_m), place, made))
    if len(problem.measured) > 3:
        named = fix.misfits.index(worst)
        kept = [made for _, place, made in rest if place == named]
        return _replaced(kept[0], outlier=worst) if kept else _replaced(fix, disagree=True)
    rest.sort(key=lambda one: one[0])
    if rest and rest[0][0] <= NEAR_THE_MARK_M and _stands_out(rest):
        odd = fix.misfits[rest[0][1]]
        return _replaced(rest[0][2], outlier=odd, sure=False)
    return _replaced(fix, disagree=True)


def _stands_out(rest: Sequence[tuple[float, int, Fix]]) -> bool:
    """Whether leaving one out puts one far nearer to the mark than leaving out any other."""
    return len(rest) == 1 or rest[1][0] > 2.0 * rest[0][0] + NEAR_THE_MARK_M / 3.0


def _solved(problem: Problem) -> Fix:
    found = _places(problem)
    place, _ = found[0]
    whitener = problem.whitener(place)
    misfit, slope = problem.model(place[None])
    bent = whitener @ slope[0]
    normal = bent.T @ bent
    covariance = np.linalg.inv(normal)
    # Errors of the misfits themselves: those of the measurements less what the place takes up.
    kept = np.eye(len(misfit[0])) - bent @ covariance @ bent.T
    told = _told_apart(whitener, misfit[0], kept)
    return Fix(
        right_m=float(place[0]),
        forward_m=float(place[1]),
        oval=oval_of(covariance),
        misfits=tuple(
            Misfit(
                what=words_of(one),
                names=names_in(one),
                off=float(off),
                unit="m" if isinstance(one, Taped) else "°",
                times_doubt=float(times),
            )
            for one, off, times in zip(problem.measured, misfit[0], told, strict=True)
        ),
        elsewhere_m=tuple((float(one[0]), float(one[1])) for one, _ in found[1:]),
    )


def oval_of(covariance_m2: FloatArray) -> Oval:
    """Oval that holds 2 of 3 tries.

    Parameters
    ----------
    covariance_m2 : ndarray, shape (2, 2)
        Of right and forward. [m²]
    """
    sizes, ways = np.linalg.eigh(covariance_m2)
    short, long = np.sqrt(np.maximum(sizes, 0.0)) * OVAL_SCALE
    turn_deg = math.degrees(math.atan2(ways[0, 1], ways[1, 1])) % 180.0
    return Oval(long_m=float(long), short_m=float(short), turn_deg=turn_deg)


def _places(problem: Problem) -> list[tuple[FloatArray, float]]:
    """Places that fit, nearest to the mark first, with their squared misfits."""
    starts = starts_of(problem)
    whitener = problem.whitener(np.zeros(2))
    points, squares = descended(problem, starts, whitener, steps=FIRST_STEPS)
    few = unlike(points, squares)
    points, squares = descended(problem, points[few], whitener, steps=LAST_STEPS)
    lowest = float(np.min(squares))
    order = sorted(
        (place for place in range(len(points)) if squares[place] <= lowest + PLAUSIBLE_CHI2),
        key=lambda place: (squares[place] > lowest + 1.0, float(np.hypot(*points[place]))),
    )
    kept: list[tuple[FloatArray, float]] = []
    for place in order:
        if all(np.hypot(*(points[place] - one)) > SAME_PLACE_M for one, _ in kept):
            kept.append((points[place], float(squares[place])))
    sound = [one for one in kept if _is_fixed(problem, one[0])]
    if not sound and lowest > ODD_ONE_OUT**2:
        listed = " and ".join(words_of(one) for one in problem.measured)
        raise BadInputError(f"Nobody can read {listed} in one place; measure one again.")
    if not sound:
        raise MissingDataError(
            "These measurements draw the same line and fix no place along it; add one across it."
        )
    return sound[:3]


def _is_fixed(problem: Problem, place: FloatArray) -> bool:
    _, slope = problem.model(place[None])
    bent = problem.whitener(place) @ slope[0]
    sizes = np.linalg.eigvalsh(bent.T @ bent)
    return bool(sizes[0] > 1e-9 * sizes[1] and sizes[0] > 1e-6)


def _told_apart(whitener: FloatArray, misfit: FloatArray, kept: FloatArray) -> FloatArray:
    """Misfits in standard errors of themselves; NaN where no other measurement checks one."""
    off = whitener @ misfit
    if len(misfit) == 2:  # nothing is left over: what does not meet shows as a misfit itself
        return np.asarray(np.where(np.abs(off) > ODD_ONE_OUT, off, np.nan))
    weight = whitener.T @ kept @ whitener
    pull = whitener.T @ off
    spare = np.diag(weight)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(np.where(spare > 1e-9, pull / np.sqrt(np.maximum(spare, 1e-30)), np.nan))


def _size(times: float) -> float:
    return 0.0 if math.isnan(times) else abs(times)


def _replaced(
    fix: Fix, *, outlier: Misfit | None = None, sure: bool = True, disagree: bool = False
) -> Fix:
    return Fix(
        right_m=fix.right_m,
        forward_m=fix.forward_m,
        oval=fix.oval,
        misfits=fix.misfits,
        outlier=outlier,
        outlier_sure=sure,
        disagree=disagree,
        elsewhere_m=fix.elsewhere_m,
    )
