"""From one forecast to many: members that differ by the errors forecasts really make.

The sizes are a judgement (see ``docs/models.md``): error = lead × size × (0.6 nightly bias +
0.8 hour-to-hour noise). They are to be refitted once archived forecasts exist.
"""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from shivelight.air.forecast import QUANTITIES, Ensemble
from shivelight.basis.arrays import FloatArray, IntArray, UtcArray
from shivelight.basis.errors import require_range

FEWEST_REAL_MEMBERS = 10
"""An ensemble of at least this many members is taken as it comes (a judgement)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastErrors:
    """Sizes of forecast errors at full lead, all a judgement.

    Attributes
    ----------
    temperature_k, dew_point_k : float
        Standard errors at 2 m. [K]
    temperature_dew_point_frac : float
        Correlation of the two.
    wind_mps : float
        Standard error of the 10 m wind. [m/s]
    cloud_frac : float
        Standard error of cloud cover, 0 to 1.
    rain_shift_h : float
        Rain comes up to this much early or late, by whole hours. [h]
    night_frac, hour_frac : float
        Weight of the bias that a whole night shares, and of the hourly noise; their squares
        add up to 1.
    hour_memory_frac : float
        Correlation of the hourly noise from one hour to the next.
    first_frac : float
        Share of the full error at the hour of issue and before it.
    full_after_h : float
        Lead at which the error is full: the end of the first night. [h]
    growth_frac_per_day : float
        How much the error grows with each further day.
    cloud_edge_frac, wind_edge_mps : float
        A forecast of less cloud than this (or this near to overcast), or of less wind, is
        spread about this value, for no member could otherwise differ from it. [m/s]
    """

    temperature_k: float = 1.4
    dew_point_k: float = 1.3
    temperature_dew_point_frac: float = 0.45
    wind_mps: float = 1.2
    cloud_frac: float = 0.28
    rain_shift_h: float = 2.0
    night_frac: float = 0.6
    hour_frac: float = 0.8
    hour_memory_frac: float = 0.85
    first_frac: float = 0.6
    full_after_h: float = 14.0
    growth_frac_per_day: float = 0.12
    cloud_edge_frac: float = 0.05
    wind_edge_mps: float = 0.4

    def __post_init__(self) -> None:
        for name in ("temperature_k", "dew_point_k", "wind_mps", "cloud_frac", "rain_shift_h"):
            require_range(name, getattr(self, name), 0.0, 20.0)
        require_range("hour memory", self.hour_memory_frac, 0.0, 0.999)
        require_range("correlation", self.temperature_dew_point_frac, -1.0, 1.0)
        require_range("cloud edge", self.cloud_edge_frac, 0.0, 0.5)
        require_range("hours to the full error", self.full_after_h, 1.0, 240.0, "h")

    def lead_frac(self, lead_h: FloatArray) -> FloatArray:
        """Share of the full error at a lead; above 1 after the first night."""
        rise = self.first_frac + (1.0 - self.first_frac) * np.clip(
            lead_h / self.full_after_h, 0.0, 1.0
        )
        later_days = np.maximum(lead_h - self.full_after_h, 0.0) / 24.0
        return np.asarray(rise * (1.0 + self.growth_frac_per_day * later_days))


def spread_members(
    forecast: Ensemble,
    *,
    members: int = 50,
    seed: int,
    issued_utc: np.datetime64 | None = None,
    errors: ForecastErrors | None = None,
) -> Ensemble:
    """Spread a forecast into members that differ as forecasts err.

    Parameters
    ----------
    forecast : Ensemble
        One member is spread. Two to nine are each spread, by what their own scatter leaves to
        be added. Ten or more are given back as they are.
    members : int
        How many to make; rounded up to a multiple of the members given.
    seed : int
        The same seed gives the same members.
    issued_utc : datetime64, optional
        When the forecast was issued; by default what it says itself, else its first hour.
    errors : ForecastErrors, optional
        Sizes; a standard error stated by the source is used in their place where there is one.

    Returns
    -------
    Ensemble
        At each hour the members' mean is the forecast, for temperature, dew point, wind, gusts
        and cloud (apart from the edges of :class:`ForecastErrors`). Dew point ≤ temperature,
        wind ≥ 0, gusts ≥ wind, cloud 0 to 1. Rain is the forecast's own, early or late by whole
        hours. Pressure, visibility and fog share are the same in all members. NaN stays NaN.

    Raises
    ------
    OutOfRangeError
        If fewer than 2 or more than 1000 members are asked for.
    """
    require_range("number of members", members, 2, 1000)
    if forecast.members >= FEWEST_REAL_MEMBERS:
        return forecast
    sizes = errors or ForecastErrors()
    started = issued_utc if issued_utc is not None else forecast.issued_utc
    lead_h = _hours(forecast.utc, started if started is not None else forecast.utc[0])
    each = -(-members // forecast.members)
    base = {name: np.tile(getattr(forecast, name), (each, 1)) for name in QUANTITIES}
    noise = _Noise.draw(forecast, base["temperature_degc"].shape[0], seed=seed, errors=sizes)
    lead = sizes.lead_frac(lead_h)

    def error(quantity: str, size: float, standard: FloatArray) -> FloatArray:
        total = size * lead
        if quantity in forecast.stated_sd:
            stated = forecast.stated_sd[quantity]
            total = np.where(np.isfinite(stated), stated, total)
        return standard * _left_to_add(total, getattr(forecast, quantity))

    made = _warmth(base, error("temperature_degc", sizes.temperature_k, noise.temperature),
                   error("dew_point_degc", sizes.dew_point_k, noise.dew_point))  # fmt: skip
    made |= _wind(base, error("wind_speed_mps", sizes.wind_mps, noise.wind), sizes)
    made |= _cloud(base, error("cloud_cover_frac", sizes.cloud_frac, noise.cloud), sizes)
    made["precipitation_mm"] = _shifted(forecast.utc, base["precipitation_mm"], noise.rain_h)
    rest = {name: rows for name, rows in base.items() if name not in made}
    changed: dict[str, Any] = {**made, **rest}
    return replace(forecast, source=f"{forecast.source}, spread", **changed)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Noise:
    """Standard errors of unit size, shape (M, T), with no mean over the members."""

    temperature: FloatArray
    dew_point: FloatArray
    wind: FloatArray
    cloud: FloatArray
    rain_h: IntArray

    @staticmethod
    def draw(forecast: Ensemble, members: int, *, seed: int, errors: ForecastErrors) -> "_Noise":
        rng = np.random.default_rng(seed)
        night = _night_index(forecast)
        bias = rng.standard_normal((4, members, int(night[-1]) + 1))[:, :, night]
        hourly = rng.standard_normal((4, members, forecast.utc.size))
        step_h = np.diff(forecast.utc) / np.timedelta64(1, "h")
        for index, keep in enumerate(errors.hour_memory_frac**step_h, start=1):
            fresh = np.sqrt(1.0 - keep**2)
            hourly[:, :, index] = keep * hourly[:, :, index - 1] + fresh * hourly[:, :, index]
        both = errors.night_frac * bias + errors.hour_frac * hourly
        share = errors.temperature_dew_point_frac
        both[1] = share * both[0] + np.sqrt(1.0 - share**2) * both[1]
        # Without a mean over the members, and as wide as before it was taken out.
        both = (both - both.mean(axis=1, keepdims=True)) * np.sqrt(members / (members - 1))
        most = round(errors.rain_shift_h)
        shift = rng.integers(-most, most + 1, size=members)
        return _Noise(
            temperature=both[0], dew_point=both[1], wind=both[2], cloud=both[3], rain_h=shift
        )


def _night_index(forecast: Ensemble) -> IntArray:
    """Give each instant the number of its night, from one noon by the sun to the next."""
    east_h = (forecast.longitude_deg or 0.0) / 15.0
    noon = np.timedelta64(round((east_h - 12.0) * 3600.0), "s")
    days = (forecast.utc + noon).astype("datetime64[D]").astype(np.int64)
    return np.asarray(days - days[0], dtype=np.int64)


def _hours(utc: UtcArray, since: np.datetime64) -> FloatArray:
    return np.asarray((utc - since) / np.timedelta64(1, "s") / 3600.0, dtype=np.float64)


def _left_to_add(total: FloatArray, rows: FloatArray) -> FloatArray:
    """Work out what error the members' own scatter leaves to be added, shape (T,)."""
    if rows.shape[0] == 1:
        return total
    own = np.where(np.isfinite(rows).all(axis=0), rows.var(axis=0, ddof=1), 0.0)
    return np.asarray(np.sqrt(np.maximum(total**2 - own, 0.0)))


