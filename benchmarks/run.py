"""Run every benchmark; each prints our time, a peer's time in the same run, and the ratio."""

import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent


def main() -> int:
    """Run each benchmark in a process of its own, so that none warms another."""
    failed = 0
    for path in sorted(HERE.glob("*.py")):
        if path.name == "run.py":
            continue
        print(f"== {path.stem}", flush=True)
        failed |= subprocess.run([sys.executable, str(path)], check=False).returncode
    return failed


if __name__ == "__main__":
    sys.exit(main())
