"""Fit the mist model on the training stations and write its table.

    python scripts/fit_mist.py --data DIR --table src/shivelight/air/_mist_table.py
    python scripts/fit_mist.py --data DIR --score docs/figures

DIR is laid out as the project's shared weather data: ``knmi_stations.csv`` and
``knmi_train/knmi_<station>_2011-2020.csv.xz`` (hourly observations of the Royal Netherlands
Meteorological Institute, KNMI). Needs numpy only.
"""

import argparse
import json
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
from mist_data import Station, from_afar, lifting_min, months, read_stations, truth_of, with_errors
from mist_draw import draw_all
from mist_evaluate import evaluate, variant_skills
from mist_fit import VARIANTS, Nights, fit_all, joined, lift_table, nights_of, window_logits

from shivelight.air.mist_lift import QUANTILES
from shivelight.air.mist_model import CURVE_MIN, weighted
from shivelight.air.mist_terms import LIFT_TERMS, WINDOW_TERMS

FOG_EDGES_M = (100.0, 200.0, 300.0, 400.0, 500.0, 600.0, 800.0, 1000.0)
MIST_EDGES_M = (1000.0, 1300.0, 1600.0, 2000.0, 2500.0, 3000.0, 3600.0, 4300.0, 5000.0)
THINNEST_M = 40.0  # lower end of the sensors' first bin (0 to 100 m); a judgement
HEADER = '''"""Coefficients of the mist model, written by scripts/fit_mist.py; do not edit by hand.

Fitted on hourly observations of 13 stations, 2011 to 2020: Royal Netherlands Meteorological
Institute (KNMI). Rows follow the lists in mist_terms.py, the constant first.
"""

'''


def forecasts(
    stations: dict[str, Station], *, seed: int, far_km: float | None, copies: int
) -> list[Nights]:
    """Make training or test sets: ``copies`` with emulated errors, one from afar if asked."""
    rng = np.random.default_rng(seed)
    truths = {name: truth_of(station) for name, station in stations.items()}
    sets = []
    for _ in range(copies):
        parts = [nights_of(with_errors(s, rng), s, truths[n]) for n, s in stations.items()]
        sets.append(joined(parts))
    if far_km is not None:
        parts = [
            nights_of(from_afar(s, stations, about_km=far_km), s, truths[n])
            for n, s in stations.items()
        ]
        sets.append(joined(parts))
    return sets


def base_rates(stations: dict[str, Station]) -> tuple[np.ndarray, np.ndarray]:
    """Rates of the window by month over all training stations."""
    fog, mist = np.zeros((2, 12))
    count = np.zeros(12)
    for station in stations.values():
        truth, month = truth_of(station), months(station.days)
        use = truth.window_known
        fog += np.bincount(month[use], truth.window_fog[use], minlength=12)
        mist += np.bincount(month[use], truth.window_mist[use], minlength=12)
        count += np.bincount(month[use], minlength=12)
    return fog / count, mist / count


def range_shares(
    stations: dict[str, Station], low_m: float, edges_m: tuple[float, ...]
) -> list[float]:
    """Share of ranges below each edge, among dry hours of the window from ``low_m``."""
    seen = []
    for station in stations.values():
        truth = truth_of(station)
        window = (station.after_h >= -1.0) & (station.after_h <= 2.0)
        seen.append(station.visibility_m[window & truth.known & (truth.mist | truth.fog)])
    ranges = np.concatenate(seen)
    ranges = ranges[(ranges >= low_m) & (ranges < edges_m[-1])]
    return [float(np.mean(ranges < edge)) for edge in edges_m]


def seen_shifts(
    nights: Nights, have: frozenset[str], window: dict, lift: np.ndarray
) -> dict[str, float]:
    """Fit what the range seen at sunrise adds to the log-odds of lifting."""
    nearest = np.abs(nights.after_h).argmin(axis=1)
    range_m = nights.visibility_m[np.arange(nights.count), nearest]
    _, mist = window_logits(nights, have, window)
    columns, lifted, night = lift_table(nights, have, mist, nights.lift_min)
    names = list(LIFT_TERMS)
    offset = weighted({n: columns[:, i] for i, n in enumerate(names)}, names, lift)
    there = range_m[night]
    found = {}
    for word, low, high in (("thin", 500, 1000), ("good", 200, 500), ("thick", 0, 200)):
        rows = (there >= low) & (there < high)
        found[f"{word}_shift"] = _constant(lifted[rows], offset[rows])
    return found


def _constant(happened: np.ndarray, offset: np.ndarray) -> float:
    """One shift of the log-odds that makes the expected count right (bisection)."""
    low, high = -8.0, 8.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        expected = np.mean(1.0 / (1.0 + np.exp(-(offset + middle))))
        low, high = (low, middle) if expected > happened.mean() else (middle, high)
    return 0.5 * (low + high)


def wisps_shift(
    stations: dict[str, Station], have: frozenset[str], window: dict, lift: np.ndarray
) -> float:
    """Fit the shift for 1 to 2 km at sunrise, where lifted means 2 km and more for two hours."""
    rng = np.random.default_rng(5)
    parts = []
    for station in stations.values():
        truth = truth_of(station)
        there = truth.mist & ~truth.fog & (station.visibility_m < 2000.0)
        minutes = lifting_min(station, there, station.visibility_m >= 2000.0)
        parts.append(
            nights_of(with_errors(station, rng), station, replace(truth, lift_min=minutes))
        )
    nights = joined(parts)
    _, mist = window_logits(nights, have, window)
    columns, lifted, _ = lift_table(nights, have, mist, nights.lift_min)
    names = list(LIFT_TERMS)
    offset = weighted({n: columns[:, i] for i, n in enumerate(names)}, names, lift)
    return _constant(lifted, offset)


