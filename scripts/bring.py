"""Bring parts of the operating system that Python packages cannot: printing, a browser, venv.

Tries Debian's packages when run as root on such a system; otherwise says in one sentence what
is missing and what that costs. Never fails: whoever needs the part decides what to do.
"""

import ctypes.util
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Part:
    """Something of the system's: its packages, how to see that it is there, what it costs."""

    packages: tuple[str, ...]
    there: Callable[[], bool]
    without: str


PARTS = {
    "printing": Part(
        ("libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0"),
        lambda: bool(ctypes.util.find_library("pangoft2-1.0")),
        "Printing libraries (Pango) are missing: no PDF, but the HTML sheet prints as it is.",
    ),
    "browser": Part(
        ("chromium",),
        lambda: shutil.which("chromium") is not None,
        "Chromium is missing: the tests that look at pages in a browser are left out.",
    ),
    "venv": Part(
        ("python3-venv",),
        lambda: False,
        "Python's venv module is missing.",
    ),
}


def main(names: list[str]) -> int:
    """Bring each named part."""
    for name in names:
        part = PARTS[name]
        if not part.there() and not (brought(part) and part.there()) and name != "venv":
            print(part.without, flush=True)
    return 0


def brought(part: Part) -> bool:
    """Install the part's packages with apt where that is possible."""
    if shutil.which("apt-get") is None or not hasattr(os, "geteuid") or os.geteuid() != 0:
        return False
    print(f"Bringing {', '.join(part.packages)} (Debian packages)", flush=True)
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for command in (["update", "-qq"], ["install", "-y", "-qq", "--no-install-recommends"]):
        full = ["apt-get", *command, *(part.packages if command[0] == "install" else ())]
        done = subprocess.run(
            full,
            env=environment,
            check=False,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        if done.returncode:
            return False
    return True


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
