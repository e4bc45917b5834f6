"""How well a mark's anchors will find it again, told before one walks away from it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, MissingDataError
from shivelight.scene.anchors import Anchor, Measurement, Taped, names_in, predicted
from shivelight.scene.resection import Oval, resect

PARALLEL_DEG = 20.0
"""Lines that cross at less than this leave a mark open along them. [°] A judgement."""
ONE_SIDE_DEG = 60.0
"""Anchors within this of each other stand on one side. [°] A judgement."""
WEAK_TIMES = 3.0
"""An error that grows by more than this on its way to the mark is a weak one. A judgement."""
HAND_M = 0.10
"""A hand's width. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """How well some anchors fix the mark.

    Attributes
    ----------
    oval : Oval or None
        Where one will stand in 2 of 3 tries when all are measured again; None where they fix
        no place.
    grows_times : float
        How much larger the oval is than the errors of the single lines make by themselves.
    crossing_deg : float
        The widest angle at which two of the lines cross, 0 to 90. [°]
    sector_deg : float
        The narrowest sector that holds all anchors as seen from the mark. [°]
    warnings : tuple of str
        What is weak, in sentences, and what would mend it.
    """

    oval: Oval | None
    grows_times: float
    crossing_deg: float
    sector_deg: float
    warnings: tuple[str, ...]


def strength(anchors: Sequence[Anchor], measured: Sequence[Measurement]) -> Strength:
    """Tell how well a mark will be found again from measurements noted at it.

    Parameters
    ----------
    anchors : sequence of Anchor
        Things whose places are known.
    measured : sequence of Measurement
        As they were noted, with the errors of measuring them again.

    Raises
    ------
    NotFoundError
        If the place of an anchor is not known.
    """
    known = {one.name: one for one in anchors}
    sector = sector_deg([known[name] for one in measured for name in names_in(one)
                         if name in known])  # fmt: skip
    slopes, errors_m = _lines(known, measured)
    crossing = _crossing_deg(slopes)
    try:
        oval = resect(anchors, measured, whole=True).oval
    except (BadInputError, MissingDataError):
        oval = None
    single_m = math.sqrt(float(np.mean(errors_m**2))) if len(errors_m) else math.nan
    grows = oval.long_m / (1.482 * single_m) if oval else math.inf
    return Strength(
        oval=oval,
        grows_times=grows,
        crossing_deg=crossing,
        sector_deg=sector,
        warnings=tuple(
            _warnings(measured, oval, grows=grows, crossing_deg=crossing, sector_deg=sector)
        ),
    )


def sector_deg(anchors: Sequence[Anchor]) -> float:
    """Narrowest sector that holds all anchors as seen from the mark. [°].

    Parameters
    ----------
    anchors : sequence of Anchor
        Some.
    """
    if not anchors:
        return 0.0
    turns = np.sort([math.degrees(math.atan2(one.x_m, one.y_m)) % 360.0 for one in anchors])
    gaps = np.diff(np.append(turns, turns[0] + 360.0))
    return float(360.0 - np.max(gaps))


def _lines(
    known: dict[str, Anchor], measured: Sequence[Measurement]
) -> tuple[FloatArray, FloatArray]:
    """Across each line of position a unit vector (n, 2), and how wide its error is (n,)."""
    across, errors = [], []
    for one in measured:
        slope = predicted(one, known, np.zeros((1, 2)))[1][0]
        steep = float(np.hypot(*slope))
        if steep > 1e-9:
            across.append(slope / steep)
            errors.append(one.doubt_m / steep if isinstance(one, Taped) else one.doubt_deg / steep)
    return np.array(across).reshape(-1, 2), np.array(errors)


def _crossing_deg(across: FloatArray) -> float:
    """Widest crossing of lines, 0 to 90. [°]."""
    if len(across) < 2:
        return 0.0
    cosines = np.clip(np.abs(across @ across.T), 0.0, 1.0)
    return float(np.degrees(np.arccos(np.min(cosines))))


def _warnings(
    measured: Sequence[Measurement],
    oval: Oval | None,
    *,
    grows: float,
    crossing_deg: float,
    sector_deg: float,
) -> list[str]:
    if len(measured) < 2:
        return ["One anchor draws a line, not a place: note a second, well to the side."]
    said = []
    if crossing_deg < PARALLEL_DEG:
        said.append(
            f"The lines of these anchors cross at {crossing_deg:.0f}° only, nearly parallel: they "
            "hold you across but not along. Add a distance, or a transit well to the side."
        )
    elif grows > WEAK_TIMES:
        said.append(
            f"Weak: an error of 1 cm in one line moves the mark by {grows:.0f} cm. Add an anchor "
            "well to the side."
        )
    if sector_deg < ONE_SIDE_DEG:
        said.append(
            f"All anchors stand on one side, within {sector_deg:.0f}°: add one beside or behind "
            "you."
        )
    if len(measured) == 2:
        said.append(
            "There is none to spare: when one anchor falls, the mark is lost. Note a third."
        )
    elif oval is not None and oval.long_m > HAND_M:
        said.append(
            f"Found again to about {oval.long_m * 100.0:.0f} cm, more than a hand's width: tape "
            "the distances, or choose nearer anchors."
        )
    return said
