"""The pages of spots: the list, one spot, its forms, its skyline and its pictures."""

import datetime as dt
import re
from collections.abc import Mapping

import pytest

from shivelight.outing.season_notes import SeasonNote
from shivelight.web.tokens import unguarded
from tests.intake.photographs import CAMERA, photo
from tests.web.visitor import Visitor
from tests.workbench.test_pictures import IN_PINNET, fix_at

GAP = "White Post Gap"
SNAP = photo(main={}, camera=CAMERA, fix=fix_at(IN_PINNET), size_px=(640, 480))
NEW = {
    "name": "Split Birch", "wood": "Pinnet Heath", "position": "53.0005, -5.0951",
    "view_azimuth_deg": "121",
}  # fmt: skip


def snap(data: bytes = SNAP, name: str = "IMG.jpg") -> dict[str, tuple[str, bytes, str]]:
    return {"file": (name, data, "image/jpeg")}


def undo_of(text: str) -> tuple[str, str]:
    """Path and key of the form that takes the last thing back."""
    found = re.search(r'action="(/wood/undo)".*?name="undo" value="([^"]+)"', text, re.S)
    assert found is not None
    return found[1], found[2]


def test_every_route_that_writes_asks_for_a_token(valley: Visitor) -> None:
    assert [one for one in unguarded(valley.app.routes) if "/spot" in one] == []


def test_the_list_says_by_wood_what_each_waits_for(valley: Visitor) -> None:
    page = valley.json("/spots")
    by_name = {spot["name"]: spot for wood in page["woods"] for spot in wood["spots"]}
    assert len(by_name) == 8
    assert by_name[GAP]["wants"].startswith("Wants mist 60 to 1000 m, direct light")
    assert re.fullmatch(
        r"For Wednesday 3 November: about \d in 10, first of 8\.", by_name[GAP]["said"]
    )
    assert by_name[GAP]["found"].startswith("Found 19 October 2027 in the wood: wisps")


def test_the_list_is_narrowed_by_state(valley: Visitor) -> None:
    valley.post("/spot/state", name=GAP, state="made")
    made = valley.json("/spots", state="made")
    assert [spot["name"] for wood in made["woods"] for spot in wood["spots"]] == [GAP]
    assert "made 1" in [one["words"] for one in made["choices"]]
    assert "No spot is in this state." in valley.get("/spots", state="lost").text
    refused = valley.get("/spots", state="asleep")
    assert refused.status_code == 422
    assert "not one of: waiting, made, lost" in refused.text


def test_an_empty_book_leads_to_a_wood_first(empty: Visitor) -> None:
    for path in ("/spots", "/spot/new"):
        page = empty.get(path)
        assert page.status_code == 200
        assert 'href="/wood/new">Add a wood' in page.text


def test_a_spot_shows_its_light_its_year_and_its_past(valley: Visitor) -> None:
    page = valley.json("/spot", name=GAP)
    assert page["light"]["day"] == "2027-11-03"
    assert page["light"]["answer"] == "Direct light 07:38–16:29, clouds apart"
    assert len(page["light"]["roll"]["readings"]) == 360
    assert page["year"]["year"] == 2027
    assert len(page["year"]["carpet"]["rows"]) == 122
    assert page["record"]["answer"] == "Found mist: 4 of 9 mornings"
    assert len(page["record"]["filled"]) == 9
    assert page["confirmed"].endswith("days ago.")
    text = valley.get("/spot", name=GAP).text
    assert text.count("The skyline and the sun as a table") == 1
    assert "do not look at it through the lens" in text


def test_another_day_and_another_year_are_shown(valley: Visitor) -> None:
    page = valley.json("/spot", name="Rope and Fern", day="2027-11-03", year="2026")
    assert page["light"]["answer"] == "No direct light reaches it"
    assert page["year"]["dark"].startswith("No direct sun 17 October 2026 to ")
    assert "year=2026" in page["light"]["later"]
    assert "2027-11-04" in page["light"]["later"]
    assert "year=2025" in page["year"]["earlier"]


