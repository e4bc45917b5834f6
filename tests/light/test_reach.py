"""Windows of direct light, against Skyfield second by second and against sense."""

import datetime as dt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shivelight.basis.errors import BadInputError, MissingDataError, OutOfRangeError
from shivelight.basis.instants import clock, day_bounds
from shivelight.basis.places import Position
from shivelight.land.skyline import Skyline, level_skyline
from shivelight.light.reach import View, direct_light_windows, facing_of, sun_track
from shivelight.sky.refraction import AirColumn
from shivelight.sky.twilight import find_sun_crossings
from shivelight.wood.canopy import Canopy
from tests.light.shapes import DEMO, SOUTH, even, ragged, slow_past_skyline

MORNING = (np.datetime64("2027-11-03T05:00"), np.datetime64("2027-11-03T12:00"))
DAY = (np.datetime64("2027-11-03T00:00"), np.datetime64("2027-11-04T00:00"))
LORD_HOWE = Position(latitude_deg=-31.5, longitude_deg=159.1, ground_height_m=200.0)
NORTH = Position(latitude_deg=69.65, longitude_deg=18.95)
SLOT = Position(latitude_deg=4.0, longitude_deg=20.0)


@pytest.mark.parametrize(
    ("skyline", "position", "start", "hours"),
    [
        (even(2.0), DEMO, "2027-11-03T07:20", 1.0),
        (ragged(1), DEMO, "2027-11-03T07:10", 3.0),
        (ragged(2), DEMO, "2027-04-29T15:30", 3.5),
        (ragged(3, base_deg=4.0), SOUTH, "2027-06-20T21:00", 3.0),
        (ragged(4, base_deg=2.0), NORTH, "2027-05-20T20:00", 3.0),
        (ragged(5, base_deg=68.0), SLOT, "2027-04-10T09:00", 2.5),
        (ragged(6, count=72), LORD_HOWE, "2027-10-02T19:00", 2.0),
    ],
    ids=[
        "even",
        "autumn",
        "evening",
        "south",
        "midnight sun",
        "near overhead",
        "5 degree samples",
    ],
)
def test_windows_agree_with_full_skyfield_second_by_second(
    skyline: Skyline, position: Position, start: str, hours: float
) -> None:
    # Skyfield 1.55 with DE421 at every second, its own refraction at 5 °C and 1010 hPa.
    begin = np.datetime64(start, "us")
    utc = begin + np.arange(round(hours * 3600) + 1) * np.timedelta64(1, "s")
    past = slow_past_skyline(skyline, position, utc)
    turns = np.flatnonzero(past[1:] != past[:-1]) + 1
    windows = direct_light_windows(skyline, position=position, start_utc=begin, end_utc=utc[-1])
    ours = [
        *(window.start_utc for window in windows if window.starts_at_skyline),
        *(window.end_utc for window in windows if window.ends_at_skyline),
    ]
    assert turns.size
    assert len(ours) == turns.size
    apart_s = (np.sort(np.array(ours)) - utc[turns]) / np.timedelta64(1, "s")
    assert np.abs(apart_s).max() <= 10.0
    assert bool(past[0]) is any(not window.starts_at_skyline for window in windows)


@pytest.mark.parametrize(
    ("height_deg", "expected"),
    # The project's demo page, section "How exact these figures are": Skyfield, 5 °C, 1010 hPa.
    [(0.0, "07:21"), (2.0, "07:38"), (9.0, "08:36")],
)
def test_first_light_of_the_demo_morning(height_deg: float, expected: str) -> None:
    (window,) = direct_light_windows(
        even(height_deg), position=DEMO, start_utc=MORNING[0], end_utc=MORNING[1]
    )
    assert clock(window.start_utc, "Europe/London") == expected
    assert window.starts_at_skyline
    assert not window.ends_at_skyline


def test_noon_of_the_demo_morning() -> None:
    # Same page: noon height 22.0°.
    utc = np.arange(*DAY, np.timedelta64(60, "s"), dtype="datetime64[us]")
    track = sun_track(level_skyline(), position=DEMO, utc=utc)
    assert track.altitude_deg.max() == pytest.approx(22.0, abs=0.05)


