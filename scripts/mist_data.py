"""Training nights for the mist model: reading, truths, and forecasts with honest errors."""

import csv
import lzma
import re
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from shivelight.air.mist_hours import NightHours, on_ruler
from shivelight.air.mist_sun import declination_deg, night_length_h

FIRST_DAY, LAST_DAY = np.datetime64("2011-01-02"), np.datetime64("2020-12-31")
HOURS_HELD = 37  # from 12 UTC the day before
NO_PRESSURE = {"267": "269", "377": "375"}  # stations without a barometer borrow a neighbour's

# Sizes of the emulated errors of a forecast for next morning: a judgement, to be
# fitted again when real archived forecasts exist.
ERRORS = {
    "temperature_k": 1.4,
    "dew_point_k": 1.3,
    "correlation": 0.45,
    "wind_mps": 1.2,
    "cloud_frac": 0.28,
    "rain_shift_h": 2,
    "nightly_share": 0.6,
    "hourly_share": 0.8,
    "phi": 0.85,
    "lead_first": 0.6,
    "lead_last": 1.0,
}


@dataclass(frozen=True, kw_only=True, eq=False)
class Station:
    """Observed nights of one station: N nights of 37 hours from ``first_utc`` (12 UTC here)."""

    name: str
    latitude_deg: float
    longitude_deg: float
    days: np.ndarray
    first_utc: np.ndarray
    sunrise_utc: np.ndarray
    temperature_degc: np.ndarray
    dew_point_degc: np.ndarray
    wind_speed_mps: np.ndarray
    cloud_cover_frac: np.ndarray
    visibility_m: np.ndarray
    precipitation_mm: np.ndarray
    pressure_hpa: np.ndarray
    rain_before_mm: np.ndarray

    @property
    def start_h(self) -> np.ndarray:
        """Hours from sunrise of the first column. Shape (N,)."""
        return (self.first_utc - self.sunrise_utc) / np.timedelta64(60, "m")

    @property
    def after_h(self) -> np.ndarray:
        """Hours from sunrise of every column. Shape (N, 37)."""
        return self.start_h[:, None] + np.arange(HOURS_HELD)


@dataclass(frozen=True, kw_only=True, eq=False)
class Truth:
    """What was seen: shapes (N, 37) by the hour, (N,) by the night."""

    known: np.ndarray
    fog: np.ndarray
    mist: np.ndarray
    window_known: np.ndarray
    window_fog: np.ndarray
    window_mist: np.ndarray
    lift_min: np.ndarray  # fog at the hour nearest sunrise; NaN without, or with gaps after it
    lift_after_min: np.ndarray  # the same with the first hour after sunrise


def _hourly(path: Path) -> tuple[np.datetime64, np.ndarray]:
    """Read one station's file onto a gapless hourly grid. Columns T Td ff N vis rain P."""
    with lzma.open(path, "rt", encoding="ascii") as lines:
        next(lines)
        rows = [line.rstrip("\n").split(",") for line in lines]
    when = np.array([row[0].replace(" ", "T") for row in rows], dtype="datetime64[h]")
    values = np.array([[float(x) if x else np.nan for x in row[1:]] for row in rows])
    start = np.datetime64("2011-01-01T00", "h")
    grid = np.full((24 * 3655, 7), np.nan)
    grid[(when - start).astype(int)] = values
    return start, grid


def sunrises(latitude_deg: float, longitude_deg: float, days: np.ndarray) -> np.ndarray:
    """Sunrise of each day within about two minutes (equation of time as in the Almanac)."""
    found = days.astype("datetime64[m]") + np.timedelta64(round(720 - 4 * longitude_deg), "m")
    for _ in range(2):
        day_min = 60.0 * (24.0 - night_length_h(latitude_deg, declination_deg(found)))
        minutes = 720.0 - 4.0 * longitude_deg - _equation_min(found) - day_min / 2.0
        found = days.astype("datetime64[m]") + np.round(minutes).astype("timedelta64[m]")
    return found


def _equation_min(utc: np.ndarray) -> np.ndarray:
    days = (utc - np.datetime64("2000-01-01T12:00")) / np.timedelta64(1, "D")
    anomaly = np.radians(357.528 + 0.9856003 * days)
    mean = 280.460 + 0.9856474 * days
    longitude = np.radians(mean + 1.915 * np.sin(anomaly) + 0.020 * np.sin(2.0 * anomaly))
    tilt = np.radians(23.439)
    right = np.degrees(np.arctan2(np.cos(tilt) * np.sin(longitude), np.cos(longitude)))
    return 4.0 * ((mean - right + 180.0) % 360.0 - 180.0)


