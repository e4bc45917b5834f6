"""Books of every released version open, and an upgrade that fails leaves the book as it was."""

import datetime as dt
import shutil
import sqlite3
from dataclasses import replace
from pathlib import Path

import pytest

from shivelight.basis.errors import UnreadableFileError, UnwritableError
from shivelight.store import (
    book as book_module,
)
from shivelight.store import (
    crowns,
    devices,
    forecasts,
    found,
    judgements,
    kit,
    marks,
    outings,
    pictures,
    schema,
    season_notes,
    settings,
    skylines,
    spots,
    surveys,
    upgrade,
    woods,
)
from shivelight.store.book import FieldBook
from shivelight.store.upgrade import MIGRATIONS, version_of
from tests.store.sample import (
    ANCHORS,
    CROWNS,
    DAY,
    FORECAST,
    FRAMING,
    KIT,
    LOGS,
    LOOSE_PICTURE,
    OUTING,
    PICTURE,
    PINNET,
    PLUMB_AND_LEAN,
    SALLOWDEN,
    SEASON_NOTES,
    SIGNS,
    SKYLINE,
    STAND,
    SURVEY,
    WHITE_POST_GAP,
)

SAVED = Path(__file__).parents[1] / "data" / "books"


def test_a_book_of_version_2_opens_with_all_it_holds(tmp_path: Path) -> None:
    path = Path(shutil.copy(SAVED / "v2.sqlite", tmp_path / "second.sqlite"))
    assert version_of(path) == 2
    with FieldBook.open(path) as book:
        assert book.version == schema.NEWEST
        assert spots.every(book) == (PLUMB_AND_LEAN, WHITE_POST_GAP)
        assert outings.get(book, DAY) == OUTING
        kept = skylines.get(book, "White Post Gap")
        assert kept is not None
        assert kept.parameters == SKYLINE.parameters
        assert crowns.every(book) == ()
        crowns.put(book, "White Post Gap", CROWNS)  # a table that version 2 did not have
        shaded = replace(PLUMB_AND_LEAN, under_canopy=True)
        spots.replace(book, shaded)
        assert spots.get(book, "Plumb and Lean") == shaded


def test_a_book_of_version_3_opens_with_all_it_holds(tmp_path: Path) -> None:
    path = Path(shutil.copy(SAVED / "v3.sqlite", tmp_path / "third.sqlite"))
    assert version_of(path) == 3
    with FieldBook.open(path) as book:
        assert book.version == schema.NEWEST
        assert woods.every(book) == (PINNET, SALLOWDEN)
        kept = crowns.get(book, "White Post Gap")
        assert kept is not None
        assert kept.parameters == CROWNS.parameters
        assert pictures.every(book) == ()
        assert devices.every(book) == ()
        kept_picture = pictures.add(book, PICTURE)  # tables that version 3 did not have
        assert pictures.of_spot(book, "White Post Gap") == (replace(PICTURE, id=kept_picture.id),)
        season_notes.add(book, "Pinnet Heath", SEASON_NOTES[0])
        assert season_notes.of_wood(book, "Pinnet Heath") == SEASON_NOTES[:1]


def test_a_book_of_version_4_opens_with_all_it_holds(tmp_path: Path) -> None:
    path = Path(shutil.copy(SAVED / "v4.sqlite", tmp_path / "fourth.sqlite"))
    assert version_of(path) == 4
    with FieldBook.open(path) as book:
        assert book.version == schema.NEWEST
        assert spots.every(book) == (PLUMB_AND_LEAN, WHITE_POST_GAP)
        kept = {one.sha256 for one in pictures.every(book)}
        assert kept == {PICTURE.sha256, LOOSE_PICTURE.sha256}
        assert season_notes.of_wood(book, "Pinnet Heath") == SEASON_NOTES
        assert surveys.every(book) == ()
        assert marks.every(book) == ()
        surveys.put(book, SURVEY)  # tables that version 4 did not have
        surveys.put_framing(book, FRAMING)
        surveys.add_stand(book, STAND)
        marks.put(book, ANCHORS)
        assert surveys.get(book, "plumb and lean") == SURVEY
        assert surveys.get_framing(book, "Plumb and Lean") == FRAMING
        assert surveys.stands_of(book, "Plumb and Lean") == (STAND,)
        assert marks.get(book, "Plumb and Lean") == ANCHORS


@pytest.fixture
def first_book(tmp_path: Path) -> Path:
    """Copy the saved book of version 1."""
    return Path(shutil.copy(SAVED / "v1.sqlite", tmp_path / "old.sqlite"))


