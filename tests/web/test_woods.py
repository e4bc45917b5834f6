"""The pages of woods: the list, one wood, its facts, its seasons, and taking one out."""

import re

import pytest

from tests.web.refusals import refusals
from tests.web.visitor import Visitor

HEATH, CARR, BOTTOM = "Pinnet Heath", "Ottermire Carr", "Coldshaw Bottom"


def undone(valley: Visitor, page: str) -> str:
    """Press the undo that a page offers, and give the page it leads to."""
    name = re.search(r'name="undo" value="([^"]+)"', page)
    assert name, page
    answer = valley.post("/wood/undo", undo=name[1])
    assert answer.status_code == 200
    return str(answer.text)


def facts(valley: Visitor, wood: str) -> list[str]:
    return [one["what"] for one in valley.json("/wood", name=wood)["facts"]]


def test_the_list_names_every_wood_with_its_record(valley: Visitor) -> None:
    rows = {row["name"]: row for row in valley.json("/woods")["woods"]}
    assert len(rows) == 7
    assert rows[CARR]["facts"] == "Alder, 61 m above the sea, 14 min by road."
    assert rows[CARR]["spots"] == "1 spot"
    said, unsaid = rows[CARR]["tallies"]
    assert said["words"] == "5 of 7 mornings"
    assert (sum(said["filled"]), len(said["filled"])) == (5, 7)
    assert unsaid["words"] == "1 of 1 morning, too few to say"
    assert rows[BOTTOM]["tallies"] == []
    assert rows[HEATH]["stale"] == ["open ground (checked 12 March: look again)"]
    assert rows[CARR]["stale"] == []


def test_the_list_links_to_each_wood(valley: Visitor) -> None:
    page = valley.get("/woods").text
    assert '<a href="/wood?name=Pinnet%20Heath">Pinnet Heath</a>' in page
    assert 'href="/wood/new"' in page


def test_an_empty_book_has_one_sentence_and_one_button(empty: Visitor) -> None:
    page = empty.get("/woods").text
    main = page[page.index("<main") : page.index("</main>")]
    assert main.count('class="btn') == 1
    assert "Add the first wood" in main


def test_a_wood_says_first_what_it_is_and_when_one_was_last_there(valley: Visitor) -> None:
    page = valley.json("/wood", name=CARR)
    assert page["lede"] == "Alder, 61 m above the sea, 14 min by road."
    assert page["last"] == "Last looked at on 10 October 2027: thick mist."
    assert page["parking"] == "53.00809 N, 5.11862 W"
    assert [row[0] for row in page["ground"]["rows"]] == [
        "corner 1", "corner 2", "corner 3", "corner 4", "parking", "Two Waters",
    ]  # fmt: skip
    assert len(page["logs"]) == 8
    assert page["rasters"][0]["name"] == "wennick-ground.tif"


def test_its_figure_is_drawn_twice_and_has_its_table(valley: Visitor) -> None:
    page = valley.get("/wood", name=CARR).text
    assert page.count('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 720 720"') == 1
    assert page.count('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 356 356"') == 1
    picture = re.search(r'<img src="(/wood/relief\.png[^"]+)"', page)
    assert picture
    answer = valley.client.get(picture[1].replace("&amp;", "&"))
    assert answer.headers["content-type"] == "image/png"
    assert answer.content.startswith(b"\x89PNG")


def test_a_wood_that_is_not_there_is_told_by_name(valley: Visitor) -> None:
    answer = valley.get("/wood", name="Nowhere Wood")
    assert answer.status_code == 404
    assert "Nowhere Wood" in answer.text


def test_typical_stages_stand_beside_those_noted(valley: Visitor) -> None:
    answer = valley.post("/wood/season", name=HEATH, day="2027-10-30", stage="turning", words="")
    assert "Noted for 30 October 2027." in answer.text
    page = valley.json("/wood", name=HEATH)
    turning = next(row for row in page["stages"] if row[0] == "turning")
    assert turning[2] == "30 October 2027"
    assert turning[1].startswith("about ")
    assert [(one["day"], one["words"]) for one in page["diary"]] == [
        ("30 October 2027", "turning")
    ]
    undone(valley, answer.text)
    assert valley.json("/wood", name=HEATH)["diary"] == []