def _bounded(rows: FloatArray, low: float, high: float, target: FloatArray) -> FloatArray:
    """Shift each hour's members so that, cut to the bounds, their mean is ``target``.

    The mean of ``clip(rows + c)`` rises with c, so halving finds the one c of each hour.
    """
    known = np.isfinite(rows).all(axis=0) & np.isfinite(target)
    inside = np.where(known, rows, low)
    goal = np.clip(np.where(known, target, low), low, high)
    down = low - inside.max(axis=0)
    up = (high if np.isfinite(high) else goal + 1.0) - inside.min(axis=0)
    up = np.maximum(up, goal - inside.min(axis=0))
    for _ in range(80):
        middle = 0.5 * (down + up)
        below = np.clip(inside + middle, low, high).mean(axis=0) < goal
        down = np.where(below, middle, down)
        up = np.where(below, up, middle)
    return np.asarray(np.where(known, np.clip(inside + up, low, high), np.nan))


def _warmth(
    base: dict[str, FloatArray], temperature_error_k: FloatArray, dew_point_error_k: FloatArray
) -> dict[str, FloatArray]:
    """Temperature about the forecast; dew point below it by a spread whose mean is kept."""
    temperature = base["temperature_degc"] + temperature_error_k
    dew_point = base["dew_point_degc"] + dew_point_error_k
    alone = ~np.isfinite(base["temperature_degc"])
    mean_spread = (base["temperature_degc"] - base["dew_point_degc"]).mean(axis=0)
    spread = _bounded(temperature - dew_point, 0.0, np.inf, np.maximum(mean_spread, 0.0))
    return {
        "temperature_degc": temperature,
        "dew_point_degc": np.where(alone, dew_point, temperature - spread),
    }


