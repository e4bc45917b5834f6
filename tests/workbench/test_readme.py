"""The README shows what the demo really prints."""

import re
from pathlib import Path

from typer.testing import CliRunner

from shivelight.cli.main import app

README = Path(__file__).parents[2] / "README.md"


def test_the_demo_block_of_the_readme_is_what_the_demo_prints(tmp_path: Path) -> None:
    blocks = re.findall(r"```\n(.*?)```", README.read_text(encoding="utf-8"), flags=re.S)
    shown = next(block for block in blocks if block.startswith("The Wennick valley is invented"))
    done = CliRunner().invoke(app, ["demo", "--out", str(tmp_path)], env={"COLUMNS": "88"})
    assert done.exit_code == 0, done.output
    assert told(done.stdout).startswith(told(shown))


def told(text: str) -> str:
    """Drop minutes, which another processor's rounding may move by a step of the grid."""
    return re.sub(r" +\d+ +(?=--:--|none)", " ", re.sub(r"\d\d:\d\d", "--:--", text)).rstrip()
