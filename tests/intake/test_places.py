"""Positions as people write them, and points out of files."""

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import (
    BadInputError,
    MissingDataError,
    OutOfRangeError,
    ShivelightError,
    UnreadableFileError,
)
from shivelight.intake.places import (
    parse_degrees,
    parse_position,
    read_places,
    read_places_text,
)


@pytest.mark.parametrize(
    "text",
    [
        "53.0012, -5.1003", "53.0012,-5.1003", "53.0012 -5.1003", "53.0012; -5.1003",
        "53,0012; -5,1003", "53,0012, -5,1003", "53,0012 −5,1003",
        "53.0012 N 5.1003 W", "53.0012N5.1003W", "N53.0012 W5.1003", "N 53.0012, W 5.1003",
        "5.1003 W 53.0012 N", "53.0012° north, 5.1003° west",
        "53 0 4.32 N 5 6 1.08 W", "53° 0' 4.32\" N, 5° 6' 1.08\" W", "53°0′4.32″N 5°6′1.08″W",
        "53 0.072 N 5 6.018 W", "53 0 4.32, -5 6 1.08", "53 0 4.32 -5 6 1.08",
    ],
)  # fmt: skip
def test_every_usual_way_of_writing_one_place(text: str) -> None:
    place = parse_position(text)
    assert place.latitude_deg == pytest.approx(53.0012, abs=1e-9)
    assert place.longitude_deg == pytest.approx(-5.1003, abs=1e-9)
    assert place.ground_height_m is None


@pytest.mark.parametrize(
    ("text", "degrees"),
    # Published rows of the check tables (degrees, minutes, seconds to decimal).
    [("50 52 12.0 N", 50.87), ("1 36 0.0 W", -1.6), ("135 46 5.16 E", 135.7681)],
)
def test_one_angle(text: str, degrees: float) -> None:
    assert parse_degrees(text) == pytest.approx(degrees, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "is not read"), ("here", "is not read"), ("53", "is not read"),
        ("53 N 5 N", "is not read"), ("53 E 5 E", "is not read"), ("1 2 3 4 5 6 7", "is not read"),
        ("-53 N, 5 W", "both a sign and a letter"), ("53 61 0 N 5 0 0 W", "60 or more minutes"),
        ("53 0 60 N 5 0 0 W", "60 or more"), ("53.5 30 N 5 W", "fraction before its minutes"),
        ("53 1.5 2 N 5 W", "fraction before its minutes"),
    ],
)  # fmt: skip
def test_what_is_no_place(text: str, said: str) -> None:
    with pytest.raises(BadInputError, match=said):
        parse_position(text)


@pytest.mark.parametrize("text", ["91, 0", "0, 361", "-90.5, 10"])
def test_off_the_globe(text: str) -> None:
    with pytest.raises(OutOfRangeError, match="it must be"):
        parse_position(text)


@given(st.text(max_size=30))
def test_any_words_are_read_or_refused_in_one_sentence(text: str) -> None:
    try:
        place = parse_position(text)
    except ShivelightError as why:
        assert str(why).endswith(".")  # noqa: PT017  either outcome is right
    else:
        assert -90 <= place.latitude_deg <= 90


@given(latitude=st.floats(-90, 90), longitude=st.floats(-180, 180))
def test_decimal_degrees_come_back(latitude: float, longitude: float) -> None:
    place = parse_position(f"{latitude:.7f}, {longitude:.7f}")
    assert place.latitude_deg == pytest.approx(latitude, abs=1e-7)
    assert place.longitude_deg == pytest.approx(longitude, abs=1e-7)


GPX = """<?xml version="1.0"?>
<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="Wennick">
{}
</gpx>"""


class TestGpx:
    def test_waypoints_with_names_and_heights(self, tmp_path: Path) -> None:
        path = tmp_path / "spots.gpx"
        path.write_text(
            GPX.format(
                '<wpt lat="53.0" lon="-5.1"><ele>61</ele><name>Two Waters</name></wpt>'
                '<wpt lat="53.01" lon="-5.11"><ele></ele></wpt>'
                '<trk><trkseg><trkpt lat="1" lon="1"/></trkseg></trk>'
            )
        )
        first, second = read_places(path)
        assert first.name == "Two Waters"
        assert first.position.latitude_deg == 53.0
        assert first.position.ground_height_m == 61.0
        assert second.name == ""
        assert second.position.ground_height_m is None

    def test_a_track_serves_when_there_is_no_waypoint(self, tmp_path: Path) -> None:
        path = tmp_path / "walk.gpx"
        path.write_text(
            GPX.format(
                '<trk><trkseg><trkpt lat="1" lon="2"/><trkpt lat="3" lon="4"/></trkseg></trk>'
            )
        )
        assert [place.position.latitude_deg for place in read_places(path)] == [1.0, 3.0]

    def test_entities_are_refused(self, tmp_path: Path) -> None:
        path = tmp_path / "bomb.gpx"
        path.write_text(
            '<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]>'
            '<gpx><wpt lat="1" lon="1"><name>&b;</name></wpt></gpx>'
        )
        with pytest.raises(UnreadableFileError, match="declares a document type"):
            read_places(path)

    @pytest.mark.parametrize(
        "inside", ['<wpt lat="95" lon="0"/>', '<wpt lat="x" lon="0"/>', '<wpt lon="0"/>']
    )
    def test_a_point_that_makes_no_sense(self, tmp_path: Path, inside: str) -> None:
        path = tmp_path / "odd.gpx"
        path.write_text(GPX.format(inside))
        with pytest.raises(UnreadableFileError, match="makes no sense"):
            read_places(path)

    def test_cut_short_at_any_place(self, tmp_path: Path) -> None:
        text = GPX.format('<wpt lat="53.0" lon="-5.1"><name>Old Chair</name></wpt>')
        path = tmp_path / "cut.gpx"
        for end in range(0, len(text) - 2, 7):
            path.write_text(text[:end])
            with pytest.raises(UnreadableFileError, match="damaged or cut short"):
                read_places(path)


