"""How far one sees in mist, what that does to contrast, and what the drops have to do with it.

Optical range here is the meteorological optical range: the distance over which a beam keeps
5 % of its light. Holds for even mist and even light, roughly: low sun in the frame and shallow
layers break it.
"""

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import require_range

# WMO-No. 8 and CIE e-ILV 17-772: 5 %. AMS Glossary, meteorological range: 2 %.
OPTICAL_RANGE_CONTRAST_FRAC = 0.05
FAR_RANGE_CONTRAST_FRAC = 0.02


def _positive(values: ArrayLike) -> FloatArray:
    known = np.asarray(values, dtype=np.float64)
    return np.where(known > 0.0, known, np.nan)


def extinction_per_m(
    optical_range_m: ArrayLike, *, contrast_frac: float = OPTICAL_RANGE_CONTRAST_FRAC
) -> FloatArray:
    """Extinction of air in which one sees so far.

    Parameters
    ----------
    optical_range_m : array_like, shape S
        Optical range; 0 and less give NaN. [m]
    contrast_frac : float
        Contrast left at that range: 0.05 by the meteorological convention, 0.02 by the older.

    Returns
    -------
    ndarray of float64, shape S
        Extinction. [1/m]

    Raises
    ------
    OutOfRangeError
        If ``contrast_frac`` is not between 0 and 1.

    References
    ----------
    .. [1] WMO-No. 8, Guide to instruments and methods of observation, visibility.
    """
    require_range("contrast", contrast_frac, 1e-6, 0.999)
    return np.asarray(-np.log(contrast_frac) / _positive(optical_range_m))


def optical_range_m(
    extinction_per_m: ArrayLike, *, contrast_frac: float = OPTICAL_RANGE_CONTRAST_FRAC
) -> FloatArray:
    """Range at which a contrast is left, from the extinction; 0 and less give NaN.

    Parameters
    ----------
    extinction_per_m : array_like, shape S
        Extinction. [1/m]
    contrast_frac : float
        Contrast left at that range.

    Returns
    -------
    ndarray of float64, shape S
        Range. [m]
    """
    require_range("contrast", contrast_frac, 1e-6, 0.999)
    return np.asarray(-np.log(contrast_frac) / _positive(extinction_per_m))


def far_range_m(optical_range_m: ArrayLike) -> FloatArray:
    """Range at which 2 % of contrast is left: 1.306 times the optical range.

    Parameters
    ----------
    optical_range_m : array_like, shape S
        Optical range. [m]

    References
    ----------
    .. [1] AMS Glossary of Meteorology, "meteorological range".
    """
    ratio = np.log(FAR_RANGE_CONTRAST_FRAC) / np.log(OPTICAL_RANGE_CONTRAST_FRAC)
    return np.asarray(ratio * _positive(optical_range_m))


def contrast_frac(
    distance_m: ArrayLike, *, optical_range_m: ArrayLike, first_frac: ArrayLike = 1.0
) -> FloatArray:
    """Contrast of a dark thing against the mist behind it.

    Parameters
    ----------
    distance_m : array_like, broadcasting to S
        Distance, 0 or more; less gives NaN. [m]
    optical_range_m : array_like, broadcasting to S
        Optical range. [m]
    first_frac : array_like, broadcasting to S
        Contrast from near by.

    Returns
    -------
    ndarray of float64, shape S
        0 to ``first_frac``.

    References
    ----------
    .. [1] H. Koschmieder, Beitr. Phys. freien Atm. 12 (1924), 33-53, 171-181.
    """
    distance = np.asarray(distance_m, dtype=np.float64)
    distance = np.where(distance >= 0.0, distance, np.nan)
    through = np.exp(-extinction_per_m(optical_range_m) * distance)
    return np.asarray(np.asarray(first_frac, dtype=np.float64) * through)


