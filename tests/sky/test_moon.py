"""The Moon against Skyfield."""

import numpy as np
import pytest
from skyfield import almanac

from shivelight.sky.moon import (
    PHASE_NAMES,
    moon_altitude_azimuth,
    moon_illuminated_frac,
    moon_limb_altitude_deg,
    moon_longitude_latitude_deg,
    moon_phases,
)
from shivelight.sky.timescale import ephemeris, timescale
from tests.sky.skyfield_full import apart_arcsec, full_altaz, full_time


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg", "year"),
    [(53.0, -5.1, 2027), (-42.88, 147.33, 2024), (69.65, 18.95, 1977), (0.0, 0.0, 2051)],
)
def test_within_a_tenth_of_an_arcsecond_of_full_skyfield(
    latitude_deg: float, longitude_deg: float, year: int
) -> None:
    # Skyfield 1.55 with JPL DE421: parallax, aberration and light time all in.
    utc = np.datetime64(f"{year}-01-01T00:00", "us") + (
        np.arange(400) * np.timedelta64(77_777, "s")
    )
    place = {"latitude_deg": latitude_deg, "longitude_deg": longitude_deg}
    altitude_deg, azimuth_deg = moon_altitude_azimuth(utc, **place)
    full_alt, full_az, _ = full_altaz("moon", utc, **place)
    assert apart_arcsec(altitude_deg, azimuth_deg, full_alt, full_az).max() < 0.1


def test_lit_share_agrees_with_skyfield() -> None:
    utc = np.datetime64("2027-01-01", "us") + np.arange(60) * np.timedelta64(11, "h")
    bodies = ephemeris()
    seen = bodies["earth"].at(full_time(utc)).observe(bodies["moon"]).apparent()
    np.testing.assert_allclose(
        moon_illuminated_frac(utc), seen.fraction_illuminated(bodies["sun"]), atol=2e-4
    )


def test_all_phases_of_a_year_agree_with_skyfield_to_two_seconds() -> None:
    start, end = np.datetime64("2027-01-01", "us"), np.datetime64("2028-01-01", "us")
    ours = moon_phases(start, end)
    scale = timescale()
    times, numbers = almanac.find_discrete(
        scale.utc(2027), scale.utc(2028), almanac.moon_phases(ephemeris())
    )
    assert [phase.name for phase in ours] == [PHASE_NAMES[number] for number in numbers]
    theirs = np.array(
        [moment.replace(tzinfo=None) for moment in times.utc_datetime()], dtype="datetime64[us]"
    )
    apart = np.abs(np.array([phase.utc for phase in ours]) - theirs)
    assert apart.max() < np.timedelta64(2, "s")


def test_new_is_dark_and_full_is_lit() -> None:
    for phase in moon_phases(np.datetime64("2027-01-01"), np.datetime64("2027-03-01")):
        lit = float(moon_illuminated_frac(np.asarray(phase.utc)))
        expected = {"new Moon": 0.0, "full Moon": 1.0}.get(phase.name, 0.5)
        assert lit == pytest.approx(expected, abs=0.01)


def test_the_limb_is_a_quarter_degree_above_the_centre() -> None:
    utc = np.datetime64("2027-01-01", "us") + np.arange(50) * np.timedelta64(13, "h")
    altitude_deg, _ = moon_altitude_azimuth(utc, latitude_deg=10.0, longitude_deg=10.0)
    limb_deg = moon_limb_altitude_deg(utc, latitude_deg=10.0, longitude_deg=10.0)
    assert (limb_deg - altitude_deg).min() > 0.24
    assert (limb_deg - altitude_deg).max() < 0.29


def test_its_path_leaves_the_ecliptic_by_five_degrees() -> None:
    utc = np.datetime64("2027-01-01", "us") + np.arange(120) * np.timedelta64(6, "h")
    longitude_deg, latitude_deg = moon_longitude_latitude_deg(utc)
    assert 4.9 < np.abs(latitude_deg).max() < 5.4
    assert (np.diff(np.unwrap(longitude_deg, period=360.0)) > 0.0).all()


def test_nat_and_empty() -> None:
    utc = np.array(["NaT"], dtype="datetime64[us]")
    assert np.isnan(moon_altitude_azimuth(utc, latitude_deg=0.0, longitude_deg=0.0)[0]).all()
    assert np.isnan(moon_illuminated_frac(utc)).all()
    assert moon_illuminated_frac(utc[:0]).shape == (0,)
