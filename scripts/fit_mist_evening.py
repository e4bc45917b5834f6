"""Fit the evening model: temperature and dew point carried from a reading through the night.

    python scripts/fit_mist_evening.py --data DIR --table src/shivelight/air/_mist_evening_table.py

Fitted on the nights before 2017 for the scores, on all for the table.
"""

import argparse
from pathlib import Path

import numpy as np
from mist_data import HOURS_HELD, Station, read_stations, with_errors, years

from shivelight.air.mist_evening import change_terms, running_mean
from shivelight.air.mist_sun import declination_deg, night_length_h

LEADS = np.array([0.0, 1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 12.0, 14.0, 16.0])
HEADER = '''"""Coefficients of the evening model, written by scripts/fit_mist_evening.py.

Fitted on hourly observations of 13 stations, 2011 to 2020: Royal Netherlands Meteorological
Institute (KNMI). Terms in the order of mist_evening.change_terms; do not edit by hand.
"""

'''


def rows_of(station: Station, rng: np.random.Generator) -> dict[str, np.ndarray]:
    """Rows of one reading a night, at a random hour between sunset (or 18 UTC) and 23 UTC."""
    guess = with_errors(station, rng)
    declination = declination_deg(station.sunrise_utc)
    night_h = night_length_h(station.latitude_deg, declination)
    earliest = np.maximum(np.ceil(-night_h - station.start_h), 6.0)
    start = np.minimum(earliest + rng.integers(0, 6, night_h.size), 11.0).astype(int)
    lead_h = np.arange(HOURS_HELD)[None, :] - start[:, None].astype(float)
    dawn_h = (-station.start_h - start)[:, None]
    at_start = (np.arange(night_h.size), start)
    warm, moist = station.temperature_degc[at_start], station.dew_point_degc[at_start]
    columns = change_terms(
        lead_h,
        dawn_h=dawn_h,
        night_h=night_h[:, None],
        declination=declination[:, None],
        reading=(warm[:, None], moist[:, None]),
        sky=(
            _since(guess.cloud_cover_frac, lead_h),
            _since(guess.wind_speed_mps, lead_h),
        ),
    )
    use = (lead_h > 0.0) & (lead_h <= dawn_h + 4.0) & np.isfinite(columns).all(axis=-1)
    use &= np.isfinite(station.temperature_degc) & np.isfinite(warm + moist)[:, None]
    return {
        "columns": columns[use],
        "warm": (station.temperature_degc - warm[:, None])[use],
        "moist": (station.dew_point_degc - moist[:, None])[use],
        "lead": lead_h[use],
        "dawn": (lead_h - dawn_h)[use],
        "year": np.broadcast_to(years(station.days)[:, None], use.shape)[use],
    }


def _since(values: np.ndarray, lead_h: np.ndarray) -> np.ndarray:
    """Mean since the reading, as the model works it out."""
    after = np.where(lead_h >= 0.0, values, 0.0)
    first = np.take_along_axis(values, np.argmax(lead_h >= 0.0, axis=1)[:, None], axis=1)
    return running_mean(np.where(lead_h >= 0.0, after, first), lead_h)


def ridge(columns: np.ndarray, change: np.ndarray) -> np.ndarray:
    """Least squares with a small ridge on scaled columns."""
    width = np.sqrt(np.mean(columns**2, axis=0))
    scaled = columns / width
    matrix = scaled.T @ scaled + 10.0 * np.eye(columns.shape[1])
    return np.linalg.solve(matrix, scaled.T @ change) / width


def rms(values: np.ndarray) -> float:
    """Root of the mean square."""
    return float(np.sqrt(np.mean(values**2)))


def spread_by_lead(lead_h: np.ndarray, misses: np.ndarray) -> list[float]:
    """RMS error at each lead of the table; 0.2 K at the reading itself is a judgement."""
    found = [0.2]
    for lead in LEADS[1:]:
        found.append(rms(misses[np.abs(lead_h - lead) <= 0.5]))
    return [round(float(value), 2) for value in np.maximum.accumulate(found)]


def main() -> None:
    """Fit, score, write."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--data", type=Path, required=True)
    parser.add_argument("--table", type=Path, required=True)
    chosen = parser.parse_args()
    rng = np.random.default_rng(11)
    parts = [rows_of(station, rng) for station in read_stations(chosen.data).values()]
    rows = {name: np.concatenate([part[name] for part in parts]) for name in parts[0]}
    early = rows["year"] < 2017
    lines = []
    for what, name in (("warm", "TEMPERATURE"), ("moist", "DEW_POINT")):
        fitted = ridge(rows["columns"][early], rows[what][early])
        miss = rows["columns"] @ fitted - rows[what]
        late = ~early
        for label, gap in (
            ("6 h", rows["lead"] - 6.0),
            ("sunrise", rows["dawn"]),
            ("sunrise + 3 h", rows["dawn"] - 3.0),
        ):
            pick = late & (np.abs(gap) <= 0.5)
            still = rms(rows[what][pick])
            print(f"{name} at {label}: RMS error {rms(miss[pick]):.2f} K, no change {still:.2f} K")
        whole = ridge(rows["columns"], rows[what])
        lines.append(f"{name} = {tuple(round(float(v), 4) for v in whole)}")
        lines.append(f"SD_{name}_K = {tuple(spread_by_lead(rows['lead'][late], miss[late]))}")
    lines.insert(0, f"LEAD_H = {tuple(float(v) for v in LEADS)}")
    chosen.table.write_text(HEADER + "\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