def apparent_luminance_cdm2(
    luminance_cdm2: ArrayLike,
    *,
    airlight_cdm2: ArrayLike,
    distance_m: ArrayLike,
    optical_range_m: ArrayLike,
) -> FloatArray:
    """Luminance of a thing seen through mist: its own, dimmed, and the mist's, added.

    Parameters
    ----------
    luminance_cdm2, airlight_cdm2 : array_like, broadcasting to S
        Of the thing near by, and of the mist far off. [cd/m²]
    distance_m, optical_range_m : array_like, broadcasting to S
        Distance of the thing and optical range. [m]

    Returns
    -------
    ndarray of float64, shape S
        Luminance. [cd/m²]
    """
    through = contrast_frac(distance_m, optical_range_m=optical_range_m)
    own = np.asarray(luminance_cdm2, dtype=np.float64)
    air = np.asarray(airlight_cdm2, dtype=np.float64)
    return np.asarray(own * through + air * (1.0 - through))


def best_extinction_per_m(near_m: ArrayLike, far_m: ArrayLike) -> FloatArray:
    """Extinction at which two dark layers differ most in tone: ln(far/near) / (far − near).

    Parameters
    ----------
    near_m, far_m : array_like, shapes that broadcast to S
        Distances of the layers, 0 < near < far; anything else gives NaN. [m]

    Returns
    -------
    ndarray of float64, shape S
        Extinction. [1/m]
    """
    near, far = _positive(near_m), _positive(far_m)
    apart = np.where(far > near, far - near, np.nan)
    return np.asarray(np.log(far / near) / apart)


def layer_separation_frac(
    near_m: ArrayLike, far_m: ArrayLike, *, extinction_per_m: ArrayLike
) -> FloatArray:
    """Difference in tone of two dark layers, as a share of the mist's own luminance.

    Parameters
    ----------
    near_m, far_m : array_like, shapes that broadcast to S
        Distances of the layers. [m]
    extinction_per_m : array_like, broadcasting to S
        Extinction. [1/m]
    """
    near, far = np.asarray(near_m, dtype=np.float64), np.asarray(far_m, dtype=np.float64)
    dimming = np.asarray(extinction_per_m, dtype=np.float64)
    return np.asarray(np.exp(-dimming * near) - np.exp(-dimming * far))


def extinction_from_water_per_m(
    liquid_water_gm3: ArrayLike, *, drop_radius_um: ArrayLike, efficiency_frac: float = 2.0
) -> FloatArray:
    """Extinction of fog from its water and the effective radius of its drops.

    Parameters
    ----------
    liquid_water_gm3 : array_like, broadcasting to S
        Liquid water. [g/m³]
    drop_radius_um : array_like, broadcasting to S
        Effective radius. [µm]
    efficiency_frac : float
        Extinction efficiency, 2 for drops much larger than the wavelength.

    Returns
    -------
    ndarray of float64, shape S
        σ = 3 Q LWC / (4 ρ r). [1/m]
    """
    grams_per_m3_of_water = 1.0e6
    radius_m = _positive(drop_radius_um) * 1e-6
    water = np.asarray(liquid_water_gm3, dtype=np.float64)
    return np.asarray(3.0 * efficiency_frac * water / (4.0 * grams_per_m3_of_water * radius_m))


def kunkel_extinction_per_m(liquid_water_gm3: ArrayLike) -> FloatArray:
    """Extinction of fog from its water alone, an average over many fogs. [1/m].

    Parameters
    ----------
    liquid_water_gm3 : array_like, shape S
        Liquid water. [g/m³]

    References
    ----------
    .. [1] B. A. Kunkel, J. Climate Appl. Meteor. 23, 34-41 (1984); constants from memory.
    """
    return np.asarray(0.1447 * _positive(liquid_water_gm3) ** 0.88)


def gultepe_range_m(liquid_water_gm3: ArrayLike, *, drops_per_cm3: ArrayLike) -> FloatArray:
    """Range in fog from its water and the number of its drops. [m].

    Parameters
    ----------
    liquid_water_gm3 : array_like, broadcasting to S
        Liquid water. [g/m³]
    drops_per_cm3 : array_like, broadcasting to S
        Number of drops. [1/cm³]

    References
    ----------
    .. [1] I. Gultepe et al., J. Appl. Meteor. Climatol. 45, 1469 (2006); constants from memory.
    """
    product = _positive(liquid_water_gm3) * _positive(drops_per_cm3)
    return np.asarray(1002.0 * product**-0.6473)
