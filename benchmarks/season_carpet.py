"""The season carpet of one spot: ours against Skyfield at every cell and NumPy's interpolation.

Run ``python benchmarks/season_carpet.py``. The peer works out only the cells (a year at five
minutes, 720-sample skyline); ours also finds the first and last sun of each day and samples the
year every minute for it. The peer runs in parts, so that it needs no gigabytes.
"""

import time

import numpy as np
from skyfield.api import wgs84
from skyfield.earthlib import refract

from shivelight.basis.arrays import BoolArray, UtcArray
from shivelight.basis.places import Position
from shivelight.land.skyline import Skyline
from shivelight.light.year import SUN, season_carpet
from shivelight.sky import nodes
from shivelight.sky.timescale import ephemeris, skyfield_time, tt_seconds

POSITION = Position(latitude_deg=53.0, longitude_deg=-5.1)


def skyline() -> Skyline:
    bearing = np.radians(np.arange(720) * 0.5)
    height = 7.0 + 4.0 * np.sin(2.0 * bearing) + 1.5 * np.sin(11.0 * bearing + 0.7)
    return Skyline(altitude_deg=height, origin="typed")


def ours() -> tuple[float, float, BoolArray, UtcArray]:
    def carpet() -> tuple[float, BoolArray, UtcArray]:
        begun = time.perf_counter()
        made = season_carpet(skyline(), position=POSITION, year=2027, zone_name="Europe/London")
        return time.perf_counter() - begun, made.state == SUN, made.utc

    carpet()  # compiles the kernel, opens the ephemeris
    warm = min(carpet()[0] for _ in range(3))
    nodes._nodes.cache_clear()
    cold, lit, utc = carpet()
    return cold, warm, lit, utc


def peer(utc: UtcArray) -> tuple[float, BoolArray]:
    bodies = ephemeris()
    place = bodies["earth"] + wgs84.latlon(53.0, -5.1)
    edge = skyline()
    bearings, heights = (
        np.append(edge.azimuth_deg, 360.0),
        np.append(edge.altitude_deg, edge.altitude_deg[0]),
    )
    begun = time.perf_counter()
    lit = []
    for part in np.array_split(utc, 50):
        seen = place.at(skyfield_time(tt_seconds(part))).observe(bodies["sun"]).apparent()
        altitude, azimuth, away = seen.altaz()
        limb_deg = altitude.degrees + np.degrees(np.arcsin(695_700.0 / away.km))
        over = refract(limb_deg, 5.0, 1010.0) - np.interp(azimuth.degrees, bearings, heights)
        lit.append(over >= 0.0)
    return time.perf_counter() - begun, np.concatenate(lit)


def main() -> None:
    cold_s, warm_s, lit, utc = ours()
    known = ~np.isnat(utc)
    peer_s, peer_lit = peer(utc[known])
    differ = int(np.count_nonzero(lit[known] != peer_lit))
    print(f"cells               {known.sum()}")
    print(f"ours, nodes anew    {cold_s * 1000:8.1f} ms (target 500)")
    print(f"ours, nodes kept    {warm_s * 1000:8.1f} ms")
    print(f"Skyfield and NumPy  {peer_s * 1000:8.1f} ms")
    print(f"ratio               {peer_s / cold_s:8.0f} times")
    print(f"cells that differ   {differ}")


if __name__ == "__main__":
    main()
