"""Drawing an outline: by tap without any script, typed, pasted, out of a file; and rasters."""

import json
import re
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from shivelight.basis.places import Position, distance_and_azimuth
from shivelight.web.contexts.woods_outline import Draft, pixel_of, taken_back, tapped
from tests.web.refusals import refusals
from tests.web.test_woods import undone
from tests.web.visitor import Visitor

CLOUGH, HEATH = "Threll Clough", "Pinnet Heath"
SQUARE = {
    "type": "Feature",
    "properties": {"name": "edge"},
    "geometry": {
        "type": "Polygon",
        "coordinates": [[[-5.12, 52.99], [-5.08, 52.99], [-5.08, 53.01], [-5.12, 53.01],
                         [-5.12, 52.99]]],
    },
}  # fmt: skip


def form(valley: Visitor, wood: str) -> dict[str, Any]:
    """Everything that the drawing's form holds."""
    page = valley.json("/wood/outline", name=wood)
    return {key: page[key] for key in ("name", "outline", "parking", "sets", "latitude",
                                       "longitude", "radius_m")}  # fmt: skip


def step(valley: Visitor, boxes: dict[str, Any], **more: Any) -> Any:
    """Send the form with one button or tap, and give the page as JSON."""
    answer = valley.client.post(
        "/wood/outline",
        data={"form_token": valley.token, **boxes, **more},
        headers={"Origin": "http://127.0.0.1:8017", "Accept": "application/json"},
    )
    assert answer.status_code in {200, 422}, answer.text
    return answer.json()


def place(line: str) -> Position:
    latitude, longitude = map(float, line.split(","))
    return Position(latitude_deg=latitude, longitude_deg=longitude)


