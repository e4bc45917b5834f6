"""Water vapour: saturation pressure, dew point, relative humidity, swelling of haze drops.

Every dew point here is over *liquid water*, also below 0 °C. Weather services report it so;
over ice the same vapour gives a frost point that is higher (nearer to the air temperature) by
about a tenth of the dew point in °C.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import OutOfRangeError


@dataclass(frozen=True, slots=True, kw_only=True)
class Magnus:
    """Constants of e_s = A exp(b T / (c + T)) over water.

    Attributes
    ----------
    at_zero_hpa : float
        A, the saturation pressure at 0 °C. [hPa]
    slope_frac : float
        b, no unit.
    offset_degc : float
        c. [°C]
    """

    at_zero_hpa: float
    slope_frac: float
    offset_degc: float


# Alduchov & Eskridge, J. Appl. Meteor. 35, 601 (1996); −40 to 50 °C, within 0.4 %.
ALDUCHOV_ESKRIDGE = Magnus(at_zero_hpa=6.1094, slope_frac=17.625, offset_degc=243.04)
# Bolton, Mon. Wea. Rev. 108, 1046 (1980), eq. 10; constants from memory.
BOLTON = Magnus(at_zero_hpa=6.112, slope_frac=17.67, offset_degc=243.5)
# WMO-No. 8, annex 4.B; constants from memory.
WMO = Magnus(at_zero_hpa=6.112, slope_frac=17.62, offset_degc=243.12)


def saturation_vapour_pressure_hpa(
    temperature_degc: ArrayLike, *, form: Magnus = ALDUCHOV_ESKRIDGE
) -> FloatArray:
    """Vapour pressure of air that is saturated over water.

    Parameters
    ----------
    temperature_degc : array_like, shape S
        Air temperature; below −80 °C the form means nothing and gives NaN. [°C]
    form : Magnus
        Whose constants; Alduchov & Eskridge by default.

    Returns
    -------
    ndarray of float64, shape S
        Pressure over liquid water, also below 0 °C. [hPa]

    References
    ----------
    .. [1] O. A. Alduchov, R. E. Eskridge, J. Appl. Meteor. 35, 601-609 (1996).
    """
    t = np.asarray(temperature_degc, dtype=np.float64)
    t = np.where(t > -80.0, t, np.nan)
    return np.asarray(form.at_zero_hpa * np.exp(form.slope_frac * t / (form.offset_degc + t)))


def dew_point_degc(
    temperature_degc: ArrayLike,
    relative_humidity_frac: ArrayLike,
    *,
    form: Magnus = ALDUCHOV_ESKRIDGE,
) -> FloatArray:
    """Dew point over water from temperature and relative humidity.

    Parameters
    ----------
    temperature_degc : array_like, shape broadcasting to S
        Air temperature. [°C]
    relative_humidity_frac : array_like, shape broadcasting to S
        Over water, above 0 and up to 1; anything else gives NaN.
    form : Magnus
        Whose constants; the forms differ by up to 0.015 °C at 20 °C and one half.

    Returns
    -------
    ndarray of float64, shape S
        Dew point, never above the temperature. [°C]

    References
    ----------
    .. [1] O. A. Alduchov, R. E. Eskridge, J. Appl. Meteor. 35, 601-609 (1996).
    """
    t = np.asarray(temperature_degc, dtype=np.float64)
    t = np.where(t > -80.0, t, np.nan)
    share = np.asarray(relative_humidity_frac, dtype=np.float64)
    share = np.where((share > 0.0) & (share <= 1.0), share, np.nan)
    g = np.log(share) + form.slope_frac * t / (form.offset_degc + t)
    return np.asarray(np.minimum(form.offset_degc * g / (form.slope_frac - g), t))


def relative_humidity_frac(
    temperature_degc: ArrayLike, dew_point_degc: ArrayLike, *, form: Magnus = ALDUCHOV_ESKRIDGE
) -> FloatArray:
    """Relative humidity over water from temperature and dew point.

    Parameters
    ----------
    temperature_degc, dew_point_degc : array_like, shapes that broadcast to S
        Air temperature and dew point over water. [°C]
    form : Magnus
        Whose constants.

    Returns
    -------
    ndarray of float64, shape S
        0 to 1, and above 1 where the dew point is given above the temperature.
    """
    return np.asarray(
        saturation_vapour_pressure_hpa(dew_point_degc, form=form)
        / saturation_vapour_pressure_hpa(temperature_degc, form=form)
    )


def swelling_frac(relative_humidity_frac: ArrayLike, *, kappa_frac: float) -> FloatArray:
    """Diameter of a haze drop over its dry diameter, without the curvature term.

    Parameters
    ----------
    relative_humidity_frac : array_like, shape S
        0 to below 1; anything else gives NaN.
    kappa_frac : float
        How readily the dry stuff takes up water: about 0.3 on land (from memory).

    Returns
    -------
    ndarray of float64, shape S
        1 and above.

    Raises
    ------
    OutOfRangeError
        If ``kappa_frac`` is negative.

    References
    ----------
    .. [1] M. D. Petters, S. M. Kreidenweis, Atmos. Chem. Phys. 7, 1961 (2007); form from memory.
    """
    if not 0.0 <= kappa_frac <= 2.0:
        raise OutOfRangeError("kappa", kappa_frac, 0.0, 2.0)
    share = np.asarray(relative_humidity_frac, dtype=np.float64)
    share = np.where((share >= 0.0) & (share < 1.0), share, np.nan)
    return np.asarray(np.cbrt(1.0 + kappa_frac * share / (1.0 - share)))
