"""The settings' page: every setting, changed and put back; the book's state and copy; the help."""

import re
import sqlite3
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

import pytest

from shivelight.web.show import GROUPS
from shivelight.workbench.demo import demo_now
from shivelight.workbench.settings import Settings
from tests.web.phone import paired_phone
from tests.web.refusals import refusals
from tests.web.visitor import Visitor

COMMANDS = Path(__file__).parents[2] / "docs" / "commands.md"


def test_every_setting_is_there_with_its_help_and_source(valley: Visitor) -> None:
    said = valley.json("/settings")
    lines = {line["key"]: line for group in said["groups"] for line in group["lines"]}
    assert set(lines) == {one.name for one in fields(Settings)}
    page = valley.get("/settings").text
    for one in fields(Settings):
        assert lines[one.name]["help"] == one.metadata["help"]
        assert one.metadata["help"].split(";")[0].replace("'", "&#39;") in page
    assert lines["members"]["source"] == "the default"
    assert lines["book"]["box"] is None


def test_a_setting_is_changed_written_and_taken_back(valley: Visitor) -> None:
    sent = valley.post("/settings", back_by="10:30", alarm_after_h="1,5", wake_min="35")
    assert "Back by is 10:30; alarm after the return is 1.5 h." in sent.text
    assert valley.house.settings.back_by == "10:30"
    assert valley.house.settings.alarm_after_h == 1.5
    file = _file(valley)
    assert 'back_by = "10:30"' in file.read_text()
    assert "wake_min" not in file.read_text()
    assert _line(valley, "back_by")["source"] == "from shivelight.toml; the default is 11:00"
    undone = valley.post("/settings", **_undo(sent.text))
    assert "It is as it was before." in undone.text
    assert valley.house.settings.back_by == "11:00"
    assert _line(valley, "back_by")["source"] == "the default"


def test_undo_puts_back_what_the_file_said(valley: Visitor) -> None:
    _file(valley).write_text('# mine\nback_by = "09:45"\n')
    valley.house.settings = replace(valley.house.settings, back_by="09:45")
    sent = valley.post("/settings", back_by="10:30")
    valley.post("/settings", **_undo(sent.text))
    assert _file(valley).read_text() == '# mine\nback_by = "09:45"\n'


def test_the_default_counts_again_and_that_is_undone_too(valley: Visitor) -> None:
    valley.post("/settings", members="30")
    assert _line(valley, "members")["can_reset"]
    sent = valley.post("/settings/reset", name="members")
    assert "Members is 50 again, the default." in sent.text
    assert valley.house.settings.members == 50
    valley.post("/settings", **_undo(sent.text))
    assert valley.house.settings.members == 30


@pytest.mark.parametrize(
    ("name", "value", "told"),
    [
        ("members", "many", "no number"),
        ("service", "somebody", "somebody"),
        ("back_by", "noon", "no time of day; write it like 11:00"),
        ("port", "70000", "70000"),
        ("mornings", "9" * 400, "Mornings looked at has 400 figures; 15 is the most."),
        ("contact", "o" * 401, "Your contact has 401 letters; 400 is the most."),
        ("back_by", "11:00\x00", "Back by holds a sign that cannot be printed."),
        ("book", "elsewhere.sqlite", "is not changed from here"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(
    valley: Visitor, name: str, value: str, told: str
) -> None:
    before = valley.house.settings
    sent = valley.post("/settings", **{name: value, "wake_min": "40"})
    assert sent.status_code == 422
    if name != "book":
        assert told in refusals(sent.text)[name]
        assert set(refusals(sent.text)) == {name}
    assert valley.house.settings == before
    assert not _file(valley).exists()


def test_nothing_changed_is_said(valley: Visitor) -> None:
    sent = valley.post("/settings", back_by="11:00")
    assert "Nothing was changed." in sent.text
    assert not _file(valley).exists()


def test_what_the_environment_holds_is_said_and_not_typed(valley: Visitor) -> None:
    valley.house.environment = {"SHIVELIGHT_MEMBERS": "20"}
    valley.house.settings = replace(valley.house.settings, members=20)
    line = _line(valley, "members")
    assert line["box"] is None
    assert line["why_not"].startswith("SHIVELIGHT_MEMBERS holds it, whatever the file says")
    sent = valley.post("/settings", members="60")
    assert sent.status_code == 422
    assert valley.house.settings.members == 20


def test_in_the_demo_one_s_own_settings_are_changed_and_the_visit_goes_on(
    valley: Visitor, tmp_path: Path
) -> None:
    own = valley.house.settings.book
    valley.house.visit_demo(tmp_path / "wennick-demo.sqlite", demo_now())
    sent = valley.post("/settings", back_by="10:30")
    assert "These are your own settings" in sent.text
    assert valley.house.is_demo
    assert valley.house.settings.book.endswith("wennick-demo.sqlite")
    assert valley.house.settings.back_by == "10:30"
    valley.house.come_home()
    assert valley.house.settings == Settings(book=own, back_by="10:30")


def test_another_device_sees_no_path_and_changes_nothing_of_this_machine(
    valley: Visitor,
) -> None:
    here = valley.get("/settings").text
    path = str(valley.house.settings.book_path)
    assert path in here
    away = paired_phone(valley.house)
    page = away.get("/settings").text
    assert str(valley.house.settings.book_path.parent) not in page
    assert "kept on the machine that shivelight runs on" in page
    assert "/book/copy" not in page
    assert away.get("/book/copy").status_code == 404
    assert _line(away, "port")["box"] is None
    assert away.post("/settings", port="8030").status_code == 422
    assert away.post("/settings/reset", name="port").status_code == 422
    assert away.post("/settings", back_by="10:30").status_code == 200


def test_a_copy_of_the_book_is_whole(valley: Visitor, tmp_path: Path) -> None:
    answer = valley.get("/book/copy")
    assert answer.headers["content-disposition"] == (
        'attachment; filename="shivelight-book-2027-11-02.sqlite"'
    )
    copy = tmp_path / "copy.sqlite"
    copy.write_bytes(answer.content)
    with sqlite3.connect(copy) as book:
        assert book.execute("pragma integrity_check").fetchone() == ("ok",)
        woods = book.execute("select count(*) from wood").fetchone()[0]
    assert woods == 7


def test_the_book_s_state_is_counted(valley: Visitor) -> None:
    book = dict(valley.json("/settings")["book"])
    assert book["holds"] == "7 woods, 8 spots"
    assert book["has seen"].endswith("26 mornings logged")


def test_the_help_names_every_page_and_only_commands_there_are(valley: Visitor) -> None:
    said = valley.json("/help")
    assert {one["href"] for one in said["pages"]} == {
        path for _, pages in GROUPS for _, path in pages
    }
    known = set(re.findall(r"^#+ shivelight (.+)$", COMMANDS.read_text(), re.MULTILINE))
    named = {command for one in said["pages"] for command in one["commands"]}
    assert named <= known
    assert "Ctrl + Enter" in valley.get("/help").text


def _file(visitor: Visitor) -> Path:
    return visitor.house.settings.book_path.parent / "shivelight.toml"


def _line(visitor: Visitor, name: str) -> Any:
    return _line_of(visitor.json("/settings"), name)


def _line_of(said: Any, name: str) -> Any:
    return next(line for group in said["groups"] for line in group["lines"] if line["key"] == name)


def _undo(text: str) -> dict[str, str]:
    part = text.split('id="said"')[1].split("</form>", maxsplit=1)[0]
    assert 'action="/settings"' in part
    boxes = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', part))
    boxes.pop("form_token")
    return boxes
