"""Fitting the mist model: rows of terms, ridge logistic by Newton's method, one variant each."""

from dataclasses import dataclass

import numpy as np
from mist_data import Station, Truth, months, ruler_of, years

from shivelight.air.mist_hours import NightHours
from shivelight.air.mist_lift import BIN_END_MIN
from shivelight.air.mist_model import moment_key, weighted
from shivelight.air.mist_terms import (
    CURVE_TERMS,
    INPUTS,
    LIFT_TERMS,
    WINDOW_NEEDS,
    WINDOW_TERMS,
    curve_terms,
    lift_terms,
    names_for,
    window_terms,
)

RIDGE = 3.0

ALL = frozenset(INPUTS)
VARIANTS: dict[str, frozenset[str]] = {
    "full": ALL,
    "no rain before": ALL - {"rain before"},
    "no pressure": ALL - {"pressure"},
    "no pressure, no rain before": ALL - {"pressure", "rain before"},
    "no evening": ALL - {"evening", "rain before"},
    "no rain": ALL - {"rain", "rain before"},
    "no cloud": ALL - {"cloud"},
    "no cloud, no rain before": ALL - {"cloud", "rain before"},
    "no wind": ALL - {"wind"},
    "no wind, no rain before": ALL - {"wind", "rain before"},
    "wind and cloud only": frozenset({"wind", "cloud"}),
    "temperature and humidity only": frozenset(),
}


@dataclass(kw_only=True, eq=False)
class Nights:
    """Forecasts and truths of many nights, one row each."""

    hours: NightHours
    terms: dict[str, np.ndarray]
    station: np.ndarray
    month: np.ndarray
    year: np.ndarray
    fog: np.ndarray
    mist: np.ndarray
    lift_min: np.ndarray
    lift_after_min: np.ndarray
    after_h: np.ndarray  # (N, 37) of the truth's hours
    known: np.ndarray
    fog_hour: np.ndarray
    mist_hour: np.ndarray
    visibility_m: np.ndarray

    @property
    def count(self) -> int:
        """How many nights."""
        return int(self.fog.size)

    def only(self, keep: np.ndarray) -> "Nights":
        """Keep some of the nights."""
        values = {
            name: value[keep]
            for name, value in vars(self).items()
            if isinstance(value, np.ndarray)
        }
        terms = {name: value[keep] for name, value in self.terms.items()}
        return Nights(hours=self.hours.only(keep), terms=terms, **values)


def nights_of(forecast: Station, seen: Station, truth: Truth) -> Nights:
    """Pair a forecast with what the station saw; only nights where all of it is known."""
    hours = ruler_of(forecast)
    terms = window_terms(hours)
    whole = np.isfinite(np.stack(list(terms.values()))).all(axis=0) & truth.window_known
    found = Nights(
        hours=hours,
        terms=terms,
        station=np.full(seen.days.size, int(seen.name)),
        month=months(seen.days),
        year=years(seen.days),
        fog=truth.window_fog.astype(float),
        mist=truth.window_mist.astype(float),
        lift_min=truth.lift_min,
        lift_after_min=truth.lift_after_min,
        after_h=seen.after_h,
        known=truth.known,
        fog_hour=truth.fog,
        mist_hour=truth.mist | truth.fog,
        visibility_m=seen.visibility_m,
    )
    return found.only(whole)


def joined(parts: list[Nights]) -> Nights:
    """Put several sets of nights end to end."""
    hours = {
        name: np.concatenate([getattr(p.hours, name) for p in parts])
        for name in NightHours.__dataclass_fields__
    }
    values = {
        name: np.concatenate([getattr(p, name) for p in parts])
        for name, value in vars(parts[0]).items()
        if isinstance(value, np.ndarray)
    }
    terms = {name: np.concatenate([p.terms[name] for p in parts]) for name in parts[0].terms}
    return Nights(hours=NightHours(**hours), terms=terms, **values)


def logistic(
    columns: np.ndarray,
    happened: np.ndarray,
    *,
    ridge: float = RIDGE,
    offset: np.ndarray | None = None,
) -> np.ndarray:
    """Fit a ridge logistic by damped Newton steps on standardised columns.

    Returns the constant and one weight a column, in the columns' own units.
    """
    middle, width = columns.mean(axis=0), columns.std(axis=0) + 1e-9
    table = np.hstack([np.ones((columns.shape[0], 1)), (columns - middle) / width])
    weights = np.zeros(table.shape[1])
    rate = np.clip(happened.mean(), 1e-4, 1.0 - 1e-4)
    weights[0] = np.log(rate / (1.0 - rate)) if offset is None else 0.0
    fixed = np.zeros(columns.shape[0]) if offset is None else offset
    penalty = np.full(table.shape[1], ridge)
    penalty[0] = 0.0
    for _ in range(40):
        chance = 1.0 / (1.0 + np.exp(-np.clip(table @ weights + fixed, -30.0, 30.0)))
        slope = table.T @ (happened - chance) - penalty * weights
        bend = (table * (chance * (1.0 - chance))[:, None]).T @ table + np.diag(penalty)
        step = np.linalg.solve(bend, slope)
        weights = weights + step * min(1.0, 2.0 / np.abs(step).max())
        if np.abs(step).max() < 1e-5:
            break
    slopes = weights[1:] / width
    return np.concatenate([[weights[0] - float(slopes @ middle)], slopes])


