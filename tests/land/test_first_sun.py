"""When the Sun first stands over a real skyline, against reference times made elsewhere."""

import csv

import numpy as np
import pytest

from shivelight.basis.places import Position
from shivelight.land.curvature import EarthCurve
from shivelight.land.skyline import not_below, skyline_from_ground
from tests.land.test_skyline import HERE, slovenia

pd = pytest.importorskip("pandas")
solar = pytest.importorskip("pvlib.solarposition")


def test_first_sun_on_the_one_metre_raster_comes_when_the_reference_says() -> None:
    # Times by pvlib's apparent elevation of the Sun's centre over a brute-force skyline without
    # refraction, eye 1.6 m, sampled every 30 s; see tests/data/README.md.
    curve = EarthCurve(refraction_frac=0.0)
    with (HERE / "first_sun_reference_slovenia1m.csv").open(encoding="utf-8") as table:
        rows = list(csv.DictReader(table))
    assert len(rows) == 36
    late_s = []
    for row in rows:
        position = Position(latitude_deg=float(row["lat"]), longitude_deg=float(row["lon"]))
        skyline = not_below(
            skyline_from_ground(slovenia(), position=position, eye_height_m=1.6, curve=curve), 0.0
        )
        said = np.datetime64(row["first_sun_utc"].replace(" ", "T"), "s")
        times = said + np.arange(-900, 901, 5).astype("timedelta64[s]")
        sun = solar.get_solarposition(
            pd.DatetimeIndex(times, tz="UTC"), position.latitude_deg, position.longitude_deg
        )
        over = sun["apparent_elevation"].to_numpy() - skyline.at(sun["azimuth"].to_numpy())
        first = times[np.flatnonzero((over[1:] >= 0.0) & (over[:-1] < 0.0))[0] + 1]
        late_s.append(float((said - first) / np.timedelta64(1, "s")))
    # The reference's sample follows the true moment by up to its 30 s step.
    assert min(late_s) >= -5.0
    assert max(late_s) <= 40.0
    assert 0.0 <= np.median(late_s) <= 30.0