def test_notes_of_the_season_stand_under_their_year(valley: Visitor) -> None:
    note = SeasonNote(day=dt.date(2026, 10, 12), stage="turning", words="birch first")
    with valley.house.bench() as bench:
        bench.note_season("Pinnet Heath", note)
    then = valley.json("/spot", name=GAP, year="2026")["year"]["notes"]
    assert "Your notes of 2026: 12 October leaf turning, birch first." in then
    assert not any(
        "Your notes" in line for line in valley.json("/spot", name=GAP)["year"]["notes"]
    )


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ({"day": "soon"}, "is not read"),
        ({"day": "2150-01-01"}, "The year 2150 is not held"),
        ({"day": "2027-11-03", "year": "99"}, "Year is 99"),
        ({"year": "mmxx"}, "no whole number"),
    ],
)
def test_days_and_years_out_of_reach_are_refused(
    valley: Visitor, query: dict[str, str], words: str
) -> None:
    answer = valley.get("/spot", name=GAP, **query)
    assert answer.status_code == 422
    assert words in answer.text


def test_a_spot_that_is_not_there_is_not_found(valley: Visitor) -> None:
    for path in ("/spot", "/spot/edit", "/spot/wishes", "/spot/skyline"):
        assert valley.get(path, name="Nowhere").status_code == 404


def test_a_state_is_changed_and_taken_back(valley: Visitor) -> None:
    lost = valley.post("/spot/state", name=GAP, state="lost")
    assert "White Post Gap is marked as lost; its history stays." in lost.text
    path, key = undo_of(lost.text)
    back = valley.post(path, undo=key)
    assert "White Post Gap is as it was." in back.text
    assert "waiting" in valley.json("/spot", name=GAP)["margin"]
    assert valley.post("/spot/state", name=GAP, state="asleep").status_code == 422


def test_a_mark_that_held_is_confirmed_today(valley: Visitor) -> None:
    page = valley.post("/spot/confirmed", name=GAP)
    assert "Last confirmed 2 November 2027, today." in page.text
    valley.post(undo_of(page.text)[0], undo=undo_of(page.text)[1])
    assert "12 March 2027" in valley.json("/spot", name=GAP)["confirmed"]


def boxes_of(page: dict[str, object]) -> dict[str, str]:
    form = page["form"]
    assert isinstance(form, dict)
    return {box["key"]: box["text"] for box in form["boxes"]}


def send(valley: Visitor, path: str, boxes: dict[str, str]):  # type: ignore[no-untyped-def]
    return valley.post(path, **{key.replace(".", "__"): text for key, text in boxes.items()})


def test_a_form_sent_as_it_was_filled_changes_nothing(valley: Visitor) -> None:
    with valley.house.bench() as bench:
        before = bench.spot(GAP)
    boxes = boxes_of(valley.json("/spot/edit", name=GAP))
    sent = send(valley, "/spot/edit", {**boxes, "name": GAP})
    assert "is kept as you changed it" in sent.text
    with valley.house.bench() as bench:
        assert bench.spot(GAP) == before


def test_a_spot_is_changed_emptied_and_taken_back(valley: Visitor) -> None:
    with valley.house.bench() as bench:
        before = bench.spot(GAP)
    boxes = boxes_of(valley.json("/spot/edit", name=GAP))
    boxes |= {"focal_length_mm": "90", "walk_min": "", "lens_height_m": "", "if_not": "",
              "mark.transits": "one\ntwo", "under_canopy": "crowns"}  # fmt: skip
    sent = send(valley, "/spot/edit", {**boxes, "name": GAP})
    with valley.house.bench() as bench:
        after = bench.spot(GAP)
    assert (after.focal_length_mm, after.walk_min, after.lens_height_m) == (90.0, None, 1.4)
    assert after.mark.transits == ("one", "two")
    assert after.mark.last_confirmed == before.mark.last_confirmed
    assert after.under_canopy
    assert (after.if_not, after.sights, after.wishes) == ("", before.sights, before.wishes)
    path, key = undo_of(sent.text)
    valley.post(path, undo=key)
    with valley.house.bench() as bench:
        assert bench.spot(GAP) == before


