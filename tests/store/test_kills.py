"""The book survives a kill at any instant: afterwards it is as before, or as after, never between.

A child process does the work and is killed: once at each of many statements, by itself just
before the statement or the commit, and then at random moments, by its parent, which also meets
it inside SQLite, in the middle of writing to the disk.
"""

import json
import os
import random
import shutil
import signal
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from sqlalchemy import event

from shivelight.basis.records import to_plain
from shivelight.outing.judgement import Morning
from shivelight.outing.kept import StoredForecast
from shivelight.store import forecasts, judgements, schema, settings, transfer, woods
from shivelight.store.backup import copy_book
from shivelight.store.book import FieldBook
from shivelight.store.contents import contents
from shivelight.store.upgrade import version_of
from tests.store.sample import EVENING, PLUMB_AND_LEAN, SIGNS, WHITE_POST_GAP, morning, outlook

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a child to kill")

Work = Callable[[FieldBook], object]
SAVED = Path(__file__).parents[1] / "data" / "books"


def in_child(act: Callable[[], object]) -> int:
    """Start a child that does something and ends; give its number."""
    child = os.fork()
    if child == 0:  # pragma: no cover
        code = 1
        try:
            act()
            code = 0
        finally:
            os._exit(code)
    return child


def was_killed(child: int) -> bool:
    """Wait for a child; True when it was killed, False when it ended well."""
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        assert os.WTERMSIG(status) == signal.SIGKILL
        return True
    assert os.WEXITSTATUS(status) == 0, "the child failed by itself"
    return False


def kill_at_statement(path: Path, work: Work, *, number: int) -> bool:
    """Do the work in a child that kills itself before its n-th statement or commit."""

    def act() -> None:
        left = number

        def step(*_: Any) -> None:
            nonlocal left
            left -= 1
            if left == 0:
                os.kill(os.getpid(), signal.SIGKILL)

        with FieldBook.open(path) as book:
            assert book._writer is not None
            event.listen(book._writer, "before_cursor_execute", step)
            event.listen(book._writer, "commit", step)
            work(book)

    return was_killed(in_child(act))


def kill_after(act: Callable[[], object], *, seconds: float) -> bool:
    """Do something in a child that is killed after some time."""
    child = in_child(act)
    time.sleep(seconds)
    os.kill(child, signal.SIGKILL)
    return was_killed(child)


def seconds_of(act: Callable[[], object]) -> float:
    """Time that something takes in a child left alone."""
    start = time.monotonic()
    assert not was_killed(in_child(act))
    return time.monotonic() - start


def state(path: Path) -> str:
    """Everything in a book, which passes all checks of opening; by its own export."""
    with FieldBook.open(path) as book, book.reading() as tx:
        assert tx.exec_driver_sql("PRAGMA integrity_check").scalars().all() == ["ok"]
        assert tx.exec_driver_sql("PRAGMA foreign_key_check").all() == []
        return transfer.export_text(book)


def big_morning() -> Morning:
    """Make a judgement of forty spots, two names over and over."""
    both = (outlook(WHITE_POST_GAP), outlook(PLUMB_AND_LEAN, chance_frac=0.2))
    later = EVENING + np.timedelta64(1, "h")
    return replace(morning(made_utc=later), spots=both * 20)


def judge(book: FieldBook) -> None:
    judgements.add(book, big_morning(), signs=SIGNS)


@pytest.fixture(scope="module")
def big_export(valley_file: Path) -> str:
    """Export a valley with many forecasts, so that the import takes a while."""
    with FieldBook.open(valley_file, read_only=True) as book:
        plain = transfer.export_book(book)
    noise = np.random.default_rng(2027)
    for hour in range(40):
        forecast = StoredForecast(
            wood="Sallowden Hanger",
            kind="metar",
            payload=noise.bytes(20_000),
            fetched_utc=EVENING + np.timedelta64(hour, "h"),
        )
        kept = transfer.ForecastOf(forecast=forecast, sha256=forecast.sha256)
        plain["forecasts"].append(to_plain(kept))
    return json.dumps(plain)


def test_an_import_killed_at_any_statement_is_there_whole_or_not_at_all(
    tmp_path: Path, empty_file: Path, big_export: str
) -> None:
    path = tmp_path / "book.sqlite"
    before = state(Path(shutil.copy(empty_file, path)))
    transfer_all: Work = lambda book: transfer.import_text(book, big_export)  # noqa: E731
    killed = 0
    for number in (1, 2, 3, *range(10, 600, 37)):
        if not kill_at_statement(path, transfer_all, number=number):
            break
        killed += 1
        assert state(path) == before
    assert killed > 8
    with FieldBook.open(path, read_only=True) as book:
        assert len(woods.every(book)) == 2


