"""The Python shown in docs/library.md runs, block after block, as one script."""

import re
from pathlib import Path

PAGE = Path(__file__).parents[2] / "docs" / "library.md"


def test_every_block_of_the_library_page_runs() -> None:
    blocks = re.findall(r"```python\n(.*?)```", PAGE.read_text(encoding="utf-8"), flags=re.S)
    assert len(blocks) == 4
    shared: dict[str, object] = {}
    for number, block in enumerate(blocks, start=1):
        exec(compile(block, f"docs/library.md, block {number}", "exec"), shared)
    assert {"windows", "stand", "morning"} <= set(shared)
