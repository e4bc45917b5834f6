"""The readable terms of the mist model: what they are, what each needs, what they are called.

Three lists: terms of the window (one row a night), of the curve (one row a moment) and of the
lifting (one row a quarter hour). The fitting script and the model use these same functions, so
that what was fitted is what is evaluated.
"""

from collections.abc import Iterable

import numpy as np

from shivelight.air.humidity import saturation_vapour_pressure_hpa
from shivelight.air.mist_hours import FIRST_NIGHT_H, HOURS, NightHours
from shivelight.air.mist_sun import sun_gathered_h
from shivelight.air.radiation import STEFAN_BOLTZMANN_WM2K4, ZERO_DEGC_K
from shivelight.basis.arrays import BoolArray, FloatArray

INPUTS = ("wind", "cloud", "rain", "rain before", "pressure", "evening")
"""Groups of input that may be missing one by one; temperature and dew point may not."""

# name: (what it is merged under when reasons are given, inputs it needs)
WINDOW_TERMS: dict[str, tuple[str, frozenset[str]]] = {
    name: (label, frozenset(needs.split("+")) - {""})
    for name, label, needs in (
        ("spread_sunrise", "dew point", ""),
        ("spread_before", "dew point", ""),
        ("spread_after", "dew point", ""),
        ("spread_least", "dew point", ""),
        ("spread_over_half", "dew point", ""),
        ("spread_over_1", "dew point", ""),
        ("spread_over_2", "dew point", ""),
        ("spread_over_4", "dew point", ""),
        ("nearness", "dew point", ""),
        ("spread_dusk", "dew point", "evening"),
        ("spread_dusk_over_3", "dew point", "evening"),
        ("crossover", "dew point", "evening"),
        ("crossover_over_0", "dew point", "evening"),
        ("crossover_over_3", "dew point", "evening"),
        ("dew_point_change", "dew point", "evening"),
        ("cooling", "dew point", "evening"),
        ("wind_late", "wind", "wind"),
        ("wind_over_2_5", "wind", "wind"),
        ("wind_over_4", "wind", "wind"),
        ("wind_night", "wind", "wind"),
        ("wind_after", "wind", "wind"),
        ("spread_x_wind", "wind", "wind"),
        ("dry_x_wind", "wind", "wind"),
        ("cloud_late", "cloud", "cloud"),
        ("cloud_late_square", "cloud", "cloud"),
        ("cloud_night", "cloud", "cloud"),
        ("cloud_night_square", "cloud", "cloud"),
        ("spread_x_cloud", "cloud", "cloud"),
        ("net_radiation", "cloud", "cloud"),
        ("potential_cooling", "cloud", "cloud"),
        ("wind_x_cloud", "cloud", "wind+cloud"),
        ("wind_x_net", "cloud", "wind+cloud"),
        ("rain_before", "rain", "rain before"),
        ("rain_evening", "rain", "rain+evening"),
        ("rain_night", "rain", "rain"),
        ("rain_late", "rain", "rain"),
        ("rain_after", "rain", "rain"),
        ("pressure", "pressure", "pressure"),
        ("pressure_change", "pressure", "pressure"),
        ("temperature", "season", ""),
        ("temperature_square", "season", ""),
        ("frost", "season", ""),
        ("spread_x_temperature", "season", ""),
        ("night_length", "season", ""),
        ("night_length_square", "season", ""),
    )
}

CURVE_TERMS: dict[str, frozenset[str]] = {
    name: frozenset(needs.split("+")) - {""}
    for name, needs in (
        ("window", ""),
        ("other_window", ""),
        ("time", ""),
        ("time_over_0", ""),
        ("time_over_1", ""),
        ("time_over_2", ""),
        ("time_over_3", ""),
        ("window_x_time", ""),
        ("spread_now", ""),
        ("spread_now_over_1", ""),
        ("spread_now_over_3", ""),
        ("spread_drift", ""),
        ("sun", ""),
        ("sun_square", ""),
        ("sun_x_window", ""),
        ("sun_x_temperature", ""),
        ("sun_x_night", ""),
        ("wind_now", "wind"),
        ("sun_x_wind", "wind"),
        ("cloud_now", "cloud"),
        ("sun_x_cloud", "cloud"),
        ("rain_now", "rain"),
    )
}

LIFT_TERMS: dict[str, frozenset[str]] = {
    name: frozenset(needs.split("+")) - {""}
    for name, needs in (
        ("time", ""),
        ("time_over_1", ""),
        ("mist_window", ""),
        ("spread_least", ""),
        ("spread_later", ""),
        ("warming_hour", ""),
        ("warming_next", ""),
        ("warming_morning", ""),
        ("sun", ""),
        ("temperature", ""),
        ("sun_x_temperature", ""),
        ("wind_now", "wind"),
        ("cloud_now", "cloud"),
        ("sun_x_cloud", "cloud"),
    )
}


