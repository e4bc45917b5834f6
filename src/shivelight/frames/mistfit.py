"""How thick mist is, from how pale trunks are at distances that are known.

A trunk of tone L0 seen through d metres of mist has the tone L0 T + A (1 - T), T = exp(-b d), A
the airlight of that direction. Its contrast (A - L) / A then falls as exp(-b d), and a straight
line through the logarithms gives b. The airlight is read beside each trunk, so that a light that
comes from one side is followed as far as this law can follow it.

References
----------
.. [1] H. Koschmieder, Beitr. Phys. freien Atm. 12 (1924) 33: contrast against the horizon sky.
.. [2] WMO-No. 8, Guide to instruments and methods of observation, part I, chapter 9: the
   meteorological optical range takes light to a twentieth.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.ndimage import percentile_filter, uniform_filter1d

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, MissingDataError

GreyImage = NDArray[np.uint8]

LEAST_TRUNKS = 3
LEAST_SPREAD = 1.7
"""Farthest over nearest trunk, at least, for a slope to be seen (a judgement)."""
OWN_CONTRAST, OWN_CONTRAST_DOUBT = 0.92, 0.05
"""Of a trunk near by against the mist, before the picture is looked at (a judgement)."""
BARK_DOUBT = 0.04
"""By how much the logarithm of one trunk's own contrast strays from the others' (a judgement)."""
UNEVEN = 1.35
"""Brightest over dimmest airlight from which the light is called uneven (a judgement)."""
CLIPPED = 252
"""Tones from here on may be any brighter."""
ROWS_FRAC = 0.05
"""How far above and below its mark a trunk's tone is read, in heights of the picture."""


STRETCH_FRAC = 0.12
"""Width over which the brightest is taken for air, in widths of the picture (a judgement)."""
AIR_PERCENTILE = 92.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Tones:
    """A trunk's tone and that of the air beside it, in linear light, 1 for white."""

    trunk_frac: float
    air_frac: float
    air_is_clipped: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MistFit:
    """Thickness of mist.

    Attributes
    ----------
    extinction_per_m : float
        b. [1/m]
    extinction_error_per_m : float
        Its standard error. [1/m]
    optical_range_m : float
        Where contrast has fallen to a twentieth; infinite for clear air. [m]
    low_m, high_m : float
        2 standard errors either way; infinite for no end. [m]
    unevenness : float
        Brightest over dimmest airlight.
    """

    extinction_per_m: float
    extinction_error_per_m: float
    optical_range_m: float
    low_m: float
    high_m: float
    unevenness: float

    @property
    def is_even(self) -> bool:
        """Whether the light came evenly, as the law wants it."""
        return self.unevenness < UNEVEN

    @property
    def words(self) -> str:
        """Say the range and how far it is to be trusted."""
        if math.isinf(self.high_m):
            said = f"Optical range of {_round(self.low_m)} m or more"
        else:
            said = (
                f"Optical range about {_round(self.optical_range_m)} m, "
                f"{_round(self.low_m)} to {_round(self.high_m)} m"
            )
        if self.is_even:
            return f"{said}; rough, as dark trunks and even mist are taken for granted."
        return (
            f"{said}. The mist is {self.unevenness:.1f} times as bright on one side as on the "
            "other: with a low sun or a shallow layer this may be out by half or more; pace to "
            "the last trunk that can be made out."
        )


def linear(grey: ArrayLike) -> FloatArray:
    """Take tones of sRGB, 0 to 255, to linear light, 0 to 1 (IEC 61966-2-1)."""
    tone = np.asarray(grey, dtype=np.float64) / 255.0
    return np.where(tone <= 0.04045, tone / 12.92, ((tone + 0.055) / 1.055) ** 2.4)


def airlight_of(grey: GreyImage, row_px: float) -> FloatArray:
    """Brightness of the air in each direction: what is brightest about each column of a band.

    Trunks stand darker before the mist, so the brightest of a stretch of columns is air.

    Parameters
    ----------
    grey : ndarray of uint8, shape (rows, columns)
        The picture.
    row_px : float
        Middle of the band, best at the height of the lens. [px]

    Returns
    -------
    ndarray of float64, shape (columns,)
        In linear light.
    """
    tones = _band(grey, row_px).mean(axis=0)
    wide = max(5, round(STRETCH_FRAC * len(tones)) | 1)
    highest = percentile_filter(tones, AIR_PERCENTILE, size=wide, mode="nearest")
    return np.asarray(uniform_filter1d(highest, size=wide, mode="nearest"), dtype=np.float64)


