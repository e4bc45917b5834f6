"""The same commands on real input: a laser-scanned raster and a recorded forecast.

Two places, since no free raster and recorded forecast of one place were at hand: light is worked
out at a point of the raster, the evening is judged at the place the forecast was made for. Every
command is printed as it would be typed; nothing is pretended but the clock, which is set to the
evening on which the forecast was recorded.

Origins and licences of both files are in ``tests/data/README.md``.
"""

import argparse
import shlex
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
RASTER = ROOT / "tests" / "data" / "terrain" / "slovenia_tm1_564_146_dtm_1m.tif"
FORECAST = ROOT / "tests" / "data" / "weather" / "metno_complete_recorded.json"

SLOPE = "Hollow above the stream"
LOWLAND = "Lowland oak"


def commands(out: Path) -> list[list[str]]:
    """List what is typed, in order."""
    book = ["--book", str(out / "real.sqlite")]
    evening = ["--now", "2020-07-20 21:00", "--zone", "Europe/London"]
    return [
        [*book, "book", "new"],
        # A wood on the raster, and a spot in a hollow of it.
        [*book, "wood", "add", SLOPE, "--parking", "46.4534 N 15.8364 E", "--height", "280",
         "--clock", "Europe/Ljubljana", "--stand", "beech"],
        [*book, "wood", "raster", SLOPE, str(RASTER), "--height-unit", "m"],
        [*book, "spot", "add", "Stream bend", "--wood", SLOPE, "--at", "46.456835 N 15.837617 E",
         "--view", "95", "--lens-height", "1.2", "--focal", "35"],
        [*book, "spot", "wish", "Stream bend", "direct light"],
        [*book, "skyline", "ground", "Stream bend", "--reach", "1"],
        [*book, "skyline", "show", "Stream bend"],
        [*book, "light", "on", "Stream bend", "2024-12-21"],
        [*book, "light", "dark-season", "Stream bend", "2024"],
        [*book, "light", "carpet", "Stream bend", "2024", "--picture", str(out / "carpet.svg")],
        # A wood where the forecast was made for, judged on that evening.
        [*book, "wood", "add", LOWLAND, "--parking", "51.5 N 0.1 W", "--height", "25",
         "--clock", "Europe/London", "--stand", "oak", "--road", "20"],
        [*book, "spot", "add", "Ride end", "--wood", LOWLAND, "--at", "51.5020 N 0.1010 W",
         "--view", "70", "--walk", "12"],
        [*book, "spot", "wish", "Ride end", "mist 100 to 900 m"],
        [*book, "spot", "wish", "Ride end", "still or stirring air"],
        [*book, "spot", "wish", "Ride end", "direct light", "--like"],
        [*book, *evening, "forecast", "read", str(FORECAST), "--wood", LOWLAND],
        [*book, *evening, "evening", "judge", "--mornings", "3"],
    ]  # fmt: skip


def main() -> int:
    """Type them one after another, and stop at the first that fails."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path, default=Path("demo-out/real"))
    out: Path = parser.parse_args().out
    out.mkdir(parents=True, exist_ok=True)
    for old in out.glob("real.sqlite*"):
        old.unlink()
    program = Path(sys.executable).with_name("shivelight")
    for words in commands(out):
        sys.stdout.write(f"\n$ shivelight {shlex.join(words)}\n")
        sys.stdout.flush()
        done = subprocess.run([str(program), *words], check=False)
        if done.returncode:
            return done.returncode
    return 0


if __name__ == "__main__":
    sys.exit(main())