def test_over_a_level_skyline_light_begins_at_sunrise_give_or_take_refraction() -> None:
    (window,) = direct_light_windows(
        level_skyline(), position=DEMO, start_utc=DAY[0], end_utc=DAY[1]
    )
    rise = find_sun_crossings(*DAY, position=DEMO).utc[0]
    assert abs(window.start_utc - rise) < np.timedelta64(60, "s")


@settings(max_examples=20, deadline=None)
@given(low=st.floats(0.0, 20.0), rise=st.floats(0.1, 3.0))
def test_a_higher_skyline_means_later_sun_and_a_shorter_window(low: float, rise: float) -> None:
    (lower,) = direct_light_windows(even(low), position=DEMO, start_utc=DAY[0], end_utc=DAY[1])
    higher = direct_light_windows(
        even(low + rise), position=DEMO, start_utc=DAY[0], end_utc=DAY[1]
    )
    for window in higher:
        assert window.start_utc > lower.start_utc
        assert window.end_utc < lower.end_utc


def test_a_skyline_above_the_noon_sun_leaves_no_window() -> None:
    assert direct_light_windows(even(28.0), position=DEMO, start_utc=DAY[0], end_utc=DAY[1]) == ()


def test_past_a_cliff_edge_the_sun_comes_where_the_cliff_ends() -> None:
    height = np.where(np.arange(720) * 0.5 < 140.0, 40.0, 1.0)
    (window,) = direct_light_windows(
        Skyline(altitude_deg=height, origin="typed"),
        position=DEMO,
        start_utc=MORNING[0],
        end_utc=MORNING[1],
    )
    # The samples at 139.5° and 140.0° are joined by a straight, nearly upright line.
    assert 139.5 < window.start_azimuth_deg <= 140.0


def test_a_spike_cuts_a_window_in_two() -> None:
    height = np.full(720, 2.0)
    height[300] = 30.0
    windows = direct_light_windows(
        Skyline(altitude_deg=height, origin="typed"),
        position=DEMO,
        start_utc=DAY[0],
        end_utc=DAY[1],
    )
    assert len(windows) == 2
    assert windows[0].end_azimuth_deg == pytest.approx(149.6, abs=0.3)
    assert windows[1].start_azimuth_deg == pytest.approx(150.4, abs=0.3)


def test_under_the_midnight_sun_the_span_cuts_both_ends() -> None:
    (window,) = direct_light_windows(
        level_skyline(),
        position=NORTH,
        start_utc=np.datetime64("2027-06-21"),
        end_utc=np.datetime64("2027-06-22"),
    )
    assert not window.starts_at_skyline
    assert not window.ends_at_skyline
    assert window.length_min == 1440.0


@pytest.mark.parametrize(
    ("sun_deg", "view_deg", "words"),
    [
        (120.0, 120.0, "back"),
        (120.0, 180.0, "back"),
        (120.0, 181.0, "side"),
        (350.0, 10.0, "back"),
        (90.0, 0.0, "side"),
        (100.0, 280.0, "front"),
        (0.0, 120.0, "front"),
        (0.0, 119.0, "side"),
    ],
)
def test_front_side_and_back(sun_deg: float, view_deg: float, words: str) -> None:
    assert facing_of(sun_deg, view_azimuth_deg=view_deg) == words


def test_a_window_knows_its_side_and_whether_the_sun_stands_in_the_frame() -> None:
    start, end = np.datetime64("2027-11-03T07:00"), np.datetime64("2027-11-03T08:00")
    cases = [
        (View(azimuth_deg=115.0, angle_of_view_deg=20.0), "back", True),
        (View(azimuth_deg=140.0, angle_of_view_deg=20.0), "back", False),
        (View(azimuth_deg=140.0), "back", False),
        (View(azimuth_deg=30.0, angle_of_view_deg=20.0), "side", False),
        (View(azimuth_deg=300.0, angle_of_view_deg=60.0), "front", False),
        (None, "", False),
    ]
    for view, facing, inside in cases:
        (window,) = direct_light_windows(
            even(2.0), position=DEMO, start_utc=start, end_utc=end, view=view
        )
        assert (window.facing, window.sun_in_frame) == (facing, inside)


