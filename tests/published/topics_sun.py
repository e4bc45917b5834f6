"""Sun, Moon, twilight and refraction: rows of ``sun.csv`` against our public functions."""

import datetime as dt
from collections.abc import Callable
from typing import Any

import numpy as np

from shivelight.basis.instants import from_datetime
from shivelight.basis.places import Position
from shivelight.sky.daylength import day_length_h
from shivelight.sky.moon import (
    moon_altitude_azimuth,
    moon_apparent_place,
    moon_illuminated_frac,
    moon_longitude_latitude_deg,
    moon_phases,
)
from shivelight.sky.refraction import (
    AirColumn,
    apparent_altitude_deg,
    refraction_from_apparent_deg,
    refraction_from_true_deg,
)
from shivelight.sky.seasons import find_turns
from shivelight.sky.sun import equation_of_time_min, sun_altitude_azimuth, sun_apparent_place
from shivelight.sky.timescale import ut1_minus_utc_s, utc_minus_tt_s
from shivelight.sky.twilight import (
    SUNRISE_DEG,
    find_moon_crossings,
    find_sun_crossings,
    find_transits,
    first_of,
)

AU_KM = 149597870.7
SUN_PARALLAX_DEG = 8.794 / 3600.0


def _utc(text: str) -> np.datetime64:
    return from_datetime(dt.datetime.fromisoformat(text))


def _text(moment: np.datetime64 | None) -> str:
    return "none" if moment is None else str(moment.astype("datetime64[ms]"))


def _position(row: dict[str, Any]) -> Position:
    return Position(
        latitude_deg=row["lat"], longitude_deg=row["lon"], ground_height_m=row.get("elev_m", 0.0)
    )


def _window(row: dict[str, Any]) -> tuple[np.datetime64, np.datetime64]:
    start = _utc(row["window_start_utc"])
    return start, start + np.timedelta64(round(row.get("window_h", 24) * 3600), "s")


def _event(row: dict[str, Any]) -> str:
    found = find_sun_crossings(
        *_window(row), position=_position(row), altitude_deg=row.get("h0_deg", -0.8333)
    )
    return _text(first_of(found.utc[found.is_rising == row["event"].endswith("_rise")]))


def _transit(row: dict[str, Any]) -> str:
    return _text(first_of(find_transits(*_window(row), position=_position(row))))


def _azimuth(row: dict[str, Any]) -> float:
    moment = np.array([_event(row)], dtype="datetime64[us]")
    return float(
        sun_altitude_azimuth(moment, latitude_deg=row["lat"], longitude_deg=row["lon"])[1][0]
    )


def _sky(row: dict[str, Any]) -> float:
    """Which quantity of a "position" row is meant stands only in the row's id."""
    moment = np.array([_utc(row["utc"])])
    place = {
        "latitude_deg": row["lat"],
        "longitude_deg": row["lon"],
        "ground_height_m": row.get("elev_m", 0.0),
    }
    quantity = row["row_id"].split("-", 2)[2]
    if quantity == "moon_illum":
        return float(moon_illuminated_frac(moment)[0])
    where = sun_altitude_azimuth if quantity.startswith("sun") else moon_altitude_azimuth
    altitude_deg, azimuth_deg = where(moment, **place)
    if quantity.endswith("_az"):
        return float(azimuth_deg[0])
    if quantity.endswith("_refr10C1010"):
        warm = AirColumn(temperature_degc=10.0, pressure_hpa=1010.0)
        return float(apparent_altitude_deg(altitude_deg, air=warm)[0])
    assert quantity.endswith("_alt_airless")
    return float(altitude_deg[0])


def _moon_event(row: dict[str, Any]) -> str:
    found = find_moon_crossings(*_window(row), position=_position(row))
    return _text(first_of(found.utc[found.is_rising == (row["event"] == "moon_rise")]))


def _month(year: int, month: int) -> tuple[np.datetime64, np.datetime64]:
    first = np.datetime64(f"{year:04d}-{month:02d}", "M")
    return first.astype("datetime64[us]"), (first + 1).astype("datetime64[us]")


def _phase(row: dict[str, Any]) -> str:
    year, month = map(int, row["month"].split("-"))
    found = _phases_in(*_month(year, month), row["phase"])
    # A month may hold a phase twice and the row does not say which: either may be meant, so the
    # one nearer to the row is compared.
    wanted = np.datetime64(row["expected"].removesuffix("Z"))
    return _text(min(found, key=lambda moment: abs(moment - wanted)))


def _phases_in(start: np.datetime64, end: np.datetime64, name: str) -> list[np.datetime64]:
    return [one.utc for one in moon_phases(start, end) if one.name.lower() == name.lower()]


def _season(row: dict[str, Any]) -> str:
    return _text(_turn(row["event"]))


def _turn(event: str) -> np.datetime64:
    name, year = event.rsplit(" ", 1)
    turns = find_turns(_month(int(year), 1)[0], _month(int(year), 12)[1])
    return next(turn.utc for turn in turns if turn.name == name)


def _bennett(row: dict[str, Any]) -> float:
    air = AirColumn(temperature_degc=row["T_C"], pressure_hpa=row["P_hPa"])
    return float(refraction_from_apparent_deg(row["apparent_alt_deg"], air=air)) * 60.0