@pytest.mark.parametrize("side", [720, 356, 288])
def test_a_tap_sets_a_corner_where_it_fell_whatever_the_size(valley: Visitor, side: int) -> None:
    boxes = form(valley, CLOUGH) | {"outline": ""}
    page = step(valley, boxes, **{f"at{side}.x": side // 4, f"at{side}.y": side // 2})
    corner = place(page["outline"])
    centre = place(f"{boxes['latitude']}, {boxes['longitude']}")
    away_m, azimuth_deg = distance_and_azimuth(centre, corner)
    radius_m = float(boxes["radius_m"])
    assert away_m == pytest.approx(radius_m / 2, abs=2 * radius_m / side)
    assert azimuth_deg == pytest.approx(270.0, abs=1.0)
    assert page["reading"].startswith("Corner 1: ")
    assert "ground" in page["reading"]


def test_a_tapped_corner_is_drawn_where_it_was_tapped(valley: Visitor) -> None:
    boxes = form(valley, CLOUGH) | {"outline": ""}
    page = step(valley, boxes, **{"at720.x": 100, "at720.y": 600})
    (dot,) = page["corners"]
    assert dot["x_px"] == pytest.approx(100.5, abs=0.3)
    assert dot["y_px"] == pytest.approx(600.5, abs=0.3)
    assert page["edge"] == f"{dot['x_px']:g},{dot['y_px']:g}"


def test_three_taps_and_keep_make_the_outline(valley: Visitor) -> None:
    boxes = form(valley, CLOUGH)
    before = boxes["outline"]
    page = step(valley, boxes, do="clear")
    assert page["outline"] == ""
    for x, y in ((60, 60), (660, 80), (500, 650), (80, 600)):
        page = step(valley, boxes | {"outline": page["outline"]},
                    **{"at720.x": x, "at720.y": y})  # fmt: skip
    assert page["answer"].startswith("4 corners, ")
    answer = valley.post("/wood/outline", **boxes | {"outline": page["outline"]}, do="keep")
    assert "Outline and parking of Threll Clough are kept." in answer.text
    assert form(valley, CLOUGH)["outline"] == page["outline"]
    undone(valley, answer.text)
    assert form(valley, CLOUGH)["outline"] == before


def test_nothing_is_kept_before_one_says_so(valley: Visitor) -> None:
    boxes = form(valley, CLOUGH)
    step(valley, boxes, do="clear")
    step(valley, boxes, **{"at720.x": 1, "at720.y": 1})
    assert form(valley, CLOUGH)["outline"] == boxes["outline"]


def test_the_last_corner_is_taken_back(valley: Visitor) -> None:
    boxes = form(valley, CLOUGH)
    page = step(valley, boxes, do="back")
    assert page["outline"].splitlines() == boxes["outline"].splitlines()[:3]
    assert page["reading"] == "Corner 4 is taken back."


def test_a_tap_sets_the_parking_when_told_to(valley: Visitor) -> None:
    boxes = form(valley, CLOUGH) | {"sets": "parking"}
    page = step(valley, boxes, **{"at356.x": 178, "at356.y": 178})
    centre = place(f"{boxes['latitude']}, {boxes['longitude']}")
    assert distance_and_azimuth(centre, place(page["parking"]))[0] < 2 * float(
        boxes["radius_m"]
    ) / 356  # fmt: skip
    assert page["outline"] == boxes["outline"]
    valley.post("/wood/outline", **boxes | {"parking": page["parking"]}, do="keep")
    assert form(valley, CLOUGH)["parking"] == page["parking"]


@pytest.mark.parametrize(
    ("do", "azimuth_deg", "moved", "grown"),
    [("north", 0, 0.6, 1), ("east", 90, 0.6, 1), ("south", 180, 0.6, 1), ("west", 270, 0.6, 1),
     ("closer", None, 0, 0.6), ("wider", None, 0, 1 / 0.6)],
)  # fmt: skip
def test_the_picture_is_moved_by_buttons(
    valley: Visitor, do: str, azimuth_deg: float | None, moved: float, grown: float
) -> None:
    boxes = form(valley, CLOUGH)
    page = step(valley, boxes, do=do)
    radius_m = float(boxes["radius_m"])
    away_m, toward_deg = distance_and_azimuth(
        place(f"{boxes['latitude']}, {boxes['longitude']}"),
        place(f"{page['latitude']}, {page['longitude']}"),
    )
    assert away_m == pytest.approx(moved * radius_m, abs=0.1)
    assert float(page["radius_m"]) == pytest.approx(radius_m * grown, rel=1e-4)
    if azimuth_deg is not None:
        assert abs((toward_deg - azimuth_deg + 180) % 360 - 180) < 0.1
    assert page["outline"] == boxes["outline"]
    assert (
        step(valley, boxes | {"latitude": page["latitude"]}, do="whole")["latitude"]
        == (boxes["latitude"])
    )


@pytest.mark.parametrize(
    ("outline", "told"),
    [
        ("53.0, -5.1\n53.01, -5.1", "different corners; it needs three or more"),
        ("53.0, -5.1\n53.01, -5.09\n53.0, -5.09\n53.01, -5.1", "crosses or touches itself"),
        ("53.0, -5.1\nsomewhere\n53.0, -5.09", "'somewhere' is not read"),
        ("<!DOCTYPE x><gpx/>", "declares a document type"),
    ],
)
def test_an_outline_that_cannot_be_is_refused_and_stays_typed(
    valley: Visitor, outline: str, told: str
) -> None:
    boxes = form(valley, CLOUGH)
    answer = valley.post("/wood/outline", **boxes | {"outline": outline}, do="keep")
    assert answer.status_code == 422
    assert told in refusals(answer.text)["outline"]
    kept = re.search(r'name="outline"[^>]*>(.*?)</textarea>', answer.text, re.DOTALL)
    assert kept is not None
    assert unescape(kept[1]).splitlines() == outline.splitlines()
    assert form(valley, CLOUGH) == boxes


def test_a_parking_that_cannot_be_is_refused_beside_its_box(valley: Visitor) -> None:
    boxes = form(valley, CLOUGH)
    answer = valley.post("/wood/outline", **boxes | {"parking": "by the oak"}, do="keep")
    assert answer.status_code == 422
    told = refusals(answer.text)
    assert set(told) == {"parking"}
    assert "is not read" in told["parking"]


def test_an_empty_outline_takes_it_off(valley: Visitor) -> None:
    boxes = form(valley, CLOUGH)
    valley.post("/wood/outline", **boxes | {"outline": ""}, do="keep")
    assert form(valley, CLOUGH)["outline"] == ""


def test_geojson_is_pasted_whole(valley: Visitor) -> None:
    boxes = form(valley, HEATH)
    valley.post("/wood/outline", **boxes | {"outline": json.dumps(SQUARE)}, do="keep")
    assert len(form(valley, HEATH)["outline"].splitlines()) == 4


def test_what_is_pasted_is_drawn_before_it_is_kept(valley: Visitor) -> None:
    boxes = form(valley, HEATH)
    page = step(valley, boxes | {"outline": json.dumps(SQUARE)}, do="read")
    assert page["outline"].splitlines()[0] == "52.9900000, -5.1200000"
    assert len(page["corners"]) == 4
    assert page["reading"] == "4 corners are read from what was pasted."
    page = step(valley, boxes | {"outline": "{"}, do="read")
    assert page["wrong"] == "The file is damaged or cut short; save or copy it again."
    assert form(valley, HEATH) == boxes


def test_an_outline_comes_out_of_a_file_with_undo(valley: Visitor) -> None:
    before = form(valley, HEATH)["outline"]
    file = ("edge.geojson", json.dumps(SQUARE).encode())
    answer = valley.post("/wood/outline/file", name=HEATH, files={"file": file})
    assert "The outline has 4 corners." in answer.text
    assert form(valley, HEATH)["outline"] != before
    undone(valley, answer.text)
    assert form(valley, HEATH)["outline"] == before


def test_a_spot_left_outside_is_named(valley: Visitor) -> None:
    away = json.dumps(SQUARE).replace("52.99", "53.10").replace("53.01", "53.12")
    answer = valley.post("/wood/outline/file", name=HEATH,
                         files={"file": ("edge.geojson", away.encode())})  # fmt: skip
    assert "White Post Gap now stands outside it" in answer.text


@pytest.mark.parametrize("wrong", [{"latitude": "x"}, {"radius_m": "nan"}, {"radius_m": "1e9"},
                                   {"latitude": "95"}])  # fmt: skip
def test_a_picture_that_cannot_be_is_refused(valley: Visitor, wrong: dict[str, str]) -> None:
    answer = valley.post("/wood/outline", **form(valley, CLOUGH) | wrong, do="read")
    assert answer.status_code == 422


def test_a_tap_that_is_no_number_is_refused(valley: Visitor) -> None:
    boxes = form(valley, CLOUGH)
    for x in ("left", "nan", "1e999"):
        answer = valley.client.post(
            "/wood/outline",
            data={"form_token": valley.token, **boxes, "at720.x": x, "at720.y": "1"},
            headers={"Origin": "http://127.0.0.1:8017"},
        )
        assert answer.status_code == 422


def test_pixels_and_places_agree_to_the_fit(valley: Visitor) -> None:
    with valley.house.bench() as bench:
        view = bench.ground_of(CLOUGH)
    for x, y in ((0.0, 0.0), (720.0, 31.0), (360.0, 360.0), (13.0, 700.0)):
        back = pixel_of(view.degrees, view.position_at(x, y))
        assert back == pytest.approx((x, y), abs=view.degrees.error_m / view.pixel_m + 0.06)


def test_a_draft_grows_and_shrinks_by_lines() -> None:
    first = Position(latitude_deg=53.0, longitude_deg=-5.0)
    draft = tapped(Draft(outline="", parking=""), first)
    draft = tapped(draft, Position(latitude_deg=53.001, longitude_deg=-5.0, ground_height_m=61.2))
    assert draft.reading == "Corner 2: 53.00100 N, 5.00000 W; ground 61 m; 111 m from the last."
    assert taken_back(draft).outline == "53.0000000, -5.0000000"
    assert taken_back(Draft(outline=" ", parking="")).reading == (
        "There is no corner to take back."
    )


def test_the_page_says_what_may_be_sent_and_how_to_do_without(valley: Visitor) -> None:
    page = valley.get("/wood/raster", name=HEATH).text
    assert "at most 2,000 MB" in page
    assert "shivelight wood raster &#39;Pinnet Heath&#39; FILE" in page
    assert 'data-most="2000000000"' in page


def test_a_raster_is_taken_off_by_name_and_laid_again(valley: Visitor) -> None:
    answer = valley.post("/wood/raster/detach", name=HEATH, raster="wennick-ground.tif")
    assert valley.json("/wood", name=HEATH)["rasters"] == []
    assert valley.json("/wood", name=HEATH)["ground"]["picture"] == ""
    undone(valley, answer.text)
    assert [one["name"] for one in valley.json("/wood", name=HEATH)["rasters"]] == [
        "wennick-ground.tif"
    ]


def test_a_raster_that_is_not_there_is_not_taken_off(valley: Visitor) -> None:
    for name in ("other.tif", "../wennick-ground.tif/..", ""):
        answer = valley.post("/wood/raster/detach", name=HEATH, raster=name)
        assert answer.status_code == 404
    assert len(valley.json("/wood", name=HEATH)["rasters"]) == 1


def test_a_raster_is_sent_kept_beside_the_book_and_laid_under(valley: Visitor, book: Path) -> None:
    data = (book.parent / "wennick-ground.tif").read_bytes()
    valley.post("/wood/raster/detach", name=HEATH, raster="wennick-ground.tif")
    sent = valley.post(f"/wood/raster?name={HEATH}", kind="ground",
                       files={"file": ("../../My Valley.tif", data)})  # fmt: skip
    assert sent.url.path == "/job"
    page = valley.wait(sent).text
    assert "<h1>Pinnet Heath</h1>" in page
    (kept,) = [one["name"] for one in valley.json("/wood", name=HEATH)["rasters"]]
    assert re.fullmatch(r"my-valley-[0-9a-f]{8}\.tif", kept)
    assert (book.parent / f"{book.stem}-rasters" / kept).read_bytes() == data


@pytest.mark.parametrize(
    ("name", "data", "told"),
    [
        ("x.tif", b"not a raster at all", "is not a raster that can be read"),
        ("x.vrt", b"<VRTDataset/>", "named like no raster that is taken in"),
        ("x.tif", b"", "No file came with the form"),
    ],
)
def test_what_is_no_raster_is_refused_and_leaves_nothing(
    valley: Visitor, book: Path, name: str, data: bytes, told: str
) -> None:
    answer = valley.post(f"/wood/raster?name={HEATH}", kind="ground", files={"file": (name, data)})
    assert answer.status_code == 422
    assert told in answer.text
    assert list((book.parent / f"{book.stem}-rasters").iterdir()) == []


def test_a_raster_of_elsewhere_fails_in_its_job_and_is_removed(empty: Visitor, book: Path) -> None:
    data = (book.parent / "wennick-ground.tif").read_bytes()
    empty.post("/wood/new", name="Far Wood", parking="10, 10", ground_height_m="90",
               zone_name="Europe/London")  # fmt: skip
    sent = empty.post("/wood/raster?name=Far Wood", kind="ground",
                      files={"file": ("valley.tif", data)})  # fmt: skip
    state = empty.house.jobs.wait(sent.url.params["name"])
    assert state.state == "failed"
    assert "neither the parking place of Far Wood nor any of its spots" in state.words
    folder = empty.house.settings.book_path.with_name("empty-rasters")
    assert list(folder.iterdir()) == []


def test_nobody_sends_a_raster_for_a_wood_that_is_not_there(valley: Visitor) -> None:
    answer = valley.post("/wood/raster?name=Nowhere", files={"file": ("x.tif", b"II*\x00")})
    assert answer.status_code == 404
