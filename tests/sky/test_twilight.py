"""Rise, set and twilight: where they happen, where not, and by the clock."""

import datetime as dt
from itertools import pairwise

import numpy as np
import pytest
from skyfield import almanac
from skyfield.api import wgs84

from shivelight.basis.instants import clock_change, day_bounds, to_local
from shivelight.basis.places import Position
from shivelight.sky.sun import sun_altitude_azimuth
from shivelight.sky.timescale import ephemeris, timescale
from shivelight.sky.twilight import (
    find_moon_crossings,
    find_moon_events,
    find_sun_crossings,
    find_sun_events,
    find_transits,
)

DEMO = Position(latitude_deg=53.0, longitude_deg=-5.1)
DAY = np.timedelta64(1, "D")


def day_utc(text: str) -> tuple[np.datetime64, np.datetime64]:
    start = np.datetime64(text, "us")
    return start, start + DAY


def test_polar_day_has_no_event_but_a_transit() -> None:
    found = find_sun_events(
        *day_utc("2027-06-21"), position=Position(latitude_deg=69.65, longitude_deg=18.95)
    )
    assert found.is_up_at_start
    assert found.sunrise is found.sunset is found.civil_dawn is found.astronomical_dusk is None
    assert found.transit is not None
    assert found.noon_altitude_deg == pytest.approx(90 - 69.65 + 23.43, abs=0.05)


def test_polar_night_has_twilight_without_sunrise() -> None:
    found = find_sun_events(
        *day_utc("2027-12-21"), position=Position(latitude_deg=69.65, longitude_deg=18.95)
    )
    assert not found.is_up_at_start
    assert found.sunrise is found.sunset is None
    assert found.civil_dawn is not None
    assert found.civil_dusk is not None
    assert found.civil_dawn < found.civil_dusk


def test_a_white_night_has_civil_but_no_nautical_twilight() -> None:
    found = find_sun_events(
        *day_utc("2027-06-20"), position=Position(latitude_deg=57.15, longitude_deg=-3.7)
    )
    assert found.civil_dawn is not None
    assert found.nautical_dawn is found.nautical_dusk is None


@pytest.mark.parametrize("latitude_deg", [90.0, -90.0])
def test_at_a_pole_the_sun_rises_once_a_year(latitude_deg: float) -> None:
    found = find_sun_crossings(
        np.datetime64("2027-01-01"),
        np.datetime64("2028-01-01"),
        position=Position(latitude_deg=latitude_deg, longitude_deg=0.0),
    )
    assert found.is_rising.tolist() == ([True, False] if latitude_deg > 0 else [False, True])


def test_events_of_a_day_come_in_order() -> None:
    found = find_sun_events(*day_utc("2027-11-03"), position=DEMO)
    named = [
        found.astronomical_dawn,
        found.nautical_dawn,
        found.civil_dawn,
        found.sunrise,
        found.transit,
        found.sunset,
        found.civil_dusk,
        found.nautical_dusk,
        found.astronomical_dusk,
    ]
    order = [moment for moment in named if moment is not None]
    assert len(order) == 9
    assert all(first < second for first, second in pairwise(order))


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg", "day"),
    [
        (53.0, -5.1, "2027-11-03"),
        (-43.0, 147.3, "2027-04-04"),
        (64.1, -21.9, "2027-12-21"),
        (40.7, -74.0, "2027-03-14"),
        (-31.5, 159.1, "2027-10-03"),
        (0.0, 100.0, "2027-03-20"),
    ],
)
def test_rise_and_set_agree_with_skyfield(
    latitude_deg: float, longitude_deg: float, day: str
) -> None:
    # Skyfield 1.55 almanac.find_risings and find_settings with the same −0.8333°.
    start, end = day_utc(day)
    position = Position(latitude_deg=latitude_deg, longitude_deg=longitude_deg)
    found = find_sun_crossings(start, end, position=position)
    scale, bodies = timescale(), ephemeris()
    first, last = (scale.from_datetime(to_local(moment, "UTC")) for moment in (start, end))
    place = bodies["earth"] + wgs84.latlon(latitude_deg, longitude_deg)
    for finder, rising in ((almanac.find_risings, True), (almanac.find_settings, False)):
        times, happens = finder(place, bodies["sun"], first, last, -0.8333)
        theirs = np.array(
            [moment.replace(tzinfo=None) for moment in times[happens].utc_datetime()],
            dtype="datetime64[us]",
        )
        ours = found.utc[found.is_rising == rising]
        assert ours.shape == theirs.shape
        assert np.abs(ours - theirs).max() < np.timedelta64(1, "s")


