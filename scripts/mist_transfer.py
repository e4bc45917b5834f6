"""Try the mist model where it was not made: airports of New York 2013, Greensboro TMY3.

    python scripts/mist_transfer.py --data DIR

Needs pandas and pyarrow beside numpy. The observed weather serves as the forecast, with the same
emulated errors as in the fit; clouds are missing at the airports, so the variant without is used.
"""

import argparse
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd
from mist_data import HOURS_HELD, Station, humidity_frac, months, ruler_of, sunrises, with_errors
from mist_score import area_under_roc, brier_skill, calibration

from shivelight.air.mist_model import MistModel, predict

PLACES = {
    "EWR": (40.69, -74.17),
    "JFK": (40.64, -73.78),
    "LGA": (40.78, -73.87),
    "Greensboro": (36.10, -79.95),
}


@dataclass(frozen=True, kw_only=True, eq=False)
class Record:
    """Hourly series on a gapless grid, UTC."""

    name: str
    start: np.datetime64
    table: np.ndarray  # T, Td, ff, cloud 0-1, vis, rain, P


def airports(path: Path) -> list[Record]:
    """Read the airports; no cloud is recorded."""
    frame = pd.read_parquet(path)
    records = []
    for name, found in frame.groupby("station"):
        rows = found.drop_duplicates("time_utc")
        columns = rows[["temp_c", "dewpoint_c", "wind_ms", "vis_m", "precip_mm", "mslp_hpa"]]
        records.append(_record(str(name), rows["time_utc"], columns, has_cloud=False))
    return records


def greensboro(path: Path) -> list[Record]:
    """Read the typical year; the eleven nights that join months of different years stay in."""
    frame = pd.read_parquet(path)
    frame["rain"] = 0.0  # not in the file: rain cannot be told from mist here
    frame["cloud"] = frame["total_cloud_tenths"] / 10.0
    when = np.datetime64("2001-01-01T05", "h") + np.arange(1, len(frame) + 1)  # UTC is 5 h ahead
    names = ["temp_c", "dewpoint_c", "wind_ms", "cloud", "vis_m", "rain", "pressure_hpa"]
    frame["pressure_hpa"] = np.nan  # station pressure, not at sea level
    return [_record("Greensboro", pd.Series(when), frame[names], has_cloud=True)]


def _record(name: str, when: pd.Series, columns: pd.DataFrame, *, has_cloud: bool) -> Record:
    hours = np.round(when.to_numpy().astype("datetime64[m]").astype(float) / 60.0).astype(int)
    table = np.full((hours.max() - hours.min() + 1, 7), np.nan)
    places = [0, 1, 2, 3, 4, 5, 6] if has_cloud else [0, 1, 2, 4, 5, 6]
    table[(hours - hours.min())[:, None], np.array(places)] = columns.to_numpy(dtype=float)
    return Record(name=name, start=np.datetime64(int(hours.min()), "h"), table=table)


def station_of(record: Record) -> Station:
    """Cut nights out of a record, from about 20 h before each sunrise."""
    latitude, longitude = PLACES[record.name]
    first = record.start.astype("datetime64[D]") + 2
    days = np.arange(first, first + record.table.shape[0] // 24 - 4)
    sunrise = sunrises(latitude, longitude, days)
    start = sunrise.astype("datetime64[h]") - np.timedelta64(20, "h")
    column = (start - record.start).astype(int)
    nights = record.table[column[:, None] + np.arange(HOURS_HELD)]
    before = record.table[np.maximum(column[:, None] - np.arange(24), 0)][:, :, 5].sum(axis=1)
    names = ("temperature_degc", "dew_point_degc", "wind_speed_mps", "cloud_cover_frac",
             "visibility_m", "precipitation_mm", "pressure_hpa")  # fmt: skip
    return Station(
        name=record.name,
        latitude_deg=latitude,
        longitude_deg=longitude,
        days=days,
        first_utc=start.astype("datetime64[m]"),
        sunrise_utc=sunrise,
        rain_before_mm=before,
        **{name: nights[:, :, index] for index, name in enumerate(names)},
    )


def report(stations: list[Station], label: str, seed: int) -> None:
    """Print what the shipped model reaches at some stations together."""
    rng = np.random.default_rng(seed)
    rows = [_try(station, rng) for station in stations]
    fog, mist, seen_fog, seen_mist, month = (
        np.concatenate(part) for part in zip(*rows, strict=True)
    )
    print(
        f"{label}: {fog.size} nights, fog on {seen_fog.mean():.3f}, mist on {seen_mist.mean():.3f}"
    )
    for name, said, seen in (("fog", fog, seen_fog), ("mist", mist, seen_mist)):
        rate = np.array([seen[month == m].mean() for m in month])
        print(
            f"   {name:5s} skill against its own months {brier_skill(said, seen, rate):.3f} "
            f"area {area_under_roc(said, seen):.3f} calibration {calibration(said, seen)[0]:.3f} "
            f"mean said {said.mean():.3f}"
        )


def _try(station: Station, rng: np.random.Generator) -> tuple[np.ndarray, ...]:
    after = station.after_h
    window = (after >= -1.0) & (after <= 2.0)
    humid = humidity_frac(station.temperature_degc, station.dew_point_degc) >= 0.9
    dry = np.nan_to_num(station.precipitation_mm) <= 0.0
    known = np.isfinite(station.visibility_m)
    fog = (station.visibility_m < 1000.0) & dry
    mist = ((station.visibility_m < 5000.0) & humid & dry) | fog
    said = predict(ruler_of(with_errors(station, rng)), MistModel.default())
    good = (known | ~window).all(axis=1) & (said.variant >= 0)
    return (
        said.fog_frac[good],
        said.mist_frac[good],
        (fog & window).any(axis=1)[good].astype(float),
        (mist & window).any(axis=1)[good].astype(float),
        months(station.days)[good],
    )


def main() -> None:
    """Try both sources."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--data", type=Path, required=True)
    folder = parser.parse_args().data
    report(
        [station_of(r) for r in airports(folder / "us_airports_nyc_2013.parquet")], "New York", 3
    )
    report(
        [station_of(r) for r in greensboro(folder / "tmy3_723170_greensboro_nc.parquet")],
        "Greensboro",
        3,
    )


if __name__ == "__main__":
    main()
