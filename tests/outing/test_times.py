"""Times worked backward: never late, never shifted by a clock, more slack in the dark."""

import datetime as dt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import BadInputError, OutOfRangeError
from shivelight.basis.instants import clock, seconds_between, to_utc
from shivelight.outing.times import backward_times, dark_share, first_need, slack_for

spans = st.floats(0.0, 7200.0)
moments = st.datetimes(dt.datetime(2020, 1, 1), dt.datetime(2035, 1, 1)).map(  # noqa: DTZ001 UTC
    lambda moment: np.datetime64(moment, "us")
)


def test_each_time_is_the_sum_of_what_comes_after_it() -> None:
    times = backward_times(
        np.datetime64("2027-11-03T07:38"),
        walk_s=14 * 60.0,
        road_s=25 * 60.0,
        set_up_s=600.0,
        slack_s=720.0,
        wake_s=45 * 60.0,
    )
    assert times.in_place_utc == np.datetime64("2027-11-03T07:28")
    assert times.park_utc == np.datetime64("2027-11-03T07:02")
    assert times.set_out_utc == np.datetime64("2027-11-03T06:37")
    assert times.alarm_utc == np.datetime64("2027-11-03T05:52")


@given(need=moments, walk_s=spans, road_s=spans, set_up_s=spans, slack_s=spans, wake_s=spans)
def test_no_time_is_late_and_none_is_earlier_than_a_minute_a_step(
    need: np.datetime64,
    walk_s: float,
    road_s: float,
    set_up_s: float,
    slack_s: float,
    wake_s: float,
) -> None:
    times = backward_times(
        need, walk_s=walk_s, road_s=road_s, set_up_s=set_up_s, slack_s=slack_s, wake_s=wake_s
    )
    steps = (
        (need, times.in_place_utc, set_up_s),
        (times.in_place_utc, times.park_utc, walk_s + slack_s),
        (times.park_utc, times.set_out_utc, road_s),
        (times.set_out_utc, times.alarm_utc, wake_s),
    )
    for later, earlier, span_s in steps:
        spare_s = seconds_between(later, earlier) - span_s
        assert -1e-5 <= spare_s < 60.0 + 1e-5
        assert earlier == earlier.astype("datetime64[m]")


@pytest.mark.parametrize(
    ("day", "window", "alarm"),
    [
        # Five hours before 06:00, in a night with an hour more and in one with an hour less.
        (dt.date(2027, 10, 31), dt.time(6, 0), "01:00"),
        (dt.date(2028, 3, 26), dt.time(6, 0), "00:00"),
    ],
)
def test_a_clock_that_changes_in_the_night_shifts_nothing(
    day: dt.date, window: dt.time, alarm: str
) -> None:
    start = to_utc(dt.datetime.combine(day, window), "Europe/London")
    times = backward_times(
        start, walk_s=3600.0, road_s=7200.0, set_up_s=0.0, slack_s=3600.0, wake_s=3600.0
    )
    assert seconds_between(start, times.alarm_utc) == 5 * 3600.0
    assert clock(times.alarm_utc, "Europe/London") == alarm


def test_first_light_moves_the_need_only_when_it_is_earlier() -> None:
    window = np.datetime64("2027-11-03T07:38", "us")
    dawn = np.datetime64("2027-11-03T06:45", "us")
    need = first_need(window, first_light_utc=dawn, set_up_s=600.0)
    times = backward_times(need, walk_s=0.0, road_s=0.0, set_up_s=600.0)
    assert times.in_place_utc == dawn
    assert first_need(window) == window
    assert first_need(window, first_light_utc=window, set_up_s=600.0) == window


def test_slack_grows_with_the_walk_and_in_the_dark() -> None:
    assert slack_for(0.0, dark_frac=1.0) == 600.0
    assert slack_for(1200.0, dark_frac=0.0) == pytest.approx(720.0)
    assert slack_for(1200.0, dark_frac=0.5) == pytest.approx(840.0)
    assert slack_for(1200.0, dark_frac=1.0) == pytest.approx(960.0)


def test_the_dark_share_is_what_lies_before_first_light() -> None:
    dawn = np.datetime64("2027-11-03T06:45")
    for minutes, share in ((-10, 1.0), (0, 1.0), (5, 0.75), (20, 0.0), (90, 0.0)):
        in_place = dawn + np.timedelta64(minutes, "m")
        assert dark_share(in_place, walk_s=1200.0, first_light_utc=dawn) == share
    assert dark_share(dawn, walk_s=0.0, first_light_utc=dawn) == 0.0


def test_spans_that_cannot_be_are_refused() -> None:
    need = np.datetime64("2027-11-03T07:38")
    with pytest.raises(OutOfRangeError, match="walk is -1 s"):
        backward_times(need, walk_s=-1.0, road_s=0.0)
    with pytest.raises(OutOfRangeError, match="road time is nan s"):
        backward_times(need, walk_s=0.0, road_s=float("nan"))
    with pytest.raises(BadInputError, match="no window"):
        backward_times(np.datetime64("NaT"), walk_s=0.0, road_s=0.0)
    with pytest.raises(OutOfRangeError, match=r"share in the dark is 1\.5"):
        slack_for(600.0, dark_frac=1.5)
