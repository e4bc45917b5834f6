import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.air.forecast import Ensemble
from shivelight.basis.errors import BadInputError, ShivelightError, UnreadableFileError
from shivelight.intake.metar import read_metar
from tests.intake.weather_files import outside

NOW = np.datetime64("2027-11-03T08:00")


def read(text: str, now: np.datetime64 = NOW) -> Ensemble:
    return read_metar(text, now_utc=now)


def test_a_foggy_report() -> None:
    report = read("METAR XXXX 030650Z 00000KT 0350 R27/0600 FG VV001 02/02 Q1029=")
    assert report.utc.tolist() == [np.datetime64("2027-11-03T06:50").astype(object)]
    assert report.source == "METAR of XXXX"
    assert report.visibility_m[0, 0] == 350.0
    assert report.temperature_degc[0, 0] == report.dew_point_degc[0, 0] == 2.0
    assert report.wind_speed_mps[0, 0] == 0.0
    assert report.pressure_hpa[0, 0] == 1029.0
    assert report.precipitation_mm[0, 0] == 0.0
    # The sky is hidden: whether there is cloud above the fog is not known.
    assert np.isnan(report.cloud_cover_frac[0, 0])


@pytest.mark.parametrize(
    ("group", "range_m"),
    [
        ("9999", 10_000.0),
        ("CAVOK", 10_000.0),
        ("0050", 50.0),
        ("4000", 4000.0),
        ("10SM", 16_093.44),
        ("1 1/2SM", 2414.016),
        ("M1/4SM", 402.336),
        ("0800 3000NE", 800.0),
    ],
)
def test_the_ways_to_write_visibility(group: str, range_m: float) -> None:
    report = read(f"XXXX 030650Z 12005KT {group} 08/07 Q1010")
    assert report.visibility_m[0, 0] == pytest.approx(range_m)


@pytest.mark.parametrize(
    ("group", "whole", "low"),
    [
        ("FEW010", 1.5 / 8, 1.5 / 8),
        ("SCT020 BKN100", 0.75, 3.5 / 8),
        ("OVC003", 1.0, 1.0),
        ("OVC250", 1.0, 0.0),
        ("NSC", 0.0, 0.0),
        ("NCD", 0.0, 0.0),
        ("SKC", 0.0, 0.0),
        ("CLR", 0.0, 0.0),
    ],
)
def test_cloud_in_words(group: str, whole: float, low: float) -> None:
    report = read(f"XXXX 030650Z 12005KT 9999 {group} 08/07 Q1010")
    assert report.cloud_cover_frac[0, 0] == whole
    assert report.low_cloud_frac[0, 0] == low


def test_knots_metres_a_second_and_gusts() -> None:
    knots = read("XXXX 030650Z 24010G22KT 9999 NSC 08/07 Q1010")
    assert knots.wind_speed_mps[0, 0] == pytest.approx(5.144, abs=1e-3)
    assert knots.wind_gust_mps[0, 0] == pytest.approx(11.318, abs=1e-3)
    assert read("XXXX 030650Z 24010MPS 9999 NSC 08/07 Q1010").wind_speed_mps[0, 0] == 10.0


def test_tenths_and_sea_level_pressure_and_rain_from_the_remarks() -> None:
    # The remark groups T01110072 (11.1 and 7.2 °C), SLP086 (1008.6 hPa) and P0003 (0.03 inch)
    # are those of WMO region IV practice (FMH-1).
    report = read(
        "XXXX 030651Z 36007KT 10SM -RA FEW085 11/07 A2979 RMK AO2 SLP086 P0003 T01110072"
    )
    assert report.temperature_degc[0, 0] == pytest.approx(11.1)
    assert report.dew_point_degc[0, 0] == pytest.approx(7.2)
    assert report.pressure_hpa[0, 0] == pytest.approx(1008.6)
    assert report.precipitation_mm[0, 0] == pytest.approx(0.762)


def test_rain_without_an_amount_is_not_known() -> None:
    assert np.isnan(read("XXXX 030650Z 12005KT 4000 RA OVC010 08/07 Q1010").precipitation_mm[0, 0])


def test_a_trend_is_no_observation() -> None:
    report = read("XXXX 030650Z 00000KT 3000 BR NSC 08/07 Q1010 BECMG 0300 FG")
    assert report.visibility_m[0, 0] == 3000.0