def masked_cloud(okta: np.ndarray, visibility_m: np.ndarray) -> np.ndarray:
    """Cloud as a forecast could have it: hours in fog or "sky obscured" take the last seen."""
    cloud = np.where((okta > 8.0) | (visibility_m < 1000.0), np.nan, okta) / 8.0
    for order in (range(cloud.shape[1]), reversed(range(cloud.shape[1]))):
        last = np.full(cloud.shape[0], np.nan)
        for column in order:
            last = np.where(np.isfinite(cloud[:, column]), cloud[:, column], last)
            cloud[:, column] = last
    return cloud


def read_stations(folder: Path) -> dict[str, Station]:
    """Read every training station below a folder laid out as shared/data/weather."""
    with (folder / "knmi_stations.csv").open(newline="", encoding="utf-8") as table:
        places = {r["station"]: r for r in csv.DictReader(table)}
    grids = {}
    for path in sorted((folder / "knmi_train").glob("knmi_*.csv.xz")):
        name = re.sub(r"\D", "", path.name.split("_")[1])
        start, grids[name] = _hourly(path)
    stations = {}
    for name, grid in grids.items():
        if name in NO_PRESSURE:
            grid[:, 6] = grids[NO_PRESSURE[name]][:, 6]
        place = places[name]
        stations[name] = _station(
            name, float(place["latitude_deg"]), float(place["longitude_deg"]), grid, start
        )
    return stations


def _station(name: str, latitude: float, longitude: float, grid: np.ndarray, start) -> Station:
    days = np.arange(FIRST_DAY, LAST_DAY + 1)
    noon = ((days - 1).astype("datetime64[h]") + np.timedelta64(12, "h") - start).astype(int)
    table = grid[noon[:, None] + np.arange(HOURS_HELD)]
    before = grid[np.maximum(noon[:, None] - np.arange(24), 0)][:, :, 5].sum(axis=1)
    return Station(
        name=name,
        latitude_deg=latitude,
        longitude_deg=longitude,
        days=days,
        first_utc=(days - 1).astype("datetime64[m]") + np.timedelta64(720, "m"),
        sunrise_utc=sunrises(latitude, longitude, days),
        temperature_degc=table[:, :, 0],
        dew_point_degc=table[:, :, 1],
        wind_speed_mps=table[:, :, 2],
        cloud_cover_frac=masked_cloud(
            np.where(table[:, :, 3] > 9, np.nan, table[:, :, 3]), table[:, :, 4]
        ),
        visibility_m=table[:, :, 4],
        precipitation_mm=table[:, :, 5],
        pressure_hpa=table[:, :, 6],
        rain_before_mm=before,
    )


def humidity_frac(temperature_degc: np.ndarray, dew_point_degc: np.ndarray) -> np.ndarray:
    """Relative humidity over water (Alduchov and Eskridge 1996, from memory)."""
    wet = 17.625 * dew_point_degc / (243.04 + dew_point_degc)
    return np.exp(wet - 17.625 * temperature_degc / (243.04 + temperature_degc))


def truth_of(station: Station) -> Truth:
    """Fog, mist and lifting as the station saw them."""
    rain, vis = station.precipitation_mm, station.visibility_m
    humid = humidity_frac(station.temperature_degc, station.dew_point_degc)
    known = np.isfinite(vis) & np.isfinite(rain) & np.isfinite(humid)
    dry = rain <= 0.0
    fog = (vis < 1000.0) & dry
    mist = (vis < 5000.0) & (humid >= 0.9) & dry
    window = (station.after_h >= -1.0) & (station.after_h <= 2.0)
    return Truth(
        known=known,
        fog=fog,
        mist=mist,
        window_known=(known | ~window).all(axis=1),
        window_fog=(fog & window).any(axis=1),
        window_mist=((mist | fog) & window).any(axis=1),
        lift_min=lifting_min(station, fog, vis >= 1000.0),
        lift_after_min=lifting_min(station, fog, vis >= 1000.0, nearest=False),
    )


def lifting_min(
    station: Station, there: np.ndarray, gone: np.ndarray, *, nearest: bool = True
) -> np.ndarray:
    """Minutes after sunrise of the first of two hours in a row that are ``gone``.

    Counted for nights that are ``there`` at sunrise, read either at the nearest hour or at the
    first one not before it; 480 = not within 8 h.
    """
    after = station.after_h
    start = np.abs(after).argmin(axis=1) if nearest else (after >= 0.0).argmax(axis=1)
    rows = np.arange(after.shape[0])
    found = np.full(rows.size, np.nan)
    known = np.isfinite(station.visibility_m)
    for row in rows[there[rows, start]]:
        first = start[row] + 1
        span = slice(first, min(first + 10, HOURS_HELD))
        if not known[row, span].all():
            continue
        both = gone[row, span][:-1] & gone[row, span][1:]
        hit = np.flatnonzero(both)
        minutes = 60.0 * after[row, first + hit[0]] if hit.size else 480.0
        found[row] = min(minutes, 480.0)
    return found


