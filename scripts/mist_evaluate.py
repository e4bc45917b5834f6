"""Scoring the mist model on stations, and on stations and years, that it was not fitted on."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from mist_fit import (
    VARIANTS,
    Nights,
    curve_rows,
    fit_moments,
    fit_window,
    window_logits,
)
from mist_score import (
    area_under_roc,
    brier_skill,
    calibration,
    crps,
    month_quantiles,
    month_rate,
)

from shivelight.air.mist_lift import BIN_END_MIN, lift_quantiles_min, survival
from shivelight.air.mist_model import sigmoid, weighted
from shivelight.air.mist_terms import CURVE_TERMS, LIFT_TERMS, curve_terms, lift_terms

FULL = VARIANTS["full"]
Fold = tuple[np.ndarray, int, int]
Folds = Callable[[Nights], Iterator[Fold]]


@dataclass(kw_only=True, eq=False)
class Said:
    """What was said of the test nights by models that had not seen them."""

    fog: np.ndarray
    mist: np.ndarray
    fog_hour: np.ndarray  # (N, 6) at the hours of curve_rows
    mist_hour: np.ndarray
    lift_min: np.ndarray  # (N, 5)


def station_folds(nights: Nights) -> Iterator[Fold]:
    """Leave one station out, all its years."""
    for station in np.unique(nights.station):
        yield np.array([station]), 0, 9999


def strict_folds(nights: Nights) -> Iterator[Fold]:
    """Leave out half of the stations and a third of the years together: no shared nights."""
    stations = np.unique(nights.station)
    for part in (0, 1):
        for first, last in ((2011, 2013), (2014, 2016), (2017, 2020)):
            yield stations[part::2], first, last


def split(nights: Nights, fold: Fold) -> tuple[np.ndarray, np.ndarray]:
    """Rows to fit on and rows to try."""
    names, first, last = fold
    own = np.isin(nights.station, names)
    then = (nights.year >= first) & (nights.year <= last)
    rest = ~own if first == 0 else ~own & ~then
    return rest, own & then


def variant_skills(train: Nights, test: Nights) -> dict[str, tuple[float, float]]:
    """Brier skill of every variant, fog and mist, by the strict folds."""
    said = {name: np.zeros((2, test.count)) for name in VARIANTS}
    for fold in strict_folds(test):
        fit_rows, _ = split(train, fold)
        _, try_rows = split(test, fold)
        known, tried = train.only(fit_rows), test.only(try_rows)
        for name, have in VARIANTS.items():
            logits = window_logits(tried, have, fit_window(known, have))
            said[name][:, try_rows] = [sigmoid(logit) for logit in logits]
    skills = {}
    for name, chances in said.items():
        pair = zip(chances, (test.fog, test.mist), strict=True)
        skills[name] = tuple(brier_skill(p, y, _reference(test, y)) for p, y in pair)
        print(f"variant {name:32s} fog {skills[name][0]:.3f} mist {skills[name][1]:.3f}")
    return skills


def _reference(test: Nights, happened: np.ndarray) -> np.ndarray:
    return month_rate(test.station, test.month, happened)


def tried_by(folds: Folds, train: Nights, test: Nights) -> Said:
    """Fit and try by folds."""
    columns, _ = curve_rows(test)
    said = Said(
        fog=np.zeros(test.count),
        mist=np.zeros(test.count),
        fog_hour=np.zeros(columns.shape),
        mist_hour=np.zeros(columns.shape),
        lift_min=np.full((test.count, 5), np.nan),
    )
    for fold in folds(test):
        fit_rows, _ = split(train, fold)
        _, rows = split(test, fold)
        if rows.any():
            _try(train.only(fit_rows), test.only(rows), said, rows)
    return said


def _try(known: Nights, tried: Nights, said: Said, rows: np.ndarray) -> None:
    """Fit on some nights, say of others, fill their rows."""
    window = fit_window(known, FULL)
    moments = fit_moments(known, FULL, window)
    fog, mist = window_logits(tried, FULL, window)
    said.fog[rows] = sigmoid(fog)
    said.mist[rows] = np.maximum(sigmoid(mist), sigmoid(fog))
    columns, _ = curve_rows(tried)
    after = np.take_along_axis(tried.after_h, columns, axis=1)
    for name, one, other, kept in (
        ("fog_now", fog, mist, said.fog_hour),
        ("mist_now", mist, fog, said.mist_hour),
    ):
        terms = curve_terms(tried.hours, after, window=one, other_window=other)
        now = sigmoid(weighted(terms, list(CURVE_TERMS), moments[name]))
        kept[rows] = np.minimum(now, sigmoid(one)[:, None])
    middle = np.broadcast_to((BIN_END_MIN - 7.5) / 60.0, (tried.count, BIN_END_MIN.size))
    terms = lift_terms(tried.hours, middle, mist_window=mist)
    still = survival(weighted(terms, list(LIFT_TERMS), moments["lift"]))
    foggy = np.isfinite(tried.lift_min) | np.isfinite(tried.lift_after_min)
    said.lift_min[np.flatnonzero(rows)[foggy]] = lift_quantiles_min(still[foggy])


def evaluate(train: Nights, tests: dict[str, Nights]) -> dict[str, list]:
    """Print every score; give the reliability rows of each set, for drawing."""
    drawn = {}
    for label, folds in (
        ("station left out", station_folds),
        ("stations and years left out", strict_folds),
    ):
        for kind, test in tests.items():
            said = tried_by(folds, train, test)
            print(f"-- {label}; {kind}; {test.count} nights")
            for name, chance, seen in (
                ("fog", said.fog, test.fog),
                ("mist", said.mist, test.mist),
            ):
                drawn[f"{label}; {kind}; {name}"] = _report_window(name, chance, seen, test)
            _report_curve(said, test)
            _report_lift(said, test)
    return drawn


def _report_window(name: str, chance: np.ndarray, seen: np.ndarray, test: Nights) -> list:
    error, rows = calibration(chance, seen)
    print(
        f"   {name:5s} skill {brier_skill(chance, seen, _reference(test, seen)):.3f} "
        f"area {area_under_roc(chance, seen):.3f} calibration {error:.4f} "
        f"chance over half: {np.mean(chance > 0.5):.3f} of nights, "
        f"{seen[chance > 0.5].mean():.2f} came true"
    )
    print("        ", " ".join(f"{a:.2f}:{b:.2f}({c})" for a, b, c in rows))
    return rows


def _report_curve(said: Said, test: Nights) -> None:
    columns, use = curve_rows(test)
    after = np.take_along_axis(test.after_h, columns, axis=1)[use]
    station = np.broadcast_to(test.station[:, None], columns.shape)[use]
    month = np.broadcast_to(test.month[:, None], columns.shape)[use]
    hour = np.floor(after).astype(int) + 3
    for name, chance, seen in (
        ("fog", said.fog_hour, test.fog_hour),
        ("mist", said.mist_hour, test.mist_hour),
    ):
        happened = np.take_along_axis(seen, columns, axis=1)[use].astype(float)
        by_hour = month_rate(station * 10 + hour, month, happened)
        by_month = month_rate(station, month, happened)
        own = chance[use]
        print(
            f"   curve {name:5s} skill against month and hour "
            f"{brier_skill(own, happened, by_hour):.3f}, "
            f"against month {brier_skill(own, happened, by_month):.3f}, "
            f"calibration {calibration(own, happened)[0]:.4f}"
        )


def _report_lift(said: Said, test: Nights) -> None:
    for name, all_seen in (("nearest", test.lift_min), ("first after", test.lift_after_min)):
        rows = np.isfinite(all_seen)
        seen, quantiles = all_seen[rows], said.lift_min[rows]
        own = crps(quantiles, seen)
        base = crps(month_quantiles(test.month[rows], seen), seen)
        inside = np.mean((seen >= quantiles[:, 0]) & (seen <= quantiles[:, 4]))
        miss = np.mean(np.abs(quantiles[:, 2] - seen))
        print(
            f"   lifting (fog at the {name} hour) n {rows.sum()} better than the month by "
            f"{1 - own / base:.3f}, 10 to 90 covers {inside:.3f}, mean error {miss:.0f} min"
        )
