"""The overlap spelt out: one member, one instant, one wish at a time."""

import numpy as np

from shivelight.basis.arrays import BoolArray


def longest_run(holds: BoolArray) -> list[int]:
    """Longest run of True in each row, counted by hand."""
    longest = []
    for row in holds:
        best = run = 0
        for one in row:
            run = run + 1 if one else 0
            best = max(best, run)
        longest.append(best)
    return longest


def chance(musts: list[BoolArray], *, needed: int) -> float:
    """Share of members in which all musts hold for so many instants in a row."""
    members, instants = musts[0].shape
    met = 0
    for member in range(members):
        together = [all(must[member, step] for must in musts) for step in range(instants)]
        met += longest_run(np.array([together]))[0] >= needed
    return float(met / members)
