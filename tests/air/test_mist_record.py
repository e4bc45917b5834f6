"""The whole way from a station's record through a hindcast: it ranks mornings, and is not wild.

The autumn used here was among the nights of the fit, and observed weather stands in for the
forecast: this shows that data, terms and table belong together, not how skilful the model is. For
that see docs/mist.md.
"""

import csv
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from shivelight.air.mist_hindcast import hindcast_lines
from shivelight.air.mist_sun import declination_deg, night_length_h

# Royal Netherlands Meteorological Institute (KNMI), station 280, autumn 2018.
RECORD = Path(__file__).parents[1] / "data" / "mist" / "knmi_280_autumn_2018.csv"
LATITUDE_DEG, LONGITUDE_DEG = 53.125, 6.585
KEYS = {
    "temperature_2m": "T",
    "dew_point_2m": "Td",
    "wind_speed_10m": "ff",
    "precipitation": "rain",
    "pressure_msl": "P",
}


@pytest.fixture(scope="module")
def mornings() -> tuple[list[dict[str, Any]], np.ndarray[Any, Any], np.ndarray[Any, Any]]:
    """Hindcasts of the record's mornings, and whether fog and mist were seen."""
    with RECORD.open(newline="", encoding="utf-8") as table:
        rows = list(csv.DictReader(table))
    lines, fog, mist = [], [], []
    for noon in range(36, len(rows) - 34, 24):
        night = rows[noon - 1 : noon + 33]
        sunrise = _sunrise(np.datetime64(night[0]["time"].replace(" ", "T"), "m"))
        hourly: dict[str, Any] = {
            key: [float(row[name]) if row[name] else None for row in night]
            for key, name in KEYS.items()
        }
        hourly["time"] = [row["time"].replace(" ", "T")[:16] for row in night]
        hourly["cloud_cover"] = [
            None if row["N"] in {"", "9.0"} else 12.5 * float(row["N"]) for row in night
        ]
        site = {"lat": LATITUDE_DEG, "lon": LONGITUDE_DEG}
        case = {"id": noon, "site": site, "sunrise_utc": str(sunrise), "hourly": hourly}
        lines.append(json.dumps(case))
        seen = [_seen(row, sunrise) for row in night]
        fog.append(any(one for one, _ in seen))
        mist.append(any(two for _, two in seen))
    return [json.loads(line) for line in hindcast_lines(lines)], np.array(fog), np.array(mist)


def _sunrise(noon_before: np.datetime64) -> np.datetime64:
    """Sunrise of the next morning within ten minutes; the equation of time is taken as 11."""
    next_noon = noon_before + np.timedelta64(24 * 60, "m")
    day_h = 24.0 - float(night_length_h(LATITUDE_DEG, declination_deg(np.array([next_noon])))[0])
    return next_noon - np.timedelta64(round(4 * LONGITUDE_DEG + 11 + 30 * day_h), "m")


def _seen(row: dict[str, str], sunrise: np.datetime64) -> tuple[bool, bool]:
    after = np.datetime64(row["time"].replace(" ", "T"), "m") - sunrise
    if not np.timedelta64(-60, "m") <= after <= np.timedelta64(120, "m"):
        return False, False
    dry, visibility_m = float(row["rain"] or 0) == 0.0, float(row["vis"] or 1e5)
    return visibility_m < 1_000.0 and dry, visibility_m < 5_000.0 and dry


def test_foggy_mornings_get_higher_chances_than_clear_ones(
    mornings: tuple[list[dict[str, Any]], np.ndarray[Any, Any], np.ndarray[Any, Any]],
) -> None:
    said, fog, mist = mornings
    assert 60 < len(said) < 80
    assert 5 < fog.sum() < mist.sum()
    for key, seen in (("p_fog", fog), ("p_mist", mist)):
        chance = np.array([one[key] for one in said])
        better = np.mean(chance[seen][:, None] > chance[~seen][None, :])
        assert better > 0.85


def test_the_mean_chance_is_near_the_rate(
    mornings: tuple[list[dict[str, Any]], np.ndarray[Any, Any], np.ndarray[Any, Any]],
) -> None:
    said, fog, mist = mornings
    for key, seen in (("p_fog", fog), ("p_mist", mist)):
        assert np.mean([one[key] for one in said]) == pytest.approx(seen.mean(), abs=0.12)
