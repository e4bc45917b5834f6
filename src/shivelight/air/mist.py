"""Chance of mist and fog around one sunrise, from an ordinary forecast of the evening before.

Where it holds: lowland, sensors in the open, in a mild maritime climate. No wood, valley bottom
or lake edge is in its data; cold pools and knee-deep ground mist are invisible to it. How well it
does, by stations and years left out, is measured in docs/mist.md.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from shivelight.air._mist_table import BASE_FOG_SHAPE, BASE_LIFT_MIN, BASE_MIST_SHAPE
from shivelight.air.mist_hours import (
    QUANTITIES,
    NightHours,
    hourly_steps,
    on_ruler,
    sun_of,
    to_hourly,
)
from shivelight.air.mist_lift import (
    BIN_END_MIN,
    QUANTILES,
    SEEN,
    lift_quantiles_min,
    quantiles_given_seen,
)
from shivelight.air.mist_model import CURVE_MIN, MistModel, Prediction, inputs_held, predict
from shivelight.air.mist_range import range_quantile_m, recalibrate
from shivelight.air.mist_terms import INPUTS, WINDOW_TERMS
from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.basis.errors import BadInputError, MissingDataError, require_range

__all__ = [
    "SEEN",
    "MistChance",
    "MistModel",
    "Night",
    "base_rates",
    "lifting_given_seen",
    "mist_chance",
    "range_quantile_m",
    "recalibrate",
    "season_chance",
]

SPOKEN = {
    "wind": "wind",
    "cloud": "cloud",
    "rain": "rain of the night",
    "rain before": "rain of the day before",
    "pressure": "pressure",
    "evening": "air of the afternoon and dusk",
}
"""Inputs as they are told to the photographer."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Night:
    """One place's series around a night, in M members.

    Attributes
    ----------
    utc : ndarray of datetime64, shape (T,)
        Rising instants, hourly (steps up to 6 h are interpolated), from noon before to 4 h after
        sunrise where there is that much; at least from 6 h before to 1 h after sunrise.
    temperature_degc, dew_point_degc : ndarray, shape (M, T)
        Screen height. [°C]
    wind_speed_mps : ndarray, shape (M, T)
        At 10 m; NaN = missing, as in all the others. [m/s]
    cloud_cover_frac : ndarray, shape (M, T)
        0 to 1.
    precipitation_mm : ndarray, shape (M, T)
        In the hour before. [mm]
    pressure_hpa : ndarray, shape (M, T)
        At sea level. [hPa]
    sunrise_utc, sunset_utc : datetime64
        This morning's sunrise and last evening's sunset.
    latitude_deg : float
        Of the place. [°]
    rain_before_mm : float
        Rain of the 24 h up to the noon before, where known and not in the series. [mm]
    """

    utc: UtcArray
    temperature_degc: FloatArray
    dew_point_degc: FloatArray
    wind_speed_mps: FloatArray
    cloud_cover_frac: FloatArray
    precipitation_mm: FloatArray
    pressure_hpa: FloatArray
    sunrise_utc: np.datetime64
    sunset_utc: np.datetime64
    latitude_deg: float
    rain_before_mm: float = float("nan")

    def __post_init__(self) -> None:
        require_range("latitude", self.latitude_deg, -90.0, 90.0, "°")
        shape = self.temperature_degc.shape
        for name in QUANTITIES:
            if getattr(self, name).shape != shape or shape[1:] != self.utc.shape:
                raise BadInputError(
                    f"The night's {name} has shape {getattr(self, name).shape}; "
                    f"temperature has {shape} and there are {self.utc.size} hours."
                )
        if not self.sunset_utc < self.sunrise_utc <= self.sunset_utc + np.timedelta64(24, "h"):
            raise BadInputError(
                "The night's sunset must come before its sunrise, by less than a day."
            )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MistChance:
    """Chances around one sunrise, in M members, with what they rest on.

    Attributes
    ----------
    minutes : ndarray, shape (Q,)
        Minutes after sunrise, -60 to 240 by 15. [min]
    fog_frac, mist_frac : ndarray, shape (M, Q)
        Chance that now the optical range is under 1 km; under 5 km in humid, dry air (fog
        counts as mist). Never above the window's.
    window_fog_frac, window_mist_frac : ndarray, shape (M,)
        Chance of the same at some hour from sunrise - 1 h to sunrise + 2 h.
    lift_quantiles_min : ndarray, shape (M, 5)
        Given fog at sunrise: minutes after sunrise by which 10, 25, 50, 75, 90 in a hundred
        such fogs have lifted; 480 = not within 8 h. [min]
    lift_still_frac : ndarray, shape (M, 33)
        Given fog at sunrise: share still standing after 0, 15, ... 480 min.
    base_fog_frac, base_mist_frac : float
        The season's rate of the window at the training stations.
    moved_by : tuple of (str, float)
        Merged inputs and the log-odds by which they moved the first member's chance of mist
        away from the training mean, largest first.
    missing : tuple of str
        Inputs that were not there.
    cost : str
        One sentence on what that costs; empty when nothing is missing.
    """

    minutes: FloatArray
    fog_frac: FloatArray
    mist_frac: FloatArray
    window_fog_frac: FloatArray
    window_mist_frac: FloatArray
    lift_quantiles_min: FloatArray
    lift_still_frac: FloatArray
    base_fog_frac: float
    base_mist_frac: float
    moved_by: tuple[tuple[str, float], ...]
    missing: tuple[str, ...]
    cost: str


