"""Dark season and season carpet."""

import datetime as dt

import numpy as np
import pytest

from shivelight.basis.arrays import BoolArray
from shivelight.basis.errors import BadInputError, MissingDataError, OutOfRangeError
from shivelight.basis.instants import day_bounds, to_local
from shivelight.basis.places import Position
from shivelight.land.skyline import Skyline, level_skyline
from shivelight.light.clockgrid import clock_grid
from shivelight.light.edge import Edge, limb_over_deg
from shivelight.light.reach import View, direct_light_windows
from shivelight.light.year import (
    DARK,
    NO_SUCH_TIME,
    SHADE,
    SUN,
    TWILIGHT,
    Carpet,
    DarkSpan,
    dark_season,
    season_carpet,
)
from tests.light.shapes import DEMO, SOUTH, even, ragged, slow_past_skyline

LONDON = "Europe/London"
HOBART = "Australia/Hobart"
ARCTIC = Position(latitude_deg=69.65, longitude_deg=18.95)


def test_the_gorge_of_the_demo_has_its_dark_season() -> None:
    # The project's demo page: a 28° skyline at 53° N is dark from 17 October to 24 February.
    (span,) = dark_season(even(28.0), position=DEMO, year=2026, zone_name=LONDON)
    assert (span.first_day, span.last_day) == (dt.date(2026, 10, 17), dt.date(2027, 2, 24))
    # In 2027 the limb passes 28° by 0.03° at noon of the 17th: within a day.
    (later,) = dark_season(even(28.0), position=DEMO, year=2027, zone_name=LONDON)
    assert (later.first_day, later.last_day) == (dt.date(2027, 10, 18), dt.date(2028, 2, 24))


@pytest.mark.parametrize("day", ["2026-10-16", "2026-10-17", "2027-02-24", "2027-02-25"])
def test_its_ends_are_those_of_full_skyfield(day: str) -> None:
    # Skyfield 1.55 with DE421, its own refraction, every ten seconds round noon.
    utc = np.datetime64(f"{day}T11:00", "us") + np.arange(1080) * np.timedelta64(10, "s")
    lit = bool(slow_past_skyline(even(28.0), DEMO, utc).any())
    assert lit is (day in {"2026-10-16", "2027-02-25"})


def slow_lit_days(skyline: Skyline, position: Position, first: dt.date, count: int) -> BoolArray:
    """Whether any instant of each UTC day, every ten seconds, is past the skyline."""
    edge = Edge(skyline=skyline, position=position)
    start = np.datetime64(first, "us")
    lit = []
    for day in range(count):
        utc = start + np.timedelta64(day, "D") + np.arange(8640) * np.timedelta64(10, "s")
        lit.append(bool((limb_over_deg(edge, utc) >= 0.0).any()))
    return np.array(lit)


def days_of(spans: tuple[DarkSpan, ...], year: int) -> BoolArray:
    """Which days from 1 January on, two years, lie in a span."""
    dark = np.zeros(731, dtype=np.bool_)
    for span in spans:
        low = (span.first_day - dt.date(year, 1, 1)).days
        dark[low : (span.last_day - dt.date(year, 1, 1)).days + 1] = True
    return dark


@pytest.mark.parametrize(
    ("skyline", "position"),
    [
        (ragged(11, base_deg=24.0), DEMO),
        (ragged(12, base_deg=24.0), SOUTH),
        (ragged(13, base_deg=3.0), ARCTIC),
    ],
    ids=["north", "south", "arctic"],
)
def test_days_agree_with_a_search_every_ten_seconds(skyline: Skyline, position: Position) -> None:
    spans = dark_season(skyline, position=position, year=2027, zone_name="UTC")
    assert spans
    lit = slow_lit_days(skyline, position, dt.date(2027, 1, 1), 365)
    dark = days_of(spans, 2027)[:365]
    # Days that were dark already on 1 January belong to the year before.
    carried = int(np.argmax(lit))
    dark[:carried] = True
    disagree = np.flatnonzero(dark == lit)
    assert disagree.size == 0


