"""The forms of a wood: a new one, one that is changed, its parking out of a file."""

import json
import re
from html import unescape

import pytest

from tests.web.refusals import refusals
from tests.web.test_woods import undone
from tests.web.visitor import Visitor

HEATH = "Pinnet Heath"
ELMS = {"name": "Two Elms", "parking": "53.0 N 5.1 W", "ground_height_m": "90,5",
        "zone_name": "Europe/London"}  # fmt: skip
GPX = """<?xml version="1.0"?><gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1">
<wpt lat="53.0012" lon="-5.1003"><name>Gate &amp; stile</name></wpt>
<wpt lat="53.0020" lon="-5.1010"><name>Lay-by</name></wpt></gpx>"""


def typed(visitor: Visitor, path: str, **query: str) -> dict[str, str]:
    """Every box of a form as it stands, by key."""
    return {one["key"]: one["text"] for one in visitor.json(path, **query)["form"]["boxes"]}


def wrong(visitor: Visitor, path: str, boxes: dict[str, str]) -> dict[str, str]:
    """Send a form that is refused, and give the refusals by box."""
    answer = visitor.client.post(
        path,
        data={"form_token": visitor.token, **boxes},
        headers={"Origin": "http://127.0.0.1:8017"},
    )
    assert answer.status_code == 422, answer.text
    told = refusals(answer.text)
    whole = re.search(r'<div class="error" role="alert"><p>(.*?)</p>', answer.text)
    assert whole is not None
    return told if whole[1].startswith("Not taken yet") else {**told, "": unescape(whole[1])}


def test_a_newcomer_is_asked_four_things(empty: Visitor) -> None:
    page = empty.get("/wood/new").text
    before, after = page.split('<details class="more"')
    assert set(re.findall(r'<input id="[^"]+" name="([^"]+)"', before)) == set(ELMS)
    assert after.startswith(">")  # closed
    assert 'name="habit.depth_m"' in after


def test_the_clock_is_offered(empty: Visitor, valley: Visitor) -> None:
    assert typed(empty, "/wood/new")["zone_name"] == "Europe/London"
    valley.house.zone_name = "Asia/Tokyo"
    assert typed(valley, "/wood/new")["zone_name"] == "Europe/London"  # that of the woods


def test_four_boxes_make_a_wood_and_undo_takes_it_out(empty: Visitor) -> None:
    answer = empty.post("/wood/new", **ELMS)
    assert "Two Elms is in the book." in answer.text
    with empty.house.bench() as bench:
        wood = bench.wood("Two Elms").wood
    assert (wood.ground_height_m, wood.stand, wood.privacy.value) == (90.5, "mixed", "district")
    assert (wood.parking.latitude_deg, wood.parking.longitude_deg) == (53.0, -5.1)
    assert "out of the book again" in undone(empty, answer.text)
    assert empty.json("/woods")["woods"] == []


def test_a_wood_without_a_raster_is_shown_on_a_plain_grid(empty: Visitor) -> None:
    empty.post("/wood/new", **ELMS)
    ground = empty.json("/wood", name="Two Elms")["ground"]
    assert ground["picture"] == ""
    assert "no raster of its ground yet" in ground["source"]
    assert "<svg" in ground["page"]


@pytest.mark.parametrize(
    ("change", "box", "told"),
    [
        ({"name": " "}, "name", "Name is needed"),
        ({"parking": "by the oak"}, "parking", "is not read"),
        ({"parking": "walk.gpx:Gate"}, "parking", "is not read"),
        ({"parking": "99, 1"}, "parking", "Latitude is 99"),
        ({"ground_height_m": "high"}, "ground_height_m", "is no number"),
        ({"ground_height_m": "99999"}, "ground_height_m", "it must be -500 to 9000 m"),
        ({"zone_name": "Europe/Nowhere"}, "zone_name", "Europe/Nowhere"),
        ({"road_min": "-4"}, "road_min", "Road time is -4 min"),
        ({"habit.depth_m": "0"}, "habit.depth_m", "Mist depth is 0 m"),
        ({"habit.near_water": "perhaps"}, "habit.near_water", "is not one of"),
        ({"privacy": "secret"}, "privacy", "is not one of"),
        ({"stand": "bamboo"}, "stand", "no stand type"),
        ({"outline": "53, -5\n53.1, -5"}, "outline", "at least three corners"),
    ],
)
def test_a_box_is_refused_beside_itself_and_nothing_is_lost(
    empty: Visitor, change: dict[str, str], box: str, told: str
) -> None:
    refused = wrong(empty, "/wood/new", ELMS | change)
    assert list(refused) == [box]
    assert told in refused[box]
    page = empty.post("/wood/new", **ELMS | change).text
    assert 'value="90,5"' in page or "ground_height_m" in change
    assert empty.json("/woods")["woods"] == []


