"""The evening's page: what it says, what is typed on it, what is taken."""

import re

from shivelight.web.tokens import unguarded
from tests.web.visitor import Visitor

DAY = "2027-11-03"


def test_the_answer_comes_first_and_the_forecast_says_its_age(valley: Visitor) -> None:
    page = valley.get("/evening").text
    title = re.search(r"<h1[^>]*>(.*?)</h1>", page)
    assert title is not None
    assert title[1].startswith("White Post Gap, Pinnet Heath: about ")
    assert "typed at 21:40, under an hour old" in page.split("<h1")[0]


def test_the_json_of_the_page_says_the_same(valley: Visitor) -> None:
    said = valley.json("/evening")
    assert said["morning"]["spots"][0]["name"] == "White Post Gap"
    assert said["morning"]["answer"] in valley.get("/evening").text
    kinds = {kind for spot in said["morning"]["spots"] for kind, _, _ in spot["signs"]}
    assert kinds >= {"for", "against", "unknown", "change"}


def test_mornings_beyond_the_forecast_say_where_it_ends(valley: Visitor) -> None:
    week = valley.json("/evening")["week"]
    assert week[0]["words"] == "go"
    assert week[-1]["words"] == "not judged"
    assert week[-1]["under"] == "the forecasts end on Wed 3 Nov"


def test_typed_values_are_judged_at_once(valley: Visitor) -> None:
    sent = valley.post(
        "/evening/type", temperature_degc="9,5", dew_point_degc="1", wind_mps="18 mph",
        wind_trend="rising", cloud_frac="8/8",
    )  # fmt: skip
    page = valley.wait(sent)
    assert "The forecast" not in page.text.split("<h1")[0]
    said = valley.json("/evening")
    assert said["stale"] == ""
    box = {one["key"]: one["text"] for one in said["typed"]["boxes"]}
    assert box["temperature_degc"] == "9.5"
    assert box["wind_mps"] == "18 mph"
    assert box["cloud_frac"] == "8/8"


def test_what_cannot_be_read_is_answered_beside_its_box_and_stays(valley: Visitor) -> None:
    sent = valley.post("/evening/type", temperature_degc="mild", wind_mps="3")
    assert sent.status_code == 422
    assert "The temperature &#39;mild&#39; is not read; write it like 6.2 or 43 F." in sent.text
    assert "needs its unit: write 3 mph" in sent.text
    assert 'value="mild"' in sent.text


def test_a_dew_point_above_the_air_is_refused_in_a_sentence(valley: Visitor) -> None:
    sent = valley.post("/evening/type", temperature_degc="6.2", dew_point_degc="7.1")
    assert sent.status_code == 422
    assert "7.1" in sent.text
    assert 'class="error"' in sent.text


def test_another_spot_is_taken_and_taken_back(valley: Visitor) -> None:
    taken = valley.post("/evening/take", day=DAY, spot="Plumb and Lean")
    assert taken.url.path == "/sheet"
    assert valley.json("/evening")["taken"] == "Plumb and Lean"
    valley.post("/evening/stay", day=DAY)
    assert valley.json("/evening")["taken"] == ""


def test_the_page_of_another_day_says_that_it_is_not_judged(valley: Visitor) -> None:
    page = valley.get("/evening", day="2027-11-06")
    assert page.status_code == 200
    assert "Not judged yet." in page.text


def test_a_day_that_is_none_is_refused(valley: Visitor) -> None:
    page = valley.get("/evening", day="2027-13-45")
    assert page.status_code == 422
    assert "is not read; write it like 2027-11-03" in page.text


def test_an_empty_book_leads_on(empty: Visitor) -> None:
    page = empty.get("/evening").text
    assert "There is no spot in the book yet" in page
    assert 'href="/start"' in page


def test_a_forecast_s_file_is_read_and_judged(valley: Visitor) -> None:
    table = "time,temperature_degc,dew_point_degc,wind_speed_mps,cloud_cover_frac\n" + "".join(
        f"2027-11-{3 if hour >= 24 else 2:02d} {hour % 24:02d}:00Z,6.0,5.6,1.0,0.1\n"
        for hour in range(15, 36)
    )
    sent = valley.post("/evening/file", files={"file": ("tonight.csv", table.encode())})
    assert valley.wait(sent).status_code == 200
    assert any("table" in one["words"] for one in valley.json("/evening")["forecasts"])


def test_a_file_that_is_no_forecast_is_refused_and_not_kept(valley: Visitor) -> None:
    before = valley.json("/evening")["forecasts"]
    sent = valley.post("/evening/file", files={"file": ("odd.bin", b"\x00\x01\x02" * 40)})
    assert sent.status_code == 422
    assert valley.json("/evening")["forecasts"] == before


def test_every_form_asks_for_its_token(valley: Visitor) -> None:
    assert unguarded(valley.app.routes) == []


def test_a_form_without_its_token_is_refused(valley: Visitor) -> None:
    answer = valley.client.post("/evening/judge", headers={"Origin": "http://127.0.0.1:8017"})
    assert answer.status_code == 403
