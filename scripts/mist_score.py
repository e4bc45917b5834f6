"""Scores of the mist model: Brier skill, area under ROC, calibration, CRPS of the lifting."""

import numpy as np

QUANTILES = np.array([0.10, 0.25, 0.50, 0.75, 0.90])


def month_rate(station: np.ndarray, month: np.ndarray, happened: np.ndarray) -> np.ndarray:
    """Rate of each row's own station and month: the climatology to beat."""
    key = station * 12 + month
    _, group = np.unique(key, return_inverse=True)
    return (np.bincount(group, happened) / np.bincount(group))[group]


def brier_skill(chance: np.ndarray, happened: np.ndarray, reference: np.ndarray) -> float:
    """1 - Brier score / Brier score of the reference."""
    return float(1.0 - np.mean((chance - happened) ** 2) / np.mean((reference - happened) ** 2))


def area_under_roc(chance: np.ndarray, happened: np.ndarray) -> float:
    """Chance that a case ranks above a non-case (Mann and Whitney), ties ignored."""
    rank = np.empty(chance.size)
    rank[np.argsort(chance)] = np.arange(1.0, chance.size + 1.0)
    cases = happened.sum()
    return float(
        (rank[happened > 0].sum() - cases * (cases + 1) / 2) / (cases * (chance.size - cases))
    )


def calibration(chance: np.ndarray, happened: np.ndarray, bins: int = 10) -> tuple[float, list]:
    """Give the expected calibration error, and (mean chance, rate, count) of each filled tenth."""
    which = np.minimum((chance * bins).astype(int), bins - 1)
    rows, error = [], 0.0
    for index in range(bins):
        inside = which == index
        if inside.any():
            said, found, count = chance[inside].mean(), happened[inside].mean(), int(inside.sum())
            rows.append((float(said), float(found), count))
            error += abs(said - found) * count / chance.size
    return float(error), rows


def crps(quantiles_min: np.ndarray, lifted_min: np.ndarray) -> float:
    """Mean twice-pinball loss over the five quantiles, an estimate of the CRPS in minutes."""
    gap = lifted_min[:, None] - quantiles_min
    return float(2.0 * np.mean(np.maximum(QUANTILES * gap, (QUANTILES - 1.0) * gap)))


def month_quantiles(month: np.ndarray, lifted_min: np.ndarray) -> np.ndarray:
    """Quantiles of all stations' liftings in each row's month: the lifting to beat."""
    every = np.quantile(lifted_min, QUANTILES)
    table = np.array(
        [
            np.quantile(lifted_min[month == m], QUANTILES) if (month == m).any() else every
            for m in range(12)
        ]
    )
    return table[month]
