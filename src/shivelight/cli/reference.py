"""The pages of the documentation that are made from the code: commands and settings."""

import re
from collections.abc import Iterator
from dataclasses import fields
from typing import Any

import typer
from typer.main import get_command

from shivelight.cli.exits import DONE, EXITS, FAULT, INTERRUPTED
from shivelight.cli.main import app
from shivelight.cli.options import SHARED

COLUMNS = 92
MADE = "<!-- Made from the code by scripts/write_commands.py; change the code, not this page. -->"


def every_command() -> Iterator[tuple[tuple[str, ...], typer.Context, Any]]:
    """Words, context and command of the root, of each group and of each command."""
    root = get_command(app)
    yield from _walk(root, _context(root, "shivelight", None), ())


def help_text(context: typer.Context, one: Any) -> str:
    """Help of one command as it is printed at a fixed width."""
    text: str = one.get_help(context)
    return re.sub(r"[ \t]+$", "", text, flags=re.MULTILINE).strip()


def commands_page() -> str:
    """Every command with its help, as ``docs/commands.md``."""
    parts = [MADE, "# Commands", _opening()]
    for words, context, one in every_command():
        level = "##" if len(words) < 2 else "###"
        title = " ".join(("shivelight", *words))
        parts.append(f"{level} {title}\n\n```text\n{help_text(context, one)}\n```")
    return "\n\n".join((*parts, _exits())) + "\n"


def settings_page() -> str:
    """Every setting with its default, as ``docs/settings.md``."""
    from shivelight.workbench.settings import FILE_NAME, PREFIX, Settings

    rows = [
        f"| `{one.name}` | {_default(one.default)} | `{PREFIX}{one.name.upper()}` | "
        f"{one.metadata['help']} |"
        for one in fields(Settings)
    ]
    opening = (
        f"A setting is looked for in what was typed, then in the environment, then in "
        f"`{FILE_NAME}` beside the field book, and is else its default. The file is plain TOML:"
    )
    example = '```toml\ncontact = "orla@wennick.example"\nback_by = "10:30"\n```'
    head = "| setting | default | in the environment | what it is |\n|---|---|---|---|"
    return "\n\n".join((MADE, "# Settings", opening, example, "\n".join((head, *rows)))) + "\n"


def _default(value: Any) -> str:
    return f"`{value}`" if str(value) else "nothing"


def _walk(
    one: Any, context: typer.Context, words: tuple[str, ...]
) -> Iterator[tuple[tuple[str, ...], typer.Context, Any]]:
    yield words, context, one
    for name in one.list_commands(context) if hasattr(one, "list_commands") else ():
        below = one.get_command(context, name)
        yield from _walk(below, _context(below, name, context), (*words, name))


def _context(one: Any, name: str, parent: typer.Context | None) -> typer.Context:
    return typer.Context(
        one,
        info_name=name,
        parent=parent,
        terminal_width=COLUMNS,
        max_content_width=COLUMNS,
        help_option_names=["--help", "-h"],
    )


def _opening() -> str:
    return (
        "Each command answers in words, or with `--json` in one JSON document whose keys are the "
        "names in the code, units and all. The shared options "
        f"({', '.join(_flag(one) for one in SHARED.values())}) stand before or after a command. "
        "Progress and refusals go to stderr."
    )


def _flag(annotation: Any) -> str:
    option = annotation.__metadata__[0]
    names = (option.default, *(option.param_decls or ()))
    return f"`{next(name for name in names if isinstance(name, str))}`"


def _exits() -> str:
    rows = [
        f"| {DONE} | done |",
        *(f"| {code} | {what} |" for _, code, what in EXITS),
        f"| {FAULT} | a fault of shivelight's own; `-v` shows the details |",
        f"| {INTERRUPTED} | stopped by the keyboard |",
    ]
    head = "## Exit codes\n\n| code | meaning |\n|---|---|\n"
    return head + "\n".join(rows)