def mist_chance(night: Night, *, model: MistModel | None = None) -> MistChance:
    """Evaluate the mist model for one night.

    Parameters
    ----------
    night : Night
        One member (the ensemble mean, for the chance that is told) or all of them.
    model : MistModel, optional
        Coefficients; those of the package by default.

    Returns
    -------
    MistChance
        With the members of ``night``.

    Raises
    ------
    MissingDataError
        If temperature or dew point is missing around sunrise: nothing is put in its place.
        :func:`base_rates` still gives the season's rate.
    """
    table = model or MistModel.default()
    hours = _night_hours(night)
    said = predict(hours, table, together=True)
    if np.any(said.variant < 0):
        raise MissingDataError(
            "Temperature or dew point is missing between 6 hours before and 1 hour after sunrise, "
            "so no chance of mist can be worked out; only the season's rate is known. Fetch a "
            "fuller forecast, or type the evening."
        )
    fog_base, mist_base = base_rates(night.sunrise_utc, night.latitude_deg, model=table)
    missing = _missing(said)
    return MistChance(
        minutes=CURVE_MIN.copy(),
        fog_frac=said.fog_now_frac,
        mist_frac=said.mist_now_frac,
        window_fog_frac=said.fog_frac,
        window_mist_frac=said.mist_frac,
        lift_quantiles_min=lift_quantiles_min(said.still_frac),
        lift_still_frac=said.still_frac,
        base_fog_frac=fog_base,
        base_mist_frac=mist_base,
        moved_by=_moved_by(said, table),
        missing=missing,
        cost=_cost(missing, said, table),
    )


def base_rates(
    sunrise_utc: np.datetime64, latitude_deg: float, *, model: MistModel | None = None
) -> tuple[float, float]:
    """Season's rate of fog and of mist in the window at the training stations.

    Parameters
    ----------
    sunrise_utc : datetime64
        The morning.
    latitude_deg : float
        South of the equator the seasons are turned by half a year. [°]
    model : MistModel, optional
        Whose rates.

    Returns
    -------
    fog_frac, mist_frac : float
        Between the middles of two months in proportion.
    """
    table = model or MistModel.default()
    year = sunrise_utc.astype("datetime64[Y]")
    days = float((sunrise_utc - year.astype("datetime64[D]")) / np.timedelta64(1, "D"))
    month = days / 365.25 * 12.0 - 0.5 + (6.0 if latitude_deg < 0.0 else 0.0)
    knots = np.arange(-1.0, 19.0)
    rates = (table.base_fog_frac, table.base_mist_frac)
    fog, mist = (float(np.interp(month, knots, np.resize(np.roll(r, 1), 20))) for r in rates)
    return fog, mist


def season_chance(night: Night, *, model: MistModel | None = None) -> MistChance:
    """Give the season's rate where humidity is not known: no forecast of mist, and it says so.

    Parameters
    ----------
    night : Night
        Whose members, sunrise and latitude count; its weather does not.
    model : MistModel, optional
        Whose rates.

    Returns
    -------
    MistChance
        The same for every member: the season's rate of the window, spread over the morning as
        usual at the training stations, with their usual lifting.
    """
    members = night.temperature_degc.shape[0]
    fog, mist = base_rates(night.sunrise_utc, night.latitude_deg, model=model)

    def for_all(values: ArrayLike) -> FloatArray:
        row = np.atleast_1d(np.asarray(values, dtype=np.float64))
        return np.repeat(row[None, :], members, axis=0)

    lift_min = np.asarray(BASE_LIFT_MIN, dtype=np.float64)
    edges_min = np.concatenate([[0.0], BIN_END_MIN])
    still = 1.0 - np.interp(edges_min, np.concatenate([[0.0], lift_min]), (0.0, *QUANTILES))
    return MistChance(
        minutes=CURVE_MIN.copy(),
        fog_frac=for_all(fog * np.asarray(BASE_FOG_SHAPE)),
        mist_frac=for_all(mist * np.asarray(BASE_MIST_SHAPE)),
        window_fog_frac=np.full(members, fog),
        window_mist_frac=np.full(members, mist),
        lift_quantiles_min=for_all(lift_min),
        lift_still_frac=for_all(still),
        base_fog_frac=fog,
        base_mist_frac=mist,
        moved_by=(),
        missing=("humidity or dew point",),
        cost="humidity or dew point: without it there is no forecast of mist, only the season's "
        "rate",
    )