def test_the_sun_at_the_frame_s_edge_counts_by_its_limb() -> None:
    utc = np.array(["2027-11-03T07:45"], dtype="datetime64[us]")
    bearing = float(sun_track(even(0.0), position=DEMO, utc=utc).azimuth_deg[0])
    for beyond_deg, inside in ((0.2, True), (0.4, False)):
        view = View(azimuth_deg=bearing - 10.0 - beyond_deg, angle_of_view_deg=20.0)
        track = sun_track(even(0.0), position=DEMO, utc=utc, view=view)
        assert bool(track.in_frame[0]) is inside


def test_crowns_dim_the_beam_more_when_it_is_low() -> None:
    canopy = Canopy(plant_area_index=3.0)
    open_track, dimmed = (
        sun_track(even(2.0), position=DEMO, utc=_instants(), canopy=one) for one in (None, canopy)
    )
    up = open_track.past_skyline
    assert (open_track.beam_frac[up] == 1.0).all()
    assert (dimmed.beam_frac[up] < 0.2).all()
    assert np.all(np.diff(dimmed.beam_frac[up]) >= 0.0)
    (window,) = direct_light_windows(
        even(2.0), position=DEMO, start_utc=MORNING[0], end_utc=MORNING[1], canopy=canopy
    )
    assert window.beam_frac == pytest.approx(float(dimmed.beam_frac[up].mean()), rel=0.05)


def _instants() -> np.ndarray[tuple[int], np.dtype[np.datetime64]]:
    return np.arange(*MORNING, np.timedelta64(60, "s"), dtype="datetime64[us]")


@pytest.mark.parametrize("seed", range(6))
def test_track_and_windows_tell_the_same(seed: int) -> None:
    skyline = ragged(seed)
    utc = np.arange(*DAY, np.timedelta64(7, "s"), dtype="datetime64[us]")
    track = sun_track(skyline, position=DEMO, utc=utc)
    windows = direct_light_windows(skyline, position=DEMO, start_utc=DAY[0], end_utc=DAY[1])
    inside = np.zeros(utc.shape, dtype=np.bool_)
    for window in windows:
        inside |= (utc >= window.start_utc) & (utc < window.end_utc)
    assert np.array_equal(inside, track.past_skyline)
    assert ((track.disc_frac > 0.0) <= track.past_skyline).all()


def test_the_disc_is_half_up_when_its_centre_meets_the_skyline() -> None:
    utc = np.arange(*MORNING, np.timedelta64(1, "s"), dtype="datetime64[us]")
    track = sun_track(even(5.0), position=DEMO, utc=utc)
    half = int(np.argmin(np.abs(track.altitude_deg - 5.0)))
    assert track.disc_frac[half] == pytest.approx(0.5, abs=0.02)
    assert track.disc_frac[0] == 0.0
    assert track.disc_frac[-1] == 1.0


def test_turning_spot_and_sun_together_changes_nothing() -> None:
    # A place 15° further west sees the same an hour later, but for the sun's own slow drift.
    first, second = (
        direct_light_windows(
            ragged(9),
            position=Position(latitude_deg=53.0, longitude_deg=longitude),
            start_utc=DAY[0] + np.timedelta64(shift, "h"),
            end_utc=DAY[1] + np.timedelta64(shift, "h"),
        )
        for longitude, shift in ((-5.1, 0), (-20.1, 1))
    )
    assert len(first) == len(second)
    for one, other in zip(first, second, strict=True):
        late = other.start_utc - one.start_utc
        assert abs(late - np.timedelta64(3600, "s")) < np.timedelta64(120, "s")


def test_dense_air_brings_the_sun_sooner() -> None:
    thick, none = (
        direct_light_windows(even(0.0), position=DEMO, start_utc=DAY[0], end_utc=DAY[1], air=air)
        for air in (AirColumn(temperature_degc=-10.0), AirColumn(pressure_hpa=0.0))
    )
    earlier_s = (none[0].start_utc - thick[0].start_utc) / np.timedelta64(1, "s")
    assert 200.0 < earlier_s < 400.0


