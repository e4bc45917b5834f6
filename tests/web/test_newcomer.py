"""What stopped somebody who used the pages for the first time, and no longer does."""

import re
from typing import Any

import pytest

from shivelight.outing.wishes import parse_wish
from shivelight.web.boxes import boxes
from shivelight.web.show import pages
from shivelight.workbench.fields.field import Field
from shivelight.workbench.fields.plainly import PLAIN_WISHES
from tests.web.refusals import refusals
from tests.web.visitor import Visitor

WOOD = {"name": "Two Elms", "parking": "53.0 N 5.1 W", "ground_height_m": "90",
        "zone_name": "Europe/London"}  # fmt: skip
SPOT = {"name": "Bent Birch", "wood": "Two Elms", "position": "53.001, -5.1"}
NIGHT = {"temperature_degc": "4.2", "dew_point_degc": "3.4", "wind_mps": "2 mph",
         "cloud_frac": "clear"}  # fmt: skip


@pytest.fixture
def begun(empty: Visitor) -> Visitor:
    """Visit a book with one wood and one spot, typed in a newcomer's words."""
    empty.post("/wood/new", **WOOD)
    empty.post("/spot/new", **SPOT, view_azimuth_deg="SE", musts="mist\nsun\nno wind")
    return empty


@pytest.fixture
def judged_night(begun: Visitor) -> Visitor:
    """Visit the same book with the evening typed and judged."""
    begun.wait(begun.post("/evening/type", **NIGHT))
    return begun


def test_plain_words_make_a_spot(begun: Visitor) -> None:
    with begun.house.bench() as bench:
        spot = bench.spot("Bent Birch")
    assert spot.view_azimuth_deg == 135.0
    assert [wish.words for wish in spot.musts] == ["mist 0 to 1000 m", "direct light", "still air"]


@pytest.mark.parametrize(("plain", "exact"), sorted(PLAIN_WISHES.items()))
def test_every_plain_wish_stands_for_an_exact_one(plain: str, exact: str) -> None:
    assert plain == plain.lower()
    assert parse_wish(exact, must=True).words


@pytest.mark.parametrize(
    ("box", "typed", "told"),
    [
        ("musts", "sun from the left", "Write side light"),
        ("musts", "lovely", "No wish is understood in 'lovely'"),
        ("view_azimuth_deg", "toward the pond", "or a point, like SE"),
        ("position", "40.0, 20.0", ""),
    ],
)
def test_a_spot_that_is_not_read_is_refused_beside_its_box(
    empty: Visitor, box: str, typed: str, told: str
) -> None:
    empty.post("/wood/new", **WOOD)
    sent = empty.post("/spot/new", **{**SPOT, "view_azimuth_deg": "135", box: typed})
    assert sent.status_code == 422
    if told:
        assert told in refusals(sent.text)[box]
    else:
        assert "km from the parking place of Two Elms" in sent.text
    assert typed in sent.text.replace("&#39;", "'")


@pytest.mark.parametrize(
    ("path", "hidden", "typed"),
    [("/wood/new", WOOD, {"parking": "95, 20"}), ("/wood/new", WOOD, {"zone_name": "BST"})],
)
def test_refusals_open_with_a_capital(
    empty: Visitor, path: str, hidden: dict[str, str], typed: dict[str, str]
) -> None:
    sent = empty.post(path, **{**hidden, **typed})
    told = refusals(sent.text)
    assert set(told) == set(typed)
    assert all(words[0].isupper() for words in told.values())


def test_an_error_page_opens_with_a_capital_and_leads_back(empty: Visitor) -> None:
    empty.post("/wood/new", **WOOD)
    came = "http://127.0.0.1:8017/spot/new?wood=Two%20Elms"
    answer = empty.client.post(
        "/spot/new/photo",
        data={"form_token": empty.token, "wood": "Two Elms"},
        files={"file": ("notes.jpg", b"no photograph at all", "image/jpeg")},
        headers={"Origin": "http://127.0.0.1:8017", "Referer": came},
    )
    assert answer.status_code == 422
    assert 'href="/spot/new?wood=Two%20Elms">Back to where you were' in answer.text


@pytest.mark.parametrize(
    "came",
    ["http://elsewhere.test/x", "http://127.0.0.1:8017//elsewhere.test", "http://[", "nonsense"],
)
def test_an_error_page_leads_nowhere_else(empty: Visitor, came: str) -> None:
    answer = empty.client.get("/wood", params={"name": "None"}, headers={"Referer": came})
    assert answer.status_code == 404
    assert "Back to where you were" not in answer.text
    assert set(empty.json("/wood", name="None")) == {"error"}


def test_a_box_says_nothing_twice() -> None:
    field = Field(flag="--note", key="note", metavar="WORDS", help="Anything.", label="Note")
    assert boxes((field,))[0].hint == ""


