"""Spans of time as pairs of seconds from one instant: joining, cutting, finding."""

import math
from collections.abc import Iterable
from itertools import pairwise

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
    samples = zip(at_s.tolist(), values.tolist(), strict=True)
    found = []
    for (start, first), (end, last) in pairwise(samples):
        if first == last or math.isnan(first + last):
            if low <= first <= high and low <= last <= high:
                found.append((start, end))
            continue
        ends = sorted((limit - first) / (last - first) for limit in (low, high))
        part = (max(ends[0], 0.0), min(ends[1], 1.0))
        if part[0] < part[1]:
            found.append((start + part[0] * (end - start), start + part[1] * (end - start)))
    return together(found)


def length_s(spans: Spans) -> float:
    """Sum of lengths [s]."""
    return sum(end - start for start, end in spans)
