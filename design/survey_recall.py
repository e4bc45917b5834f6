"""How well distances come out of rendered woods: every pair, every trunk that is seen.

    python design/survey_recall.py [FOLDER]     # the renders of the tests if not given

Marks are put a pixel out at random, as a hand would; tilt, height and step are known.
"""

import itertools
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import cast

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from tests import renders

from shivelight.basis.errors import ShivelightError
from shivelight.store.book import FieldBook
from shivelight.workbench.settings import Settings
from shivelight.workbench.survey_given import PhotoGiven
from shivelight.workbench.survey_photos import SurveyPhotosDesk

SEEDS = range(2)


def given_of(render: renders.Render) -> PhotoGiven:
    view = render.taken["view"]
    return PhotoGiven(
        lens_height_m=view["z_m"], pitch_deg=view["pitch_deg"], roll_deg=view["roll_deg"]
    )


def pairs() -> Iterator[tuple[renders.Render, renders.Render]]:
    """Every two pictures of one wood in one air, from places apart, in even light."""
    for path in sorted(renders.FOLDER.glob("*.json")):
        shots = [
            renders.Render(path.stem, name)
            for name in renders.Render(path.stem, "").truth["shots"]
            if (renders.FOLDER / f"{path.stem}-{name}.png").exists()
        ]
        for one, other in itertools.permutations(shots, 2):
            same_air = one.taken["extinction_per_m"] == other.taken["extinction_per_m"]
            even = not (one.taken["low_sun"] or other.taken["low_sun"])
            if same_air and even and renders.step_m(one, other) > 0.05:
                yield one, other


def measure(
    desk: SurveyPhotosDesk, one: renders.Render, other: renders.Render, *, seed: int
) -> list[tuple[float, float, float, bool]]:
    """Give each trunk's distance, what it is off by, its own error, whether two photos gave it."""
    began = time.perf_counter()
    found = desk.pair_of_photos(
        one.data,
        other.data,
        step_m=renders.step_m(one, other),
        marks=one.marks(off_px=1.0, seed=seed),
        given=(given_of(one), given_of(other)),
    )
    rows, said = [], []
    for each in found.trunks:
        true_m = one.distance_m(each.trunk.name)
        off_m, error_m = each.trunk.distance_m - true_m, each.trunk.doubt.distance_m
        rows.append((true_m, off_m, error_m, "two photos" in each.ways))
        bad = " BAD" if abs(off_m) > max(0.05 * true_m, 3.0 * error_m) else ""
        said.append(f"{each.trunk.name} {true_m:.1f} m {100 * off_m / true_m:+.1f}{bad}")
    if seed == 0 or any("BAD" in part for part in said):
        print(
            f"{one.wood} {one.shot} > {other.shot}, {found.matches} matches, "
            f"{time.perf_counter() - began:.1f} s: {', '.join(said)}", flush=True
        )  # fmt: skip
    return rows


def main() -> None:
    if len(sys.argv) > 1:
        renders.FOLDER = Path(sys.argv[1])
    desk = SurveyPhotosDesk(
        cast("FieldBook", None), cast("Settings", None), np.datetime64("2027-11-02")
    )
    rows = []
    for one, other in pairs():
        for seed in SEEDS:
            try:
                rows.extend(measure(desk, one, other, seed=seed))
            except ShivelightError as why:
                print(f"{one.wood} {one.shot} > {other.shot}: {why}")
    away, off, error, by_two = np.array(rows).T
    share, errors = np.abs(off / away), np.abs(off / error)
    passed = (share < 0.05) | (errors < 3.0)
    print(
        f"{len(rows)} distances: {passed.sum()} within 5 in 100 or 3 of their own errors; median "
        f"off {100 * np.median(share):.1f} in 100, worst {100 * share.max():.0f}; root mean "
        f"square {np.sqrt(np.mean(errors**2)):.2f} standard errors; two photos gave "
        f"{int(by_two.sum())} of them"
    )
    for low, high in ((0.0, 6.0), (6.0, 10.0), (10.0, 16.0)):
        band = (away >= low) & (away < high)
        print(
            f"  {low:g} to {high:g} m: {band.sum()}, median off {100 * np.median(share[band]):.1f}"
        )


if __name__ == "__main__":
    main()
