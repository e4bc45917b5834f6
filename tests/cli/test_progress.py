"""Progress: silent when short, lines when piped, a bar on a terminal."""

import io

from shivelight.cli.progress import Progress


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_short_work_says_nothing() -> None:
    heard = io.StringIO()
    with Progress(heard, clock=lambda: 0.0) as progress:
        for done in range(5):
            progress("spot", done, 5)
    assert heard.getvalue() == ""


def test_long_work_says_lines_not_oftener_than_every_two_seconds() -> None:
    heard = io.StringIO()
    now_s = iter([0.0, 1.0, 2.5, 3.0, 4.6])
    with Progress(heard, clock=lambda: next(now_s)) as progress:
        for done in range(1, 5):
            progress("skyline", done, 4)
    assert heard.getvalue() == "skyline 2 of 4\nskyline 4 of 4\n"


def test_a_terminal_gets_a_bar_that_counts() -> None:
    heard = Terminal()
    now_s = iter([0.0, *(float(second) for second in range(1, 9))])
    with Progress(heard, clock=lambda: next(now_s)) as progress:
        progress("skyline", 1, 4)
        progress("skyline", 3, 4)
    assert "skyline" in heard.getvalue()
    assert "3 of 4" in heard.getvalue()
