"""The sheet and the card as pages: the same content as the files that are written."""

import datetime as dt
from pathlib import Path

import pytest

from shivelight.basis.errors import BadInputError, MissingDataError, NotFoundError
from shivelight.workbench import sheet
from shivelight.workbench.bench import Workbench
from shivelight.workbench.demo_valley import MORNING
from shivelight.workbench.sheet import WordAsked
from tests.workbench.conftest import opened

ASKED = WordAsked(who="Orla Penwarne", car="small green estate", contact="her sister")


@pytest.fixture(scope="module")
def judged(lived_through: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("judged")
    with opened(lived_through, "2027-11-02T21:40") as bench:
        copy = bench.book_backup(folder / "judged.sqlite")
    with opened(copy, "2027-11-02T21:40") as bench:
        bench.judge(day=MORNING, mornings=1)
    return copy


@pytest.fixture
def valley(judged: Path, tmp_path: Path) -> Path:
    copy = tmp_path / "valley.sqlite"
    copy.write_bytes(judged.read_bytes())
    return copy


def test_the_page_and_the_card_are_those_that_are_written(valley: Path, tmp_path: Path) -> None:
    with opened(valley, "2027-11-02T21:40") as bench:
        word = bench.leave_word(MORNING, tmp_path, ASKED)
        files = bench.write_sheet(MORNING, tmp_path, pdf=False)
        assert bench.sheet_page(MORNING) == files.html.read_text(encoding="utf-8")
        assert bench.word_text(MORNING) == word.text
        assert bench.word_page(MORNING) == word.html.read_text(encoding="utf-8")


def test_paper_is_pdf_or_says_which_library_is_missing(
    valley: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sheet, "sheet_pdf", lambda _: b"%PDF-sheet")
    monkeypatch.setattr(sheet, "leave_word_pdf", _no_pango)
    with opened(valley, "2027-11-02T21:40") as bench:
        bench.keep_word(MORNING, ASKED)
        assert bench.sheet_paper(MORNING) == b"%PDF-sheet"
        with pytest.raises(MissingDataError, match="no Pango"):
            bench.word_paper(MORNING)


def test_word_is_kept_without_files_and_remembered_for_next_time(valley: Path) -> None:
    with opened(valley, "2027-11-02T21:40") as bench:
        assert bench.word_left(MORNING) is None
        assert bench.word_of_last_time().who == ""
        bench.keep_word(MORNING, ASKED)
        assert bench.word_of_last_time() == WordAsked(
            who="Orla Penwarne", car="small green estate", contact="her sister",
            back_by=dt.time(11),
        )  # fmt: skip
        assert "Orla Penwarne" in bench.word_text(MORNING)
        bench.put_word_back(MORNING, None)
        with pytest.raises(NotFoundError, match="No word was left for 2027-11-03"):
            bench.word_text(MORNING)


def test_a_refused_word_changes_nothing(valley: Path) -> None:
    with opened(valley, "2027-11-02T21:40") as bench:
        bench.keep_word(MORNING, ASKED)
        late = WordAsked(who="Somebody", back_by=dt.time(11), alarm_at=dt.time(10))
        with pytest.raises(BadInputError, match="must come after the time to be back"):
            bench.keep_word(MORNING, late)
        with pytest.raises(NotFoundError, match="Nowhere Gap"):
            bench.keep_word(MORNING, WordAsked(who="Somebody", let_out=("Nowhere Gap",)))
        assert bench.word_of_last_time().who == "Orla Penwarne"
        assert "Orla Penwarne" in bench.word_text(MORNING)


def _no_pango(_: object) -> bytes:
    raise MissingDataError("There is no Pango here.")


def test_an_unjudged_morning_has_no_page(empty: Workbench) -> None:
    with pytest.raises(NotFoundError, match="Nothing has been judged for 2027-11-03"):
        empty.sheet_page(MORNING)
