"""How much of the sky a place sees."""

import numpy as np

from shivelight.basis.errors import MissingDataError, require_range
from shivelight.land.skyline import Skyline


def sky_view_frac(skyline: Skyline, *, slope_deg: float = 0.0, aspect_deg: float = 0.0) -> float:
    """Share of an evenly bright sky's light that falls on a surface.

    Parameters
    ----------
    skyline : Skyline
        Round the place; heights below level hide nothing.
    slope_deg : float
        Tilt of the surface, 0 for level ground; it hides the sky behind itself. [°]
    aspect_deg : float
        True bearing that it faces downhill. [°]

    Returns
    -------
    float
        0 to 1; 1 on open level ground.

    Raises
    ------
    MissingDataError
        If the skyline has unknown bearings.
    OutOfRangeError
        For a slope outside 0° to 90°.

    References
    ----------
    .. [1] J. Dozier and J. Frew, Rapid calculation of terrain parameters for radiation modeling
       from digital elevation data, IEEE Trans. Geosci. Remote Sens. 28 (1990), eq. 7b (from
       memory; checked against the closed forms of tests/data/checks).
    """
    require_range("slope", slope_deg, 0.0, 90.0, "°")
    if not skyline.is_whole:
        raise MissingDataError(
            "The skyline is not known all round; type the missing heights to see how much sky "
            "there is."
        )
    tilt = np.radians(slope_deg)
    toward = np.radians(skyline.azimuth_deg - aspect_deg)
    # Behind itself a tilted surface is its own skyline.
    own = np.arctan2(-np.sin(tilt) * np.cos(toward), np.cos(tilt))
    height = np.maximum(np.radians(np.maximum(skyline.altitude_deg, 0.0)), own)
    from_zenith = np.pi / 2 - height
    seen = np.cos(tilt) * np.cos(height) ** 2
    seen += np.sin(tilt) * np.cos(toward) * (from_zenith - np.sin(height) * np.cos(height))
    return float(np.clip(seen.mean(), 0.0, 1.0))