def names_for(terms: Iterable[str], needs: dict[str, frozenset[str]], have: set[str]) -> list[str]:
    """Names of the terms whose needs are all met, in their order."""
    return [name for name in terms if needs[name] <= have]


WINDOW_NEEDS = {name: needs for name, (_, needs) in WINDOW_TERMS.items()}


def _over(values: FloatArray, limit: float) -> FloatArray:
    """Hinge: how far above a limit, never below 0."""
    return np.maximum(values - limit, 0.0)


def _column(hour: float) -> int:
    return int(np.flatnonzero(hour == HOURS)[0])


def _part(values: FloatArray, first_h: float, last_h: float) -> FloatArray:
    """Columns of the ruler between two whole hours, both included."""
    return values[:, _column(first_h) : _column(last_h) + 1]


def _mean(values: FloatArray, where: BoolArray) -> FloatArray:
    known = where & np.isfinite(values)
    total = np.where(known, values, 0.0).sum(axis=1)
    count = known.sum(axis=1)
    return np.where(count > 0, total / np.maximum(count, 1), np.nan)


def _least(values: FloatArray, where: BoolArray) -> FloatArray:
    least = np.where(where & np.isfinite(values), values, np.inf).min(axis=1)
    return np.where(np.isfinite(least), least, np.nan)


def _total(values: FloatArray, where: BoolArray) -> FloatArray:
    return np.asarray(np.where(where & np.isfinite(values), values, 0.0).sum(axis=1))


def net_long_wave_wm2(
    temperature_degc: FloatArray, dew_point_degc: FloatArray, cloud_frac: FloatArray
) -> FloatArray:
    """Long-wave heat that the ground loses to the sky at night.

    Parameters
    ----------
    temperature_degc, dew_point_degc, cloud_frac : ndarray, shapes that broadcast to S
        Screen temperature and dew point [°C]; cloud cover, 0 to 1.

    Returns
    -------
    ndarray, shape S
        Loss, positive upwards, rough to a fifth. [W/m²]

    References
    ----------
    .. [1] D. Brunt, Quart. J. R. Met. Soc. 58 (1932) 389: emissivity 0.52 + 0.065 √e, e in hPa
       (from memory); the factor 1 - 0.7 c² for cloud is a judgement.
    """
    vapour_hpa = saturation_vapour_pressure_hpa(dew_point_degc)
    black = STEFAN_BOLTZMANN_WM2K4 * (temperature_degc + ZERO_DEGC_K) ** 4
    loss = black * (0.48 - 0.065 * np.sqrt(vapour_hpa)) * (1.0 - 0.7 * cloud_frac**2)
    return np.asarray(loss, dtype=np.float64)


def spread_k(hours: NightHours) -> FloatArray:
    """Temperature minus dew point, held within 0 to 15 K. Shape (B, R)."""
    return np.clip(hours.temperature_degc - hours.dew_point_degc, 0.0, 15.0)


def window_terms(hours: NightHours) -> dict[str, FloatArray]:
    """Work out every term of the window; NaN where its input is missing.

    Parameters
    ----------
    hours : NightHours
        B nights.

    Returns
    -------
    dict of str to ndarray, shape (B,)
        Keys as :data:`WINDOW_TERMS`, in that order.
    """
    found = {**_spread_terms(hours), **_evening_terms(hours), **_season_terms(hours)}
    near_k = np.mean(_part(spread_k(hours), -2, 1), axis=1)
    found |= _wind_cloud_terms(hours, near_k)
    found |= _rain_terms(hours)
    found["spread_x_temperature"] = near_k * found["temperature"]
    return {name: found[name] for name in WINDOW_TERMS}


def _spread_terms(hours: NightHours) -> dict[str, FloatArray]:
    spread = spread_k(hours)
    near_k = np.mean(_part(spread, -2, 1), axis=1)
    return {
        "spread_sunrise": spread[:, _column(0)],
        "spread_before": np.mean(_part(spread, -3, -1), axis=1),
        "spread_after": np.mean(_part(spread, 1, 2), axis=1),
        "spread_least": np.min(_part(spread, -5, 0), axis=1),
        "spread_over_half": _over(near_k, 0.4),
        "spread_over_1": _over(near_k, 1.0),
        "spread_over_2": _over(near_k, 2.0),
        "spread_over_4": _over(near_k, 4.0),
        "nearness": np.exp(-near_k / 2.0),
    }


