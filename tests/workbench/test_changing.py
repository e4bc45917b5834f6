"""Settings changed for good: the file beside the book keeps everything else as it was."""

import tomllib
from dataclasses import fields
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import (
    BadInputError,
    NotFoundError,
    OutOfRangeError,
    ShivelightError,
    UnreadableFileError,
)
from shivelight.workbench.changing import (
    change_settings,
    edited,
    overridden,
    reset_settings,
    settings_shown,
    settings_to_mend,
)
from shivelight.workbench.settings import FILE_NAME, GROUPS, Settings, read_settings

FILE = """# mine, since the spring
contact = "orla@wennick.example" # not "work # address"

members = 20   # enough
  back_by   =   "10:30"
theme = \"\"\"
dim\"\"\"  # three lines to say it
"""


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    """Give settings whose book lies in an empty folder."""
    return Settings(book=str(tmp_path / "b.sqlite"))


def _file(settings: Settings) -> Path:
    return settings.book_path.parent / FILE_NAME


def test_a_value_is_written_and_read_back(settings: Settings) -> None:
    changed = change_settings(settings, {}, {"members": "20", "theme": "dim"})
    assert (changed.members, changed.theme, changed.back_by) == (20, "dim", "11:00")
    assert read_settings({}, book=settings.book) == changed
    assert _file(settings).read_text() == 'members = 20\ntheme = "dim"\n'


def test_comments_order_and_other_lines_stay(settings: Settings) -> None:
    text = FILE.replace("dim", "paper").replace('"""\n', '"""\\\n')
    _file(settings).write_text(text)
    change_settings(settings, {}, {"members": "30", "contact": 'a "b" # c', "wake_min": "40"})
    assert _file(settings).read_text() == (
        text.replace("members = 20   #", "members = 30   #").replace(
            '"orla@wennick.example" #', '"a \\"b\\" # c" #'
        )
        + "wake_min = 40.0\n"
    )
    change_settings(settings, {}, {"theme": "clock"})
    assert 'theme = "clock"  # three lines to say it\n' in _file(settings).read_text()


def test_lines_of_other_programs_and_tables_stay() -> None:
    text = 'colour = "red"\n\n[other]\nmembers = 3\n'
    assert edited(text, "members", 30) == 'colour = "red"\n\nmembers = 30\n[other]\nmembers = 3\n'
    assert edited(edited(text, "members", 30), "members", None) == text


def test_a_line_inside_a_long_text_is_not_taken_for_a_setting() -> None:
    text = "contact = '''\nmembers = 3\n'''\nmembers = 4\n"
    assert edited(text, "members", 5) == text.replace("= 4", "= 5")


def test_windows_line_ends_stay() -> None:
    assert edited("a = 1\r\nmembers = 4 # x\r\n", "members", 5) == "a = 1\r\nmembers = 5 # x\r\n"
    assert edited("a = 1\r\n", "members", 5) == "a = 1\r\nmembers = 5\r\n"
    assert edited("a = 1", "members", 5) == "a = 1\nmembers = 5\n"


def test_a_setting_taken_out_is_its_default_again(settings: Settings) -> None:
    _file(settings).write_text('# mine\nmembers = 20\nback_by = "10:30"\n')
    changed = reset_settings(read_settings({}, book=settings.book), {}, ["members"])
    assert (changed.members, changed.back_by) == (50, "10:30")
    assert _file(settings).read_text() == '# mine\nback_by = "10:30"\n'
    assert reset_settings(changed, {}, ["members"]) == changed


@pytest.mark.parametrize(
    ("name", "value", "kind", "told"),
    [
        ("members", "1", OutOfRangeError, "members is 1; it must be 2 to 500"),
        ("members", "many", BadInputError, "is 'many', no number"),
        ("members", "2.5", BadInputError, "no number"),
        ("service", "owl", BadInputError, "it must be met-norway"),
        ("theme", "pink", BadInputError, "it must be paper, dim or clock"),
        ("back_by", "noon", BadInputError, "no time of day; write it like 11:00"),
        ("alarm_after_h", "nan", OutOfRangeError, "it must be 0.25 to 48 h"),
        ("wake_min", "-1", OutOfRangeError, "it must be 0 to 720 min"),
        ("set_up_min", "inf", OutOfRangeError, "it must be 0 to 240 min"),
        ("port", "80", OutOfRangeError, "port is 80; it must be 1024 to 65535"),
        ("most_raster_mb", "0", OutOfRangeError, "largest raster is 0 MB"),
        ("contact", "a\nmembers = 3", BadInputError, "give it on one line"),
        ("contact", "\ud800", BadInputError, "cannot be printed"),
        ("book", "other.sqlite", BadInputError, "--book FILE"),
        ("colour", "red", NotFoundError, "no setting named 'colour'; there are book, contact"),
    ],
)
def test_a_bad_value_is_refused_and_nothing_is_written(
    settings: Settings, name: str, value: str, kind: type[ShivelightError], told: str
) -> None:
    _file(settings).write_text(FILE)
    with pytest.raises(kind, match=told.replace(".", r"\.")):
        change_settings(settings, {}, {"mornings": "3", name: value})
    assert _file(settings).read_text() == FILE


