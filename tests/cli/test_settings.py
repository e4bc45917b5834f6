"""settings: shown with where they come from, set for good, taken back."""

from pathlib import Path

import pytest

from tests.cli.conftest import Run, assert_refused


def test_settings_are_shown_with_where_they_come_from(
    tell: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    Path("shivelight.toml").write_text('back_by = "10:30"\n', encoding="utf-8")
    monkeypatch.setenv("SHIVELIGHT_MEMBERS", "20")
    ran = tell("settings", "show")
    assert ran.code == 0
    (row,) = [line for line in ran.out.splitlines() if line.lstrip().startswith("back_by")]
    assert "10:30" in row
    assert "shivelight.toml" in row
    (row,) = [line for line in ran.out.splitlines() if line.lstrip().startswith("members")]
    assert "the environment" in row
    sources = {one["name"]: one["source"] for one in tell("settings", "show", "--json").json}
    assert (sources["back_by"], sources["members"]) == ("file", "environment")
    assert sources["port"] == "default"


def test_a_setting_is_set_and_taken_back(tell: Run) -> None:
    ran = tell("settings", "set", "back_by", "10:30")
    assert ran.code == 0
    assert "back_by: 10:30, from shivelight.toml." in ran.out
    assert Path("shivelight.toml").read_text(encoding="utf-8") == 'back_by = "10:30"\n'
    assert tell("settings", "show", "back_by", "--json").json[0]["value"] == "10:30"
    ran = tell("settings", "reset", "back_by")
    assert "back_by: 11:00, from the default." in ran.out
    assert Path("shivelight.toml").read_text(encoding="utf-8") == ""


def test_what_the_environment_holds_is_said(tell: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SHIVELIGHT_MEMBERS", "20")
    ran = tell("settings", "set", "members", "30")
    assert "members: 20, from the environment." in ran.out
    assert "whatever the file says" in ran.out


def test_bad_values_and_names_are_refused(tell: Run) -> None:
    assert_refused(tell("settings", "set", "members", "1"), 2, "it must be 2 to 500")
    assert_refused(tell("settings", "set", "book", "b.sqlite"), 2, "--book FILE")
    assert_refused(tell("settings", "set", "colour", "red"), 3, "There is no setting")
    assert_refused(tell("settings", "show", "colour"), 3, "There is no setting")
    assert_refused(tell("settings", "reset", "colour"), 3, "There is no setting")
    assert not Path("shivelight.toml").exists()


def test_a_file_that_stops_every_command_is_mended_by_this_one(tell: Run) -> None:
    Path("shivelight.toml").write_text("members = 1\n", encoding="utf-8")
    assert_refused(tell("settings", "show"), 2, "members is 1")
    assert tell("settings", "set", "members", "20").code == 0
    assert tell("settings", "show").code == 0
