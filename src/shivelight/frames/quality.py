"""Whether a photograph can be measured on at all: light enough, sharp enough, not another's copy.

Mist is no fault: sharpness is judged by how detail is shared among sizes, not by how strong it
is, so that a pale picture is not called blurred.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from shivelight.basis.arrays import FloatArray

GreyImage = NDArray[np.uint8]

DARK_TONE = 14.0
"""Tone below which 9 in 10 pixels of a picture that is too dark lie, of 255 (a judgement)."""
LEAST_FINENESS = 0.16
"""Fine over middling detail in the sharpest tenth of a picture; less is blur (a judgement)."""
_BLOCKS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Quality:
    """How a picture stands for measuring.

    Attributes
    ----------
    bright_tone : float
        Tone that 9 in 10 pixels do not pass, 0 to 255.
    spread_tone : float
        Tones between the 5th and 95th pixel in a hundred.
    fineness : float
        Strength of the finest detail over that of detail three times as large, where the
        picture has most of it; NaN where it has none.
    """

    bright_tone: float
    spread_tone: float
    fineness: float

    @property
    def is_dark(self) -> bool:
        """Whether it is too dark to measure on."""
        return self.bright_tone < DARK_TONE

    @property
    def is_blurred(self) -> bool:
        """Whether it is too blurred to measure on."""
        return bool(self.fineness < LEAST_FINENESS)

    @property
    def is_blank(self) -> bool:
        """Whether there is next to nothing to be seen on it."""
        return self.spread_tone < 4.0


def quality_of(grey: GreyImage) -> Quality:
    """Judge a picture.

    Parameters
    ----------
    grey : ndarray of uint8, shape (rows, columns)
        The picture at the size it is measured at.
    """
    low, bright, high = np.percentile(grey, [5.0, 90.0, 95.0])
    return Quality(
        bright_tone=float(bright),
        spread_tone=float(high - low),
        fineness=_fineness(grey),
    )


def _fineness(grey: GreyImage) -> float:
    """Fine detail over middling detail, of the blocks that have most middling detail."""
    tones = grey.astype(np.float32)
    softer = [cv2.GaussianBlur(tones, (0, 0), sigma) for sigma in (0.7, 1.4, 2.1, 4.2)]
    fine, middling = (
        _by_blocks(np.square(softer[one] - softer[one + 1], dtype=np.float64)) for one in (0, 2)
    )
    if middling.max() < 0.05:
        return float("nan")
    most = np.argsort(middling)[-(_BLOCKS * _BLOCKS // 10) :]
    return float(np.sqrt(np.median(fine[most] / middling[most])))


def _by_blocks(values: FloatArray) -> FloatArray:
    shape = (_BLOCKS, _BLOCKS)
    small = cv2.resize(values, shape, interpolation=cv2.INTER_AREA)
    return np.asarray(small, dtype=np.float64).ravel()


def same_picture(a: GreyImage, b: GreyImage) -> bool:
    """Whether two pictures are one, saved twice perhaps: equal but for compression.

    Parameters
    ----------
    a, b : ndarray of uint8, shape (rows, columns)
        The pictures; of different shape they are different.
    """
    shape_a, shape_b = (one.shape[1] / one.shape[0] for one in (a, b))
    if abs(shape_a - shape_b) > 0.01:
        return False
    small_a, small_b = (
        cv2.resize(one, (150, 100), interpolation=cv2.INTER_AREA).astype(np.float32)
        for one in (a, b)
    )
    off = np.abs(small_a - small_b).mean()
    varied = max(float(small_a.std()), 1.0)
    return bool(off < 0.03 * varied)