def test_a_long_menu_that_is_asked_for_begins_with_nothing_chosen() -> None:
    words = tuple("abcdefgh")
    field = Field(flag="", key="wood", metavar="W", help="", label="Wood", words=words)
    parts: Any = pages().get_template("_parts.html.j2").module
    asked = frozenset({"wood"})
    empty = str(parts.choice(boxes((field,), asked=asked)[0]))
    assert '<option value="" selected>choose one</option>' in empty
    chosen = str(parts.choice(boxes((field,), {"wood": "c"}, asked=asked)[0]))
    assert "choose one" not in chosen
    assert "<option selected>c</option>" in chosen


def test_a_skyline_of_nothing_is_not_said_to_have_a_highest_point(begun: Visitor) -> None:
    page = begun.get("/spot/skyline", name="Bent Birch").text
    assert "Taken as level all round" in page
    assert "Highest 0.0" not in page
    assert "highest 0.0" not in begun.get("/spot", name="Bent Birch").text


def test_two_windows_on_one_spot_lose_nothing(begun: Visitor) -> None:
    def form() -> dict[str, str]:
        page = begun.json("/spot/edit", name="Bent Birch")["form"]
        return {box["key"]: box["text"] for box in page["boxes"]} | dict(page["hidden"])

    one, other = form(), form()
    begun.post("/spot/edit", **{**one, "note": "from the one"})
    begun.post("/spot/edit", **{**other, "subject": "from the other"})
    now = form()
    assert (now["note"], now["subject"]) == ("from the one", "from the other")
    begun.post("/spot/edit", **{**now, "note": ""})
    assert form()["note"] == ""
    broken = begun.post("/spot/edit", **{**now, "note": "kept", "was": "{nonsense"})
    assert broken.status_code == 200
    assert form()["note"] == "kept"


def test_a_spot_leads_on_to_the_evening(begun: Visitor) -> None:
    assert (
        'href="/evening">Judge the coming mornings</a>'
        in begun.get("/spot", name="Bent Birch").text
    )


def test_a_service_that_wants_a_contact_is_not_offered_before_one_is_set(begun: Visitor) -> None:
    page = begun.json("/evening")
    assert page["asks_contact"] is True
    text = begun.get("/evening").text
    assert 'action="/evening/fetch"' not in text
    assert "Typing the evening needs none" in text


def test_what_a_job_came_to_is_said_on_the_page_after_it(begun: Visitor) -> None:
    answer = begun.post("/evening/type", **NIGHT)
    name = answer.url.params["name"]
    begun.house.jobs.wait(name)
    assert begun.json("/job", name=name)["words"] == "What you typed is kept. 1 morning judged."
    assert "What you typed is kept. 1 morning judged." in begun.get("/evening").text
    assert "1 morning judged" not in begun.get("/evening").text


def test_the_only_wood_is_filled_in_on_the_log(begun: Visitor) -> None:
    page = begun.json("/log")
    box = next(one for one in page["form"]["boxes"] if one["key"] == "wood")
    assert box["text"] == "Two Elms"
    assert page["lede"].startswith("Filled in: Two Elms, today")
    assert (
        begun.post("/log", mist="thin", wood="Two Elms", why_looked="planned").status_code == 200
    )


def test_word_without_a_name_gives_nobody_named_not_said_to_ring(judged_night: Visitor) -> None:
    page = judged_night.get("/word").text
    assert "as last time" not in page
    sent = judged_night.post("/word", day="2027-11-03", back_by="12:30")
    assert "Ring whoever left it, twice" in sent.text
    assert "Ring not said" not in sent.text


def test_the_alarm_moves_with_the_time_to_be_back(judged_night: Visitor) -> None:
    judged_night.post("/word", day="2027-11-03", back_by="07:00")
    form = {one["key"]: one["text"] for one in judged_night.json("/word")["form"]["boxes"]}
    assert (form["back_by"], form["alarm_at"]) == ("07:00", "")
    sent = judged_night.post("/word", day="2027-11-03", **{**form, "back_by": "13:00"})
    assert "back by 13:00, alarm at 15:00" in sent.text
    judged_night.post("/word", day="2027-11-03", back_by="13:00", alarm_at="14:10")
    form = {one["key"]: one["text"] for one in judged_night.json("/word")["form"]["boxes"]}
    assert form["alarm_at"] == "14:10"  # typed on purpose, so it stays


def test_a_return_before_the_spot_is_reached_is_pointed_out(judged_night: Visitor) -> None:
    with judged_night.house.bench() as bench:
        first = bench.judged(bench.taken_morning()).first
    assert first is not None
    assert first.best is not None
    early = judged_night.post("/word", day="2027-11-03", back_by="05:00")
    assert "Back by 05:00 is before you are in place at Bent Birch" in early.text
    late = judged_night.post("/word", day="2027-11-03", back_by="18:00")
    assert "is before you are in place" not in late.text
    assert "The window at" not in late.text


def test_the_refusals_of_the_evening_stand_in_the_order_of_its_sentence(begun: Visitor) -> None:
    sent = begun.post("/evening/type", **{**NIGHT, "temperature_degc": "cold", "at": "32 March"})
    told = re.findall(r'class="refused" id="wrong-([^"]+)"', sent.text)
    assert told == ["temperature_degc", "at"]
