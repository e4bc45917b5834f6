"""How far apart may the nodes of Sun and Moon be? Evidence for decision 0002.

Run ``python design/sun_nodes.py``. For each spacing: time to make a year's nodes, and the
farthest angle on the sky between ours and Skyfield at 3000 instants of the year at two places.
"""

import time

import numpy as np
from skyfield.api import wgs84

from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.sky import nodes
from shivelight.sky.timescale import ephemeris, skyfield_time, tt_seconds

PLACES = ((53.0, -5.1), (-42.88, 147.33))
SPACINGS_H = {"sun": (96.0, 48.0, 24.0, 12.0), "moon": (24.0, 12.0, 6.0, 3.0)}


def instants() -> UtcArray:
    random = np.random.default_rng(2)
    seconds = np.sort(random.integers(0, 365 * 86_400, 3000))
    return np.datetime64("2027-01-01", "us") + seconds.astype("timedelta64[s]")


def full(body: str, utc: UtcArray, latitude_deg: float, longitude_deg: float) -> FloatArray:
    bodies = ephemeris()
    place = bodies["earth"] + wgs84.latlon(latitude_deg, longitude_deg)
    seen = place.at(skyfield_time(tt_seconds(utc))).observe(bodies[body]).apparent()
    altitude, azimuth, _ = seen.altaz()
    return np.stack([altitude.degrees, azimuth.degrees])


def apart_arcsec(one: FloatArray, other: FloatArray) -> FloatArray:
    (a1, z1), (a2, z2) = np.radians(one), np.radians(other)
    half = np.sin((a1 - a2) / 2) ** 2 + np.cos(a1) * np.cos(a2) * np.sin((z1 - z2) / 2) ** 2
    return np.asarray(np.degrees(2.0 * np.arcsin(np.sqrt(half))) * 3600.0)


def main() -> None:
    utc = instants()
    for body, spacings in SPACINGS_H.items():
        truth = [full(body, utc, *place) for place in PLACES]
        for hours in spacings:
            nodes.NODE_STEP_S[body] = hours * 3600.0
            nodes._nodes.cache_clear()
            begun = time.perf_counter()
            nodes.nodes_for(body, utc)
            took_ms = (time.perf_counter() - begun) * 1000.0
            worst = 0.0
            for (latitude_deg, longitude_deg), there in zip(PLACES, truth, strict=True):
                found = nodes.topocentric_place(
                    body,
                    utc,
                    latitude_deg=latitude_deg,
                    longitude_deg=longitude_deg,
                    ground_height_m=0.0,
                )
                worst = max(worst, float(apart_arcsec(np.stack(found[:2]), there).max()))
            print(f"{body:5s} nodes {hours:5.0f} h apart: {took_ms:6.0f} ms, {worst:8.4f} arcsec")


if __name__ == "__main__":
    main()
