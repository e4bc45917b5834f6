"""The log's page: five taps, what is filled in, what is refused, and taking it back."""

import datetime as dt
import re
from typing import Any

import pytest

from tests.web.refusals import refusals
from tests.web.visitor import Visitor
from tests.workbench.conftest import at, opened

WOOD = "Pinnet Heath"
SPOT = "White Post Gap"
TAPPED = {"mist": "good", "air": "still", "light": "back", "leaf": "turning", "wood": WOOD}


@pytest.fixture
def after(valley: Visitor) -> Visitor:
    """Visit on the demo morning, after the outing was taken."""
    with valley.house.bench() as bench:
        bench.take(dt.date(2027, 11, 3))
    valley.house.now_utc = at("2027-11-03T09:40")
    return valley


def test_the_outing_of_today_is_filled_in_and_says_so(after: Visitor) -> None:
    page = after.get("/log").text
    assert "Filled in from the outing you took, today: White Post Gap, Pinnet Heath" in page
    held = {one["key"]: one["text"] for one in after.json("/log")["form"]["boxes"]}
    assert held["wood"] == WOOD
    assert held["spot"] == SPOT
    assert held["day"] == "2027-11-03"
    assert held["why_looked"] == "planned"


def test_five_taps_are_kept_and_the_counts_follow(after: Visitor) -> None:
    before = after.json("/log", wood=WOOD)["counts"]
    sent = after.post("/log", **TAPPED, day="today", why_looked="planned", optical_range_m="120",
                      lifted="08:05")  # fmt: skip
    assert sent.status_code == 200
    assert "Pinnet Heath, Wednesday 3 November 2027: mist good. Kept in the log." in sent.text
    counts = after.json("/log", wood=WOOD)["counts"]
    grown = [
        len(new["mornings"]) - len(old["mornings"])
        for new, old in zip(counts["lines"], before["lines"], strict=True)
    ]
    assert sum(grown) == 1
    row = after.json("/log")["rows"][0]["cells"]
    assert row[:3] == ["Wed 3 Nov 2027", WOOD, "good"]
    assert "last trunk at 120 m" in row[3]
    assert "gone by 08:05 GMT" in row[3]


def test_uprights_are_as_many_as_the_mornings(after: Visitor) -> None:
    line = after.json("/log", wood=WOOD)["counts"]["lines"][1]
    found, mornings = map(int, re.findall(r"(\d+) of (\d+) mornings", line["words"])[0])
    assert (sum(line["mornings"]), len(line["mornings"])) == (found, mornings)


@pytest.mark.parametrize(
    ("change", "key", "told"),
    [
        ({"day": "2027-11-09"}, "day", "has not come yet; only a morning that was can be logged"),
        ({"mist": ""}, "mist", "Mist at its best is needed"),
        ({"mist": "soup"}, "mist", "'soup' is not one of: none, wisps"),
        ({"optical_range_m": "-3"}, "optical_range_m", "Optical range is -3 m"),
        ({"lifted": "at dawn"}, "lifted", "is not read; write it like 06:45"),
        ({"spot": "Nowhere Gap"}, "spot", "'Nowhere Gap' is not one of: "),
        ({"spot": "Old Chair"}, "spot", "Old Chair is not in Pinnet Heath"),
        ({"wood": "Nowhere"}, "wood", "'Nowhere' is not one of: Coldshaw Bottom"),
    ],
)
def test_what_cannot_be_logged_is_told_beside_its_box(
    after: Visitor, change: dict[str, str], key: str, told: str
) -> None:
    typed = {**TAPPED, "day": "2027-11-03", "why_looked": "planned", "note": "kept", **change}
    sent = after.post("/log", **typed)
    assert sent.status_code == 422
    assert told in refusals(sent.text)[key]
    assert set(refusals(sent.text)) == {key}
    assert 'name="note" value="kept"' in sent.text
    assert after.json("/log")["rows"][0]["cells"][0] != "Wed 3 Nov 2027"


