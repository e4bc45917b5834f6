"""The mist model: a table of coefficients, and its evaluation for many nights at once."""

import json
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from shivelight.air._mist_table import TABLE
from shivelight.air.mist_hours import NightHours
from shivelight.air.mist_lift import BIN_END_MIN, SeenShift, survival
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
from shivelight.basis.arrays import BoolArray, FloatArray, IntArray
from shivelight.basis.errors import BadInputError

CURVE_MIN = np.arange(-60.0, 241.0, 15.0)
"""Moments of the curve, minutes after sunrise. Shape (21,). [min]"""

LARGEST_LOGIT = 12.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Variant:
    """Coefficients for one set of inputs; the first of each row is the constant.

    Attributes
    ----------
    name : str
        "full", or what is left out.
    have : frozenset of str
        Inputs used, of :data:`~shivelight.air.mist_terms.INPUTS`.
    fog, mist : ndarray, shape (1 + terms of the window,)
        Chance at some hour of sunrise - 1 h to + 2 h.
    fog_now, mist_now : ndarray, shape (1 + terms of the curve,)
        Chance at a moment.
    lift : ndarray, shape (1 + terms of the lifting,)
        Log-odds of lifting in a quarter hour.
    fog_skill, mist_skill : float
        Brier skill against the station's own month rates, stations and years left out.
    """

    name: str
    have: frozenset[str]
    fog: FloatArray
    mist: FloatArray
    fog_now: FloatArray
    mist_now: FloatArray
    lift: FloatArray
    fog_skill: float
    mist_skill: float

    @property
    def window_names(self) -> list[str]:
        """Terms of the window that this variant uses."""
        return names_for(WINDOW_TERMS, WINDOW_NEEDS, set(self.have))

    @property
    def curve_names(self) -> list[str]:
        """Terms of the curve that this variant uses."""
        return names_for(CURVE_TERMS, CURVE_TERMS, set(self.have))

    @property
    def lift_names(self) -> list[str]:
        """Terms of the lifting that this variant uses."""
        return names_for(LIFT_TERMS, LIFT_TERMS, set(self.have))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MistModel:
    """Everything the mist model knows.

    Attributes
    ----------
    variants : tuple of Variant
        From most inputs to fewest; the first that a night can fill is used.
    term_means : ndarray, shape (terms of the window,)
        Mean of each term at the training stations.
    base_fog_frac, base_mist_frac : ndarray, shape (12,)
        Rates of the window by month at the training stations, January first, northern half.
    seen : SeenShift
        What a look at sunrise does to the lifting.
    fog_range_m, fog_range_share, mist_range_m, mist_range_share : ndarray
        Optical range inside fog and inside mist: knots and share of cases below them.
    trained_on : str
        What it was fitted on, in one sentence.
    """

    variants: tuple[Variant, ...]
    term_means: FloatArray
    base_fog_frac: FloatArray
    base_mist_frac: FloatArray
    seen: SeenShift
    fog_range_m: FloatArray
    fog_range_share: FloatArray
    mist_range_m: FloatArray
    mist_range_share: FloatArray
    trained_on: str

    @staticmethod
    def default() -> "MistModel":
        """Give the model fitted on the training stations (see docs/mist.md)."""
        return _default()

    @staticmethod
    def from_json(text: str) -> "MistModel":
        """Build a model from a table written by ``scripts/fit_mist.py``.

        Raises
        ------
        BadInputError
            If a row of coefficients does not fit the terms.
        """
        table = json.loads(text)
        return MistModel(
            variants=tuple(_variant(row, table["moments"]) for row in table["variants"]),
            term_means=_row(table["term_means"], len(WINDOW_TERMS), "term means"),
            base_fog_frac=_row(table["base_fog_frac"], 12, "base rates of fog"),
            base_mist_frac=_row(table["base_mist_frac"], 12, "base rates of mist"),
            seen=SeenShift(**table["seen"]),
            fog_range_m=np.asarray(table["fog_range_m"], dtype=np.float64),
            fog_range_share=np.asarray(table["fog_range_share"], dtype=np.float64),
            mist_range_m=np.asarray(table["mist_range_m"], dtype=np.float64),
            mist_range_share=np.asarray(table["mist_range_share"], dtype=np.float64),
            trained_on=str(table["trained_on"]),
        )


@lru_cache(maxsize=1)
def _default() -> MistModel:
    return MistModel.from_json(TABLE)


def _row(values: Any, size: int, what: str) -> FloatArray:
    row = np.asarray(values, dtype=np.float64)
    if row.shape != (size,):
        raise BadInputError(
            f"The mist table's {what} number {row.size}, the model has {size}; fit it again."
        )
    return row


def moment_key(have: frozenset[str]) -> str:
    """Name of the rows for curve and lifting that a set of inputs uses."""
    return "+".join(sorted(have & {"wind", "cloud", "rain"})) or "none"