class TestGeoJson:
    def test_points_of_features_longitude_first(self, tmp_path: Path) -> None:
        path = tmp_path / "spots.geojson"
        feature = {
            "type": "Feature",
            "properties": {"name": "Coupe Four"},
            "geometry": {"type": "Point", "coordinates": [-5.1, 53.0, 110.0]},
        }
        empty = {"type": "Feature", "properties": None, "geometry": None}
        path.write_text(json.dumps({"type": "FeatureCollection", "features": [feature, empty]}))
        (place,) = read_places(path)
        assert (place.name, place.position.latitude_deg) == ("Coupe Four", 53.0)
        assert place.position.ground_height_m == 110.0

    def test_many_points_and_collections(self, tmp_path: Path) -> None:
        path = tmp_path / "spots.json"
        many = {"type": "MultiPoint", "coordinates": [[1, 2], [3, 4]]}
        path.write_text(json.dumps({"type": "GeometryCollection", "geometries": [many, many]}))
        assert len(read_places(path)) == 4

    def test_a_nonsense_height_does_not_spoil_the_place(self, tmp_path: Path) -> None:
        path = tmp_path / "p.json"
        path.write_text('{"type": "Point", "coordinates": [1, 2, -99999]}')
        assert read_places(path)[0].position.ground_height_m is None

    @pytest.mark.parametrize(
        "text",
        [
            "[]", "3", "{}", '{"type": "Point"}', '{"type": "Point", "coordinates": [1]}',
            '{"type": "Point", "coordinates": ["a", "b"]}', '{"type": "Feature", "geometry": 3}',
            '{"type": "Point", "coordinates": [NaN, 2]}',
        ],
    )  # fmt: skip
    def test_a_point_that_makes_no_sense(self, tmp_path: Path, text: str) -> None:
        path = tmp_path / "odd.json"
        path.write_text(text)
        with pytest.raises(UnreadableFileError, match="makes no sense"):
            read_places(path)

    def test_no_point_at_all(self, tmp_path: Path) -> None:
        path = tmp_path / "line.json"
        path.write_text('{"type": "LineString", "coordinates": [[1, 2], [3, 4]]}')
        with pytest.raises(MissingDataError, match="holds no point"):
            read_places(path)


class TestFiles:
    def test_absent(self, tmp_path: Path) -> None:
        with pytest.raises(UnreadableFileError, match="There is no file"):
            read_places(tmp_path / "none.gpx")

    def test_of_another_kind(self, tmp_path: Path) -> None:
        path = tmp_path / "spots.kml"
        path.write_text("x")
        with pytest.raises(UnreadableFileError, match="no kind of file"):
            read_places(path)

    def test_not_text(self, tmp_path: Path) -> None:
        path = tmp_path / "spots.gpx"
        path.write_bytes(b"\xff\xfe\x00")
        with pytest.raises(UnreadableFileError, match="cannot be read as text"):
            read_places(path)


class TestText:
    def test_lines_with_and_without_names(self) -> None:
        first, second, third = read_places_text(
            "\ufeffTwo Waters: 53.0012, -5.1003\n\n# by the gate\n53.01 N 5.11 W\n"
            "Gate: old: 53 0 4.32 N 5 6 1.08 W"
        )
        assert (first.name, first.position.latitude_deg) == ("Two Waters", 53.0012)
        assert (second.name, second.position.longitude_deg) == ("", -5.11)
        assert third.name == "Gate: old"

    def test_files_are_known_by_how_they_begin(self) -> None:
        waypoint = GPX.format('<wpt lat="53.0" lon="-5.1"/>')
        point = '{"type": "Point", "coordinates": [-5.1, 53.0]}'
        for text in (waypoint, f"\n {point}", "53.0, -5.1"):
            (place,) = read_places_text(text)
            assert place.position.latitude_deg == 53.0
            assert place.position.longitude_deg == -5.1

    def test_a_kind_may_be_said(self) -> None:
        with pytest.raises(UnreadableFileError, match="The text is damaged or cut short"):
            read_places_text("53.0, -5.1", kind="geojson")
        with pytest.raises(BadInputError, match="not from 'table'"):
            read_places_text("53.0, -5.1", kind="table")

    @pytest.mark.parametrize(
        ("text", "said"),
        [
            ("", "The text holds no point"), ("<gpx></gpx>", "The text holds no point"),
        ],
    )  # fmt: skip
    def test_no_point(self, text: str, said: str) -> None:
        with pytest.raises(MissingDataError, match=said):
            read_places_text(text)

    def test_a_line_that_is_no_place(self) -> None:
        with pytest.raises(BadInputError, match="'here' is not read"):
            read_places_text("53.0, -5.1\nhere")

    def test_too_big(self, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr("shivelight.intake.places.MOST_BYTES", 5)
        with pytest.raises(UnreadableFileError, match="too big"):
            read_places_text("53.0, -5.1")
