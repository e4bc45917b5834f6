"""Saved pages and figures: compared after normalising, written anew on request, read in review.

``SHIVELIGHT_SNAPSHOTS=write pytest tests/pages`` writes them. A snapshot says that nothing has
changed unseen; it is our own output and proves nothing right.
"""

import os
import re
from pathlib import Path

SAVED = Path(__file__).parent / "saved"
_LEFT_OUT = (
    (re.compile(r"<svg.*?</svg>", re.DOTALL), "<svg…></svg>"),
    (re.compile(r"<style>.*?</style>", re.DOTALL), "<style…></style>"),
    (re.compile(r"<script>.*?</script>", re.DOTALL), "<script…></script>"),
)
_NUMBER = re.compile(r"-?\d+\.\d+")


def normalised(text: str) -> str:
    """Round numbers to whole pixels, one tag a line.

    Of a page only its words and parts are kept: figures have snapshots of their own, and style
    and script are files that are read as they are.
    """
    short = text
    if short.lstrip().startswith("<!doctype"):
        for pattern, left in _LEFT_OUT:
            short = pattern.sub(left, short)
    rounded = _NUMBER.sub(lambda found: f"{round(float(found[0]))}", short)
    lines = re.sub(r">\s*<", ">\n<", rounded).splitlines()
    return "\n".join(line.rstrip() for line in lines if line.strip()) + "\n"


def compare(name: str, text: str) -> None:
    """Hold a page against its snapshot."""
    path = SAVED / name
    found = normalised(text)
    if os.environ.get("SHIVELIGHT_SNAPSHOTS") == "write":
        path.parent.mkdir(exist_ok=True)
        path.write_text(found, encoding="utf-8")
    assert path.exists(), f"No snapshot {name}; see tests/pages/snapshots.py."
    assert found == path.read_text(encoding="utf-8")