def test_in_the_south_the_dark_is_in_the_middle_of_the_year() -> None:
    (span,) = dark_season(even(28.0), position=SOUTH, year=2027, zone_name=HOBART)
    assert span.first_day.month in {5, 6}
    assert span.last_day.month in {7, 8}
    assert span.last_day.year == 2027


def test_polar_night_is_a_dark_season_over_the_new_year() -> None:
    (span,) = dark_season(level_skyline(), position=ARCTIC, year=2027, zone_name="Europe/Oslo")
    # Well known for this latitude (from memory): late November to mid January.
    assert dt.date(2027, 11, 24) <= span.first_day <= dt.date(2027, 11, 30)
    assert dt.date(2028, 1, 12) <= span.last_day <= dt.date(2028, 1, 18)


def test_a_pit_is_dark_all_year_and_open_ground_never() -> None:
    (span,) = dark_season(even(75.0), position=DEMO, year=2027, zone_name=LONDON)
    assert span.is_whole_year
    assert (span.first_day, span.last_day) == (dt.date(2027, 1, 1), dt.date(2027, 12, 31))
    assert dark_season(even(2.0), position=DEMO, year=2027, zone_name=LONDON) == ()


def test_a_notch_of_one_sample_ends_the_dark() -> None:
    height = np.full(720, 28.0)
    height[360] = 10.0  # due south
    notched = Skyline(altitude_deg=height, origin="typed")
    assert dark_season(notched, position=DEMO, year=2027, zone_name=LONDON) == ()


def test_a_higher_skyline_is_dark_for_longer() -> None:
    lengths = []
    for height_deg in (16.0, 20.0, 28.0, 40.0):
        (span,) = dark_season(even(height_deg), position=DEMO, year=2027, zone_name=LONDON)
        lengths.append((span.last_day - span.first_day).days)
    assert lengths == sorted(set(lengths))


def test_unknown_skyline_is_refused_or_said() -> None:
    height = np.full(720, 28.0)
    height[100:200] = np.nan
    half = Skyline(altitude_deg=height, origin="typed")
    with pytest.raises(MissingDataError, match="not known at bearings"):
        dark_season(half, position=DEMO, year=2027, zone_name=LONDON)
    spans = dark_season(half, position=DEMO, year=2027, zone_name=LONDON, unknown_as_level=True)
    assert all(span.skyline_assumed for span in spans)
    with pytest.raises(MissingDataError, match="not known at bearings"):
        season_carpet(half, position=DEMO, year=2027, zone_name=LONDON)


@pytest.fixture(scope="module")
def carpet() -> Carpet:
    return season_carpet(
        ragged(21), position=DEMO, year=2027, zone_name=LONDON, view=View(azimuth_deg=110.0)
    )


def test_a_carpet_has_a_row_a_day_and_a_column_a_step(carpet: Carpet) -> None:
    assert carpet.state.shape == carpet.utc.shape == (365, 288)
    assert carpet.days[0] == np.datetime64("2027-01-01")
    assert carpet.clock_min[-1] == 1435
    assert not carpet.skyline_assumed
    assert set(np.unique(carpet.state)) == {NO_SUCH_TIME, DARK, TWILIGHT, SHADE, SUN}


def test_each_cell_says_what_the_sun_does_then(carpet: Carpet) -> None:
    known = ~np.isnat(carpet.utc)
    edge = Edge(skyline=ragged(21), position=DEMO)
    over = limb_over_deg(edge, carpet.utc[known])
    clear = np.abs(over) > 0.01
    assert np.array_equal((carpet.state[known] == SUN)[clear], (over >= 0.0)[clear])
    assert (carpet.altitude_deg[carpet.state == SHADE] > -0.5).all()
    assert (carpet.altitude_deg[carpet.state == TWILIGHT] < 0.5).all()
    assert (carpet.altitude_deg[carpet.state == DARK] < -5.0).all()
    assert np.nanmax(carpet.off_view_deg) <= 180.0


