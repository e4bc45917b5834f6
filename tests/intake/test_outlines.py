"""Outlines out of files and pasted corners: the good, the mended, and each refusal."""

import json
import math
from typing import Any

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
from shivelight.basis.places import Position, destination, distance_and_azimuth
from shivelight.intake.outlines import MOST_CORNERS, read_outlines

SQUARE = ((53.0, -5.1), (53.004, -5.1), (53.004, -5.093), (53.0, -5.093))
MIDDLE = Position(latitude_deg=53.0, longitude_deg=-5.1)


def geojson(corners: Any, *, name: str | None = "Pinnet Heath", closed: bool = True) -> str:
    ring = [[lon, lat] for lat, lon in corners]
    ring = [*ring, ring[0]] if closed else ring
    geometry = {"type": "Polygon", "coordinates": [ring]}
    return json.dumps({"type": "Feature", "properties": {"name": name}, "geometry": geometry})


def gpx(inside: str) -> str:
    return f'<?xml version="1.0"?><gpx xmlns="http://www.topografix.com/GPX/1/1">{inside}</gpx>'


def track(corners: Any, *, name: str = "edge") -> str:
    points = "".join(f'<trkpt lat="{lat}" lon="{lon}"/>' for lat, lon in corners)
    return gpx(f"<trk><name>{name}</name><trkseg>{points}</trkseg></trk>")


def ring(count: int, radius_m: float = 300.0, wobble_m: float = 0.0) -> list[tuple[float, float]]:
    made = []
    for number in range(count):
        turn = 360.0 * number / count
        away = radius_m + wobble_m * math.sin(40.0 * math.radians(turn))
        there = destination(MIDDLE, azimuth_deg=turn, distance_m=away)
        made.append((there.latitude_deg, there.longitude_deg))
    return made


def apart_m(one: tuple[float, float], other: tuple[float, float]) -> float:
    ends = [Position(latitude_deg=lat, longitude_deg=lon) for lat, lon in (one, other)]
    return distance_and_azimuth(*ends)[0]


class TestRead:
    @pytest.mark.parametrize("closed", [True, False])
    def test_a_polygon_keeps_its_corners_to_the_digit(self, closed: bool) -> None:
        (found,) = read_outlines(geojson(SQUARE, closed=closed).encode())
        assert found.corners == SQUARE
        assert (found.name, found.tolerance_m, found.notes) == ("Pinnet Heath", 0.0, ())

    def test_pasted_corners_one_a_line(self) -> None:
        text = "# the heath\n53.0 N 5.1 W\n\n53.004, -5.1\n53.004, -5.093\n53.0, -5.093\n"
        (found,) = read_outlines(text)
        assert found.corners == SQUARE

    def test_a_route_and_a_track_that_come_round(self) -> None:
        route = "".join(f'<rtept lat="{lat}" lon="{lon}"/>' for lat, lon in SQUARE)
        (found,) = read_outlines(gpx(f"<rte><name>r</name>{route}</rte>"))
        assert (found.name, found.corners) == ("r", SQUARE)
        (walked,) = read_outlines(track([*SQUARE, (53.0001, -5.0999)]))
        assert walked.corners[:4] == SQUARE

    def test_waypoints_serve_when_there_is_no_line(self) -> None:
        points = "".join(f'<wpt lat="{lat}" lon="{lon}"/>' for lat, lon in SQUARE)
        (found,) = read_outlines(gpx(points))
        assert found.corners == SQUARE
        assert found.notes == ("Its waypoints were taken as corners.",)

    def test_many_polygons_in_a_collection_with_gaps_inside(self) -> None:
        outer = [[lon, lat] for lat, lon in (*SQUARE, SQUARE[0])]
        hole = [[-5.098, 53.001], [-5.096, 53.001], [-5.096, 53.002], [-5.098, 53.001]]
        many = {"type": "MultiPolygon", "coordinates": [[outer, hole], [outer]]}
        feature = {"type": "Feature", "properties": {"name": "Hagbarrow"}, "geometry": many}
        point = {"type": "Feature", "properties": None, "geometry": {"type": "Point"}}
        whole = {"type": "FeatureCollection", "features": [point, feature]}
        found = read_outlines(json.dumps(whole))
        assert [one.name for one in found] == ["Hagbarrow 1", "Hagbarrow 2"]
        assert found[0].notes == ("1 gap inside it left out.",)

    def test_over_the_date_line(self) -> None:
        corners = ((10.0, 179.999), (10.002, 179.999), (10.002, -179.999), (10.0, -179.999))
        assert read_outlines(geojson(corners))[0].corners == corners


