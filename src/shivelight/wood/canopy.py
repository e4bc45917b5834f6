"""How much light gets through leaves and twigs.

All of it is Beer and Lambert's law with leaves spread at random; real crowns clump, so gaps are
a little commoner and much less even than these figures (dapple is not modelled).
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, require_range

SPHERICAL_PROJECTION = 0.5
"""Share of leaf area that faces any direction when leaves point every way. At 57.5° from the
zenith it is 0.5 for any leaf angles (Nilson 1971; from memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Canopy:
    """Crowns between a spot and the sky, as one even layer.

    Attributes
    ----------
    plant_area_index : float
        Leaves and wood together, one-sided, per area of ground. [m²/m²]
    base_height_m, top_height_m : float
        Where the crowns begin and end above the ground. [m]
    edge_distance_m : float or None
        How far away, toward the light, the crowns end; None when the wood goes on. [m]
    lens_height_m : float
        Where the light is wanted. [m]
    clumping : float
        1 for leaves at random, less when they stand in clumps.
    """

    plant_area_index: float
    base_height_m: float = 6.0
    top_height_m: float = 20.0
    edge_distance_m: float | None = None
    lens_height_m: float = 1.4
    clumping: float = 1.0

    def __post_init__(self) -> None:
        require_range("plant area index", self.plant_area_index, 0.0, 15.0)
        require_range("crown base", self.base_height_m, 0.0, 60.0, "m")
        require_range("crown top", self.top_height_m, 0.5, 120.0, "m")
        require_range("lens height", self.lens_height_m, 0.0, 20.0, "m")
        require_range("clumping", self.clumping, 0.1, 1.0)
        if self.edge_distance_m is not None:
            require_range("distance to the edge", self.edge_distance_m, 0.0, 1e5, "m")
        if self.base_height_m >= self.top_height_m:
            raise BadInputError(
                f"Crowns cannot begin at {self.base_height_m:g} m and end at "
                f"{self.top_height_m:g} m; the top must be the higher."
            )


def beam_through_frac(canopy: Canopy, altitude_deg: ArrayLike) -> FloatArray:
    """Share of the direct beam that a canopy leaves, by the sun's altitude.

    Parameters
    ----------
    canopy : Canopy
        The layer. Where its edge is near, low light comes in beneath the crowns and is not
        dimmed; trunks are not counted.
    altitude_deg : array_like, shape S
        Apparent altitude of the light. [°]

    Returns
    -------
    ndarray of float64, shape S
        0 to 1; 0 below the horizon. NaN in gives NaN.
    """
    height = np.asarray(altitude_deg, dtype=np.float64)
    risen = np.maximum(height, 0.05)  # a level ray would cross an endless layer for ever
    path_m = _crown_path_m(canopy, risen)
    per_m = canopy.plant_area_index / (canopy.top_height_m - canopy.base_height_m)
    left = np.exp(-SPHERICAL_PROJECTION * canopy.clumping * per_m * path_m)
    return np.asarray(np.where(height < 0.0, 0.0, left))


def _crown_path_m(canopy: Canopy, altitude_deg: FloatArray) -> FloatArray:
    """Length of a ray inside the crown layer before the wood ends [m]."""
    slope = np.tan(np.radians(altitude_deg))
    enters_m = max(canopy.base_height_m - canopy.lens_height_m, 0.0) / slope
    leaves_m = max(canopy.top_height_m - canopy.lens_height_m, 0.0) / slope
    edge_m = math.inf if canopy.edge_distance_m is None else canopy.edge_distance_m
    level_m = np.maximum(np.minimum(leaves_m, edge_m) - enters_m, 0.0)
    return np.asarray(level_m / np.cos(np.radians(altitude_deg)))


def canopy_transmittance_frac(leaf_area_index: ArrayLike, *, extinction: float) -> FloatArray:
    """Light that reaches the floor by Beer and Lambert's law.

    Parameters
    ----------
    leaf_area_index : array_like, shape S
        One-sided leaf area per area of ground. [m²/m²]
    extinction : float
        0.53 to 0.67 in four broadleaved stands [1]_, for light as it comes on average.

    Returns
    -------
    ndarray of float64, shape S
        0 to 1. The same paper found predictions of leaf area by this law 35 % low to 85 % high
        at single sites.

    References
    ----------
    .. [1] J. M. Vose et al., Canadian J. Forest Research 25 (1995) 1036-1043.
    """
    require_range("extinction", extinction, 0.0, 3.0)
    return np.asarray(np.exp(-extinction * np.asarray(leaf_area_index, dtype=np.float64)))


def gap_frac(
    leaf_area_index: ArrayLike,
    *,
    zenith_deg: ArrayLike,
    clumping: float = 1.0,
    projection: float = SPHERICAL_PROJECTION,
) -> FloatArray:
    """Chance that a straight line through an endless canopy meets no leaf.

    Parameters
    ----------
    leaf_area_index, zenith_deg : array_like, shapes that broadcast to S
        Leaf area, and angle of the line from overhead, below 90. [m²/m²], [°]
    clumping : float
        1 for leaves at random, less for clumped ones.
    projection : float
        Share of leaf area facing the line; 0.5 when leaves point every way.

    Returns
    -------
    ndarray of float64, shape S
        0 to 1; NaN at 90° and beyond.

    References
    ----------
    .. [1] T. Nilson, Agricultural Meteorology 8 (1971) 25-38. From memory.
    """
    zenith = np.asarray(zenith_deg, dtype=np.float64)
    cosine = np.cos(np.radians(np.where(np.abs(zenith) < 90.0, zenith, np.nan)))
    area = np.asarray(leaf_area_index, dtype=np.float64)
    return np.asarray(np.exp(-projection * clumping * area / cosine))


def diffuse_transmittance_frac(
    leaf_area_index: ArrayLike, *, projection: float = SPHERICAL_PROJECTION
) -> FloatArray:
    """Light of an evenly bright sky that reaches the floor under an endless canopy.

    Parameters
    ----------
    leaf_area_index : array_like, shape S
        Leaf area, or leaves and wood together. [m²/m²]
    projection : float
        As in :func:`gap_frac`.

    Returns
    -------
    ndarray of float64, shape S
        Twice the exponential integral E₃: the gap fraction summed over the whole sky. Light that
        leaves pass on or throw back is not counted.
    """
    from scipy.special import expn  # noqa: PLC0415  a third of a second, when first asked

    area = np.asarray(leaf_area_index, dtype=np.float64)
    return np.asarray(2.0 * expn(3, projection * area), dtype=np.float64)


def path_transmittance_frac(path_m: ArrayLike, *, leaf_area_per_m: float) -> FloatArray:
    """Share of a beam left after a length of path inside crowns.

    Parameters
    ----------
    path_m : array_like, shape S
        Length inside crowns, as from a canopy raster. [m]
    leaf_area_per_m : float
        Plant area index divided by the depth of the crowns. [m²/m³]

    Returns
    -------
    ndarray of float64, shape S
        0 to 1.
    """
    require_range("leaf area density", leaf_area_per_m, 0.0, 20.0, "m²/m³")
    path = np.asarray(path_m, dtype=np.float64)
    return np.asarray(np.exp(-SPHERICAL_PROJECTION * leaf_area_per_m * path))


def stops_from_frac(fraction: ArrayLike) -> FloatArray:
    """Turn a share of light into stops of exposure.

    Parameters
    ----------
    fraction : array_like, shape S
        Share of the light that is left.

    Returns
    -------
    ndarray of float64, shape S
        Its base-2 logarithm: 0.5 is −1 stop; none left is minus infinity; NaN for less. [EV]
    """
    share = np.asarray(fraction, dtype=np.float64)
    with np.errstate(divide="ignore"):
        return np.asarray(np.log2(np.where(share >= 0.0, share, np.nan)))
