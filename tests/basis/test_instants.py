"""Clock time and UTC: hours that are skipped, hours that come twice, days of other lengths."""

import datetime as dt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.basis.instants import (
    clock,
    clock_change,
    day_bounds,
    from_datetime,
    seconds_between,
    steps,
    to_local,
    to_utc,
    zone,
    zone_label,
)
from tests import strategies as make

LONDON = "Europe/London"
HOUR = np.timedelta64(1, "h")


def wall(text: str) -> dt.datetime:
    """Read what a clock shows."""
    return dt.datetime.fromisoformat(text)


@pytest.mark.parametrize(
    "name", ["Wennick/Water", "", "../etc/passwd", "Europe", "Europe/lon don"]
)
def test_an_unknown_zone_is_named(name: str) -> None:
    with pytest.raises(NotFoundError, match="There is no time zone named"):
        zone(name)


@pytest.mark.parametrize(
    ("shown", "zone_name", "utc"),
    [
        ("2027-11-03T07:38", LONDON, "2027-11-03T07:38"),
        ("2027-07-03T07:38", LONDON, "2027-07-03T06:38"),
        ("2027-07-03T00:30", LONDON, "2027-07-02T23:30"),
        ("2027-07-03T07:38", "Pacific/Auckland", "2027-07-02T19:38"),
        ("2027-07-03T07:38", "Asia/Kathmandu", "2027-07-03T01:53"),
        ("2027-01-03T07:38:30.5", "America/St_Johns", "2027-01-03T11:08:30.5"),
    ],
)
def test_a_wall_clock_is_read(shown: str, zone_name: str, utc: str) -> None:
    assert to_utc(wall(shown), zone_name) == np.datetime64(utc)


@pytest.mark.parametrize(
    ("shown", "zone_name"),
    [
        ("2027-03-28T01:00", LONDON),
        ("2027-03-28T01:30", LONDON),
        ("2027-03-28T01:59:59", LONDON),
        ("2027-03-14T02:30", "America/St_Johns"),
        ("2027-09-26T02:15", "Pacific/Auckland"),
        ("2027-10-03T02:10", "Australia/Lord_Howe"),  # half an hour is skipped
    ],
)
def test_a_time_that_the_clock_skips_is_refused(shown: str, zone_name: str) -> None:
    for fold in (None, 0, 1):
        with pytest.raises(BadInputError, match=r"never shows .*: it goes forward that night"):
            to_utc(wall(shown), zone_name, fold=fold)


@pytest.mark.parametrize("shown", ["2027-03-28T00:59:59", "2027-03-28T02:00"])
def test_times_beside_the_skipped_hour_are_read(shown: str) -> None:
    assert to_utc(wall(shown), LONDON) in {
        np.datetime64("2027-03-28T00:59:59"), np.datetime64("2027-03-28T01:00"),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("shown", "zone_name", "first", "second"),
    [
        ("2027-10-31T01:30", LONDON, "2027-10-31T00:30", "2027-10-31T01:30"),
        ("2027-10-31T01:00", LONDON, "2027-10-31T00:00", "2027-10-31T01:00"),
        ("2027-04-04T02:30", "Pacific/Auckland", "2027-04-03T13:30", "2027-04-03T14:30"),
        ("2027-04-04T01:45", "Australia/Lord_Howe", "2027-04-03T14:45", "2027-04-03T15:15"),
    ],
)
def test_a_time_that_comes_twice_must_be_told_apart(
    shown: str, zone_name: str, first: str, second: str
) -> None:
    with pytest.raises(BadInputError, match=r"twice: it goes back that night\. Say which"):
        to_utc(wall(shown), zone_name)
    assert to_utc(wall(shown), zone_name, fold=0) == np.datetime64(first)
    assert to_utc(wall(shown), zone_name, fold=1) == np.datetime64(second)


def test_the_sentence_names_both_offsets() -> None:
    with pytest.raises(BadInputError, match=r"01:30 on 31 October 2027 .* \+0100 or \+0000"):
        to_utc(wall("2027-10-31T01:30"), LONDON)


def test_a_time_with_its_offset_stands_as_it_is() -> None:
    assert to_utc(wall("2027-10-31T01:30+00:00"), LONDON) == np.datetime64("2027-10-31T01:30")
    assert to_utc(wall("2027-03-28T01:30+01:00"), LONDON) == np.datetime64("2027-03-28T00:30")


def test_a_time_without_zone_is_no_instant() -> None:
    with pytest.raises(BadInputError, match="has no zone; say which clock it was read from"):
        from_datetime(wall("2027-11-03T07:38"))