def _saemundsson(row: dict[str, Any]) -> float:
    air = AirColumn(temperature_degc=row["T_C"], pressure_hpa=row["P_hPa"])
    return float(refraction_from_true_deg(row["true_alt_deg"], air=air)) * 60.0


def _day_length(row: dict[str, Any]) -> float:
    return float(day_length_h(row["doy"], latitude_deg=row["lat"], depression_deg=row["p_deg"]))


def _spa(row: dict[str, Any]) -> dict[str, Any]:
    return _spa_position(row) if "local" in row else _spa_events(row)


def _spa_zone(text: str) -> tuple[np.datetime64, np.timedelta64]:
    """Split "2003-10-17 12:30:30 UTC-7" into the UTC instant and the offset."""
    moment, offset = text.rsplit(" UTC", 1)
    ahead = np.timedelta64(round(float(offset) * 3600), "s")
    return np.datetime64(moment.replace(" ", "T"), "us") - ahead, ahead


def _spa_position(row: dict[str, Any]) -> dict[str, float]:
    utc, _ = _spa_zone(row["local"])
    # The example sets UT1 = UTC + dut1_s; we ask for the instant at which that was really so.
    late_s = row.get("dut1_s", 0) - ut1_minus_utc_s(utc)
    moment = np.array([utc + np.timedelta64(round(late_s * 1e6), "us")])
    altitude, azimuth = sun_altitude_azimuth(
        moment, latitude_deg=row["lat"], longitude_deg=row["lon"], ground_height_m=row["elev_m"]
    )
    air = AirColumn(temperature_degc=row["temperature_C"], pressure_hpa=row["pressure_hPa"])
    return {
        "topocentric_zenith_refracted": 90.0 - float(apparent_altitude_deg(altitude, air=air)[0]),
        "azimuth": float(azimuth[0]),
        "elevation_airless": float(altitude[0]),
    }


def _spa_events(row: dict[str, Any]) -> dict[str, str]:
    """Rise, transit and set as SPA defines them.

    SPA takes the events that fall on the asked date in UT (the sunset it prints for a western
    zone is that of the evening before: 88 s later here), and it neglects the Sun's parallax,
    8.8 arcsec, so that its Sun stands higher by that.
    """
    utc, ahead = _spa_zone(row["local_date"])
    start = (utc + ahead).astype("datetime64[us]")
    window = (start, start + np.timedelta64(1, "D"))
    position = _position(row)
    found = find_sun_crossings(
        *window, position=position, altitude_deg=SUNRISE_DEG - SUN_PARALLAX_DEG
    )
    named = {
        "sunrise": first_of(found.utc[found.is_rising]),
        "transit": first_of(find_transits(*window, position=position)),
        "sunset": first_of(found.utc[~found.is_rising]),
    }
    # As above: the example's clock is UT1.
    late = ahead + np.timedelta64(round(ut1_minus_utc_s(utc) * 1e6), "us")
    return {
        name: "none" if moment is None else _text(moment + late).split("T")[1]
        for name, moment in named.items()
    }


def _to_tt(utc: np.datetime64) -> str:
    shift_s = float(utc_minus_tt_s(np.array([utc]))[0])
    return _text(utc - np.timedelta64(round(shift_s * 1e6), "us"))


def _meeus(row: dict[str, Any]) -> Any:
    """Read what a "Meeus" row asks for from its unit, or for dates from its event."""
    if "event" in row:
        return _meeus_event(row["event"])
    tt = np.array([np.datetime64(row["tt"], "us")])
    if "equation of time" in row["unit"]:
        return float(equation_of_time_min(tt)[0])
    utc = np.array([tt[0] + np.timedelta64(round(float(utc_minus_tt_s(tt)[0]) * 1e6), "us")])
    if "illuminated" in row["unit"]:
        return float(moon_illuminated_frac(utc)[0])
    if "km" not in row["unit"]:
        ascension, declination, _ = sun_apparent_place(tt)
        return {"ra_app": float(ascension[0]), "dec_app": float(declination[0])}
    ascension, declination, away = moon_apparent_place(tt)
    longitude, latitude = moon_longitude_latitude_deg(utc)
    return {
        "lon_app": float(longitude[0]),
        "lat": float(latitude[0]),
        "ra_app": float(ascension[0]),
        "dec_app": float(declination[0]),
        "dist_km": float(away[0]) * AU_KM,
    }


def _meeus_event(event: str) -> str:
    if "solstice" in event or "equinox" in event:
        return _to_tt(_turn(event))
    *name, month, year = event.split()
    number = dt.datetime.strptime(month, "%b").replace(tzinfo=dt.UTC).month
    words = " ".join(name).replace("moon", "").strip()
    return _to_tt(_phases_in(*_month(int(year), number), words)[0])


TOPICS: dict[str, Callable[[dict[str, Any]], Any]] = {
    "event": _event,
    "transit": _transit,
    "azimuth": _azimuth,
    "moon event": _moon_event,
    "daylength CBM": _day_length,
    "SPA worked example": _spa,
    "refraction Bennett": _bennett,
    "refraction Saemundsson": _saemundsson,
    "season": _season,
}

TOPICS_BY_ROW: dict[str, Callable[[dict[str, Any]], Any]] = {
    # Rows of these topics share their inputs; the id, the unit or the value says what is asked.
    "position": _sky,
    "Meeus": _meeus,
    "moon phase": _phase,
}
