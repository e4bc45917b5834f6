"""A year of the Sun every five minutes: ours against Skyfield called on the whole array.

Run ``python benchmarks/sun_year.py``. Prints both times, their ratio, how far apart the two are
on the sky, and the peak memory of a process that does only ours. Skyfield takes 2 to 3 GB.
"""

import json
import resource
import subprocess
import sys
import time

import numpy as np
from skyfield.api import wgs84

from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.sky import nodes
from shivelight.sky.sun import sun_altitude_azimuth
from shivelight.sky.timescale import ephemeris, skyfield_time, tt_seconds

LATITUDE_DEG, LONGITUDE_DEG, YEAR = 53.0, -5.1, 2027


def instants() -> UtcArray:
    start, end = np.datetime64(f"{YEAR}-01-01"), np.datetime64(f"{YEAR + 1}-01-01")
    return np.arange(start, end, np.timedelta64(5, "m"), dtype="datetime64[us]")


def ours() -> dict[str, float]:
    """Time ours with an empty node cache, the kernel compiled and the ephemeris open."""
    utc = instants()
    place = {"latitude_deg": LATITUDE_DEG, "longitude_deg": LONGITUDE_DEG}
    sun_altitude_azimuth(utc[:2] - np.timedelta64(3650, "D"), **place)
    cold_s: list[float] = []
    warm_s: list[float] = []
    for _ in range(3):
        nodes._nodes.cache_clear()
        for times in (cold_s, warm_s):
            begun = time.perf_counter()
            sun_altitude_azimuth(utc, **place)
            times.append(time.perf_counter() - begun)
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    return {"cold_s": min(cold_s), "warm_s": min(warm_s), "peak_mb": peak_mb}


def skyfield() -> tuple[float, FloatArray, FloatArray]:
    bodies = ephemeris()
    place = bodies["earth"] + wgs84.latlon(LATITUDE_DEG, LONGITUDE_DEG)
    utc = instants()
    begun = time.perf_counter()
    times = skyfield_time(tt_seconds(utc))
    altitude, azimuth, _ = place.at(times).observe(bodies["sun"]).apparent().altaz()
    return time.perf_counter() - begun, altitude.degrees, azimuth.degrees


def apart_arcsec(theirs_alt: FloatArray, theirs_az: FloatArray) -> float:
    mine = sun_altitude_azimuth(instants(), latitude_deg=LATITUDE_DEG, longitude_deg=LONGITUDE_DEG)
    a1, z1, a2, z2 = map(np.radians, (*mine, theirs_alt, theirs_az))
    half = np.sin((a1 - a2) / 2) ** 2 + np.cos(a1) * np.cos(a2) * np.sin((z1 - z2) / 2) ** 2
    return float(np.degrees(2.0 * np.arcsin(np.sqrt(half))).max() * 3600.0)


def main() -> None:
    child = subprocess.run(
        [sys.executable, __file__, "--ours"], check=True, capture_output=True, text=True
    )
    mine = json.loads(child.stdout)
    theirs_s, altitude_deg, azimuth_deg = skyfield()
    print(f"instants            {instants().size}")
    print(f"ours, nodes anew    {mine['cold_s'] * 1000:8.1f} ms")
    print(f"ours, nodes kept    {mine['warm_s'] * 1000:8.1f} ms")
    print(f"Skyfield, all       {theirs_s * 1000:8.1f} ms")
    print(f"ratio               {theirs_s / mine['cold_s']:8.0f} times (target 50)")
    print(f"farthest apart      {apart_arcsec(altitude_deg, azimuth_deg):8.4f} arcsec (target 1)")
    print(f"our process's peak  {mine['peak_mb']:8.0f} MB (target 200)")


if __name__ == "__main__":
    if "--ours" in sys.argv:
        print(json.dumps(ours()))
    else:
        main()