def test_two_woods_of_one_name_are_not_had(valley: Visitor) -> None:
    refused = wrong(valley, "/wood/new", ELMS | {"name": "pinnet heath"})
    assert refused == {
        "name": "The book already has a wood named 'Pinnet Heath'; choose another name."
    }


def test_a_height_that_a_raster_knows_is_offered_before_it_is_taken(valley: Visitor) -> None:
    new = ELMS | {"parking": "52.9977534, -5.1052129", "ground_height_m": ""}
    page = valley.post("/wood/new", **new)
    assert page.status_code == 200
    assert "89 m at the parking place, from wennick-ground.tif." in page.text
    assert 'name="ground_height_m" value="89"' in page.text
    assert len(valley.json("/woods")["woods"]) == 7
    valley.post("/wood/new", **new | {"ground_height_m": "89"})
    assert len(valley.json("/woods")["woods"]) == 8


def test_a_height_that_no_raster_knows_is_asked_for(empty: Visitor) -> None:
    refused = wrong(empty, "/wood/new", ELMS | {"ground_height_m": ""})
    assert list(refused) == ["ground_height_m"]


def test_sending_a_form_as_it_stands_changes_nothing(valley: Visitor) -> None:
    for name in ("Coldshaw Bottom", "Ottermire Carr"):
        with valley.house.bench() as bench:
            before = bench.wood(name).wood
        boxes = typed(valley, "/wood/edit", name=name)
        stand = boxes.pop("stand")
        answer = valley.post("/wood/edit", name=name, **boxes, stand=stand)
        assert answer.status_code == 200
        with valley.house.bench() as bench:
            after = bench.wood(name).wood
        assert after.parking == before.parking
        assert after.outline == before.outline
        assert after.habit == before.habit
        assert (after.access, after.hazards) == (before.access, before.hazards)


def test_a_change_is_kept_and_taken_back_to_the_last_digit(valley: Visitor) -> None:
    with valley.house.bench() as bench:
        before = bench.wood(HEATH).wood
    boxes = typed(valley, "/wood/edit", name=HEATH)
    changed = boxes | {"road_min": "45", "habit.depth_m": "6", "habit.fog_top_m": "",
                       "hazards": "bog\nash", "note": ""}  # fmt: skip
    answer = valley.post("/wood/edit", name=HEATH, **changed)
    with valley.house.bench() as bench:
        after = bench.wood(HEATH).wood
    assert (after.road_min, after.habit.depth_m, after.habit.fog_top_m) == (45.0, 6.0, None)
    assert (after.hazards, after.note) == (("bog", "ash"), "")
    undone(valley, answer.text)
    with valley.house.bench() as bench:
        assert bench.wood(HEATH).wood == before


def test_the_form_of_a_wood_says_what_the_raster_has(valley: Visitor) -> None:
    boxes = valley.json("/wood/edit", name=HEATH)["form"]["boxes"]
    hint = next(one["hint"] for one in boxes if one["key"] == "ground_height_m")
    assert hint.endswith("wennick-ground.tif has 89 m at the parking place.")


def test_points_of_a_file_are_offered_by_name(empty: Visitor) -> None:
    answer = empty.post("/wood/points", files={"file": ("walk.gpx", GPX.encode())})
    assert answer.status_code == 200
    assert "walk.gpx holds 2 points." in answer.text
    use = re.search(r'href="([^"]+)" aria-label="Park at Gate &amp; stile', answer.text)
    assert use
    form = empty.client.get(use[1].replace("&amp;", "&")).text
    assert 'name="parking" value="53.0012000, -5.1003000"' in form


def test_a_file_with_one_point_leads_straight_to_the_form(empty: Visitor) -> None:
    point = {"type": "Point", "coordinates": [-5.2, 53.1]}
    answer = empty.post(
        "/wood/points", files={"file": ("here.geojson", json.dumps(point).encode())}
    )
    assert answer.url.path == "/wood/new"
    assert 'value="53.1000000, -5.2000000"' in answer.text


@pytest.mark.parametrize(
    "data", [b"", b"\xff\xfe\x00", b"<gpx", b"{}", b"<!DOCTYPE x><gpx/>", b"nothing here"]
)
def test_a_file_without_points_is_refused_in_a_sentence(empty: Visitor, data: bytes) -> None:
    answer = empty.post("/wood/points", files={"file": ("walk.gpx", data)})
    assert answer.status_code in {409, 422}
    assert '<div class="error" role="alert"><p>' in answer.text
    assert "fault of shivelight" not in answer.text


def test_an_address_with_no_place_in_it_is_refused(empty: Visitor) -> None:
    assert empty.get("/wood/new", parking="../../etc").status_code == 422