def _error(rng: np.random.Generator, shape: tuple[int, int]) -> np.ndarray:
    phi = ERRORS["phi"]
    kicks = rng.standard_normal(shape)
    wander = np.empty(shape)
    wander[:, 0] = kicks[:, 0]
    for hour in range(1, shape[1]):
        wander[:, hour] = phi * wander[:, hour - 1] + np.sqrt(1.0 - phi**2) * kicks[:, hour]
    nightly = rng.standard_normal((shape[0], 1))
    return ERRORS["nightly_share"] * nightly + ERRORS["hourly_share"] * wander


def with_errors(station: Station, rng: np.random.Generator) -> Station:
    """Make a forecast for this station: its own weather with emulated errors."""
    shape = station.temperature_degc.shape
    hour = np.arange(HOURS_HELD)
    span = ERRORS["lead_last"] - ERRORS["lead_first"]
    lead = np.clip(
        ERRORS["lead_first"] + span * (hour - 6) / 12.0, ERRORS["lead_first"], ERRORS["lead_last"]
    )
    warm, other, rho = _error(rng, shape), _error(rng, shape), ERRORS["correlation"]
    temperature = station.temperature_degc + ERRORS["temperature_k"] * lead * warm
    moist = rho * warm + np.sqrt(1.0 - rho**2) * other
    dew_point = station.dew_point_degc + ERRORS["dew_point_k"] * lead * moist
    wind = station.wind_speed_mps + ERRORS["wind_mps"] * lead * _error(rng, shape)
    cloud = station.cloud_cover_frac + ERRORS["cloud_frac"] * lead * _error(rng, shape)
    most = int(ERRORS["rain_shift_h"])
    shift = rng.integers(-most, most + 1, shape[0])
    columns = np.clip(hour[None, :] + shift[:, None], 0, HOURS_HELD - 1)
    return replace(
        station,
        temperature_degc=temperature,
        dew_point_degc=np.minimum(dew_point, temperature),
        wind_speed_mps=np.maximum(wind, 0.0),
        cloud_cover_frac=np.clip(cloud, 0.0, 1.0),
        precipitation_mm=np.take_along_axis(station.precipitation_mm, columns, axis=1),
    )


def distance_km(one: Station, two: Station) -> float:
    """Distance on a sphere, straight enough for a country."""
    north = np.radians(one.latitude_deg - two.latitude_deg)
    east = np.radians(one.longitude_deg - two.longitude_deg)
    middle = np.radians(0.5 * (one.latitude_deg + two.latitude_deg))
    return float(6371.0 * np.hypot(north, east * np.cos(middle)))


def from_afar(station: Station, stations: dict[str, Station], *, about_km: float) -> Station:
    """Make a forecast with independent errors: another station's weather, about so far away."""
    others = [s for s in stations.values() if s.name not in {station.name, "340"}]
    other = min(others, key=lambda s: abs(distance_km(station, s) - about_km))
    return replace(
        other,
        name=station.name,
        latitude_deg=station.latitude_deg,
        longitude_deg=station.longitude_deg,
        sunrise_utc=station.sunrise_utc,
    )


def ruler_of(station: Station) -> NightHours:
    """Nights of a station (or of a forecast for it) on the model's ruler."""
    rows = {
        name: on_ruler(getattr(station, name), station.start_h)
        for name in (
            "temperature_degc",
            "dew_point_degc",
            "wind_speed_mps",
            "cloud_cover_frac",
            "precipitation_mm",
            "pressure_hpa",
        )
    }
    declination = declination_deg(station.sunrise_utc)
    count = station.days.size
    return NightHours(
        **rows,
        rain_before_mm=station.rain_before_mm,
        night_h=night_length_h(station.latitude_deg, declination),
        latitude_deg=np.full(count, station.latitude_deg),
        declination=declination,
        sunrise_utc=station.sunrise_utc,
    )


def months(days: np.ndarray) -> np.ndarray:
    """Month of each day, 0 = January."""
    return days.astype("datetime64[M]").astype(int) % 12


def years(days: np.ndarray) -> np.ndarray:
    """Year of each day."""
    return days.astype("datetime64[Y]").astype(int) + 1970