def stack(terms: dict[str, np.ndarray], names: list[str]) -> np.ndarray:
    """Columns of named terms, rows flattened."""
    return np.stack([terms[name].ravel() for name in names], axis=1)


def fit_window(nights: Nights, have: frozenset[str]) -> dict[str, np.ndarray]:
    """Fit both chances of the window for one set of inputs."""
    names = names_for(WINDOW_TERMS, WINDOW_NEEDS, set(have))
    columns = stack(nights.terms, names)
    return {"fog": logistic(columns, nights.fog), "mist": logistic(columns, nights.mist)}


def window_logits(nights: Nights, have: frozenset[str], fitted: dict) -> tuple[np.ndarray, ...]:
    """Log-odds of fog and of mist in the window."""
    names = names_for(WINDOW_TERMS, WINDOW_NEEDS, set(have))
    return tuple(weighted(nights.terms, names, fitted[kind]) for kind in ("fog", "mist"))


def curve_rows(nights: Nights) -> tuple[np.ndarray, np.ndarray]:
    """Six observed hours from 75 min before sunrise, and whether each counts. Shapes (N, 6)."""
    first = np.ceil(-1.25 - nights.after_h[:, 0]).astype(int)
    columns = np.clip(first[:, None] + np.arange(6), 0, nights.after_h.shape[1] - 1)
    after = np.take_along_axis(nights.after_h, columns, axis=1)
    known = np.take_along_axis(nights.known, columns, axis=1)
    return columns, known & (after <= 4.25)


def fit_moments(nights: Nights, have: frozenset[str], window: dict) -> dict[str, np.ndarray]:
    """Fit curve and lifting for one set of inputs, given the fitted window."""
    fog, mist = window_logits(nights, have, window)
    columns, use = curve_rows(nights)
    after = np.take_along_axis(nights.after_h, columns, axis=1)
    names = names_for(CURVE_TERMS, CURVE_TERMS, set(have))
    found = {}
    for kind, own, other, seen in (
        ("fog_now", fog, mist, nights.fog_hour),
        ("mist_now", mist, fog, nights.mist_hour),
    ):
        terms = curve_terms(nights.hours, after, window=own, other_window=other)
        happened = np.take_along_axis(seen, columns, axis=1)[use].astype(float)
        found[kind] = logistic(stack({n: terms[n][use] for n in names}, names), happened)
    found["lift"] = fit_lift(nights, have, mist)
    return found


def lift_table(
    nights: Nights, have: frozenset[str], mist: np.ndarray, lift_min: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Rows of the hazard: terms (K, C), lifted (K,), and which night each row is of (K,)."""
    rows = np.flatnonzero(np.isfinite(lift_min))
    keep = np.isfinite(lift_min)
    middle_h = np.broadcast_to((BIN_END_MIN - 7.5) / 60.0, (rows.size, BIN_END_MIN.size))
    terms = lift_terms(nights.hours.only(keep), middle_h, mist_window=mist[keep])
    minutes = lift_min[rows][:, None]
    at_risk = minutes > BIN_END_MIN[None, :] - 15.0
    lifted = at_risk & (minutes <= BIN_END_MIN[None, :]) & (minutes < 480.0)
    names = names_for(LIFT_TERMS, LIFT_TERMS, set(have))
    columns = stack({name: terms[name][at_risk] for name in names}, names)
    night = np.broadcast_to(rows[:, None], at_risk.shape)[at_risk]
    return columns, lifted[at_risk].astype(float), night


def fit_lift(nights: Nights, have: frozenset[str], mist: np.ndarray) -> np.ndarray:
    """Fit the lifting hazard on both readings of "fog at sunrise" together."""
    parts = [lift_table(nights, have, mist, m) for m in (nights.lift_min, nights.lift_after_min)]
    columns, lifted = (np.concatenate([part[i] for part in parts]) for i in (0, 1))
    return logistic(columns, lifted)


def fit_all(nights: Nights) -> tuple[dict[str, dict], dict[str, dict]]:
    """Fit every variant's window, and curve and lifting once for each set of moment inputs."""
    windows, moments = {}, {}
    for name, have in VARIANTS.items():
        windows[name] = fit_window(nights, have)
        key = moment_key(have)
        if key not in moments:
            moments[key] = fit_moments(nights, have, windows[name])
    return windows, moments