def test_a_file_that_is_no_toml_is_left_alone(settings: Settings) -> None:
    _file(settings).write_text("members = ")
    with pytest.raises(UnreadableFileError, match="cannot be read as TOML"):
        change_settings(settings, {}, {"members": "20"})
    assert _file(settings).read_text() == "members = "


def test_a_value_in_the_file_that_stops_the_program_can_be_mended(settings: Settings) -> None:
    _file(settings).write_text("members = 1\n")
    with pytest.raises(OutOfRangeError):
        read_settings({}, book=settings.book)
    mended = change_settings(
        settings_to_mend({}, book=settings.book), {"SHIVELIGHT_BOOK": "x"}, {"members": "20"}
    )
    assert mended.members == 20
    assert read_settings({}, book=settings.book) == mended
    assert settings_to_mend({"SHIVELIGHT_BOOK": "x"}).book == "x"
    assert settings_to_mend({}) == Settings()


def test_what_the_environment_holds_stays_in_force(settings: Settings) -> None:
    environment = {"SHIVELIGHT_MEMBERS": "30", "MEMBERS": "3", "SHIVELIGHT_NOTHING": "x"}
    before = read_settings(environment, book=settings.book)
    after = change_settings(before, environment, {"members": "20", "theme": "dim"})
    assert (after.members, after.theme) == (30, "dim")
    assert read_settings(environment, book=settings.book) == after
    assert overridden(environment) == ("members",)


def test_every_setting_says_where_it_comes_from(settings: Settings) -> None:
    _file(settings).write_text("members = 20\nmornings = 5\n")
    environment = {"SHIVELIGHT_MORNINGS": "3"}
    made = read_settings(environment, book=settings.book, theme="dim")
    shown = {one.name: one for one in settings_shown(made, environment)}
    assert set(shown) == {one.name for one in fields(Settings)}
    sources = {name: (shown[name].source, shown[name].value) for name in shown}
    assert sources["members"] == ("file", "20")
    assert sources["mornings"] == ("environment", "3")
    assert sources["theme"] == ("typed", "dim")
    assert sources["port"] == ("default", "8017")
    assert sources["book"][0] == "typed"
    changeable = {name for name, one in shown.items() if one.can_change}
    assert changeable == set(shown) - {"mornings", "theme", "book"}
    assert shown["service"].choices == ("met-norway", "open-meteo", "open-meteo-ensemble", "off")
    assert (shown["members"].kind, shown["wake_min"].kind) == ("whole number", "number")


def test_every_setting_has_words_for_a_page() -> None:
    for one in fields(Settings):
        assert one.metadata["group"] in GROUPS
        assert one.metadata["label"]
        assert one.default in one.metadata["choices"] or not one.metadata["choices"]


_LINES = st.sampled_from(
    ["# a = 3", "", "a = 3 # b", 'b = "x # y"', "'c' = [1,\n 2] # z", 'd = """\nmembers = 2\n"""',
     "e.f = 1", "g = nan", '"wake_min" = 3.0', "set_up_min = 4 # four"]
)  # fmt: skip
_TABLES = st.sampled_from(["", "[t]\nmembers = 9\n", "[[u]]\nport = 1 # no\n"])


@given(
    lines=st.lists(_LINES, unique=True),
    tail=_TABLES,
    name=st.sampled_from(["members", "wake_min", "set_up_min", "contact"]),
    value=st.integers(2, 500)
    | st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs"))),
)
def test_an_edit_changes_one_setting_and_nothing_else(
    lines: list[str], tail: str, name: str, value: str | int
) -> None:
    text = "\n".join((*lines, tail))
    before = tomllib.loads(text)
    put = edited(text, name, value)
    after = tomllib.loads(put)
    assert after.pop(name) == value
    rest = {key: one for key, one in before.items() if key != name}
    assert repr(sorted(after.items(), key=str)) == repr(sorted(rest.items(), key=str))
    comments = [one[one.rindex("#") :] for one in text.split("\n") if "#" in one]
    assert [one for one in comments if one not in put] == []
    gone = tomllib.loads(edited(put, name, None))
    assert repr(sorted(gone.items(), key=str)) == repr(sorted(rest.items(), key=str))
