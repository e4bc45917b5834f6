import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.air.humidity import dew_point_degc
from shivelight.basis.errors import (
    BadInputError,
    MissingDataError,
    NotFoundError,
    ShivelightError,
    UnreadableFileError,
)
from shivelight.intake.table import read_table

PLAIN = """time,temperature_degc,dew_point_degc,wind_speed_mps,cloud_cover_frac
2027-11-02T18:00Z,7.1,4.6,2.0,0.8
2027-11-02T19:00Z,6.7,4.5,1.5,0.5
2027-11-02T20:00Z,6.2,,-,NA
"""


def test_our_own_names() -> None:
    table = read_table(PLAIN)
    assert table.utc[0] == np.datetime64("2027-11-02T18:00")
    assert table.temperature_degc[0].tolist() == [7.1, 6.7, 6.2]
    np.testing.assert_array_equal(table.dew_point_degc[0], [4.6, 4.5, np.nan])
    assert np.isnan(table.wind_speed_mps[0, 2])
    assert np.isnan(table.cloud_cover_frac[0, 2])
    assert table.latitude_deg is None


def test_names_of_others_with_their_units() -> None:
    table = read_table(
        "Date;Time;Temp (°F);RH [%];Wind speed (mph);Gusts kn;Cloud (oktas);Rain in;QNH\n"
        "2027-11-02;18:00+01:00;50,0;90;3;10;4;0,1;1020\n"
    )
    assert table.utc[0] == np.datetime64("2027-11-02T17:00")
    assert table.temperature_degc[0, 0] == pytest.approx(10.0)
    assert table.dew_point_degc[0, 0] == pytest.approx(float(dew_point_degc(10.0, 0.9)))
    assert table.wind_speed_mps[0, 0] == pytest.approx(3 * 0.44704)
    assert table.wind_gust_mps[0, 0] == pytest.approx(10 * 1852 / 3600)
    assert table.cloud_cover_frac[0, 0] == 0.5
    assert table.precipitation_mm[0, 0] == pytest.approx(2.54)
    assert "pressure_hpa" in table.missing  # QNH is no name that is known here


def test_names_of_a_weather_service_and_tabs_and_notes() -> None:
    table = read_table(
        "# written by hand\ntime_utc\ttemperature_2m_c\tdew_point_2m\twind_speed_10m_kmh\t"
        "pressure_msl\tvisibility_km\n2027-11-02 18:00\t7\t5\t36\t1019.5\t12\n"
    )
    assert table.utc[0] == np.datetime64("2027-11-02T18:00")
    assert table.wind_speed_mps[0, 0] == pytest.approx(10.0)
    assert table.pressure_hpa[0, 0] == 1019.5
    assert table.visibility_m[0, 0] == 12_000.0


def test_absent_hours_become_rows_of_nothing() -> None:
    table = read_table("utc,temperature_degc,rh\n2027-11-02T18:00,7,90\n2027-11-02T23:00,4,97\n")
    assert table.utc.size == 6
    assert np.isnan(table.temperature_degc[0, 1:5]).all()


def rows(*times: str) -> str:
    return "time,t,td\n" + "".join(f"{time},7,5\n" for time in times)


def test_clock_times_need_a_zone() -> None:
    with pytest.raises(BadInputError, match="do not state their zone"):
        read_table(rows("2027-11-02T18:00"))
    table = read_table(rows("2027-07-02T18:00"), zone_name="Europe/Dublin")
    assert table.utc[0] == np.datetime64("2027-07-02T17:00")


def test_a_zone_that_does_not_exist_is_named() -> None:
    with pytest.raises(NotFoundError, match="Wennick"):
        read_table(rows("2027-11-02T18:00"), zone_name="Europe/Wennick")


def test_an_hour_shown_twice_is_told_by_its_order() -> None:
    text = rows("2027-10-31T00:00", "2027-10-31T01:00", "2027-10-31T01:00", "2027-10-31T02:00")
    table = read_table(text, zone_name="Europe/London")
    assert table.utc[0] == np.datetime64("2027-10-30T23:00")
    assert np.diff(table.utc).tolist() == [np.timedelta64(1, "h").astype(object)] * 3