def test_what_is_wrong_stands_beside_its_box(valley: Visitor) -> None:
    boxes = boxes_of(valley.json("/spot/edit", name=GAP))
    boxes |= {"name": GAP, "focal_length_mm": "9000", "note": "kept as typed"}
    sent = send(valley, "/spot/edit", boxes)
    assert sent.status_code == 422
    assert "Focal length is 9000 mm; it must be 1 to 2000 mm." in sent.text
    assert "kept as typed" in sent.text
    refused = send(valley, "/spot/edit", boxes | {"focal_length_mm": "long", "position": ""})
    assert refused.status_code == 422
    assert refused.text.count('class="refused"') == 2
    far = send(valley, "/spot/edit", boxes | {"focal_length_mm": "90", "position": "54, -5"})
    assert far.status_code == 422
    assert "lies outside the outline of Pinnet Heath" in far.text


def test_an_undo_after_another_change_is_refused(valley: Visitor) -> None:
    page = valley.post("/spot/state", name=GAP, state="made")
    path, key = undo_of(page.text)
    valley.post("/spot/state", name=GAP, state="lost")
    refused = valley.post(path, undo=key)
    assert refused.status_code == 422
    assert "was changed again since" in refused.text


def test_wishes_are_kept_one_a_line_and_taken_back(valley: Visitor) -> None:
    page = valley.json("/spot/wishes", name=GAP)
    assert boxes_of(page)["musts"].splitlines()[0] == "mist 60 to 1000 m"
    sent = valley.post(
        "/spot/wishes", name=GAP, musts="Mist 80-200 m\n\nstill air", likes="ground wet"
    )
    assert "Wants mist 80 to 200 m, still air; would like ground wet." in sent.text
    path, key = undo_of(sent.text)
    assert "mist 60 to 1000 m" in valley.post(path, undo=key).text


def test_wishes_are_refused_by_line(valley: Visitor) -> None:
    sent = valley.post(
        "/spot/wishes", name=GAP, musts="still air\na miracle", likes="still air\nhoar"
    )
    assert sent.status_code == 422
    assert "Line 2: No wish is understood in &#39;a miracle&#39;" in sent.text
    assert "Line 1: &#39;still air&#39; is a must already; keep one." in sent.text
    assert "a miracle</textarea>" in sent.text


def test_an_example_goes_into_its_box_without_a_script(valley: Visitor) -> None:
    page = valley.post("/spot/wishes", name=GAP, musts="still air", likes="", add="likes:hoar")
    assert page.status_code == 200
    assert ">hoar</textarea>" in page.text
    assert ">still air</textarea>" in page.text
    with valley.house.bench() as bench:
        assert len(bench.spot(GAP).wishes) > 2  # nothing was kept
    odd = valley.post("/spot/wishes", name=GAP, musts="still air", likes="", add="likes:<b>")
    assert "&lt;b&gt;</textarea>" not in odd.text


def test_a_spot_is_added_by_hand(valley: Visitor) -> None:
    sent = valley.post("/spot/new", **NEW, musts="direct light", likes="", note="")
    assert "Split Birch is in the book." in sent.text
    with valley.house.bench() as bench:
        made = bench.spot("Split Birch")
    assert made.view_azimuth_deg == 121.0
    assert made.focal_length_mm == 50.0
    assert [one.words for one in made.wishes] == ["direct light"]


def test_a_new_spot_wants_a_name_a_wood_a_place_and_a_bearing(valley: Visitor) -> None:
    sent = valley.post("/spot/new", musts="still air")
    assert sent.status_code == 422
    for words in (
        "Name is needed",
        "Wood is needed",
        "tripod stands is needed",
        "lens looks is needed",
    ):
        assert words in sent.text
    twice = valley.post("/spot/new", **{**NEW, "name": "white post gap"})
    assert twice.status_code == 422
    assert "already has a spot named" in twice.text


