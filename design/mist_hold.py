"""How long does a morning's visibility hold its rank? Evidence for ``MIST_HOLD_H``.

For each station and each hour of the window around sunrise, visibility is turned into a normal
score over all mornings of the month; the correlation of scores one and two hours apart says how
fast ranks wander. Only mornings with mist (under 5 km) at the first of the two hours count, since
the wandering of clear air moves no range that matters.

    python design/mist_hold.py --data DIR      (the hourly files that scripts/fit_mist.py reads)
"""

import argparse
import csv
import io
import lzma
import sys
from collections import defaultdict
from pathlib import Path

import numpy as np
from scipy.special import ndtri

HOURS = range(4, 10)


def scores(path: Path) -> dict[str, dict[int, float]]:
    """Give the normal score of visibility by day and hour, within the station's month and hour."""
    by_cell: dict[tuple[int, int], list[tuple[str, float]]] = defaultdict(list)
    with lzma.open(path) as packed:
        for row in csv.DictReader(io.TextIOWrapper(packed, encoding="utf-8")):
            time, visibility = row["time"], row["vis"]
            hour = int(time[11:13])
            if hour in HOURS and visibility:
                by_cell[int(time[5:7]), hour].append((time[:10], float(visibility)))
    found: dict[str, dict[int, float]] = defaultdict(dict)
    for (_, hour), cell in by_cell.items():
        values = np.array([value for _, value in cell])
        # Ties are spread evenly, so that bins of visibility do not look like perfect memory.
        order = np.lexsort((np.random.default_rng(1).random(values.size), values)).argsort()
        for (day, value), rank in zip(cell, order, strict=True):
            if value < 30_000.0:
                found[day][hour] = float(ndtri((rank + 0.5) / values.size))
            else:
                found[day][hour] = float("nan")
    return found


def main() -> int:
    """Print the correlation at one to three hours, and the hold that it means."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--data", type=Path, required=True)
    files = sorted(parser.parse_args().data.glob("knmi_*.csv.xz"))
    for gap in (1, 2, 3):
        pairs = []
        for path in files:
            for day in scores(path).values():
                for hour in HOURS:
                    if hour in day and hour + gap in day and day[hour] < 0.0:
                        pairs.append((day[hour], day[hour + gap]))
        both = np.array(pairs)
        both = both[np.isfinite(both).all(axis=1)]
        slope = float((both[:, 0] * both[:, 1]).sum() / (both[:, 0] ** 2).sum())
        print(f"{gap} h: kept {slope:.2f} of the score, hold {-gap / np.log(slope):.1f} h, "
              f"{len(both)} pairs")  # fmt: skip
    return 0


if __name__ == "__main__":
    sys.exit(main())
