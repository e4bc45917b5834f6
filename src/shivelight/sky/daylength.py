"""Length of the day by a small formula, where an ephemeris is more than is needed."""

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import require_range


def day_length_h(
    day_of_year: ArrayLike, *, latitude_deg: float, depression_deg: float = 0.8333
) -> FloatArray:
    """Hours from sunrise to sunset over a level horizon, the CBM model.

    Parameters
    ----------
    day_of_year : array_like, shape S
        1 to 366.
    latitude_deg : float
        North positive. [°]
    depression_deg : float
        How far the Sun's centre stands below the horizon at rise and set: 0 for the centre
        without refraction, 0.8333 for the upper limb with it. [°]

    Returns
    -------
    ndarray of float64, shape S
        0 in polar night, 24 in polar day; within 0.1 h up to 60° (the published comparison is
        recalled, not read). [h]

    References
    ----------
    .. [1] W. C. Forsythe et al., A model comparison for daylength as a function of latitude and
       day of year, Ecological Modelling 80 (1995) 87-95. Constants from memory.
    """
    require_range("latitude", latitude_deg, -90.0, 90.0, "°")
    require_range("depression", depression_deg, -20.0, 20.0, "°")
    day = np.asarray(day_of_year, dtype=np.float64)
    theta = 0.2163108 + 2.0 * np.arctan(0.9671396 * np.tan(0.00860 * (day - 186.0)))
    declination = np.arcsin(0.39795 * np.cos(theta))
    # A pole divides nought by nought; a hair's breadth beside it has the same day.
    latitude = np.radians(np.clip(latitude_deg, -89.9999, 89.9999))
    cosine = np.sin(np.radians(depression_deg)) + np.sin(latitude) * np.sin(declination)
    share = np.clip(cosine / (np.cos(latitude) * np.cos(declination)), -1.0, 1.0)
    return np.asarray(24.0 - 24.0 / np.pi * np.arccos(share), dtype=np.float64)