def test_a_photograph_fills_the_form(valley: Visitor) -> None:
    page = valley.post("/spot/new/photo", wood="", files=snap())
    assert page.status_code == 200
    assert page.url.path == "/spot/new"
    number = page.url.params["picture"]
    form = valley.json("/spot/new", picture=number)
    boxes = {box["key"]: box for box in form["form"]["boxes"]}
    assert boxes["wood"]["text"] == "Pinnet Heath"
    assert boxes["position"]["text"].startswith("53.00")
    assert boxes["position"]["hint"].startswith("From the picture.")
    assert boxes["view_azimuth_deg"]["text"]
    assert not boxes["name"]["hint"].startswith("From the picture.")
    assert any("phone's fix is commonly" in line for line in form["sentences"])
    filled = {key: box["text"] for key, box in boxes.items()} | {"name": "Snapped"}
    made = send(valley, "/spot/new", {**filled, "picture": number})
    assert "Snapped is in the book." in made.text
    pictures = valley.json("/spot", name="Snapped")["pictures"]
    assert [str(one["number"]) for one in pictures] == [number]


def test_a_refused_form_keeps_its_picture(valley: Visitor) -> None:
    number = valley.post("/spot/new/photo", files=snap()).url.params["picture"]
    sent = valley.post("/spot/new", **{**NEW, "name": ""}, picture=number)
    assert sent.status_code == 422
    assert f"/picture?number={number}&amp;side=320" in sent.text
    gone = valley.post("/spot/new", **{**NEW, "name": ""}, picture="77")
    assert gone.status_code == 422


def test_what_is_no_photograph_is_refused(valley: Visitor) -> None:
    sent = valley.post("/spot/new/photo", files=snap(b"not a picture", "a.jpg"))
    assert sent.status_code == 422
    assert valley.get("/spot/new", picture="99").status_code == 404
    assert valley.get("/spot/new", picture="x").status_code == 422


def test_a_picture_is_kept_shown_taken_off_and_put_back(valley: Visitor) -> None:
    page = valley.post("/spot/picture", name=GAP, files=snap())
    assert "The picture is kept with White Post Gap." in page.text
    number = valley.json("/spot", name=GAP)["pictures"][0]["number"]
    small = valley.get("/picture", number=number, side=320)
    assert small.headers["content-type"] == "image/jpeg"
    assert small.headers["cache-control"].startswith("private")
    assert small.content[:2] == b"\xff\xd8"
    assert b"Exif" not in small.content
    again = valley.post("/spot/picture", name="Old Chair", files=snap())
    assert "kept already, with White Post Gap" in again.text
    off = valley.post("/spot/picture/off", number=number)
    assert "its file stays beside the book" in off.text
    assert valley.json("/spot", name=GAP)["pictures"] == []
    valley.post("/spot/picture/on", number=number, name=GAP)
    assert len(valley.json("/spot", name=GAP)["pictures"]) == 1


def test_pictures_are_shown_by_number_in_a_few_sizes_alone(valley: Visitor) -> None:
    assert valley.get("/picture", number=1, side=320).status_code == 404
    assert valley.get("/picture", number=1, side=333).status_code == 422
    assert valley.get("/picture", number="../../etc/passwd").status_code == 422
    assert "There is no picture 999" in valley.get("/picture", number="9" * 30).text


def test_the_skyline_is_a_table_with_spare_rows(valley: Visitor) -> None:
    page = valley.json("/spot/skyline", name=GAP)
    assert len(page["rows"]) == 27
    assert page["rows"][0] == {"number": 1, "bearing": "0", "height": "2", "was": "0"}
    assert page["typed"] == "24 heights typed."
    assert page["unknown"] == []


def rows(*pairs: tuple[str, str, str]) -> dict[str, list[str]]:
    return {
        "bearing": [one[0] for one in pairs],
        "height": [one[1] for one in pairs],
        "was": [one[2] for one in pairs],
    }


def typed(valley: Visitor, boxes: Mapping[str, object]):  # type: ignore[no-untyped-def]
    return valley.client.post(
        "/spot/skyline",
        data={"form_token": valley.token, "name": GAP, "north": "true", **boxes},
        headers={"Origin": "http://127.0.0.1:8017"},
    )


