"""Spans of time as pairs of seconds from one instant: joining, cutting, finding."""

import math
from collections.abc import Iterable

import numpy as np

from shivelight.basis.arrays import FloatArray

Span = tuple[float, float]
Spans = tuple[Span, ...]
ALWAYS: Spans = ((-math.inf, math.inf),)


def both(first: Spans, second: Spans) -> Spans:
    """Time that lies in both; spans of no length are dropped."""
    found = [(max(a, c), min(b, d)) for a, b in first for c, d in second]
    return tuple(sorted(span for span in found if span[0] < span[1]))


def all_of(many: Iterable[Spans]) -> Spans:
    """Time that lies in every one; always, where there is none."""
    joint = ALWAYS
    for spans in many:
        joint = both(joint, spans)
    return joint


def outside(spans: Spans) -> Spans:
    """Time that lies in none of the spans."""
    return all_of(((-math.inf, start), (end, math.inf)) for start, end in spans)


def together(spans: Iterable[Span]) -> Spans:
    """Join spans that touch or overlap."""
    joined: list[Span] = []
    for start, end in sorted(spans):
        if joined and start <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], end))
        else:
            joined.append((start, end))
    return tuple(joined)


def where_within(at_s: FloatArray, values: FloatArray, *, low: float, high: float) -> Spans:
    """Time in which sampled values lie between two limits, straight lines between samples.

    Parameters
    ----------
    at_s, values : ndarray, shape (S,)
        Instants, rising, and values there; segments with NaN are left out. [s]
    low, high : float
        Limits, both included.

    Returns
    -------
    spans
        Inside the samples only. [s]
    """
    start, end, first, last = at_s[:-1], at_s[1:], values[:-1], values[1:]
    rise = last - first
    level = rise == 0.0
    with np.errstate(divide="ignore", invalid="ignore"):
        limits = (np.array([[low], [high]]) - first) / rise
    inside = (first >= low) & (first <= high)
    begins = np.where(level, np.where(inside, 0.0, 1.0), np.clip(limits.min(axis=0), 0.0, 1.0))
    ends = np.where(level, 1.0, np.clip(limits.max(axis=0), 0.0, 1.0))
    met = begins < ends  # never where a value is NaN
    lengths = end - start
    return together(
        zip(
            (start + begins * lengths)[met].tolist(),
            (start + ends * lengths)[met].tolist(),
            strict=True,
        )
    )


def length_s(spans: Spans) -> float:
    """Sum of lengths [s]."""
    return sum(end - start for start, end in spans)