def test_the_first_log_of_a_morning_can_be_taken_back_and_put_back(after: Visitor) -> None:
    sent = after.post("/log", **TAPPED, day="2027-11-03", why_looked="daily", note="hoar")
    gone = after.post(*_undo(sent.text)[:1], **_undo(sent.text)[1])
    assert "That log is taken back and put aside." in gone.text
    assert after.json("/log")["rows"][0]["cells"][0] != "Wed 3 Nov 2027"
    path, boxes = _undo(gone.text)
    after.post(path, **boxes)
    assert "hoar" in after.json("/log")["rows"][0]["cells"][3]


def test_logging_the_same_morning_again_puts_the_old_aside(after: Visitor) -> None:
    after.post("/log", **TAPPED, day="2027-11-03", why_looked="planned")
    again = after.post("/log", **{**TAPPED, "mist": "thin"}, day="2027-11-03",
                       why_looked="planned")  # fmt: skip
    assert "put aside, never away" in again.text
    rows = [one["cells"] for one in after.json("/log")["rows"] if "3 Nov 2027" in one["cells"][0]]
    assert [row[2] for row in rows] == ["thin"]
    path, boxes = _undo(again.text)
    after.post(path, **boxes)
    assert after.json("/log")["rows"][0]["cells"][2] == "good"


def test_an_earlier_log_is_filled_in_to_be_changed_and_moved(after: Visitor) -> None:
    row = next(
        one for one in after.json("/log")["rows"] if one["cells"][:2] == ["Tue 19 Oct 2027", WOOD]
    )
    held = _get_json(after, row["href"])
    assert held["is_change"]
    typed = {box["key"]: box["text"] for box in held["form"]["boxes"]}
    assert typed["lifted"] == "07:50"
    moved = after.post("/log", **{**typed, "day": "2027-10-20"}, **dict(held["form"]["hidden"]))
    assert moved.status_code == 200
    days = [one["cells"][0] for one in after.json("/log")["rows"] if one["cells"][1] == WOOD]
    assert "Wed 20 Oct 2027" in days
    assert "Tue 19 Oct 2027" not in days
    path, boxes = _undo(moved.text)
    after.post(path, **boxes)
    days = [one["cells"][0] for one in after.json("/log")["rows"] if one["cells"][1] == WOOD]
    assert "Tue 19 Oct 2027" in days
    assert "Wed 20 Oct 2027" not in days


def test_a_filled_in_spot_gives_way_to_another_wood_that_is_tapped(after: Visitor) -> None:
    hidden = dict(after.json("/log")["form"]["hidden"])
    typed = {**TAPPED, "wood": "Ottermire Carr", "spot": SPOT, "day": "today"}
    after.post("/log", **typed, **hidden, why_looked="planned")
    assert after.json("/log")["rows"][0]["cells"][1] == "Ottermire Carr"


def test_a_log_that_is_not_there_is_a_refusal(valley: Visitor) -> None:
    sent = valley.get("/log", day="2027-10-01", wood=WOOD, change="yes")
    assert sent.status_code == 404
    assert "Nothing was logged in Pinnet Heath on 2027-10-01" in sent.text
    assert valley.post("/log/drop", day="2027-10-01", wood=WOOD).status_code == 404


def test_an_empty_book_is_led_to_its_first_wood(empty: Visitor) -> None:
    page = empty.get("/log")
    assert page.status_code == 200
    assert 'href="/start"' in page.text
    assert empty.json("/log")["form"] is None


def test_without_an_outing_today_is_filled_in(valley: Visitor) -> None:
    with opened(valley.house.settings.book_path, "2027-11-02T21:40") as bench:
        assert bench.last_outing() is None
    assert "Filled in: today, Tuesday 2 November 2027." in valley.get("/log").text


def _undo(text: str) -> tuple[str, dict[str, str]]:
    """Read the form of the undo button."""
    part = text.split('id="said"')[1].split("</form>", maxsplit=1)[0]
    path = re.search(r'action="([^"]+)"', part)
    assert path is not None
    boxes = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', part))
    boxes.pop("form_token")
    return path[1], boxes


def _get_json(visitor: Visitor, href: str) -> Any:
    return visitor.client.get(href, headers={"Accept": "application/json"}).json()