def tones_of(
    grey: GreyImage, airlight: FloatArray, *, left_px: float, right_px: float, row_px: float
) -> Tones | None:
    """Read a trunk's tone and the airlight about it; None where it is out of the picture.

    Parameters
    ----------
    grey : ndarray of uint8, shape (rows, columns)
        The picture.
    airlight : ndarray, shape (columns,)
        Of :func:`airlight_of`.
    left_px, right_px : float
        Columns of its edges. [px]
    row_px : float
        Row at which they were marked. [px]
    """
    wide = right_px - left_px
    first, last = round(left_px + 0.2 * wide), round(right_px - 0.2 * wide) + 1
    if first < 0 or last > grey.shape[1] or last <= first:
        return None
    columns = _band(grey, row_px)[:, first:last].mean(axis=0)
    air = float(airlight[first:last].mean())
    return Tones(
        trunk_frac=float(np.median(columns)),
        air_frac=air,
        air_is_clipped=air >= float(linear(CLIPPED)),
    )


def _band(grey: GreyImage, row_px: float) -> FloatArray:
    """Rows about a mark, in linear light."""
    rows = grey.shape[0]
    top = min(max(0, round(row_px - ROWS_FRAC * rows)), rows - 3)
    bottom = max(min(rows, round(row_px + ROWS_FRAC * rows) + 1), top + 3)
    return linear(grey[top:bottom])


def fit_mist(
    tones: list[Tones],
    distances_m: ArrayLike,
    *,
    distance_errors_m: ArrayLike,
    airlight: FloatArray | None = None,
) -> MistFit:
    """Fit the thickness of mist to trunks at known distances.

    Parameters
    ----------
    tones : list of Tones
        Of each trunk.
    distances_m, distance_errors_m : array_like, shape (N,)
        How far each stands, and the standard error of that. [m]
    airlight : ndarray, optional
        Over the whole picture, to tell whether it is even; that about the trunks if not given.

    Raises
    ------
    MissingDataError
        If there are too few trunks, or all stand about as far off.
    BadInputError
        If the air beside them is white through over-exposure, or no darker trunk stands before
        it.
    """
    away = np.asarray(distances_m, dtype=np.float64)
    errors = np.asarray(distance_errors_m, dtype=np.float64)
    air = np.array([one.air_frac for one in tones])
    every = air if airlight is None else airlight
    _require_spread(tones, away)
    contrast = 1.0 - np.array([one.trunk_frac for one in tones]) / np.maximum(air, 1e-6)
    seen = contrast > 0.02
    if int(seen.sum()) < LEAST_TRUNKS:
        raise BadInputError(
            "Fewer than three of the marked trunks are darker than the air beside them; mist "
            "cannot be told from them."
        )
    _require_spread([one for one, is_seen in zip(tones, seen, strict=True) if is_seen], away[seen])
    logs, away, errors = np.log(contrast[seen]), away[seen], errors[seen]
    start = math.log(OWN_CONTRAST)
    slope = 0.03
    for _ in range(3):  # the errors of the distances weigh by the slope
        sigma = np.hypot(BARK_DOUBT / np.maximum(np.exp(logs), 0.1), slope * errors)
        design = np.stack([np.ones_like(away), -away], axis=1) / sigma[:, None]
        design = np.vstack([design, [1.0 / OWN_CONTRAST_DOUBT, 0.0]])
        wanted = np.append(logs / sigma, start / OWN_CONTRAST_DOUBT)
        covariance = np.linalg.inv(design.T @ design)
        _own, slope = covariance @ design.T @ wanted
        slope = max(float(slope), 0.0)
    misses = design @ np.array([_own, slope]) - wanted
    worse = max(1.0, math.sqrt(float(np.sum(misses**2)) / max(len(away) - 1, 1)))
    error = math.sqrt(float(covariance[1, 1])) * worse
    fade = math.log(20.0)
    low, high = slope + 2.0 * error, slope - 2.0 * error
    return MistFit(
        extinction_per_m=slope,
        extinction_error_per_m=error,
        optical_range_m=fade / slope if slope > 0.0 else math.inf,
        low_m=fade / low,
        high_m=fade / high if high > 0.0 else math.inf,
        unevenness=float(every.max() / max(every.min(), 1e-6)),
    )


def _require_spread(tones: list[Tones], away: FloatArray) -> None:
    if len(tones) < LEAST_TRUNKS:
        raise MissingDataError(
            f"{len(tones)} trunks are too few to tell mist from; mark three or more, from near "
            "to far."
        )
    if float(away.max() / away.min()) < LEAST_SPREAD:
        raise MissingDataError(
            f"All trunks stand {away.min():.0f} to {away.max():.0f} m off, too much alike to tell "
            "mist from; mark a nearer and a farther one."
        )
    if all(one.air_is_clipped for one in tones):
        raise BadInputError(
            "The air beside the trunks is white through over-exposure, so how pale they are "
            "cannot be told; take it darker."
        )


def _round(value_m: float) -> str:
    """Two figures, as far as such a range is known."""
    digits = 1 - math.floor(math.log10(max(value_m, 1.0)))
    return f"{round(value_m, digits):.0f}"
