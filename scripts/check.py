"""Pass everything: format, lint, imports, types, tests, kernels without a compiler, the wheel.

Stops at the first step that fails and says which; prints how long each took.
"""

import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
BIN = ROOT / ".venv" / "bin"
FOLDERS = ("src", "tests", "benchmarks", "scripts", "examples", "design")
HERE = tuple(name for name in FOLDERS if (ROOT / name).is_dir())

STEPS: tuple[tuple[str, list[str], dict[str, str]], ...] = (
    ("format", ["ruff", "format", "--check", *HERE], {}),
    ("lint", ["ruff", "check", *HERE], {}),
    ("imports", ["lint-imports"], {}),
    ("types", ["mypy", "src", "tests"], {}),
    # The kernels first without a compiler, so that their lines are seen as plain Python.
    ("kernels, uncompiled", ["pytest", "-q", "tests/plain"], {"NUMBA_DISABLE_JIT": "1"}),
    ("tests", ["pytest", "-q"], {}),
)


def main() -> int:
    """Run the steps."""
    for name, command, extra in STEPS:
        if not step(name, [str(BIN / command[0]), *command[1:]], extra):
            return 1
    return 0 if wheel_runs() else 1


def step(name: str, command: list[str], extra: dict[str, str]) -> bool:
    """Run one step and say how it went."""
    print(f"--- {name}", flush=True)
    start = time.monotonic()
    done = subprocess.run(command, cwd=ROOT, env={**os.environ, **extra}, check=False)
    print(f"--- {name}: {time.monotonic() - start:.0f} s", flush=True)
    if done.returncode:
        print(f"FAILED at: {name}", flush=True)
    return done.returncode == 0


def wheel_runs() -> bool:
    """Install the built wheel beside the lock's packages, without tools, and ask it for help."""
    with tempfile.TemporaryDirectory() as folder:
        python = str(BIN / "python")
        built = step(
            "wheel",
            [python, "-m", "pip", "wheel", "-q", "--no-deps", "-w", folder, str(ROOT)],
            {},
        )
        wheel = next(Path(folder).glob("*.whl"), None)
        if not built or wheel is None:
            return False
        site = Path(folder) / "site"
        shutil.unpack_archive(wheel, site, format="zip")
        return step(
            "help from the wheel",
            [python, "-P", "-c", "from shivelight.cli.main import run; run()", "--help"],
            {"PYTHONPATH": str(site)},
        )


if __name__ == "__main__":
    sys.exit(main())