@pytest.mark.parametrize("day", ["2027-01-10", "2027-03-28", "2027-06-21", "2027-10-31"])
def test_first_and_last_sun_are_those_of_the_windows(carpet: Carpet, day: str) -> None:
    start, end = day_bounds(dt.date.fromisoformat(day), LONDON)
    windows = direct_light_windows(ragged(21), position=DEMO, start_utc=start, end_utc=end)
    row = int(np.flatnonzero(carpet.days == np.datetime64(day))[0])
    apart = (
        abs(carpet.first_sun_utc[row] - windows[0].start_utc),
        abs(carpet.last_sun_utc[row] - windows[-1].end_utc),
    )
    assert max(apart) <= np.timedelta64(2, "s")


def test_the_clocks_going_forward_leave_an_hour_out(carpet: Carpet) -> None:
    row = int(np.flatnonzero(carpet.days == np.datetime64("2027-03-28"))[0])
    gone = carpet.clock_min[carpet.state[row] == NO_SUCH_TIME]
    assert gone.tolist() == list(range(60, 120, 5))
    assert np.isnat(carpet.utc[row, 12:24]).all()
    assert (carpet.state[np.arange(365) != row] != NO_SUCH_TIME).all()


def test_the_clocks_going_back_show_the_first_of_two_hours(carpet: Carpet) -> None:
    row = int(np.flatnonzero(carpet.days == np.datetime64("2027-10-31"))[0])
    assert carpet.utc[row, 12] == np.datetime64("2027-10-31T00:00")  # 01:00 summer time
    assert carpet.utc[row, 24] == np.datetime64("2027-10-31T02:00")  # 02:00 winter time


def test_every_cell_shows_its_own_clock_time(carpet: Carpet) -> None:
    random = np.random.default_rng(5)
    for row, column in zip(random.integers(0, 365, 60), random.integers(0, 288, 60), strict=True):
        moment = carpet.utc[row, column]
        if np.isnat(moment):
            continue
        local = to_local(moment, LONDON)
        assert local.hour * 60 + local.minute == carpet.clock_min[column]
        assert np.datetime64(local.date()) == carpet.days[row]


def test_a_half_hour_change_is_met_too() -> None:
    days, clock_min, utc = clock_grid(
        dt.date(2027, 10, 3), dt.date(2027, 10, 4), zone_name="Australia/Lord_Howe", step_min=10
    )
    assert days.tolist() == [dt.date(2027, 10, 3)]
    assert clock_min[np.isnat(utc[0])].tolist() == [120, 130, 140]


def test_a_day_without_sun_has_no_first_sun() -> None:
    carpet = season_carpet(even(28.0), position=DEMO, year=2027, zone_name=LONDON, step_min=30)
    dark = np.isnat(carpet.first_sun_utc)
    assert np.array_equal(dark, np.isnat(carpet.last_sun_utc))
    assert carpet.days[~dark][0] == np.datetime64("2027-02-25")
    assert carpet.days[~dark][-1] == np.datetime64("2027-10-17")
    assert (carpet.state[dark] != SUN).all()


def test_under_the_midnight_sun_the_day_has_its_own_ends() -> None:
    carpet = season_carpet(
        level_skyline(), position=ARCTIC, year=2027, zone_name="Europe/Oslo", step_min=60
    )
    row = int(np.flatnonzero(carpet.days == np.datetime64("2027-06-21"))[0])
    start, end = day_bounds(dt.date(2027, 6, 21), "Europe/Oslo")
    assert carpet.first_sun_utc[row] == start
    assert carpet.last_sun_utc[row] == end
    assert (carpet.state[row] == SUN).all()


def test_a_pit_has_no_sun_at_all() -> None:
    carpet = season_carpet(even(75.0), position=DEMO, year=2027, zone_name=LONDON, step_min=60)
    assert np.isnat(carpet.first_sun_utc).all()
    assert (carpet.state != SUN).all()


def test_steps_that_do_not_divide_a_day_are_refused() -> None:
    with pytest.raises(BadInputError, match="steps of 7 minutes; try 5 or 10"):
        season_carpet(even(1.0), position=DEMO, year=2027, zone_name=LONDON, step_min=7)
    with pytest.raises(OutOfRangeError, match="carpet step is 0 min"):
        season_carpet(even(1.0), position=DEMO, year=2027, zone_name=LONDON, step_min=0)
    with pytest.raises(OutOfRangeError, match="year is 2060"):
        dark_season(even(1.0), position=DEMO, year=2060, zone_name=LONDON)