def _variant(record: dict[str, Any], moments: dict[str, Any]) -> Variant:
    have = frozenset(record["have"])
    rows = {**record, **moments[moment_key(have)]}
    sizes = {
        "fog": len(names_for(WINDOW_TERMS, WINDOW_NEEDS, set(have))),
        "fog_now": len(names_for(CURVE_TERMS, CURVE_TERMS, set(have))),
        "lift": len(names_for(LIFT_TERMS, LIFT_TERMS, set(have))),
    }
    sizes |= {"mist": sizes["fog"], "mist_now": sizes["fog_now"]}
    return Variant(
        name=record["name"],
        have=have,
        fog_skill=float(record["skill"][0]),
        mist_skill=float(record["skill"][1]),
        **{name: _row(rows[name], size + 1, f"row {name}") for name, size in sizes.items()},
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Prediction:
    """What the model says of B nights; rows of NaN where temperature or dew point is missing.

    Attributes
    ----------
    variant : ndarray of int, shape (B,)
        Which variant was used; -1 where none could be.
    fog_logit, mist_logit : ndarray, shape (B,)
        Log-odds of the window's chances.
    fog_now_frac, mist_now_frac : ndarray, shape (B, Q)
        Chances at :data:`CURVE_MIN`, never above the window's.
    still_frac : ndarray, shape (B, 33)
        Share of fogs at sunrise that still stand, by the quarter hour.
    terms : dict of str to ndarray, shape (B,)
        Terms of the window.
    """

    variant: IntArray
    fog_logit: FloatArray
    mist_logit: FloatArray
    fog_now_frac: FloatArray
    mist_now_frac: FloatArray
    still_frac: FloatArray
    terms: dict[str, FloatArray]

    @property
    def fog_frac(self) -> FloatArray:
        """Window's chance of fog. Shape (B,)."""
        return sigmoid(self.fog_logit)

    @property
    def mist_frac(self) -> FloatArray:
        """Window's chance of mist (fog counts as mist), never below that of fog. Shape (B,)."""
        return np.maximum(sigmoid(self.mist_logit), self.fog_frac)


def sigmoid(logit: FloatArray) -> FloatArray:
    """Log-odds to chance, without overflow."""
    return np.asarray(1.0 / (1.0 + np.exp(-np.clip(logit, -30.0, 30.0))), dtype=np.float64)


def weighted(terms: dict[str, FloatArray], names: list[str], weights: FloatArray) -> FloatArray:
    """Sum a row of coefficients over named terms: log-odds, held within ±12."""
    total = np.full(next(iter(terms.values())).shape, weights[0])
    for name, weight in zip(names, weights[1:], strict=True):
        total = total + weight * terms[name]
    return np.asarray(np.clip(total, -LARGEST_LOGIT, LARGEST_LOGIT), dtype=np.float64)


def inputs_held(terms: dict[str, FloatArray]) -> dict[str, BoolArray]:
    """Which nights hold each input: all the terms that need it alone are there. Shape (B,)."""
    held: dict[str, BoolArray] = {}
    for name in INPUTS:
        alone = [terms[term] for term, needs in WINDOW_NEEDS.items() if needs == {name}]
        held[name] = np.asarray(np.isfinite(np.stack(alone)).all(axis=0))
    return held


def choose_variant(
    terms: dict[str, FloatArray], model: MistModel, *, together: bool = False
) -> IntArray:
    """Pick for each night (or for all) the first variant whose terms are known; -1 for none."""
    chosen = np.full(next(iter(terms.values())).shape, -1, dtype=np.int64)
    for index, variant in enumerate(model.variants):
        known = np.isfinite(np.stack([terms[name] for name in variant.window_names])).all(axis=0)
        usable = np.full_like(known, known.all()) if together else known
        chosen = np.where((chosen < 0) & usable, index, chosen)
    return chosen


def predict(hours: NightHours, model: MistModel, *, together: bool = False) -> Prediction:
    """Evaluate the model for B nights.

    Parameters
    ----------
    hours : NightHours
        B nights on the ruler.
    model : MistModel
        Coefficients.
    together : bool
        Use one variant for all rows, the first that the poorest row can fill.

    Returns
    -------
    Prediction
        Of the same B nights.
    """
    count, moments = hours.count, CURVE_MIN.size
    terms = window_terms(hours)
    chosen = choose_variant(terms, model, together=together)
    fog, mist = np.full(count, np.nan), np.full(count, np.nan)
    fog_now = np.full((count, moments), np.nan)
    mist_now = np.full((count, moments), np.nan)
    still = np.full((count, BIN_END_MIN.size + 1), np.nan)
    for index, variant in enumerate(model.variants):
        rows = chosen == index
        if not rows.any():
            continue
        part = hours.only(rows)
        own = {name: terms[name][rows] for name in variant.window_names}
        fog[rows] = weighted(own, variant.window_names, variant.fog)
        mist[rows] = weighted(own, variant.window_names, variant.mist)
        fog_now[rows], mist_now[rows] = _curves(part, variant, fog[rows], mist[rows])
        still[rows] = _still(part, variant, mist[rows])
    return Prediction(
        variant=chosen,
        fog_logit=fog,
        mist_logit=mist,
        fog_now_frac=fog_now,
        mist_now_frac=mist_now,
        still_frac=still,
        terms=terms,
    )


def _curves(
    hours: NightHours, variant: Variant, fog: FloatArray, mist: FloatArray
) -> tuple[FloatArray, FloatArray]:
    after_h = np.broadcast_to(CURVE_MIN / 60.0, (hours.count, CURVE_MIN.size))
    of_fog = curve_terms(hours, after_h, window=fog, other_window=mist)
    of_mist = curve_terms(hours, after_h, window=mist, other_window=fog)
    names = variant.curve_names
    fog_now = sigmoid(weighted(of_fog, names, variant.fog_now))
    mist_now = sigmoid(weighted(of_mist, names, variant.mist_now))
    fog_now = np.minimum(fog_now, sigmoid(fog)[:, None])
    window_mist = np.maximum(sigmoid(mist), sigmoid(fog))[:, None]
    return fog_now, np.clip(mist_now, fog_now, window_mist)


def _still(hours: NightHours, variant: Variant, mist: FloatArray) -> FloatArray:
    middle_h = np.broadcast_to((BIN_END_MIN - 7.5) / 60.0, (hours.count, BIN_END_MIN.size))
    terms = lift_terms(hours, middle_h, mist_window=mist)
    return survival(weighted(terms, variant.lift_names, variant.lift))
