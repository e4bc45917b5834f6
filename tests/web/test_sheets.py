"""The morning sheet and the leave-word card: made, opened, printed, left, taken back."""

import datetime as dt
import re

import pytest

from shivelight.basis.errors import MissingDataError
from shivelight.web.files import inline_of
from shivelight.workbench import sheet
from tests.web.visitor import Visitor

DAY = "2027-11-03"
MORNING = dt.date(2027, 11, 3)
WORD = {
    "who": "Orla Penwarne", "car": "small green estate", "contact": "her sister",
    "back_by": "11:00", "alarm_at": "", "note": "",
}  # fmt: skip


def test_the_sheet_says_the_answer_and_the_times_in_short(valley: Visitor) -> None:
    page = valley.get("/sheet").text
    with valley.house.bench() as bench:
        answer = bench.judged(MORNING).answer
    assert re.search(r"<h1[^>]*>(.*?)</h1>", page)[1] == answer  # type: ignore[index]
    said = valley.json("/sheet")
    assert said["day"] == "Wednesday 3 November 2027"
    assert said["zone"] == "GMT"
    assert ["07:21", "flat sunrise: not here yet"] in said["times"]
    assert said["state"] == "This morning is not taken yet; making the sheet takes it."


def test_making_the_sheet_takes_the_morning_and_is_undone(valley: Visitor) -> None:
    made = valley.post("/sheet/make", day=DAY)
    assert "The sheet of Wednesday is made" in made.text
    assert valley.json("/sheet")["is_given"]
    undone = valley.post("/sheet/unmake", day=DAY, stay="yes")
    assert "no longer marked as made" in undone.text
    with valley.house.bench() as bench:
        assert bench.outing(MORNING) is None


def test_a_morning_that_was_taken_stays_taken_when_the_sheet_is_undone(valley: Visitor) -> None:
    valley.post("/evening/take", day=DAY, spot="Two Waters")
    made = valley.post("/sheet/make", day=DAY)
    assert 'name="stay" value=""' in made.text
    valley.post("/sheet/unmake", day=DAY, stay="")
    assert valley.json("/sheet")["state"] == "Taken: Two Waters. The sheet is not made yet."


def test_the_phone_page_is_the_workbench_s_and_its_blocks_are_let_through(
    valley: Visitor,
) -> None:
    answer = valley.get("/sheet/page", day=DAY)
    with valley.house.bench() as bench:
        assert answer.text == bench.sheet_page(MORNING)
    policy = answer.headers["content-security-policy"]
    inline = inline_of(answer.text)
    assert len(inline.scripts) == 2
    assert len(inline.styles) == 1
    for one in (*inline.scripts, *inline.styles):
        assert f"'{one}'" in policy
    assert "unsafe" not in policy
    assert "font-src 'self' data:" in policy
    assert "content-disposition" not in answer.headers


@pytest.mark.parametrize(
    ("path", "name"),
    [
        ("/sheet/page", "morning-sheet-2027-11-03.html"),
        ("/word/page", "leave-word-2027-11-03.html"),
        ("/word/text", "leave-word-2027-11-03.txt"),
    ],
)
def test_files_are_saved_under_plain_names(valley: Visitor, path: str, name: str) -> None:
    valley.post("/word", day=DAY, **WORD)
    saved = valley.get(path, day=DAY, save="yes")
    assert saved.status_code == 200
    assert saved.headers["content-disposition"] == f'attachment; filename="{name}"'


def test_the_a4_is_made_beside_the_page_and_made_anew_when_it_changes(
    valley: Visitor, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sheet, "sheet_pdf", lambda _: b"%PDF-of-the-sheet")
    assert valley.get("/sheet/print", day=DAY).status_code == 404
    ready = valley.wait(valley.post("/sheet/paper", day=DAY))
    assert "Open the A4" in ready.text
    paper = valley.get("/sheet/print", day=DAY)
    assert paper.content == b"%PDF-of-the-sheet"
    assert paper.headers["content-type"] == "application/pdf"
    assert "inline" in paper.headers["content-disposition"]
    valley.post("/word", day=DAY, **{**WORD, "back_by": "10:15"})
    assert valley.json("/sheet")["paper_href"] == ""
    assert valley.get("/sheet/print", day=DAY).status_code == 404