@pytest.mark.parametrize(
    ("group", "now", "then"),
    [
        ("030650Z", "2027-11-03T08:00", "2027-11-03T06:50"),
        ("312350Z", "2027-11-01T00:10", "2027-10-31T23:50"),
        ("312350Z", "2027-01-01T00:10", "2026-12-31T23:50"),
        ("300550Z", "2027-03-02T08:00", "2027-01-30T05:50"),
        ("290550Z", "2028-03-01T08:00", "2028-02-29T05:50"),
        ("030850Z", "2027-11-03T08:00", "2027-11-03T08:50"),
        ("031050Z", "2027-11-03T08:00", "2027-10-03T10:50"),
    ],
)
def test_month_and_year_follow_from_when_it_was_received(group: str, now: str, then: str) -> None:
    report = read(f"XXXX {group} 00000KT 9999 NSC 08/07 Q1010", np.datetime64(now))
    assert report.utc[0] == np.datetime64(then)


def test_many_reports_in_any_order_become_a_series() -> None:
    reports = [
        f"METAR XXXX 03{h:02d}20Z 00000KT {400 + h:04d} FG 0{h}/0{h} Q1020" for h in (5, 3, 4)
    ]
    for joined in ("\n".join(reports), " ".join(reports), "=\n\n".join(reports)):
        series = read(joined)
        assert series.temperature_degc[0].tolist() == [3.0, 4.0, 5.0]
        assert series.visibility_m[0].tolist() == [403.0, 404.0, 405.0]


def test_a_correction_replaces_the_report() -> None:
    wrong = "METAR XXXX 030650Z 00000KT 9999 NSC 18/07 Q1020"
    right = "METAR XXXX 030650Z COR 00000KT 9999 NSC 08/07 Q1020"
    assert read(f"{wrong}\n{right}").temperature_degc[0].tolist() == [8.0]
    assert read(f"{right}\n{wrong}").temperature_degc[0].tolist() == [8.0]


def test_two_airfields_are_refused() -> None:
    text = "XXXX 030650Z 00000KT 9999 08/07 Q1020\nXXXY 030650Z 00000KT 9999 08/07 Q1020"
    with pytest.raises(BadInputError, match="2 airfields"):
        read(text)


def test_a_forecast_of_an_airfield_is_refused() -> None:
    with pytest.raises(BadInputError, match="TAF"):
        read("XXXX 022257Z 0300/0406 20006KT 9999 FEW045")


def test_without_a_date_of_receipt_there_is_no_month() -> None:
    with pytest.raises(BadInputError, match="no month"):
        read_metar("XXXX 030650Z 00000KT 9999 08/07 Q1020", now_utc=None)


@pytest.mark.parametrize("text", ["", "fog at dawn", "XXXX 0306Z 9999"])
def test_text_without_a_report_is_refused(text: str) -> None:
    with pytest.raises(UnreadableFileError, match="no METAR report"):
        read(text)


def test_a_report_that_says_nothing_is_refused() -> None:
    with pytest.raises(UnreadableFileError, match="Nothing in these"):
        read("XXXX 030650Z NIL=")


@pytest.mark.parametrize("group", ["322350Z", "032450Z", "030660Z", "000650Z"])
def test_a_time_that_cannot_be_is_refused(group: str) -> None:
    with pytest.raises(BadInputError, match="is no time"):
        read(f"XXXX {group} 00000KT 9999 08/07 Q1020")


def test_recorded_reports_agree_with_another_readers_tree() -> None:
    # Recorded beside the reading of avwx-engine (MIT), an independent METAR reader.
    for name in ("avwx_metar_EGLL.json", "avwx_metar_KJFK.json"):
        other = json.loads(outside(name))
        data = other["data"]
        ours = read(data["raw"], np.datetime64(f"{other['created']}T12:00"))
        latest = ours.temperature_degc.shape[1] - 1
        assert ours.temperature_degc[0, latest] == pytest.approx(
            data["temperature"]["value"], abs=0.5
        )
        assert ours.dew_point_degc[0, latest] == pytest.approx(data["dewpoint"]["value"], abs=0.5)
        knots = ours.wind_speed_mps[0, latest] / 0.514444
        assert knots == pytest.approx(data["wind_speed"]["value"], abs=0.01)


def test_every_recorded_report_is_read_or_refused_in_a_sentence() -> None:
    lines = outside("raw_metar_taf.tsv").decode().splitlines()[1:]
    reports = [line.split("\t")[1] for line in lines if line.startswith("METAR")]
    assert len(reports) > 300
    read_whole = 0
    for report in reports:
        got = read(report, np.datetime64("2014-04-05T00:00"))
        read_whole += bool(np.isfinite(got.temperature_degc[0, 0]))
    # Seven are written wrongly ("21 /17", "FEW 020", "201/16", or cut off after the wind).
    assert read_whole == len(reports) - 7


@given(
    text=st.text(alphabet="XFGBRKTQCAVOM/0123456789 -+=SNEW", max_size=80),
)
def test_whatever_follows_the_head_only_our_own_errors_come(text: str) -> None:
    try:
        got = read(f"XXXX 030650Z {text}")
    except ShivelightError:
        return
    assert got.members == 1