def base_shapes(stations: dict[str, Station]) -> str:
    """Lines of the table for a case with no forecast: rates by the quarter hour, liftings.

    The shares are of the window's rate, over observed hours within 30 minutes of each moment.
    """
    after, fog, mist, lifts = [], [], [], []
    window_fog, window_mist = [], []
    for station in stations.values():
        truth = truth_of(station)
        after.append(station.after_h[truth.known])
        fog.append(truth.fog[truth.known])
        mist.append((truth.mist | truth.fog)[truth.known])
        window_fog.append(truth.window_fog[truth.window_known])
        window_mist.append(truth.window_mist[truth.window_known])
        lifts.append(truth.lift_min[np.isfinite(truth.lift_min)])
    when = 60.0 * np.concatenate(after)
    lines = []
    for name, seen, window in (("FOG", fog, window_fog), ("MIST", mist, window_mist)):
        hour, rate = np.concatenate(seen), np.concatenate(window).mean()
        shares = [hour[np.abs(when - minute) <= 30.0].mean() / rate for minute in CURVE_MIN]
        lines.append(f"BASE_{name}_SHAPE = {tuple(round(float(x), 3) for x in shares)}")
    quantiles = np.quantile(np.concatenate(lifts), QUANTILES)
    lines.append(f"BASE_LIFT_MIN = {tuple(round(float(x)) for x in quantiles)}")
    return "\n".join(lines) + "\n"


def rounded(values: np.ndarray) -> list[float]:
    """Keep three figures, at most three decimals: far finer than the fit."""
    short = [round(float(f"{value:.3g}"), 3) for value in values]
    return [int(value) if value == int(value) else value for value in short]


def write_table(path: Path, stations: dict[str, Station], nights: Nights, skills: dict) -> None:
    """Fit everything and write the module of coefficients."""
    windows, moments = fit_all(nights)
    full, lift = VARIANTS["full"], moments["cloud+rain+wind"]["lift"]
    shifts = seen_shifts(nights, full, windows["full"], lift)
    shifts["wisps_shift"] = wisps_shift(stations, full, windows["full"], lift)
    fog_rate, mist_rate = base_rates(stations)
    table = {
        "trained_on": "13 stations of KNMI, 2011 to 2020, with emulated forecast errors",
        "base_fog_frac": rounded(fog_rate),
        "base_mist_frac": rounded(mist_rate),
        "term_means": rounded(np.array([nights.terms[name].mean() for name in WINDOW_TERMS])),
        "seen": {name: round(value, 3) for name, value in shifts.items()},
        "fog_range_m": [int(edge) for edge in (THINNEST_M, *FOG_EDGES_M)],
        "fog_range_share": [0.0, *rounded(np.array(range_shares(stations, 0.0, FOG_EDGES_M)))],
        "mist_range_m": [int(edge) for edge in MIST_EDGES_M],
        "mist_range_share": rounded(np.array(range_shares(stations, 1000.0, MIST_EDGES_M))),
        "variants": [
            {
                "name": name,
                "have": sorted(have),
                "fog": rounded(windows[name]["fog"]),
                "mist": rounded(windows[name]["mist"]),
                "skill": [round(value, 3) for value in skills.get(name, (0.0, 0.0))],
            }
            for name, have in VARIANTS.items()
        ],
        "moments": {
            key: {kind: rounded(values) for kind, values in rows.items()}
            for key, rows in moments.items()
        },
    }
    text = json.dumps(table, separators=(",", ":"))
    lines = [text[start : start + 88] for start in range(0, len(text), 88)]
    body = "\n".join(
        f"    {json.dumps(line)}" if '"' not in line else f"    '{line}'" for line in lines
    )
    path.write_text(f"{HEADER}TABLE = (\n{body}\n)\n{base_shapes(stations)}", encoding="utf-8")
    print(f"table: {len(text)} bytes of JSON, {path}")


def main() -> None:
    """Parse the command line and do what it asks."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--data", type=Path, required=True)
    parser.add_argument("--table", type=Path, help="write the coefficients here")
    parser.add_argument("--score", type=Path, help="score and draw the figures into this folder")
    parser.add_argument("--variants", action="store_true", help="score every variant too (slow)")
    chosen = parser.parse_args()
    begun = time.perf_counter()
    stations = read_stations(chosen.data)
    train = forecasts(stations, seed=1, far_km=55.0, copies=2)
    print(
        f"{sum(n.count for n in train)} forecast nights of {len(stations)} stations, "
        f"{time.perf_counter() - begun:.0f} s"
    )
    both = joined(train)
    skills: dict = {}
    if chosen.score or chosen.variants:
        own, far = forecasts(stations, seed=99, far_km=80.0, copies=1)
        if chosen.variants:
            skills = variant_skills(both, own)
        if chosen.score:
            tests = {"emulated errors": own, "a far station as the forecast": far}
            draw_all(evaluate(both, tests), chosen.score)
    if chosen.table:
        write_table(chosen.table, stations, both, skills)
    print(f"{time.perf_counter() - begun:.0f} s in all")


if __name__ == "__main__":
    main()
