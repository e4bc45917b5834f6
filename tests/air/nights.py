"""Invented nights for the tests of the mist model."""

from typing import Any

import numpy as np

from shivelight.air.mist import Night
from shivelight.basis.arrays import FloatArray, UtcArray

SUNRISE = np.datetime64("2027-11-03T07:22")
SUNSET = np.datetime64("2027-11-02T16:40")
UTC: UtcArray = np.arange(
    np.datetime64("2027-11-02T12:00"), np.datetime64("2027-11-03T13:00"), np.timedelta64(1, "h")
)


def _row(values: Any, members: int) -> FloatArray:
    return np.array(np.broadcast_to(np.asarray(values, dtype=np.float64), (members, UTC.size)))


def night(*, spread_k: Any = 0.6, wind_mps: Any = 1.0, members: int = 1, **changed: Any) -> Night:
    """Make a clear, calm, humid night over the Wennick valley, or what is asked."""
    hours = np.arange(UTC.size)
    temperature = 9.0 - 0.35 * np.minimum(hours, 19) + 1.2 * np.maximum(hours - 20, 0)
    rows: dict[str, Any] = {
        "temperature_degc": temperature,
        "dew_point_degc": None,
        "wind_speed_mps": wind_mps,
        "cloud_cover_frac": 0.1,
        "precipitation_mm": 0.0,
        "pressure_hpa": 1024.0,
    }
    single = {name: changed.pop(name) for name in tuple(changed) if name in rows}
    rows |= single
    if rows["dew_point_degc"] is None:
        rows["dew_point_degc"] = np.asarray(rows["temperature_degc"]) - np.asarray(spread_k)
    return Night(
        **{
            "utc": UTC,
            "sunrise_utc": SUNRISE,
            "sunset_utc": SUNSET,
            "latitude_deg": 53.0,
            "rain_before_mm": 2.0,
            **{name: _row(value, members) for name, value in rows.items()},
            **changed,
        }
    )