def test_an_import_killed_at_random_moments_is_there_whole_or_not_at_all(
    tmp_path: Path, empty_file: Path, big_export: str
) -> None:
    path = tmp_path / "book.sqlite"

    def act() -> None:
        with FieldBook.open(path) as book:
            transfer.import_text(book, big_export)

    before = state(Path(shutil.copy(empty_file, path)))
    longest = seconds_of(act)
    after = state(path)
    assert before != after
    chance = random.Random(11)
    killed, seen = 0, set()
    for _ in range(14):
        for side in path.parent.glob("book.sqlite*"):
            side.unlink()
        shutil.copy(empty_file, path)
        killed += kill_after(act, seconds=chance.uniform(0.02, 1.05) * longest)
        now = state(path)
        assert now in {before, after}
        seen.add(now)
    assert killed > 0
    assert before in seen


def test_a_judgement_killed_at_any_statement_is_there_whole_or_not_at_all(
    tmp_path: Path, valley_file: Path
) -> None:
    path = Path(shutil.copy(valley_file, tmp_path / "book.sqlite"))
    before = state(path)
    killed = 0
    for number in range(1, 400):
        if not kill_at_statement(path, judge, number=number):
            break
        killed += 1
        assert state(path) == before
    assert killed >= 5  # begin, judgement, spots, signs, commit at the least
    with FieldBook.open(path, read_only=True) as book:
        assert len(judgements.given(book, "Pinnet Heath")) == 1 + 20


def test_judgements_killed_at_random_moments_are_each_there_whole_or_not_at_all(
    tmp_path: Path, valley_file: Path
) -> None:
    path = Path(shutil.copy(valley_file, tmp_path / "book.sqlite"))
    said = morning(made_utc=EVENING + np.timedelta64(1, "h"))

    def act() -> None:
        with FieldBook.open(path) as book:
            while True:
                judgements.add(book, said, signs=SIGNS)

    chance = random.Random(5)
    count = 1
    for _ in range(16):
        assert kill_after(act, seconds=chance.uniform(0.02, 0.25))
        with FieldBook.open(path) as book:
            now = contents(book).judgements
            assert now >= count
            count = now
            assert len(judgements.given(book, "Pinnet Heath")) == count
            assert len(judgements.given(book, "Sallowden Hanger")) == count
            settings.put(book, "still", "writable")
    assert count > 3
    with FieldBook.open(path) as book:
        one = to_plain(said)
        assert all(to_plain(kept) == one for kept, _ in judgements.every(book)[1:])


def test_a_book_whose_making_is_killed_is_there_whole_or_not_at_all(tmp_path: Path) -> None:
    path = tmp_path / "book.sqlite"

    def act() -> None:
        FieldBook.open(path, create=True).close()

    longest = seconds_of(act)
    path.unlink()
    chance = random.Random(3)
    killed = 0
    for _ in range(14):
        killed += kill_after(act, seconds=chance.uniform(0.1, 1.2) * longest)
        if path.exists():
            with FieldBook.open(path) as book:
                assert book.version == schema.NEWEST
            path.unlink()
    assert killed > 0
    act()
    assert '"woods": []' in state(path)


def test_a_book_whose_upgrade_is_killed_is_of_one_version_and_whole(tmp_path: Path) -> None:
    path = tmp_path / "old.sqlite"

    def act() -> None:
        FieldBook.open(path).close()

    shutil.copy(SAVED / "v1.sqlite", path)
    longest = seconds_of(act)
    after = state(path)
    chance = random.Random(8)
    killed = 0
    for _ in range(14):
        for side in tmp_path.glob("*old*"):
            side.unlink()
        shutil.copy(SAVED / "v1.sqlite", path)
        killed += kill_after(act, seconds=chance.uniform(0.05, 1.1) * longest)
        assert version_of(path) in range(1, schema.NEWEST + 1)  # each step is whole by itself
        assert state(path) == after
    assert killed > 0


def test_a_copy_that_is_killed_has_its_name_only_when_whole(
    tmp_path: Path, empty_file: Path, big_export: str
) -> None:
    path = Path(shutil.copy(empty_file, tmp_path / "book.sqlite"))
    with FieldBook.open(path) as book:
        transfer.import_text(book, big_export)
        forecasts.latest(book, "Sallowden Hanger")
    whole = state(path)
    target = tmp_path / "copy.sqlite"

    def act() -> None:
        copy_book(path, target)

    longest = seconds_of(act)
    target.unlink()
    chance = random.Random(13)
    killed = 0
    for _ in range(14):
        killed += kill_after(act, seconds=chance.uniform(0.0, 1.0) * longest)
        if target.exists():
            assert state(target) == whole
            target.unlink()
    assert killed > 0
    assert state(path) == whole