class TestThinned:
    def test_many_corners_are_thinned_and_the_note_says_how_far_the_edge_moved(self) -> None:
        corners = ring(5000, wobble_m=3.0)
        (found,) = read_outlines(geojson(corners))
        assert 3 <= len(found.corners) <= MOST_CORNERS
        (note,) = found.notes
        assert note.startswith("5,000 corners were thinned to ")
        assert f"its edge moved by at most {found.tolerance_m:g} m." in note
        # Every old corner lies near the new edge: within the tolerance of its nearest side.
        worst = max(_to_edge_m(corner, found.corners) for corner in corners[::50])
        assert worst <= found.tolerance_m * 1.01

    def test_four_hundred_are_kept(self) -> None:
        corners = ring(MOST_CORNERS)
        assert read_outlines(geojson(corners))[0].corners == tuple(corners)


def _to_edge_m(corner: tuple[float, float], edge: tuple[tuple[float, float], ...]) -> float:
    scale = 111_195.0
    east = scale * math.cos(math.radians(53.0))
    x, y = corner[1] * east, corner[0] * scale
    best = math.inf
    for one, other in zip(edge, (*edge[1:], edge[0]), strict=True):
        ax, ay = one[1] * east, one[0] * scale
        bx, by = other[1] * east, other[0] * scale
        long2 = (bx - ax) ** 2 + (by - ay) ** 2
        share = min(max(((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / long2, 0.0), 1.0)
        best = min(best, math.hypot(x - ax - share * (bx - ax), y - ay - share * (by - ay)))
    return best


class TestRefused:
    def test_an_outline_that_crosses_itself_says_where(self) -> None:
        bow = (SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3])
        with pytest.raises(
            BadInputError,
            match=r"'Pinnet Heath' crosses or touches itself near 53\.002\d*, -5\.096",
        ):
            read_outlines(geojson(bow))

    def test_a_walked_track_may_lose_a_small_loop_but_not_a_large_one(self) -> None:
        walk = ring(60)
        loop = [walk[0], destination_of(walk[0], 20.0, 6.0), destination_of(walk[0], 300.0, 6.0)]
        knot = [*loop, destination_of(walk[0], 100.0, 5.0)]
        (found,) = read_outlines(track([*knot, *walk[1:], walk[0]]))
        assert found.notes == ("Small loops where the track crosses itself were cut off.",)
        assert len(found.corners) >= 55
        eight = [SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3], SQUARE[0]]
        with pytest.raises(BadInputError, match="crosses or touches itself"):
            read_outlines(track(eight))

    def test_an_open_track_says_how_far_its_ends_are_apart(self) -> None:
        with pytest.raises(
            BadInputError, match=r"The track 'edge' does not come back .* 470 m apart"
        ):
            read_outlines(track(SQUARE))
        assert apart_m(SQUARE[0], SQUARE[3]) == pytest.approx(469.7, abs=1.0)

    @pytest.mark.parametrize(
        ("corners", "said"),
        [
            (SQUARE[:2], "has 2 different corners"), (SQUARE[:1] * 5, "has 1 different corners"),
            (((53.0, -5.1), (53.001, -5.1), (53.002, -5.1)), "crosses or touches|encloses under"),
            (((53.0, -5.1), (53.00001, -5.1), (53.0, -5.10001)), "encloses under 100 m²"),
            (((53.0, -5.1), (54.0, -5.1), (53.0, -5.0)), "more than 50 km wide"),
        ],
    )  # fmt: skip
    def test_what_no_wood_has(self, corners: Any, said: str) -> None:
        with pytest.raises(BadInputError, match=said):
            read_outlines(geojson(corners))

    def test_off_the_globe(self) -> None:
        with pytest.raises(OutOfRangeError, match="latitude is 95"):
            read_outlines(geojson(((95.0, 0.0), (53.0, 0.0), (53.0, 1.0))))

    def test_entities(self) -> None:
        bomb = '<!DOCTYPE gpx [<!ENTITY a "aa">]><gpx><trk><name>&a;</name></trk></gpx>'
        with pytest.raises(UnreadableFileError, match="declares a document type"):
            read_outlines(bomb)

    @pytest.mark.parametrize("text", ["<gpx>", "{", '{"type": "Polygon", "coordinates": [[[1, 2'])
    def test_cut_short(self, text: str) -> None:
        with pytest.raises(UnreadableFileError, match="damaged or cut short"):
            read_outlines(text)

    @pytest.mark.parametrize(
        "text",
        [
            "{}", "[]", '{"type": "Polygon"}', '{"type": "Polygon", "coordinates": [[[1], [2]]]}',
            '{"type": "Polygon", "coordinates": []}', '{"type": "Feature", "geometry": 3}',
            '<gpx><trk><trkpt lat="x" lon="1"/></trk></gpx>',
        ],
    )  # fmt: skip
    def test_a_corner_that_makes_no_sense(self, text: str) -> None:
        with pytest.raises(UnreadableFileError, match="makes no sense"):
            read_outlines(text)

    @pytest.mark.parametrize(
        ("text", "said"),
        [
            ('{"type": "Point", "coordinates": [1, 2]}', "holds no outline"),
            ("<gpx></gpx>", "holds no outline"), ("", "No corners were given"),
        ],
    )  # fmt: skip
    def test_without_an_outline(self, text: str, said: str) -> None:
        with pytest.raises(MissingDataError, match=said):
            read_outlines(text)

    def test_not_text_and_too_big(self, monkeypatch: pytest.MonkeyPatch) -> None:
        with pytest.raises(UnreadableFileError, match="cannot be read as text"):
            read_outlines(b"\xff\xfe\x00")
        monkeypatch.setattr("shivelight.intake.outlines.MOST_BYTES", 10)
        with pytest.raises(UnreadableFileError, match="too big"):
            read_outlines("53.0, -5.1\n53.1")

    def test_more_corners_than_any_wood_has(self, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr("shivelight.intake.outlines.MOST_READ", 3)
        with pytest.raises(BadInputError, match="over 3 corners"):
            read_outlines(geojson(SQUARE))


def destination_of(
    corner: tuple[float, float], azimuth_deg: float, distance_m: float
) -> tuple[float, float]:
    start = Position(latitude_deg=corner[0], longitude_deg=corner[1])
    there = destination(start, azimuth_deg=azimuth_deg, distance_m=distance_m)
    return there.latitude_deg, there.longitude_deg


NUMBERS = st.one_of(st.floats(), st.integers(-200, 200), st.none(), st.text(max_size=3))
NODES = st.recursive(
    st.one_of(NUMBERS, st.lists(NUMBERS, max_size=3)),
    lambda inner: st.one_of(
        st.lists(inner, max_size=5),
        st.fixed_dictionaries(
            {"type": st.sampled_from(["Polygon", "MultiPolygon", "Feature", "FeatureCollection"])},
            optional={
                "coordinates": inner,
                "geometry": inner,
                "features": inner,
                "properties": inner,
            },
        ),
    ),
    max_leaves=30,
)


@given(NODES)
def test_any_json_is_read_or_refused_in_one_sentence(node: Any) -> None:
    _read_or_refused(json.dumps(node))


@given(st.text(max_size=80))
def test_any_words_are_read_or_refused_in_one_sentence(text: str) -> None:
    _read_or_refused(text)


@given(
    st.lists(st.tuples(st.floats(52.99, 53.01), st.floats(-5.11, -5.09)), min_size=1, max_size=12)
)
def test_any_corners_are_read_or_refused_in_one_sentence(corners: list[Any]) -> None:
    _read_or_refused(geojson(corners))
    _read_or_refused(track([*corners, corners[0]]))


def _read_or_refused(text: str) -> None:
    try:
        found = read_outlines(text)
    except ShivelightError as why:
        assert str(why).endswith(".")  # noqa: PT017  either outcome is right
    else:
        for one in found:
            assert 3 <= len(one.corners) <= MOST_CORNERS
