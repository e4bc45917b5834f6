"""Run each compiled loop once on something tiny; Numba then finds it in its cache."""

import numpy as np

from shivelight.basis.places import Position
from shivelight.land.ground import Ground
from shivelight.land.skyline import level_skyline, skyline_from_ground
from shivelight.light.reach import direct_light_windows

HERE = Position(latitude_deg=53.0, longitude_deg=-5.1, ground_height_m=0.0)
LOCAL = "+proj=aeqd +lat_0=53 +lon_0=-5.1 +datum=WGS84 +units=m"


def warm() -> None:
    """Compile the sun and the skyline."""
    start = np.datetime64("2027-11-03T06:00", "us")
    direct_light_windows(
        level_skyline(),
        position=HERE,
        start_utc=start,
        end_utc=start + np.timedelta64(3, "h"),
    )
    flat = Ground(
        heights_m=np.zeros((40, 40), dtype=np.float32),
        affine=(10.0, 0.0, -200.0, 0.0, -10.0, 200.0),
        crs_wkt=LOCAL,
    )
    skyline_from_ground(flat, position=HERE, eye_height_m=1.5)