def test_a_note_of_the_season_is_dropped_and_comes_back(valley: Visitor) -> None:
    said = {"day": "2027-04-24", "stage": "", "words": "first bells"}
    valley.post("/wood/season", name=HEATH, **said)
    answer = valley.post("/wood/season/drop", name=HEATH, **said)
    assert valley.json("/wood", name=HEATH)["diary"] == []
    undone(valley, answer.text)
    assert valley.json("/wood", name=HEATH)["diary"][0]["words"] == "first bells"


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ({"day": "2027-11-04", "words": "hoar"}, "4 November 2027 has not come yet"),
        ({"day": "", "words": ""}, "needs a leaf stage or some words"),
        ({"stage": "pink"}, "The leaf stage is one of"),
    ],
)
def test_a_season_note_that_cannot_be_is_refused(
    valley: Visitor, said: dict[str, str], told: str
) -> None:
    answer = valley.post("/wood/season", name=HEATH, **said)
    assert answer.status_code == 422
    assert told in answer.text


def test_a_fact_is_noted_for_today_and_taken_back(valley: Visitor) -> None:
    answer = valley.post("/wood/access", name=HEATH, what="gate chained", contact="the warden")
    assert answer.status_code == 200
    assert facts(valley, HEATH) == ["open ground", "gate chained"]
    shown = valley.json("/wood", name=HEATH)["facts"][1]
    assert (shown["noted"], shown["contact"]) == ("noted 2 November 2027", "ask the warden")
    assert "is as it was" in undone(valley, answer.text)
    assert facts(valley, HEATH) == ["open ground"]


def test_a_span_that_closes_says_so_while_it_holds(valley: Visitor) -> None:
    valley.post("/wood/access", name=HEATH, what="stalking", from_day="2027-11-01",
                to_day="2028-03-31", closes="yes")  # fmt: skip
    shown = valley.json("/wood", name=HEATH)["facts"][1]
    assert shown["span"] == "holds from 1 November 2027 to 31 March 2028"
    assert shown["against"] == "speaks against going today"
    rows = {row["name"]: row for row in valley.json("/woods")["woods"]}
    assert rows[HEATH]["against"] == ["stalking"]


def test_checked_today_is_fresh_again(valley: Visitor) -> None:
    stale = valley.json("/wood", name=HEATH)["facts"][0]["stale"]
    assert stale == "checked 12 March: look again"
    valley.post("/wood/access/checked", name=HEATH, number=0, was="open ground")
    shown = valley.json("/wood", name=HEATH)["facts"][0]
    assert (shown["stale"], shown["noted"]) == ("", "noted 2 November 2027")


def test_a_fact_is_changed_in_its_place(valley: Visitor) -> None:
    first, second = facts(valley, BOTTOM)
    valley.post("/wood/access/change", name=BOTTOM, number=0, was=first, what="felling over",
                noted_on="2027-11-01")  # fmt: skip
    assert facts(valley, BOTTOM) == ["felling over", second]


def test_a_fact_is_dropped_and_comes_back_in_its_place(valley: Visitor) -> None:
    before = facts(valley, BOTTOM)
    answer = valley.post("/wood/access/drop", name=BOTTOM, number=0, was=before[0])
    assert facts(valley, BOTTOM) == before[1:]
    undone(valley, answer.text)
    assert facts(valley, BOTTOM) == before


def test_a_fact_that_is_no_longer_there_is_not_confused(valley: Visitor) -> None:
    for number, was in (("0", "something else"), ("7", "open ground"), ("²", "open ground")):
        answer = valley.post("/wood/access/drop", name=HEATH, number=number, was=was)
        assert answer.status_code == 404
    assert facts(valley, HEATH) == ["open ground"]