def _wind(
    base: dict[str, FloatArray], error_mps: FloatArray, errors: ForecastErrors
) -> dict[str, FloatArray]:
    """Wind never below 0; gusts keep what they exceed the wind by."""
    wind = base["wind_speed_mps"]
    goal = np.maximum(wind.mean(axis=0), errors.wind_edge_mps)
    made = _bounded(wind + error_mps, 0.0, np.inf, goal)
    over = np.maximum(base["wind_gust_mps"] - wind, 0.0)
    alone = _bounded(
        base["wind_gust_mps"] + error_mps, 0.0, np.inf, base["wind_gust_mps"].mean(axis=0)
    )
    gust = np.where(np.isfinite(wind), made + over, alone)
    return {"wind_speed_mps": made, "wind_gust_mps": gust}


def _cloud(
    base: dict[str, FloatArray], error_frac: FloatArray, errors: ForecastErrors
) -> dict[str, FloatArray]:
    """Cloud from 0 to 1; low cloud keeps its share of the whole."""
    cloud, low = base["cloud_cover_frac"], base["low_cloud_frac"]
    edge = errors.cloud_edge_frac
    made = _bounded(cloud + error_frac, 0.0, 1.0, np.clip(cloud.mean(axis=0), edge, 1.0 - edge))
    share = np.clip(np.where(cloud > 0.0, low / np.where(cloud > 0.0, cloud, 1.0), low), 0.0, 1.0)
    alone = _bounded(low + error_frac, 0.0, 1.0, np.clip(low.mean(axis=0), edge, 1.0 - edge))
    return {
        "cloud_cover_frac": made,
        "low_cloud_frac": np.where(np.isfinite(cloud), made * share, alone),
    }


def _shifted(utc: UtcArray, rows_mm: FloatArray, shift_h: IntArray) -> FloatArray:
    """Rain of each member earlier or later; the first or last hour is held at the ends."""
    at_h = _hours(utc, utc[0])
    return np.stack(
        [np.interp(at_h - late, at_h, row) for row, late in zip(rows_mm, shift_h, strict=True)]
    )