def test_a_book_of_version_1_opens_with_all_it_holds(first_book: Path) -> None:
    assert version_of(first_book) == 1
    with FieldBook.open(first_book) as book:
        assert book.version == schema.NEWEST
        assert woods.every(book) == (PINNET, SALLOWDEN)
        assert spots.every(book) == (PLUMB_AND_LEAN, WHITE_POST_GAP)
        assert kit.get(book) == KIT
        assert forecasts.latest(book, "Pinnet Heath") == FORECAST
        assert settings.get(book, "home.contact") == "Orla's sister"
        said = judgements.latest(book, DAY)
        assert said is not None
        assert said.answer == "White Post Gap, about 4 in 10."
        assert judgements.given(book, "Pinnet Heath")[0].signs == SIGNS["Pinnet Heath"]
        assert found.replaced(book) == (LOGS[0],)
        assert [log.optical_range_m for log in found.of_wood(book, "Pinnet Heath")] == [240.0]
        outings.add(book, OUTING)  # a table that version 1 did not have
        assert outings.get(book, DAY) == OUTING


def test_the_old_book_is_kept_as_a_copy(first_book: Path) -> None:
    FieldBook.open(first_book).close()
    kept = first_book.with_name("old.version-1.sqlite")
    assert version_of(kept) == 1
    shutil.copy(kept, first_book)
    FieldBook.open(first_book).close()
    assert {path.name for path in first_book.parent.iterdir()} == {
        "old.sqlite", "old.version-1.sqlite", "old.version-1-2.sqlite",
    }  # fmt: skip


def test_reading_only_does_not_bring_a_book_up_to_date(first_book: Path) -> None:
    before = first_book.read_bytes()
    with pytest.raises(UnwritableError, match=r"is of book version 1 .* open it once for writing"):
        FieldBook.open(first_book, read_only=True)
    assert first_book.read_bytes() == before


def broken_scripts(tmp_path: Path, number: int) -> Path:
    """Add a step to the migrations that fails half-way."""
    scripts = Path(shutil.copytree(MIGRATIONS, tmp_path / "migrations"))
    (scripts / "versions" / f"{number:04}_half.py").write_text(
        f"""
from alembic import op
revision = "{number:04}"
down_revision = "{number - 1:04}"
def upgrade():
    op.execute("CREATE TABLE half_made (id INTEGER PRIMARY KEY) STRICT")
    op.execute("UPDATE wood SET note = 'spoiled'")
    op.execute("PRAGMA user_version = {number}")
    op.execute("INSERT INTO no_such_table VALUES (1)")
"""
    )
    return scripts


def test_a_step_that_fails_leaves_the_version_before_it(first_book: Path, tmp_path: Path) -> None:
    newest = schema.NEWEST
    scripts = broken_scripts(tmp_path, newest + 1)
    with pytest.raises(Exception, match="no_such_table"):
        upgrade.upgrade(first_book, to_version=newest + 1, scripts=scripts)
    assert version_of(first_book) == newest  # the steps before it are kept
    bare = sqlite3.connect(first_book)
    assert bare.execute("SELECT version_num FROM alembic_version").fetchall() == [
        (f"{newest:04}",)
    ]
    assert bare.execute("SELECT count(*) FROM wood WHERE note = 'spoiled'").fetchone() == (0,)
    assert (
        bare.execute("SELECT count(*) FROM sqlite_schema WHERE name = 'half_made'").fetchone()
    ) == (0,)
    bare.close()
    with FieldBook.open(first_book) as book:
        assert woods.every(book) == (PINNET, SALLOWDEN)


def test_a_failing_step_is_told_in_one_sentence(
    first_book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    scripts = broken_scripts(tmp_path, schema.NEWEST + 1)
    newer = schema.NEWEST + 1
    monkeypatch.setattr(book_module, "NEWEST", newer)
    monkeypatch.setattr(
        book_module,
        "upgrade",
        lambda path, *, to_version: upgrade.upgrade(path, to_version=to_version, scripts=scripts),
    )
    with pytest.raises(UnreadableFileError, match=r"old.sqlite does not hold .*no_such_table"):
        FieldBook.open(first_book)


def test_steps_that_fall_short_are_noticed(first_book: Path) -> None:
    with pytest.raises(UnreadableFileError, match=r"could not be brought to version 9 from 1"):
        upgrade.upgrade(first_book, to_version=9)


def test_upgrading_twice_changes_nothing_more(first_book: Path) -> None:
    upgrade.upgrade(first_book, to_version=schema.NEWEST)
    before = first_book.read_bytes()
    upgrade.upgrade(first_book, to_version=schema.NEWEST)
    assert first_book.read_bytes() == before


def test_the_saved_books_are_of_every_version_before_this_one() -> None:
    saved = sorted(SAVED.glob("v*.sqlite"))
    assert [path.name for path in saved] == [f"v{n}.sqlite" for n in range(1, schema.NEWEST)]
    assert dt.date(2027, 11, 3) == DAY
