"""From hour angle and declination to altitude and azimuth."""

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.angles import wrap_deg
from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import require_range


def altitude_azimuth(
    hour_angle_deg: ArrayLike, declination_deg: ArrayLike, *, latitude_deg: float
) -> tuple[FloatArray, FloatArray]:
    """Place a body in the sky of one standpoint, without refraction.

    Parameters
    ----------
    hour_angle_deg, declination_deg : array_like, shapes that broadcast to S
        Local hour angle, positive west of the meridian, and declination. [°]
    latitude_deg : float
        Geodetic latitude, north positive. [°]

    Returns
    -------
    altitude_deg, azimuth_deg : ndarray of float64, shape S
        Altitude above the level horizon; azimuth clockwise from true north,
        in [0, 360). NaN in gives NaN out. [°]

    Raises
    ------
    OutOfRangeError
        If ``latitude_deg`` is outside ±90°.

    References
    ----------
    .. [1] J. Meeus, Astronomical Algorithms, 2nd ed., 1998, eqs 13.5, 13.6.
    """
    require_range("latitude", latitude_deg, -90.0, 90.0, "°")
    hour, decl = np.broadcast_arrays(
        np.radians(np.asarray(hour_angle_deg, dtype=np.float64)),
        np.radians(np.asarray(declination_deg, dtype=np.float64)),
    )
    phi = np.radians(latitude_deg)
    east = -np.cos(decl) * np.sin(hour)
    north = np.sin(decl) * np.cos(phi) - np.cos(decl) * np.cos(hour) * np.sin(phi)
    up = np.sin(decl) * np.sin(phi) + np.cos(decl) * np.cos(hour) * np.cos(phi)
    altitude_deg = np.degrees(np.arctan2(up, np.hypot(east, north)))
    return np.asarray(altitude_deg), wrap_deg(np.degrees(np.arctan2(east, north)))
