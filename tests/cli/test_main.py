"""The outermost edge: every way out leaves one line on stderr and its code."""

import errno

import pytest

from shivelight.cli import session
from shivelight.cli.main import main
from tests.cli.conftest import Run


def breaking(error: BaseException) -> object:
    """Stand in for the workbench and fail with an error of any kind."""

    def open_bench(*_: object, **__: object) -> None:
        raise error

    return open_bench


def test_no_words_at_all_show_the_help(run: Run) -> None:
    ran = run()
    assert ran.code == 0
    assert ran.out.startswith("Usage: shivelight")


def test_the_version_is_told(run: Run) -> None:
    ran = run("--version")
    assert ran.code == 0
    assert ran.out.startswith("shivelight ")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("wod",), "No such command 'wod'. Did you mean 'word', 'wood'?"),
        (("book",), "Missing command, one of: new, check, backup, export, import."),
        (("wood", "show"), "Missing argument 'WOOD'; for example: shivelight wood show '"),
        (("wood", "show", "A", "B"), "Got unexpected extra argument"),
        (("sun", "tomorrow"), "shivelight sun 2027-11-03 --at '53.0 N 5.1 W' --zone"),
        (("open", "--port", "many"), "--port wants a whole number in figures. See: "),
        (("evening", "judge", "--mornings", "many"), "number of mornings 'many'"),
        (("--now", "tonight", "wood", "list"), "write it like '2027-11-02 21:40'"),
        (("--zone", "Mars", "--now", "2027-11-02 21:40", "wood", "list"), "'Mars'"),
    ],
)
def test_words_that_are_no_command_are_answered_in_one_line(
    run: Run, words: tuple[str, ...], told: str
) -> None:
    ran = run(*words)
    assert ran.code in {2, 3}
    assert ran.out == ""
    assert told in ran.err
    assert ran.err.count("\n") == 1


def test_a_clock_that_never_shows_the_pretended_time_is_refused(run: Run) -> None:
    ran = run("--now", "2027-03-28 01:30", "--zone", "Europe/London", "book", "check")
    assert ran.code == 2
    assert "never shows 01:30" in ran.err


def test_a_fault_of_ours_is_owned_with_code_70(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(session.Session, "bench", breaking(ZeroDivisionError("deep inside")))
    ran = run("book", "check", "--json")
    assert (ran.code, ran.out) == (70, "")
    assert ran.err.startswith("This is a fault of shivelight's")
    assert "deep inside" not in ran.err
    details = run("book", "check", "-v").err
    assert "deep inside" in details
    assert "shivelight 0." in details


def test_a_full_disk_is_said_and_leaves_with_6(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    full = OSError(errno.ENOSPC, "No space left on device", "book.sqlite")
    monkeypatch.setattr(session.Session, "bench", breaking(full))
    ran = run("book", "check")
    assert ran.code == 6
    assert ran.err == "Not done: the disk is full (book.sqlite).\n"


def test_the_keyboard_stops_it_with_130(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(session.Session, "bench", breaking(KeyboardInterrupt()))
    ran = run("book", "check")
    assert ran.code == 130
    assert ran.err == "Stopped. What was finished before is kept.\n"


def test_a_setting_that_makes_no_sense_is_refused(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SHIVELIGHT_MEMBERS", "lots")
    ran = run("book", "check")
    assert ran.code == 2
    assert "members" in ran.err


def test_the_book_is_found_in_the_environment(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SHIVELIGHT_BOOK", "mine.sqlite")
    assert run("book", "new", "--json").json["path"].endswith("mine.sqlite")


def test_letters_that_a_terminal_lacks_do_not_break_it(
    monkeypatch: pytest.MonkeyPatch, tmp_path: object
) -> None:
    import io
    import sys

    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding="iso8859-5"))
    words = ("sun", "2027-11-03", "--at", "53.0 N 5.1 W", "--zone", "Europe/London")
    assert main(words) == 0
    sys.stdout.flush()
    assert b"114?" in raw.getvalue()
