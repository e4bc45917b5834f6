"""The sky kernel against its slow, obvious twin."""

import numpy as np

from shivelight.sky.nodes import nodes_for
from shivelight.sky.sun import sun_altitude_azimuth
from shivelight.sky.timescale import tt_seconds
from tests.plain.plain_sun import plain_altitude_azimuth
from tests.sky.skyfield_full import apart_arcsec


def test_the_kernel_and_its_plain_twin_agree() -> None:
    random = np.random.default_rng(20271103)
    start = np.datetime64("2027-02-01T00:00", "us")
    utc = start + (random.integers(0, 80 * 86_400, 40)).astype("timedelta64[s]")
    nodes = nodes_for("sun", utc)
    for moment in utc:
        latitude_deg, longitude_deg = random.uniform(-90, 90), random.uniform(-180, 180)
        height_m = random.uniform(-300, 5000)
        altitude_deg, azimuth_deg = sun_altitude_azimuth(
            np.array([moment]),
            latitude_deg=latitude_deg,
            longitude_deg=longitude_deg,
            ground_height_m=height_m,
        )
        plain = plain_altitude_azimuth(
            float(tt_seconds(np.array([moment]))[0]) - nodes.start_s,
            nodes,
            latitude_rad=np.radians(latitude_deg),
            longitude_rad=np.radians(longitude_deg),
            ground_height_m=height_m,
        )
        apart = apart_arcsec(
            altitude_deg[0], azimuth_deg[0], np.asarray(plain[0]), np.asarray(plain[1])
        )
        assert apart < 1e-3
