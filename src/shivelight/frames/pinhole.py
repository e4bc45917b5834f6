"""How pixels of a photograph become directions: a pinhole in pixels.

Pixel (0, 0) is the centre of the top-left pixel; points are (column, row). A direction is given
as (right, down, 1) in the camera's own axes.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import require_range


@dataclass(frozen=True, slots=True, kw_only=True)
class Pinhole:
    """A picture's lens, in its own pixels; the axis goes through the middle.

    Attributes
    ----------
    focal_px : float
        Focal length in pixels.
    width_px, height_px : int
        Size of the picture.
    """

    focal_px: float
    width_px: int
    height_px: int

    def __post_init__(self) -> None:
        require_range("width of the picture", self.width_px, 16, 100_000, "px")
        require_range("height of the picture", self.height_px, 16, 100_000, "px")
        require_range("focal length", self.focal_px, 0.1 * self.width_px, 1e6, "px")

    @property
    def middle_px(self) -> FloatArray:
        """Column and row of the lens axis."""
        return np.array([(self.width_px - 1) / 2.0, (self.height_px - 1) / 2.0])


def directions(points_px: ArrayLike, lens: Pinhole, *, k1: float = 0.0) -> FloatArray:
    """Directions of pixels, (right, down, 1) in the camera's axes.

    Parameters
    ----------
    points_px : array_like, shape (..., 2)
        Columns and rows. [px]
    lens : Pinhole
        Of the picture they are in.
    k1 : float
        Radial distortion, r' = r (1 + k1 r²) with r in focal lengths, taken back to first
        order: good to 1e-4 of the focal length for |k1| r² below 0.01.

    Returns
    -------
    ndarray of float64, shape (..., 3)
    """
    flat = (np.asarray(points_px, dtype=np.float64) - lens.middle_px) / lens.focal_px
    if k1 != 0.0:
        flat = flat * (1.0 - k1 * _square(flat))
    return np.concatenate([flat, np.ones((*flat.shape[:-1], 1))], axis=-1)


def pixels(directions_: ArrayLike, lens: Pinhole, *, k1: float = 0.0) -> FloatArray:
    """Pixels of directions: :func:`directions` taken back, to the same order.

    Parameters
    ----------
    directions_ : array_like, shape (..., 3)
        In the camera's axes; NaN comes of those that do not point forward.
    lens : Pinhole
        Of the picture.
    k1 : float
        Radial distortion.

    Returns
    -------
    ndarray of float64, shape (..., 2)
        Columns and rows. [px]
    """
    aim = np.asarray(directions_, dtype=np.float64)
    ahead = np.where(aim[..., 2:] > 0.0, aim[..., 2:], np.nan)
    flat = aim[..., :2] / ahead
    if k1 != 0.0:
        flat = flat * (1.0 + k1 * _square(flat))
    return np.asarray(flat * lens.focal_px + lens.middle_px, dtype=np.float64)


def _square(flat: FloatArray) -> FloatArray:
    """Square of the distance from the axis, shape (..., 1)."""
    return np.asarray(flat[..., :1] ** 2 + flat[..., 1:] ** 2)