@pytest.mark.parametrize(
    ("said", "box", "told"),
    [
        ({"what": ""}, "what", "What is known is needed"),
        ({"what": "x", "noted_on": "soon"}, "noted_on", "is not read"),
        ({"what": "x", "noted_on": "2027-11-03"}, "noted_on", "has not come yet"),
        ({"what": "x", "from_day": "2027-11-03", "to_day": "2027-11-01"}, "to_day", "first day"),
    ],
)
def test_a_fact_is_refused_beside_its_box_and_stays_typed(
    valley: Visitor, said: dict[str, str], box: str, told: str
) -> None:
    answer = valley.client.post(
        "/wood/access",
        data={"form_token": valley.token, "name": HEATH, **said},
        headers={"Origin": "http://127.0.0.1:8017"},
    )
    assert answer.status_code == 422
    assert told in refusals(answer.text)[box]
    assert f'name="what" value="{said["what"]}"' in answer.text
    assert re.search(r"<details open><summary>Note one more thing", answer.text)


def test_undo_is_refused_when_the_wood_has_changed_since(valley: Visitor) -> None:
    answer = valley.post("/wood/access", name=HEATH, what="gate chained")
    name = re.search(r'name="undo" value="([^"]+)"', answer.text)
    assert name
    valley.post("/wood/access", name=HEATH, what="gate open")
    late = valley.post("/wood/undo", undo=name[1])
    assert late.status_code == 422
    assert "was changed again since" in late.text
    assert facts(valley, HEATH) == ["open ground", "gate chained", "gate open"]


def test_an_undo_of_another_book_is_refused(valley: Visitor, empty: Visitor) -> None:
    answer = valley.post("/wood/access", name=HEATH, what="gate chained")
    name = re.search(r'name="undo" value="([^"]+)"', answer.text)
    assert name
    own = valley.house.settings
    valley.house.settings = empty.house.settings
    assert valley.post("/wood/undo", undo=name[1]).status_code == 404
    valley.house.settings = own
    assert valley.post("/wood/undo", undo=name[1]).status_code == 200


def test_an_undo_counts_once(valley: Visitor) -> None:
    answer = valley.post("/wood/access", name=HEATH, what="gate chained")
    name = re.search(r'name="undo" value="([^"]+)"', answer.text)
    assert name
    assert valley.post("/wood/undo", undo=name[1]).status_code == 200
    assert valley.post("/wood/undo", undo=name[1]).status_code == 404


def test_a_wood_with_spots_stays_and_says_why(valley: Visitor) -> None:
    answer = valley.post("/wood/remove", name=HEATH)
    assert answer.status_code == 422
    assert "Pinnet Heath was not removed: the book still holds" in answer.text
    assert "1 spot" in answer.text
    assert "<h1>Pinnet Heath</h1>" in answer.text
    assert valley.get("/wood", name=HEATH).status_code == 200


def test_a_wood_without_spots_goes_and_comes_back_whole(empty: Visitor) -> None:
    empty.post("/wood/new", name="Two Elms", parking="53.0, -5.1", ground_height_m="90",
               zone_name="Europe/London")  # fmt: skip
    empty.post("/wood/access", name="Two Elms", what="ask at the lodge")
    answer = empty.post("/wood/remove", name="Two Elms")
    assert empty.get("/wood", name="Two Elms").status_code == 404
    undone(empty, answer.text)
    page = empty.json("/wood", name="Two Elms")
    assert [one["what"] for one in page["facts"]] == ["ask at the lodge"]


@pytest.mark.parametrize(
    ("query", "status"),
    [
        ({"radius_m": "300"}, 200),
        ({"radius_m": "nan"}, 422),
        ({"radius_m": "9e9"}, 422),
        ({"radius_m": "300", "latitude": "91"}, 422),
        ({"radius_m": "300", "latitude": "10"}, 409),
        ({"radius_m": "300", "side": "2"}, 422),
        ({"radius_m": "300", "name": "Nowhere"}, 404),
    ],
)
def test_the_picture_is_drawn_or_refused(
    valley: Visitor, query: dict[str, str], status: int
) -> None:
    whole = {"name": CARR, "latitude": "53.0095", "longitude": "-5.1170", "side": "128"} | query
    answer = valley.get("/wood/relief.png", **whole)
    assert answer.status_code == status
    assert answer.content.startswith(b"\x89PNG") == (status == 200)
