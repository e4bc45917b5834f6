"""Saved pages and figures: compared after normalising, written anew on request, read in review.

``SHIVELIGHT_SNAPSHOTS=write pytest tests/pages`` writes them. A snapshot says that nothing has
changed unseen; it is our own output and proves nothing right.
"""

import os
import re
from pathlib import Path

SAVED = Path(__file__).parent / "saved"
_LONG_DATA = re.compile(r"(data:font/woff2;base64,)[A-Za-z0-9+/=]+")
_FIGURE = re.compile(r"<svg.*?</svg>", re.DOTALL)
_NUMBER = re.compile(r"-?\d+\.\d+")


def normalised(text: str) -> str:
    """Leave fonts out, round numbers to whole pixels, one tag a line.

    Figures inside a page are left out too: they have snapshots of their own.
    """
    short = _LONG_DATA.sub(r"\1…", text)
    if short.lstrip().startswith("<!doctype"):
        short = _FIGURE.sub("<svg…></svg>", short)
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