def test_without_the_library_the_paper_says_what_to_do(
    valley: Visitor, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sheet, "sheet_pdf", _no_pango)
    answer = valley.post("/sheet/paper", day=DAY)
    state = valley.house.jobs.wait(answer.url.params["name"])
    assert state.state == "failed"
    assert state.words == "The printed sheet needs the Pango library."


def test_word_is_left_shown_and_taken_back(valley: Visitor) -> None:
    before = valley.json("/word")
    assert before["text"] == ""
    assert before["form"]["boxes"][3]["text"] == "11:00"
    left = valley.post("/word", day=DAY, **WORD)
    assert "Word is left: back by 11:00, alarm at 13:00." in left.text
    said = valley.json("/word")
    assert "BACK BY 11:00.  RAISE THE ALARM AT 13:00." in said["text"]
    assert "Orla Penwarne" in said["text"]
    assert valley.json("/sheet")["has_word"]
    gone = valley.post("/word/drop", day=DAY, stay="yes")
    assert "The word is taken back." in gone.text
    assert valley.json("/word")["text"] == ""
    assert not valley.json("/sheet")["has_word"]
    boxes = {one["key"]: one for one in valley.json("/word")["form"]["boxes"]}
    assert boxes["who"]["text"] == "Orla Penwarne"
    assert boxes["who"]["hint"] == "As last time."


def test_changed_word_is_undone_to_the_former(valley: Visitor) -> None:
    valley.post("/word", day=DAY, **WORD)
    changed = valley.post("/word", day=DAY, **{**WORD, "car": "the red van", "alarm_at": "15:30"})
    part = changed.text.split('id="said"')[1].split("</form>", maxsplit=1)[0]
    boxes = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', part))
    boxes.pop("form_token")
    valley.post("/word", **boxes)
    text = valley.json("/word")["text"]
    assert "small green estate" in text
    assert "ALARM AT 13:00" in text


@pytest.mark.parametrize(
    ("change", "key", "told"),
    [
        ({"alarm_at": "10:30"}, "alarm_at", "The alarm at 10:30 must come after"),
        ({"back_by": "noon"}, "back_by", "is not read; write it like 06:45"),
        ({"let_out": "Nowhere Gap"}, "let_out", "Nowhere Gap"),
    ],
)
def test_word_that_cannot_be_is_refused_beside_its_box(
    valley: Visitor, change: dict[str, str], key: str, told: str
) -> None:
    sent = valley.post("/word", day=DAY, **{**WORD, **change})
    assert sent.status_code in {404, 422}
    part = sent.text.split(f'name="{key}"')[1]
    assert told in part.split('class="box', maxsplit=1)[0].replace("&#39;", "'")
    assert 'value="Orla Penwarne"' in sent.text
    assert valley.json("/word")["text"] == ""


def test_a_spot_of_class_never_is_let_out_by_its_name_alone(valley: Visitor) -> None:
    with valley.house.bench() as bench:
        hidden = next(one for one in bench.spots() if one.privacy.value == "never")
        bench.take(MORNING, spot=hidden.name)
        first = bench.judged(MORNING).first
    assert first is not None
    with valley.house.bench() as bench:  # make the quiet spot the day's own
        bench.change_spot(first.spot, privacy=hidden.privacy)
    valley.post("/word", day=DAY, **WORD)
    kept = valley.json("/word")
    assert first.spot not in kept["text"]
    assert kept["kept_off"].startswith("One place is kept off this card. Type its full name")
    let = valley.post("/word", day=DAY, **WORD, let_out=first.spot)
    assert first.spot in let.text.split('id="card"')[1].split("</textarea>")[0]
    assert first.spot not in valley.json("/word")["text"]
    assert first.spot in valley.get("/word/text", day=DAY, let_out=first.spot).text
    assert first.spot not in valley.get("/word/text", day=DAY).text


def test_an_unjudged_morning_leads_to_the_evening(valley: Visitor, empty: Visitor) -> None:
    for path in ("/sheet", "/word"):
        page = valley.get(path, day="2027-11-06")
        assert page.status_code == 200
        assert "Saturday 6 November is not judged yet." in page.text
        assert 'href="/evening?day=2027-11-06"' in page.text
        assert "There is no spot in the book yet" in empty.get(path).text
    assert valley.get("/sheet/page", day="2027-11-06").status_code == 404


def _no_pango(_: object) -> bytes:
    raise MissingDataError("The printed sheet needs the Pango library.")
