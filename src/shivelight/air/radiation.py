"""Long-wave loss on a clear night, and how mist scatters sunlight forward."""

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import require_range

STEFAN_BOLTZMANN_WM2K4 = 5.670374419e-8  # CODATA 2018, exact since the SI of 2019
ZERO_DEGC_K = 273.15


def clear_sky_longwave_wm2(temperature_degc: ArrayLike) -> FloatArray:
    """Heat radiation that comes down from a clear sky, from the air's temperature alone.

    Parameters
    ----------
    temperature_degc : array_like, shape S
        Air temperature at screen height. [°C]

    Returns
    -------
    ndarray of float64, shape S
        5.31e-13 T⁶. [W/m²]

    References
    ----------
    .. [1] W. C. Swinbank, Quart. J. Roy. Meteor. Soc. 89, 339 (1963); constant from memory.
    """
    return np.asarray(
        5.31e-13 * (np.asarray(temperature_degc, dtype=np.float64) + ZERO_DEGC_K) ** 6
    )


def clear_night_loss_wm2(temperature_degc: ArrayLike) -> FloatArray:
    """Net heat that ground at air temperature loses under a clear sky. [W/m²].

    Parameters
    ----------
    temperature_degc : array_like, shape S
        Air temperature; the ground is taken to be as warm, and black. [°C]
    """
    kelvin = np.asarray(temperature_degc, dtype=np.float64) + ZERO_DEGC_K
    return np.asarray(
        STEFAN_BOLTZMANN_WM2K4 * kelvin**4 - clear_sky_longwave_wm2(temperature_degc)
    )


def scattering_per_sr(angle_deg: ArrayLike, *, asymmetry_frac: float = 0.85) -> FloatArray:
    """Share of scattered light per solid angle, by the angle from straight on.

    Parameters
    ----------
    angle_deg : array_like, shape S
        Angle between the sun's rays and the way the light goes on; 0 is looking at the sun. [°]
    asymmetry_frac : float
        Mean cosine g; fog drops of 5 to 10 µm have 0.85 to 0.86.

    Returns
    -------
    ndarray of float64, shape S
        Integrates to 1 over the sphere. It shows no fogbow near 140° and too little straight
        back: not for looking away from the sun. [1/sr]

    Raises
    ------
    OutOfRangeError
        If ``asymmetry_frac`` is not inside −1 to 1.

    References
    ----------
    .. [1] L. G. Henyey, J. L. Greenstein, Astrophys. J. 93, 70 (1941).
    """
    require_range("asymmetry", asymmetry_frac, -0.999, 0.999)
    g = asymmetry_frac
    cosine = np.cos(np.radians(np.asarray(angle_deg, dtype=np.float64)))
    return np.asarray((1.0 - g**2) / (4.0 * np.pi * (1.0 + g**2 - 2.0 * g * cosine) ** 1.5))
