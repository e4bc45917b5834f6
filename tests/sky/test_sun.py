"""The fast Sun against Skyfield, SPA and itself."""

import numpy as np
import pytest
from pvlib import spa

from shivelight.basis.errors import OutOfRangeError
from shivelight.sky.nodes import BLOCK_DAYS
from shivelight.sky.sun import (
    equation_of_time_min,
    sun_altitude_azimuth,
    sun_apparent_place,
    sun_disc,
    sun_longitude_deg,
)
from shivelight.sky.timescale import utc_minus_tt_s
from tests.sky.skyfield_full import apart_arcsec, full_altaz


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg", "year"),
    [
        (53.0, -5.1, 2027),
        (-42.88, 147.33, 2024),
        (69.65, 18.95, 2050),
        (90.0, 0.0, 2030),
        (-90.0, 40.0, 2016),  # a leap second ends this year
        (0.0, 0.0, 1950),
        (-0.18, 281.53, 2000),
    ],
)
def test_within_a_tenth_of_an_arcsecond_of_full_skyfield(
    latitude_deg: float, longitude_deg: float, year: int
) -> None:
    # Skyfield 1.55 with JPL DE421, apparent topocentric place, at 500 instants of a year.
    utc = np.datetime64(f"{year}-01-01T00:00", "us") + (
        np.arange(500) * np.timedelta64(63_113, "s")
    )
    place = {
        "latitude_deg": latitude_deg,
        "longitude_deg": longitude_deg,
        "ground_height_m": 300.0,
    }
    altitude_deg, azimuth_deg = sun_altitude_azimuth(utc, **place)
    full_alt, full_az, _ = full_altaz("sun", utc, **place)
    assert apart_arcsec(altitude_deg, azimuth_deg, full_alt, full_az).max() < 0.1


def test_close_to_spa_which_shares_no_code_with_it() -> None:
    # pvlib's SPA (Reda and Andreas 2004); STACK 2.3 measured at most 1.72″ between the two.
    utc = np.datetime64("2026-01-03T05:00", "us") + np.arange(300) * np.timedelta64(98_765, "s")
    altitude_deg, azimuth_deg = sun_altitude_azimuth(utc, latitude_deg=53.0, longitude_deg=-5.1)
    unix_s = utc.astype(np.int64) / 1e6
    theirs = spa.solar_position_numpy(unix_s, 53.0, -5.1, 0.0, 1010.0, 10.0, 69.1, 0.0, 1)
    assert apart_arcsec(altitude_deg, azimuth_deg, theirs[3], theirs[4]).max() < 3.0


def test_the_answer_does_not_depend_on_what_else_is_asked() -> None:
    moment = np.datetime64("2027-11-03T08:36", "us")
    alone = sun_altitude_azimuth(np.array([moment]), latitude_deg=53.0, longitude_deg=-5.1)
    year = moment + np.arange(-300, 300) * np.timedelta64(1, "D")
    among = sun_altitude_azimuth(year, latitude_deg=53.0, longitude_deg=-5.1)
    assert apart_arcsec(alone[0][0], alone[1][0], among[0][300], among[1][300]) < 1e-3


def test_no_seam_where_blocks_of_nodes_meet() -> None:
    edge = np.datetime64("2000-01-01T12:00", "us") + np.timedelta64(BLOCK_DAYS * 310, "D")
    utc = edge + np.arange(-200, 200) * np.timedelta64(1, "s")
    parts = [
        sun_altitude_azimuth(part, latitude_deg=53.0, longitude_deg=-5.1)[0]
        for part in (utc[:50], utc[50:350], utc[350:])
    ]
    bend_deg = np.diff(np.concatenate(parts), n=2)
    assert np.ptp(bend_deg) < 1e-8


def test_east_and_west_longitudes_that_mean_the_same_agree() -> None:
    utc = np.array(["2027-05-01T10:00"], dtype="datetime64[us]")
    west = sun_altitude_azimuth(utc, latitude_deg=40.0, longitude_deg=-78.5)
    east = sun_altitude_azimuth(utc, latitude_deg=40.0, longitude_deg=281.5)
    np.testing.assert_allclose(west, east, atol=1e-9)