def sights(valley: Visitor) -> list[tuple[float, float]]:
    with valley.house.bench() as bench:
        return [(one.azimuth_deg, one.altitude_deg) for one in bench.spot(GAP).sights]


def test_rows_of_a_skyline_are_kept_dropped_and_taken_back(valley: Visitor) -> None:
    before = sights(valley)
    held = rows(("90", "2", "90"), ("", "", ""), ("120", "1 fist", ""), ("140", "3", "140"))
    sent = typed(valley, {**held, "more": "ESE: 4.5"})
    assert "4 heights are kept for White Post Gap." in sent.text
    assert sights(valley) == [(90.0, 2.0), (112.5, 4.5), (120.0, 10.0), (140.0, 3.0)]
    path, key = undo_of(sent.text)
    dropped = typed(valley, {**held, "drop": "4"})
    assert "2 heights are kept" in dropped.text
    assert sights(valley) == [(90.0, 2.0), (120.0, 10.0)]
    assert valley.post(path, undo=key).status_code == 422  # changed again since
    path, key = undo_of(dropped.text)
    valley.post(path, undo=key)
    assert len(sights(valley)) == 4
    assert before != sights(valley)


def test_only_new_bearings_are_turned_from_magnetic(valley: Visitor) -> None:
    typed(valley, {**rows(("90", "2", "90"), ("120", "3", "")), "north": "magnetic"})
    (kept, _), (turned, _) = sights(valley)
    assert kept == 90.0
    assert turned != 120.0


def test_a_skyline_that_is_refused_stays_as_typed(valley: Visitor) -> None:
    before = sights(valley)
    sent = typed(valley, rows(("90", "2", "90"), ("100", "a thumb", "")))
    assert sent.status_code == 422
    assert "Line 2: The height &#39;a thumb&#39; is not read" in sent.text
    assert 'value="a thumb"' in sent.text
    assert sights(valley) == before
    lone = typed(valley, rows(("90", "2", ""), ("200", "2", "")))
    assert "No two heights lie within 45°" in lone.text


def test_emptied_rows_leave_nothing_typed_and_say_what_that_means(valley: Visitor) -> None:
    sent = typed(valley, rows(("", "", "90")))
    assert "No typed heights are left." in sent.text
    assert sights(valley) == []
    assert "taken as level" in sent.text or "Nothing typed." in sent.text


def test_arcs_that_nobody_typed_are_named(valley: Visitor) -> None:
    typed(valley, rows(("90", "2", ""), ("120", "3", ""), ("150", "2", "")))
    unknown = valley.json("/spot/skyline", name=GAP)["unknown"]
    assert unknown == ["Not known from 150° to 90°: taken as level there, so times are too early."]


def test_heights_come_out_of_a_file(valley: Visitor) -> None:
    file = {"file": ("heights.csv", b"bearing,height\n90,2\n120: a thumb\n", "text/csv")}
    assert valley.post("/spot/skyline/file", name=GAP, north="true", files=file).status_code == 422
    file = {"file": ("heights.csv", b"bearing,height\n90,2\n120,3.5\n", "text/csv")}
    sent = valley.post("/spot/skyline/file", name=GAP, north="true", files=file)
    assert "2 heights are kept for White Post Gap." in sent.text
    assert sights(valley) == [(90.0, 2.0), (120.0, 3.5)]
    odd = {"file": ("x.bin", b"\xff\xfe\x00\x81", "text/csv")}
    assert valley.post("/spot/skyline/file", name=GAP, files=odd).status_code == 422


def test_a_skyline_is_worked_out_from_the_raster_beside_the_requests(valley: Visitor) -> None:
    sent = valley.post("/spot/skyline/ground", name=GAP)
    assert sent.url.path == "/job"
    page = valley.wait(sent)
    assert page.url.path == "/spot/skyline"
    assert "Worked out on 2 November 2027" in page.text
    assert "var(--bark)" in page.text