def _evening_terms(hours: NightHours) -> dict[str, FloatArray]:
    """Terms of dusk (sunset + 1 h) and of the three hours before sunset."""
    night_h = hours.night_h[:, None]
    afternoon = (-night_h - 3.0 <= HOURS) & (-night_h >= HOURS)
    night = (1.0 - night_h <= HOURS) & (HOURS <= 0.0)
    dusk_h = 1.0 - night_h
    spread_dusk = sample_one(spread_k(hours), dusk_h)
    least_k = _least(hours.temperature_degc, night) - _least(hours.dew_point_degc, afternoon)
    margin = np.clip(least_k, -12.0, 10.0)
    sunrise = _column(0)
    dusk_temperature = sample_one(hours.temperature_degc, dusk_h)
    dusk_dew_point = sample_one(hours.dew_point_degc, dusk_h)
    return {
        "spread_dusk": spread_dusk,
        "spread_dusk_over_3": _over(spread_dusk, 3.0),
        "crossover": margin,
        "crossover_over_0": _over(margin, 0.0),
        "crossover_over_3": _over(margin, 3.0),
        "dew_point_change": hours.dew_point_degc[:, sunrise] - dusk_dew_point,
        "cooling": dusk_temperature - hours.temperature_degc[:, sunrise],
    }


def sample_one(values: FloatArray, after_h: FloatArray) -> FloatArray:
    """Value of each row at one time after sunrise, straight between hours. Shape (B,)."""
    position = np.clip(after_h[:, 0] - HOURS[0], 0.0, HOURS.size - 1.0)
    left = np.minimum(position.astype(np.int64), HOURS.size - 2)
    rows = np.arange(values.shape[0])
    share = position - left
    return np.asarray(values[rows, left] * (1.0 - share) + values[rows, left + 1] * share)


def _warmth(hours: NightHours) -> FloatArray:
    """Tens of degrees at sunrise, held within what the training stations knew. Shape (B,)."""
    return np.clip(hours.temperature_degc[:, _column(0)], -20.0, 26.0) / 10.0


def _night(hours: NightHours) -> FloatArray:
    """Length of the night on a scale from -1 to 1, held within 7 to 17 h. Shape (B,)."""
    return (np.clip(hours.night_h, 7.0, 17.0) - 12.0) / 4.0


def _season_terms(hours: NightHours) -> dict[str, FloatArray]:
    warm, night = _warmth(hours), _night(hours)
    return {
        "temperature": warm,
        "temperature_square": warm**2,
        "frost": _over(-warm, 0.0),
        "night_length": night,
        "night_length_square": night**2,
    }


def _wind_cloud_terms(hours: NightHours, near_k: FloatArray) -> dict[str, FloatArray]:
    night = np.broadcast_to((FIRST_NIGHT_H <= HOURS) & (HOURS <= 0.0), (hours.count, HOURS.size))
    wind, cloud = hours.wind_speed_mps, hours.cloud_cover_frac
    late = np.mean(_part(wind, -3, 0), axis=1)
    cloud_late = np.mean(_part(cloud, -3, 0), axis=1)
    cloud_night = _mean(cloud, night)
    loss = _mean(net_long_wave_wm2(hours.temperature_degc, hours.dew_point_degc, cloud), night)
    net = loss / 50.0
    return {
        "wind_late": late,
        "wind_over_2_5": _over(late, 2.5),
        "wind_over_4": _over(late, 4.0),
        "wind_night": _mean(wind, night),
        "wind_after": np.mean(_part(wind, 1, 2), axis=1),
        "spread_x_wind": near_k * late,
        "dry_x_wind": _over(near_k, 2.0) * late,
        "cloud_late": cloud_late,
        "cloud_late_square": cloud_late**2,
        "cloud_night": cloud_night,
        "cloud_night_square": cloud_night**2,
        "spread_x_cloud": near_k * cloud_late,
        "net_radiation": net,
        "potential_cooling": net * np.sqrt(np.maximum(hours.night_h, 0.0)) / 3.5,
        "wind_x_cloud": late * cloud_late,
        "wind_x_net": late * net,
    }


def _rain_terms(hours: NightHours) -> dict[str, FloatArray]:
    rain = hours.precipitation_mm
    night = np.broadcast_to((FIRST_NIGHT_H <= HOURS) & (HOURS <= 0.0), rain.shape)
    evening = (HOURS < FIRST_NIGHT_H) & (-hours.night_h[:, None] - 3.0 <= HOURS)
    pressure = hours.pressure_hpa
    unknown = ~np.isfinite(_part(rain, FIRST_NIGHT_H, 2)).all(axis=1)
    found = {
        "rain_evening": np.log1p(_total(rain, evening)),
        "rain_night": np.log1p(_total(rain, night)),
        "rain_late": np.log1p(_total(_part(rain, -2, 0), np.ones((1, 3), bool))),
        "rain_after": np.log1p(_total(_part(rain, 1, 2), np.ones((1, 2), bool))),
    }
    found = {name: np.where(unknown, np.nan, value) for name, value in found.items()}
    return found | {
        "rain_before": np.log1p(np.maximum(hours.rain_before_mm, 0.0)),
        "pressure": np.clip((pressure[:, _column(0)] - 1015.0) / 10.0, -3.5, 3.0),
        "pressure_change": pressure[:, _column(0)] - pressure[:, _column(-6)],
    }