def test_moonrise_of_a_month_agrees_with_skyfield() -> None:
    start, end = np.datetime64("2027-11-01", "us"), np.datetime64("2027-12-01", "us")
    found = find_moon_crossings(start, end, position=DEMO)
    scale, bodies = timescale(), ephemeris()
    place = bodies["earth"] + wgs84.latlon(53.0, -5.1)
    times, happens = almanac.find_risings(
        place, bodies["moon"], scale.utc(2027, 11, 1), scale.utc(2027, 12, 1)
    )
    theirs = np.array(
        [moment.replace(tzinfo=None) for moment in times[happens].utc_datetime()],
        dtype="datetime64[us]",
    )
    ours = found.utc[found.is_rising]
    assert ours.shape == theirs.shape
    assert np.abs(ours - theirs).max() < np.timedelta64(2, "s")


def test_some_day_of_a_month_has_no_moonrise() -> None:
    days = [np.datetime64("2027-11-01", "us") + k * DAY for k in range(29)]
    rises = [find_moon_events(day, day + DAY, position=DEMO).moonrise for day in days]
    assert sum(rise is None for rise in rises) == 1


@pytest.mark.parametrize("latitude_deg", [53.0, 10.0, -10.0, -53.0])
def test_at_the_transit_the_sun_is_highest(latitude_deg: float) -> None:
    position = Position(latitude_deg=latitude_deg, longitude_deg=20.0)
    transit = find_transits(*day_utc("2027-06-21"), position=position)
    assert transit.shape == (1,)
    around = transit[0] + np.arange(-60, 61) * np.timedelta64(60, "s")
    altitude_deg, azimuth_deg = sun_altitude_azimuth(
        around, latitude_deg=latitude_deg, longitude_deg=20.0
    )
    assert abs(int(altitude_deg.argmax()) - 60) <= 1
    meridian_deg = 180.0 if latitude_deg > 23.5 else 0.0
    assert abs((azimuth_deg[60] - meridian_deg + 180.0) % 360.0 - 180.0) < 0.01


def test_a_midnight_sun_that_dips_for_minutes_is_seen() -> None:
    # Just south of where the midnight sun sets: the dip is shorter than a sample.
    position = Position(latitude_deg=66.2, longitude_deg=0.0)
    window = (np.datetime64("2027-06-01T18:00"), np.datetime64("2027-07-15T06:00"))
    found = find_sun_crossings(*window, position=position)
    fine = np.arange(*window, np.timedelta64(20, "s"), dtype="datetime64[us]")
    up = sun_altitude_azimuth(fine, latitude_deg=66.2, longitude_deg=0.0)[0] >= -0.8333
    brute = fine[:-1][up[1:] != up[:-1]]
    assert brute.size > 20
    assert found.utc.shape == brute.shape
    late_s = (found.utc - brute) / np.timedelta64(1, "s")
    assert late_s.min() >= 0.0
    assert late_s.max() <= 20.0


CHANGES = [
    ("Europe/London", 53.0, -1.0, dt.date(2027, 3, 28), 60),
    ("Europe/London", 53.0, -1.0, dt.date(2027, 10, 31), -60),
    ("America/New_York", 42.0, -74.0, dt.date(2027, 3, 14), 60),
    ("America/New_York", 42.0, -74.0, dt.date(2027, 11, 7), -60),
    ("Australia/Hobart", -42.9, 147.3, dt.date(2027, 4, 4), -60),
    ("Australia/Hobart", -42.9, 147.3, dt.date(2027, 10, 3), 60),
    ("Australia/Lord_Howe", -31.5, 159.1, dt.date(2027, 4, 4), -30),
    ("Australia/Lord_Howe", -31.5, 159.1, dt.date(2027, 10, 3), 30),
]


@pytest.mark.parametrize(
    ("zone_name", "latitude_deg", "longitude_deg", "day", "moved_min"),
    CHANGES,
    ids=[f"{one[0]}-{one[3]}" for one in CHANGES],
)
def test_a_change_of_clocks_moves_the_clock_and_never_the_sun(
    zone_name: str, latitude_deg: float, longitude_deg: float, day: dt.date, moved_min: int
) -> None:
    position = Position(latitude_deg=latitude_deg, longitude_deg=longitude_deg)
    assert clock_change(day, zone_name) == dt.timedelta(minutes=moved_min)
    rises = []
    for civil in (day - dt.timedelta(days=1), day):
        rise = find_sun_events(*day_bounds(civil, zone_name), position=position).sunrise
        assert rise is not None
        local = to_local(rise, zone_name)
        assert local.date() == civil
        rises.append((rise, local))
    apart_min = (rises[1][0] - rises[0][0]) / np.timedelta64(1, "m") - 1440.0
    assert abs(apart_min) < 3.0
    clock_min = [local.hour * 60 + local.minute + local.second / 60 for _, local in rises]
    assert clock_min[1] - clock_min[0] == pytest.approx(moved_min + apart_min, abs=0.1)


def test_a_morning_window_holds_a_rise_and_no_transit() -> None:
    found = find_sun_events(
        np.datetime64("2027-11-03T05:00"), np.datetime64("2027-11-03T09:00"), position=DEMO
    )
    assert found.sunrise is not None
    assert found.transit is found.sunset is None
    assert found.noon_altitude_deg is None
