"""Run each large compiled loop once on something tiny; Numba then finds it in its cache."""

import numpy as np

from shivelight.basis.places import Position
from shivelight.land.ground import Ground
from shivelight.land.skyline import level_skyline, skyline_from_ground
from shivelight.light.reach import direct_light_windows
from shivelight.scene.camera import Camera
from shivelight.scene.elements import Doubt, Segment, SkyHole, Survey, trunk_at
from shivelight.scene.framing import Framing, Reach
from shivelight.scene.raycast import Cast, LowSun, cast
from shivelight.scene.standpoint import StandpointAnswer, find_standpoints

HERE = Position(latitude_deg=53.0, longitude_deg=-5.1, ground_height_m=0.0)
LOCAL = "+proj=aeqd +lat_0=53 +lon_0=-5.1 +datum=WGS84 +units=m"
MARK = Camera(z_m=1.4, focal_length_mm=50.0)
WOOD = Survey(
    trunks=tuple(
        trunk_at(
            f"trunk {number}",
            angle_deg,
            distance_m=distance_m,
            width_m=0.4,
            lean_right_deg=float(number),
            doubt=Doubt(distance_m=0.05),
        )
        for number, (angle_deg, distance_m) in enumerate(
            ((-10.0, 18.0), (-6.0, 10.0), (0.0, 7.0), (1.0, 13.0), (5.0, 24.0))
        )
    ),
    segments=(Segment(name="log", start_m=(2.0, 6.0, 0.2), end_m=(3.0, 6.0, 0.2), width_m=0.3),),
    holes=(SkyHole(name="hole", angle_deg=8.0, altitude_deg=6.0, width_deg=1.0, height_deg=1.0),),
)
"""Five trunks, a log and a sky hole, so that each kind of piece is met."""


def warm() -> None:
    """Compile the sun and the skyline, the search for a stand point, and the ray-caster."""
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
    searched()
    shown()


def searched() -> StandpointAnswer:
    """Search the five trunks for a stand point, with drift and spread."""
    reach = Reach(left_m=0.2, right_m=0.8, step_m=0.1, turn_deg=2.0)
    return find_standpoints(WOOD, Framing(), reach, now=MARK, tries=2)


def shown() -> Cast:
    """Cast the five trunks in mist before a low sun."""
    sun = LowSun(angle_deg=20.0, altitude_deg=8.0)
    return cast(WOOD, MARK, size=(24, 16), mist_range_m=100.0, sun=sun)