def test_shape_is_kept_and_nat_becomes_nan() -> None:
    utc = np.array([["2027-01-01T12:00", "NaT"]], dtype="datetime64[s]")
    altitude_deg, azimuth_deg = sun_altitude_azimuth(utc, latitude_deg=53.0, longitude_deg=0.0)
    assert altitude_deg.shape == (1, 2)
    assert np.isnan([altitude_deg[0, 1], azimuth_deg[0, 1]]).all()
    assert 13.0 < altitude_deg[0, 0] < 14.5


def test_empty_gives_empty_and_a_scalar_a_scalar() -> None:
    none = np.array([], dtype="datetime64[us]")
    assert sun_altitude_azimuth(none, latitude_deg=1.0, longitude_deg=1.0)[0].shape == (0,)
    one = np.asarray(np.datetime64("2027-01-01T12:00", "us"))
    assert sun_altitude_azimuth(one, latitude_deg=1.0, longitude_deg=1.0)[0].shape == ()


@pytest.mark.parametrize("year", [1899, 2053])
def test_years_without_ephemeris_are_refused(year: int) -> None:
    utc = np.array([f"{year}-06-01"], dtype="datetime64[us]")
    with pytest.raises(OutOfRangeError, match=f"year is {year}; it must be 1900 to 2052"):
        sun_altitude_azimuth(utc, latitude_deg=53.0, longitude_deg=0.0)


def test_the_first_and_last_covered_days_work() -> None:
    utc = np.array(["1900-01-01T00:00", "2052-12-31T23:59"], dtype="datetime64[us]")
    for moment in utc:
        altitude_deg, _ = sun_altitude_azimuth(
            np.array([moment]), latitude_deg=0.0, longitude_deg=0.0
        )
        assert -70.0 < altitude_deg[0] < -60.0


def test_a_place_off_the_earth_is_refused() -> None:
    utc = np.array(["2027-06-01"], dtype="datetime64[us]")
    with pytest.raises(OutOfRangeError, match="latitude is 95 °"):
        sun_altitude_azimuth(utc, latitude_deg=95.0, longitude_deg=0.0)
    with pytest.raises(OutOfRangeError, match="longitude is 400 °"):
        sun_altitude_azimuth(utc, latitude_deg=5.0, longitude_deg=400.0)


def test_the_disc_is_widest_in_january() -> None:
    # Astronomical Almanac, section C (from memory): 16′ 16″ in early January, 15′ 44″ in July.
    utc = np.array(["2027-01-03T12:00", "2027-07-05T12:00"], dtype="datetime64[us]")
    _, _, half_deg = sun_disc(utc, latitude_deg=0.0, longitude_deg=0.0)
    np.testing.assert_allclose(half_deg * 60.0, [16.0 + 16 / 60, 15.0 + 44 / 60], atol=0.02)


def test_longitude_runs_once_round_in_a_year() -> None:
    utc = np.arange("2027-01-01", "2028-01-01", dtype="datetime64[D]").astype("datetime64[us]")
    longitude_deg = np.unwrap(sun_longitude_deg(utc), period=360.0)
    assert (np.diff(longitude_deg) > 0.95).all()
    assert (np.diff(longitude_deg) < 1.03).all()


def test_spline_and_direct_places_agree() -> None:
    utc = np.array(["2027-03-20T00:00", "2027-09-01T05:00"], dtype="datetime64[us]")
    shift = np.rint(-utc_minus_tt_s(utc) * 1e6).astype("timedelta64[us]")
    ascension_deg, declination_deg, _ = sun_apparent_place(utc + shift)
    # A geocentric place seen from the pole stands at its declination, parallax (8.8″) apart.
    altitude_deg, _ = sun_altitude_azimuth(utc, latitude_deg=90.0, longitude_deg=0.0)
    np.testing.assert_allclose(altitude_deg, declination_deg, atol=9.0 / 3600.0)
    assert (ascension_deg >= 0.0).all()


def test_the_sundial_is_never_far_from_the_clock() -> None:
    # Well known: between −14.3 min in February and +16.5 min in November (from memory).
    tt = np.arange("2027-01-01", "2028-01-01", dtype="datetime64[D]").astype("datetime64[us]")
    ahead_min = equation_of_time_min(tt)
    assert ahead_min.min() == pytest.approx(-14.2, abs=0.1)
    assert ahead_min.max() == pytest.approx(16.4, abs=0.1)
