"""Make ``.venv`` and install what the lock names, hashes checked: for use, or with tools.

Needs nothing but Python 3.11 or newer. Run by ``make``; run again it does nothing new.
"""

import argparse
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
LEAST = (3, 11)


def main() -> int:
    """Set up the environment and leave a stamp for ``make``."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--dev", action="store_true", help="also what tests and checks need")
    asked = parser.parse_args()
    if sys.version_info < LEAST:
        print(
            f"Shivelight needs Python 3.11 or newer; this is {sys.version.split()[0]}. "
            "Say which to use with: make demo PYTHON=python3.12"
        )
        return 2
    python = VENV / "bin" / "python"
    if not python.exists() and not make_venv():
        return 1
    lock = ROOT / ("requirements-dev.lock" if asked.dev else "requirements.lock")
    if not install(python, lock):
        print("The packages could not be installed; is there a connection to a package index?")
        return 1
    stamps = [VENV / ".user"] + ([VENV / ".dev"] if asked.dev else [])
    for stamp in stamps:
        stamp.touch()
    return 0


def make_venv() -> bool:
    """Create the environment; on Debian the module for it may have to be brought first."""
    made = subprocess.run([sys.executable, "-m", "venv", str(VENV)], check=False)
    if made.returncode == 0:
        return True
    subprocess.run([sys.executable, str(ROOT / "scripts" / "bring.py"), "venv"], check=False)
    again = subprocess.run([sys.executable, "-m", "venv", "--clear", str(VENV)], check=False)
    if again.returncode:
        print("Python's venv module is missing; on Debian: apt-get install python3-venv")
    return again.returncode == 0


def install(python: Path, lock: Path) -> bool:
    """Install with uv, which is quick; with pip where uv will not do."""
    print(f"Setting up .venv from {lock.name} (half a minute the first time)", flush=True)
    quiet = ["-q", "--disable-pip-version-check"]
    got_uv = run(python, "-m", "pip", "install", *quiet, "uv>=0.5")
    arguments = ["--require-hashes", "-r", str(lock)]
    done = got_uv and run(
        python, "-m", "uv", "pip", "install", "-q", "--python", str(python),
        "--compile-bytecode", *arguments,
    )  # fmt: skip
    done = done or run(python, "-m", "pip", "install", *quiet, *arguments)
    # Our own package is linked, not copied; its build tool comes from the index as well.
    return done and run(
        python, "-m", "pip", "install", *quiet, "--no-deps", "--editable", str(ROOT)
    )


def run(*command: object) -> bool:
    """Run a command from the root; whether it went well."""
    return subprocess.run([str(one) for one in command], cwd=ROOT, check=False).returncode == 0


if __name__ == "__main__":
    sys.exit(main())
