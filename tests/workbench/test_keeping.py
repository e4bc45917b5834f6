from pathlib import Path

import pytest

from shivelight.basis.errors import (
    BadInputError,
    NotFoundError,
    OutOfRangeError,
    UnreadableFileError,
    UnwritableError,
)
from shivelight.workbench.bench import Workbench
from shivelight.workbench.demo_valley import MORNING
from shivelight.workbench.keeping import write_whole
from shivelight.workbench.settings import Settings, read_settings
from tests.workbench.conftest import at, opened


def test_a_book_goes_out_as_json_and_comes_back_equal(book: Path, tmp_path: Path) -> None:
    with opened(book, "2027-11-02T21:40") as bench:
        bench.judge(day=MORNING, mornings=1)
        bench.take(MORNING)
        written = bench.book_export(tmp_path / "out.json")
        before = bench.book_report()
    again = Settings(book=str(tmp_path / "again.sqlite"))
    with Workbench.open(again, create=True, now=at("2027-11-02T21:40")) as bench:
        after = bench.book_import(written)
        twice = bench.book_export(tmp_path / "twice.json")
    assert twice.read_bytes() == written.read_bytes()
    counts = ("woods", "spots", "forecasts", "judgements", "outings", "mornings_logged")
    assert [getattr(before, name) for name in counts] == [getattr(after, name) for name in counts]


def test_a_book_with_something_in_it_takes_no_import(book: Path, tmp_path: Path) -> None:
    with opened(book, "2027-11-02T21:40") as bench:
        written = bench.book_export(tmp_path / "out.json")
        before = bench.book_report()
        with pytest.raises(BadInputError):
            bench.book_import(written)
        assert bench.book_report() == before


def test_a_backup_is_a_book_and_is_never_written_over(book: Path, tmp_path: Path) -> None:
    with opened(book, "2027-11-02T21:40") as bench:
        copy = bench.book_backup(tmp_path / "copy.sqlite")
        with pytest.raises(UnwritableError):
            bench.book_backup(copy)
        spots = bench.spots()
    with opened(copy, "2027-11-02T21:40") as bench:
        assert bench.spots() == spots


def test_an_export_cut_short_is_refused_whole(book: Path, tmp_path: Path) -> None:
    with opened(book, "2027-11-02T21:40") as bench:
        text = bench.book_export(tmp_path / "out.json").read_text(encoding="utf-8")
    (tmp_path / "cut.json").write_text(text[: len(text) // 2], encoding="utf-8")
    empty = Settings(book=str(tmp_path / "empty.sqlite"))
    with Workbench.open(empty, create=True, now=at("2027-11-02T21:40")) as bench:
        with pytest.raises(UnreadableFileError):
            bench.book_import(tmp_path / "cut.json")
        assert bench.book_report().woods == 0


def test_a_file_is_there_whole_or_not_at_all(tmp_path: Path) -> None:
    target = tmp_path / "deep" / "file.txt"
    write_whole(target, "one")
    assert target.read_text() == "one"
    with pytest.raises(BadInputError, match="is a folder"):
        write_whole(tmp_path, "two")
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    with pytest.raises(UnwritableError, match="cannot be made"):
        write_whole(blocked / "under.txt", "three")
    assert [one.name for one in target.parent.iterdir()] == ["file.txt"]


def test_no_book_says_where_it_was_looked_for(tmp_path: Path) -> None:
    settings = Settings(book=str(tmp_path / "none.sqlite"))
    with pytest.raises(NotFoundError, match=r"none\.sqlite"):
        Workbench.open(settings)


def test_settings_come_from_file_environment_and_typing_in_that_order(tmp_path: Path) -> None:
    book = str(tmp_path / "b.sqlite")
    (tmp_path / "shivelight.toml").write_text('members = 20\nback_by = "10:00"\ntheme = "dim"\n')
    environment = {"SHIVELIGHT_MEMBERS": "30", "SHIVELIGHT_THEME": "paper", "HOME": "x"}
    made = read_settings(environment, book=book, members=40)
    assert (made.members, made.theme, made.back_by, made.book) == (40, "paper", "10:00", book)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("colour = 3", "no setting named 'colour'"),
        ('members = "many"', "no number"),
        ("members = 1", "must be 2 to 500"),
        ('service = "owl"', "must be met-norway"),
        ("members = ", "cannot be read as TOML"),
    ],
)
def test_a_bad_settings_file_says_what_is_wrong(tmp_path: Path, text: str, said: str) -> None:
    (tmp_path / "shivelight.toml").write_text(text)
    with pytest.raises((BadInputError, OutOfRangeError, UnreadableFileError), match=said):
        read_settings({}, book=str(tmp_path / "b.sqlite"))
