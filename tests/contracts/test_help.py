"""Every command explains itself: a sentence, an example that parses, a page in the docs."""

import shlex
from pathlib import Path
from typing import Any

import pytest
import typer

from shivelight.cli.options import SHARED
from shivelight.cli.reference import every_command, help_text

ALL = list(every_command())
COMMANDS = [(words, context, one) for words, context, one in ALL if not hasattr(one, "commands")]
PAGE = Path(__file__).parents[2] / "docs" / "commands.md"
AVOIDED = ("score", "smart", "magic", "perfect", "golden", "safe", "allowed", "%")
"""Words of TRADE section 8 that no screen of ours uses, and what nobody may promise."""


def _name(words: tuple[str, ...]) -> str:
    return " ".join(words) or "root"


each_command = pytest.mark.parametrize(
    ("words", "context", "one"), COMMANDS, ids=[_name(words) for words, _, _ in COMMANDS]
)
each_page = pytest.mark.parametrize(
    ("words", "context", "one"), ALL, ids=[_name(words) for words, _, _ in ALL]
)


@each_page
def test_it_has_help_in_a_short_sentence(
    words: tuple[str, ...], context: typer.Context, one: Any
) -> None:
    first = one.help.split("\n")[0]
    assert first.endswith(".")
    assert len(first) <= 80
    listed = help_text(context, one).partition("Commands:\n")[2].partition("Example")[0]
    assert "..." not in listed  # no sentence of a list was cut short


@each_page
def test_it_uses_none_of_the_words_we_avoid(
    words: tuple[str, ...], context: typer.Context, one: Any
) -> None:
    told = help_text(context, one).lower()
    assert [word for word in AVOIDED if word in told] == []


def _example_lines(epilog: str) -> list[list[str]]:
    lines = epilog.removeprefix("\b\n").replace("\\\n", " ").split("\n")[1:]
    return [shlex.split(line) for line in lines]


@each_command
def test_its_examples_parse(words: tuple[str, ...], context: typer.Context, one: Any) -> None:
    examples = _example_lines(one.epilog)
    assert examples
    for typed in examples:
        assert typed[0] == "shivelight"
        start = next(
            place for place in range(len(typed)) if tuple(typed[place:][: len(words)]) == words
        )
        rest = typed[start + len(words) :]
        inner = one.make_context(context.info_name, list(rest), parent=context.parent)
        assert inner.params


@each_command
def test_it_takes_the_shared_options(
    words: tuple[str, ...], context: typer.Context, one: Any
) -> None:
    flags = {flag for param in one.params for flag in param.opts}
    assert {"--book", "--now", "--zone", "--json", "-v"} <= flags
    assert set(SHARED) <= {param.name for param in one.params}


@each_command
def test_every_option_says_what_it_is(
    words: tuple[str, ...], context: typer.Context, one: Any
) -> None:
    silent = [param.name for param in one.get_params(context) if not (param.help or "").strip()]
    assert silent == []


@each_page
def test_it_stands_in_the_docs(words: tuple[str, ...], context: typer.Context, one: Any) -> None:
    page = PAGE.read_text(encoding="utf-8")
    assert f"## {' '.join(('shivelight', *words))}\n" in page


def test_the_commands_of_the_issue_are_all_there() -> None:
    """The names that TRADE section 8 gives, as far as this issue builds them."""
    wanted = """
        book new, book check, book backup, book export, book import,
        kit show, kit body, kit lens, kit drop,
        wood add, wood list, wood show, wood change, wood access, wood raster, wood remove,
        wood season, wood relief, wood outline,
        spot add, spot list, spot show, spot wish, spot unwish, spot change, spot remove,
        spot photo,
        skyline set, skyline ground, skyline show,
        survey add, survey show, survey change, survey drop, survey slope, survey import,
        survey export, survey photo, survey pair,
        stand find, stand wish, stand show, stand draw, stand after, layers,
        mark show, mark note, mark find, mark lost, mark forget, mark check,
        light on, light dark-season, light carpet, sun,
        forecast fetch, forecast read, forecast list,
        evening enter, evening judge, evening show, evening take,
        sheet print, word leave, arrive, log found, log counts, mist hindcast,
        settings show, settings set, settings reset, open, demo, warm
    """
    named = {" ".join(one.split()) for one in wanted.split(",")}
    assert {_name(words) for words, _, _ in COMMANDS} == named
