"""``shivelight --help`` is light: little time, nothing heavy imported, no command run."""

import resource
import subprocess
import sys

HEAVY = (
    "numpy", "numba", "scipy", "sqlalchemy", "alembic", "cv2", "fastapi", "rich", "rasterio",
    "skyfield", "weasyprint", "jinja2", "httpx", "pydantic", "shapely", "pyproj",
)  # fmt: skip
CPU_S = 0.30
TRIES = 5


def _python(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *arguments], capture_output=True, text=True, check=False, timeout=60
    )


def test_help_imports_nothing_heavy() -> None:
    code = (
        "import sys\n"
        "from shivelight.cli.main import main\n"
        "assert main(['--help']) == 0\n"
        "print('LOADED', *sorted({name.split('.')[0] for name in sys.modules}))\n"
    )
    done = _python("-c", code)
    assert done.returncode == 0, done.stderr
    loaded = done.stdout.split("LOADED")[1].split()
    assert "typer" in loaded
    assert not set(HEAVY) & set(loaded)


def test_help_of_a_command_imports_no_core_room() -> None:
    code = (
        "import sys\n"
        "from shivelight.cli.main import main\n"
        "assert main(['evening', 'judge', '--help']) == 0\n"
        "rooms = {name.split('.')[1] for name in sys.modules if name.startswith('shivelight.')}\n"
        "print('LOADED', *sorted(rooms))\n"
    )
    done = _python("-c", code)
    assert done.returncode == 0, done.stderr
    assert done.stdout.split("LOADED")[1].split() == [
        "basis",
        "cli",
        "workbench",
    ]


def test_help_takes_little_time() -> None:
    spent = []
    for _ in range(TRIES):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        assert _python("-m", "shivelight", "--help").returncode == 0
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        spent.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    assert min(spent) < CPU_S


def test_the_module_runs_and_leaves_with_the_code() -> None:
    done = _python("-m", "shivelight", "wood", "ad")
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.startswith("No such command 'ad'.")
    assert done.stderr.endswith(" See: shivelight wood --help\n")
