"""How air bends low light: true and apparent altitude.

Real refraction at the level horizon differs from any formula by several arcminutes from day to
day, so a time of flat sunrise is never better known than some tens of seconds. (From memory; no
source read.)
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import require_range

LOWEST_TRUE_DEG = -1.0
"""Below this true altitude neither formula was fitted; the value here is kept (a judgement)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AirColumn:
    """Air that light comes through, for refraction only.

    Attributes
    ----------
    temperature_degc : float
        Near the ground. The default is the demo's cool dawn. [°C]
    pressure_hpa : float
        At the place, not reduced to sea level. 0 turns refraction off. [hPa]
    """

    temperature_degc: float = 5.0
    pressure_hpa: float = 1010.0

    def __post_init__(self) -> None:
        require_range("air temperature", self.temperature_degc, -90.0, 60.0, "°C")
        require_range("air pressure", self.pressure_hpa, 0.0, 1100.0, "hPa")

    @property
    def scale(self) -> float:
        """Share of the refraction at 10 °C and 1010 hPa."""
        return self.pressure_hpa / 1010.0 * 283.0 / (273.0 + self.temperature_degc)


COOL_DAWN = AirColumn()
"""5 °C and 1010 hPa."""


def refraction_from_apparent_deg(
    apparent_altitude_deg: ArrayLike, *, air: AirColumn = COOL_DAWN
) -> FloatArray:
    """Refraction for an altitude as seen (Bennett).

    Parameters
    ----------
    apparent_altitude_deg : array_like, shape S
        Altitude as seen, refraction included. [°]
    air : AirColumn
        Temperature and pressure.

    Returns
    -------
    ndarray of float64, shape S
        How much higher the body looks than it stands, never below 0; NaN in gives NaN. Good to
        0.07′ above the horizon at 10 °C and 1010 hPa. [°]

    References
    ----------
    .. [1] G. G. Bennett, J. Inst. Navigation 35 (1982) 255; Meeus, Astronomical Algorithms,
       2nd ed., 1998, eq. 16.3.
    """
    seen_deg = np.maximum(np.asarray(apparent_altitude_deg, dtype=np.float64), -0.5)
    bend_arcmin = 1.0 / np.tan(np.radians(seen_deg + 7.31 / (seen_deg + 4.4)))
    return np.asarray(np.maximum(bend_arcmin, 0.0) * (air.scale / 60.0), dtype=np.float64)


def refraction_from_true_deg(
    true_altitude_deg: ArrayLike, *, air: AirColumn = COOL_DAWN
) -> FloatArray:
    """Refraction for an airless altitude (Sæmundsson).

    Parameters
    ----------
    true_altitude_deg : array_like, shape S
        Airless altitude. Below −1° the value at −1° is kept. [°]
    air : AirColumn
        Temperature and pressure.

    Returns
    -------
    ndarray of float64, shape S
        How much higher the body looks than it stands, never below 0; NaN in gives NaN.
        Consistent with Bennett's formula to 0.1′. [°]

    References
    ----------
    .. [1] Th. Sæmundsson, Sky and Telescope 72 (1986) 70; Meeus, Astronomical Algorithms,
       2nd ed., 1998, eq. 16.4.
    """
    stands_deg = np.maximum(np.asarray(true_altitude_deg, dtype=np.float64), LOWEST_TRUE_DEG)
    bend_arcmin = 1.02 / np.tan(np.radians(stands_deg + 10.3 / (stands_deg + 5.11)))
    return np.asarray(np.maximum(bend_arcmin, 0.0) * (air.scale / 60.0), dtype=np.float64)


def apparent_altitude_deg(
    true_altitude_deg: ArrayLike, *, air: AirColumn = COOL_DAWN
) -> FloatArray:
    """Altitude as seen, from the airless one.

    Parameters
    ----------
    true_altitude_deg : array_like, shape S
        Airless altitude. [°]
    air : AirColumn
        Temperature and pressure.

    Returns
    -------
    ndarray of float64, shape S
        Altitude with refraction (:func:`refraction_from_true_deg`). [°]
    """
    stands_deg = np.asarray(true_altitude_deg, dtype=np.float64)
    return np.asarray(stands_deg + refraction_from_true_deg(stands_deg, air=air))