def with_gap(low_deg: float, high_deg: float) -> Skyline:
    bearing = np.arange(720) * 0.5
    height = np.where((bearing >= low_deg) & (bearing <= high_deg), np.nan, 3.0)
    return Skyline(altitude_deg=height, origin="typed")


def test_unknown_bearings_are_named_where_the_sun_stands() -> None:
    with pytest.raises(MissingDataError, match=r"not known at bearings 13\d° to 16\d°, where the"):
        direct_light_windows(
            with_gap(135.0, 160.0), position=DEMO, start_utc=DAY[0], end_utc=DAY[1]
        )
    with pytest.raises(MissingDataError, match="Type its height there"):
        sun_track(with_gap(135.0, 160.0), position=DEMO, utc=_instants())


def test_unknown_bearings_elsewhere_do_not_matter() -> None:
    (window,) = direct_light_windows(
        with_gap(260.0, 359.0), position=DEMO, start_utc=DAY[0], end_utc=DAY[1]
    )
    assert not window.skyline_assumed


def test_unknown_as_level_says_so() -> None:
    whole = direct_light_windows(
        with_gap(100.0, 140.0),
        position=DEMO,
        start_utc=DAY[0],
        end_utc=DAY[1],
        unknown_as_level=True,
    )
    level = direct_light_windows(even(0.0), position=DEMO, start_utc=DAY[0], end_utc=DAY[1])
    assert whole[0].skyline_assumed
    assert abs(whole[0].start_utc - level[0].start_utc) < np.timedelta64(1, "s")
    track = sun_track(
        with_gap(100.0, 140.0), position=DEMO, utc=_instants(), unknown_as_level=True
    )
    assert track.skyline_assumed


def test_shapes_of_a_track() -> None:
    utc = np.array([["2027-11-03T08:00", "2027-11-03T09:00"]], dtype="datetime64[us]")
    track = sun_track(even(1.0), position=DEMO, utc=utc)
    for values in (track.altitude_deg, track.past_skyline, track.off_view_deg, track.beam_frac):
        assert values.shape == (1, 2)
    assert np.isnan(track.off_view_deg).all()
    empty = sun_track(even(1.0), position=DEMO, utc=utc[:, :0])
    assert empty.altitude_deg.shape == (1, 0)
    assert not empty.skyline_assumed


def test_bad_spans_and_views_are_refused() -> None:
    with pytest.raises(BadInputError, match="runs backward"):
        direct_light_windows(even(1.0), position=DEMO, start_utc=DAY[1], end_utc=DAY[0])
    with pytest.raises(OutOfRangeError, match="year is 2090"):
        direct_light_windows(
            even(1.0),
            position=DEMO,
            start_utc=np.datetime64("2090-01-01"),
            end_utc=np.datetime64("2090-01-02"),
        )
    with pytest.raises(OutOfRangeError, match="bearing of view is 400 °"):
        View(azimuth_deg=400.0)
    with pytest.raises(OutOfRangeError, match="angle of view is 0 °"):
        View(azimuth_deg=4.0, angle_of_view_deg=0.0)


def test_a_change_of_clocks_never_moves_the_light() -> None:
    starts = []
    for day in (dt.date(2027, 10, 30), dt.date(2027, 10, 31)):
        start, end = day_bounds(day, "Europe/London")
        (window,) = direct_light_windows(even(5.0), position=DEMO, start_utc=start, end_utc=end)
        starts.append(window.start_utc)
    drift_s = (starts[1] - starts[0]) / np.timedelta64(1, "s") - 86_400.0
    assert 60.0 < drift_s < 180.0  # a little later each autumn day, and no hour of it
    assert clock(starts[0], "Europe/London")[:2] == "08"
    assert clock(starts[1], "Europe/London")[:2] == "07"


def test_on_a_hilltop_above_a_sunken_skyline_the_beam_is_whole() -> None:
    (window,) = direct_light_windows(even(-0.9), position=DEMO, start_utc=DAY[0], end_utc=DAY[1])
    assert window.start_altitude_deg < -1.0
    assert window.beam_frac == 1.0