def _now(hours: NightHours, after_h: FloatArray) -> dict[str, FloatArray]:
    """Values at each moment that curve and lifting share. Shapes (B, Q)."""
    last = np.minimum(after_h, HOURS[-1])
    return {
        "spread": np.clip(
            hours.at("temperature_degc", last) - hours.at("dew_point_degc", last), 0.0, 15.0
        ),
        "wind": hours.at("wind_speed_mps", last),
        "cloud": hours.at("cloud_cover_frac", last),
        "rain": np.log1p(np.maximum(hours.at("precipitation_mm", last), 0.0)),
        "sun": sun_gathered_h(
            after_h,
            latitude_deg=hours.latitude_deg[:, None],
            declination=hours.declination[:, None],
        ),
    }


def curve_terms(
    hours: NightHours, after_h: FloatArray, *, window: FloatArray, other_window: FloatArray
) -> dict[str, FloatArray]:
    """Work out the terms of the curve at some moments of each night.

    Parameters
    ----------
    hours : NightHours
        B nights.
    after_h : ndarray, shape (B, Q)
        Moments after sunrise. [h]
    window, other_window : ndarray, shape (B,)
        Log-odds of the window's chance for this kind (fog or mist) and for the other.

    Returns
    -------
    dict of str to ndarray, shape (B, Q)
        Keys as :data:`CURVE_TERMS`, in that order.
    """
    now = _now(hours, after_h)
    logit, sun = window[:, None], now["sun"]
    warm, night = _warmth(hours)[:, None], _night(hours)[:, None]
    at_sunrise = spread_k(hours)[:, _column(0)][:, None]
    ones = np.ones_like(after_h)
    return {
        "window": logit * ones,
        "other_window": other_window[:, None] * ones,
        "time": after_h,
        "time_over_0": _over(after_h, 0.0),
        "time_over_1": _over(after_h, 1.0),
        "time_over_2": _over(after_h, 2.0),
        "time_over_3": _over(after_h, 3.0),
        "window_x_time": logit * after_h,
        "spread_now": now["spread"],
        "spread_now_over_1": _over(now["spread"], 1.0),
        "spread_now_over_3": _over(now["spread"], 3.0),
        "spread_drift": now["spread"] - at_sunrise,
        "sun": sun,
        "sun_square": sun**2,
        "sun_x_window": sun * logit,
        "sun_x_temperature": sun * warm,
        "sun_x_night": sun * night,
        "wind_now": now["wind"],
        "sun_x_wind": sun * now["wind"],
        "cloud_now": now["cloud"],
        "sun_x_cloud": sun * now["cloud"],
        "rain_now": now["rain"],
    }


def lift_terms(
    hours: NightHours, after_h: FloatArray, *, mist_window: FloatArray
) -> dict[str, FloatArray]:
    """Work out the terms of the lifting hazard at some moments of each night.

    Parameters
    ----------
    hours : NightHours
        B nights.
    after_h : ndarray, shape (B, Q)
        Moments after sunrise. [h]
    mist_window : ndarray, shape (B,)
        Log-odds of mist in the window.

    Returns
    -------
    dict of str to ndarray, shape (B, Q)
        Keys as :data:`LIFT_TERMS`, in that order.
    """
    now = _now(hours, after_h)
    ones, sun = np.ones_like(after_h), now["sun"]
    warm = _warmth(hours)[:, None]
    spread, temperature = spread_k(hours), hours.temperature_degc
    morning = temperature[:, _column(4)] - temperature[:, _column(0)]

    def warming(first_h: FloatArray, last_h: FloatArray) -> FloatArray:
        low, high = (np.clip(moment, -3.0, HOURS[-1]) for moment in (first_h, last_h))
        return hours.at("temperature_degc", high) - hours.at("temperature_degc", low)

    return {
        "time": after_h,
        "time_over_1": _over(after_h, 1.0),
        "mist_window": mist_window[:, None] * ones,
        "spread_least": np.min(_part(spread, -5, 0), axis=1)[:, None] * ones,
        "spread_later": np.log1p(np.mean(_part(spread, 3, 5), axis=1))[:, None] * ones,
        "warming_hour": warming(after_h - 1.0, after_h),
        "warming_next": warming(after_h, after_h + 1.0),
        "warming_morning": morning[:, None] * ones,
        "sun": sun,
        "temperature": warm * ones,
        "sun_x_temperature": sun * warm,
        "wind_now": now["wind"],
        "cloud_now": now["cloud"],
        "sun_x_cloud": sun * now["cloud"],
    }