def test_an_hour_shown_twice_but_given_once_is_asked_about() -> None:
    with pytest.raises(BadInputError, match="twice: it goes back"):
        read_table(rows("2027-10-31T01:30"), zone_name="Europe/London")


def test_an_hour_that_is_skipped_is_refused() -> None:
    with pytest.raises(BadInputError, match="never shows 01:30"):
        read_table(rows("2027-03-28T01:30"), zone_name="Europe/London")


@pytest.mark.parametrize(
    ("header", "words"),
    [
        ("time,dew_point_degc", "no column temperature_degc"),
        ("time,temperature_degc", "no column dew_point_degc"),
        ("temperature_degc,dew_point_degc", "no column time"),
        ("when,what", "no column time and no temperature_degc and no dew_point"),
    ],
)
def test_missing_columns_are_named(header: str, words: str) -> None:
    with pytest.raises(MissingDataError, match=words):
        read_table(f"{header}\n1,2\n")


def test_wind_and_cloud_without_a_unit_are_asked_about() -> None:
    with pytest.raises(BadInputError, match="'wind' does not state its unit"):
        read_table("utc,t,td,wind\n2027-11-02T18:00,7,5,3\n")
    with pytest.raises(BadInputError, match="'cloud' does not state its unit"):
        read_table("utc,t,td,cloud\n2027-11-02T18:00,7,5,3\n")


@pytest.mark.parametrize(
    ("header", "values", "words"),
    [
        ("t,td", "280.3,278.1", "looks like kelvin"),
        ("temperature_degc,td", "280.3,5", "looks like kelvin"),
        ("t,td", "50,46", "looks like degrees Fahrenheit"),
        ("temperature_degc,dew_point_degc", "55,46", "looks like degrees Fahrenheit"),
        ("t,rh_frac", "7,85", "looks like per cent"),
        ("t,td,cloud_frac", "7,5,80", "looks like per cent"),
        ("t,td,pressure_hpa", "7,5,101900", "looks like pascals"),
        ("t,td,pressure_hpa", "7,5,30.1", "looks like inches of mercury"),
        ("t,td,wind_mps", "7,5,-2", "look at its unit"),
    ],
)
def test_values_in_another_unit_are_refused_with_a_hint(
    header: str, values: str, words: str
) -> None:
    with pytest.raises(BadInputError, match=words):
        read_table(f"utc,{header}\n2027-11-02T18:00,{values}\n")


def test_two_columns_of_one_quantity_are_refused() -> None:
    with pytest.raises(BadInputError, match="two columns of temperature"):
        read_table("utc,t,td,temp_degf\n2027-11-02T18:00,7,5,45\n")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("utc,t,td\n2027-11-02T18:00,warm,5\n", "Line 2 .* 'warm' under 't'"),
        ("utc,t,td\n2027-11-02T18:00,7\n", "Line 2 .* 2 cells; the header has 3"),
        ("utc,t,td\n02/11/2027 18:00,7,5\n", "Line 2 .* write it as 2027-11-03T06"),
        ("utc,t,td\n2027-11-02T18:00,7,5\n2027-11-02T18:00,7,5\n", "twice"),
        ("utc,t,td\n2027-11-02T18:00,7,5\n2027-11-02T17:00,7,5\n", "out of order"),
    ],
)
def test_bad_rows_are_named(text: str, words: str) -> None:
    with pytest.raises(BadInputError, match=words):
        read_table(text)


@pytest.mark.parametrize("text", ["", "\n\n", "# only notes\n", "one column\n1\n", b"\xff\xfe"])
def test_what_is_no_table_is_refused(text: str | bytes) -> None:
    with pytest.raises(UnreadableFileError):
        read_table(text)


def test_a_header_without_rows_is_refused() -> None:
    with pytest.raises(MissingDataError, match="no rows"):
        read_table("utc,t,td\n")


@given(cut=st.integers(0, len(PLAIN)), junk=st.text(max_size=12), at=st.integers(0, len(PLAIN)))
def test_mutilated_tables_raise_only_our_own_errors(cut: int, junk: str, at: int) -> None:
    text = PLAIN[:at] + junk + PLAIN[at:][:cut]
    try:
        table = read_table(text, zone_name="UTC")
    except ShivelightError:
        return
    assert table.members == 1