@given(utc=make.instants(), zone_name=st.sampled_from(make.ZONES))
def test_an_instant_goes_through_any_clock(utc: np.datetime64, zone_name: str) -> None:
    local = to_local(utc, zone_name)
    assert from_datetime(local) == utc
    naive = local.replace(tzinfo=None, fold=0)
    assert to_utc(naive, zone_name, fold=local.fold) == utc


@pytest.mark.parametrize(
    ("day", "hours"),
    [
        (dt.date(2027, 3, 28), 23),
        (dt.date(2027, 10, 31), 25),
        (dt.date(2027, 10, 30), 24),
        (dt.date(2027, 11, 1), 24),
    ],
)
def test_days_of_the_change_have_their_own_length(day: dt.date, hours: int) -> None:
    start, end = day_bounds(day, LONDON)
    assert end - start == hours * HOUR
    assert clock_change(day, LONDON) == dt.timedelta(hours=24 - hours)


def test_half_an_hour_can_be_the_change() -> None:
    assert clock_change(dt.date(2027, 4, 4), "Australia/Lord_Howe") == dt.timedelta(minutes=-30)


def test_a_day_without_midnight_starts_at_its_first_instant() -> None:
    # In Santiago the clock goes from 24:00 to 01:00 when summer time begins (tz database).
    day = dt.date(2027, 9, 5)
    start, _ = day_bounds(day, "America/Santiago")
    local = to_local(start, "America/Santiago")
    assert (local.date(), local.hour) == (day, 1)
    before = to_local(start - np.timedelta64(1, "us"), "America/Santiago")
    assert before.date() == day - dt.timedelta(days=1)


def test_a_day_that_was_left_out_is_no_day() -> None:
    # Samoa crossed the date line: 29 December 2011 was followed by 31 December (tz database).
    start, end = day_bounds(dt.date(2011, 12, 30), "Pacific/Apia")
    assert end - start == 0 * HOUR


@given(day=make.days(), zone_name=st.sampled_from(make.ZONES))
def test_days_follow_each_other_without_gap(day: dt.date, zone_name: str) -> None:
    start, end = day_bounds(day, zone_name)
    assert day_bounds(day + dt.timedelta(days=1), zone_name)[0] == end
    assert to_local(start, zone_name).date() == day
    assert to_local(end - np.timedelta64(1, "us"), zone_name).date() == day
    assert 22 * HOUR <= end - start <= 26 * HOUR


@pytest.mark.parametrize(
    ("utc", "shown"),
    [
        ("2027-11-03T07:38:29", "07:38"),
        ("2027-11-03T07:38:30", "07:39"),
        ("2027-07-03T23:59:31", "01:00"),
        ("2027-10-31T00:59:45", "01:00"),  # the second one o'clock
        ("2027-03-28T00:59:45", "02:00"),  # one o'clock is never shown
    ],
)
def test_a_clock_shows_the_nearest_minute(utc: str, shown: str) -> None:
    assert clock(np.datetime64(utc, "us"), LONDON) == shown


@pytest.mark.parametrize(
    ("utc", "zone_name", "label"),
    [
        ("2027-10-31T00:30", LONDON, "BST"),
        ("2027-10-31T01:30", LONDON, "GMT"),
        ("2027-10-31T01:30", "UTC", "UTC"),
        ("2027-10-31T01:30", "Asia/Kathmandu", "UTC+05:45"),
        ("2027-01-31T01:30", "America/Sao_Paulo", "UTC-03:00"),
    ],
)
def test_the_clock_in_force_has_a_name(utc: str, zone_name: str, label: str) -> None:
    assert zone_label(np.datetime64(utc, "us"), zone_name) == label


def test_steps_run_over_the_change_without_a_jump() -> None:
    start, end = day_bounds(dt.date(2027, 10, 31), LONDON)
    quarters = steps(start, end, step_s=900.0)
    assert quarters.size == 25 * 4 + 1
    assert set(np.diff(quarters)) == {np.timedelta64(15, "m")}
    assert (quarters[0], quarters[-1]) == (start, end)


def test_steps_stop_before_an_end_they_do_not_meet() -> None:
    start = np.datetime64("2027-11-03T07:00", "m")
    made = steps(start, start + np.timedelta64(10, "m"), step_s=240.0)
    assert list(made - start) == [np.timedelta64(n, "m") for n in (0, 4, 8)]
    assert steps(start, start - HOUR, step_s=60.0).size == 0
    assert steps(start, start, step_s=60.0).size == 1


def test_seconds_between_have_a_sign() -> None:
    noon = np.datetime64("2027-11-03T12:00", "us")
    assert seconds_between(noon, noon - HOUR) == 3600.0
    assert seconds_between(noon, noon + np.timedelta64(500, "ms")) == -0.5