def lifting_given_seen(
    chance: MistChance, *, seen: str, minutes: float, model: MistModel | None = None
) -> FloatArray:
    """Update the lifting time by what is seen at or after sunrise.

    Parameters
    ----------
    chance : MistChance
        What was said the evening before.
    seen : {"none", "wisps", "thin", "good", "thick"}
        Mist as the log names it.
    minutes : float
        When it was seen, after sunrise. [min]
    model : MistModel, optional
        Whose shifts.

    Returns
    -------
    ndarray, shape (M, 5)
        Minutes after sunrise at 10, 25, 50, 75, 90 in a hundred. [min]

    Raises
    ------
    BadInputError
        If ``seen`` is another word.
    """
    table = model or MistModel.default()
    return quantiles_given_seen(
        chance.lift_still_frac, seen=seen, minutes=minutes, shifts=table.seen
    )


def _night_hours(night: Night) -> NightHours:
    steps, position_h = hourly_steps(night.utc)
    members = night.temperature_degc.shape[0]
    start_h = np.full(members, float((steps[0] - night.sunrise_utc) / np.timedelta64(1, "h")))
    hourly = {name: to_hourly(getattr(night, name), position_h, steps.size) for name in QUANTITIES}
    sunrise_utc = np.full(members, night.sunrise_utc)
    night_h = float((night.sunrise_utc - night.sunset_utc) / np.timedelta64(1, "h"))
    rain = _rain_before(night, steps, hourly["precipitation_mm"], night_h)
    return NightHours(
        **{name: on_ruler(rows, start_h) for name, rows in hourly.items()},
        rain_before_mm=rain,
        night_h=np.full(members, night_h),
        latitude_deg=np.full(members, night.latitude_deg),
        declination=sun_of(sunrise_utc),
        sunrise_utc=sunrise_utc,
    )


def _rain_before(night: Night, steps: UtcArray, rain_mm: FloatArray, night_h: float) -> FloatArray:
    """Rain of the 24 h up to the sun's noon before: from the series, else as given. Shape (M,)."""
    noon = night.sunrise_utc - np.timedelta64(round((night_h / 2.0 + 12.0) * 60.0), "m")
    inside = (steps > noon - np.timedelta64(24, "h")) & (steps <= noon)
    if inside.sum() >= 22 and np.isfinite(rain_mm[:, inside]).all():
        return np.asarray(rain_mm[:, inside].sum(axis=1), dtype=np.float64)
    return np.full(rain_mm.shape[0], float(night.rain_before_mm))


def _missing(said: Prediction) -> tuple[str, ...]:
    held = inputs_held(said.terms)
    return tuple(SPOKEN[name] for name in INPUTS if not held[name].all())


def _moved_by(said: Prediction, model: MistModel) -> tuple[tuple[str, float], ...]:
    """Log-odds of mist by merged input, for the first member, against the training mean."""
    variant = model.variants[int(said.variant[0])]
    means = dict(zip(WINDOW_TERMS, model.term_means, strict=True))
    merged: dict[str, float] = {}
    for name, weight in zip(variant.window_names, variant.mist[1:], strict=True):
        label = WINDOW_TERMS[name][0]
        step = float(weight * (said.terms[name][0] - means[name]))
        merged[label] = merged.get(label, 0.0) + step
    return tuple(sorted(merged.items(), key=lambda item: -abs(item[1])))


def _cost(missing: tuple[str, ...], said: Prediction, model: MistModel) -> str:
    if not missing:
        return ""
    full, used = model.variants[0], model.variants[int(said.variant[0])]
    if used.fog_skill >= full.fog_skill - 0.005 and used.mist_skill >= full.mist_skill - 0.005:
        return f"{', '.join(missing)}: the model does nearly as well without it"
    skills = (("fog", used.fog_skill, full.fog_skill), ("mist", used.mist_skill, full.mist_skill))
    told = [
        f"{now:.2f} for {name}, not {best:.2f}"
        for name, now, best in skills
        if f"{now:.2f}" != f"{best:.2f}"
    ]
    return (
        f"{', '.join(missing)}: without it the model's skill is {', and '.join(told)} "
        "(0 is the month's rate, 1 perfect)"
    )
