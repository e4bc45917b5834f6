"""Pages made from the code say what the code says."""

from dataclasses import fields
from pathlib import Path

from shivelight.cli.exits import EXITS
from shivelight.cli.reference import commands_page, settings_page
from shivelight.workbench.settings import Settings

DOCS = Path(__file__).parents[2] / "docs"
AGAIN = "run: python scripts/write_commands.py"


def test_the_page_of_commands_is_up_to_date() -> None:
    assert (DOCS / "commands.md").read_text(encoding="utf-8") == commands_page(), AGAIN


def test_the_page_of_settings_is_up_to_date() -> None:
    assert (DOCS / "settings.md").read_text(encoding="utf-8") == settings_page(), AGAIN


def test_every_setting_is_explained() -> None:
    page = (DOCS / "settings.md").read_text(encoding="utf-8")
    for one in fields(Settings):
        help_text = one.metadata["help"]
        assert help_text.endswith(".")
        assert f"| `{one.name}` |" in page
        assert help_text in page


def test_every_exit_code_is_explained() -> None:
    page = (DOCS / "commands.md").read_text(encoding="utf-8")
    for _, code, what in EXITS:
        assert f"| {code} | {what} |" in page
