"""Longest unbroken runs of yes, counted by a compiled loop: it is asked of every wish."""

import numpy as np

from shivelight.basis.arrays import BoolArray, IntArray, kernel


@kernel
def _longest_run_kernel(holds: BoolArray, longest: IntArray) -> None:
    for row in range(holds.shape[0]):
        best = 0
        run = 0
        for step in range(holds.shape[1]):
            if holds[row, step]:
                run += 1
                best = max(best, run)
            else:
                run = 0
        longest[row] = best


def longest_run(holds: BoolArray) -> IntArray:
    """Count the longest unbroken run of True in each row.

    Parameters
    ----------
    holds : ndarray of bool, shape (M, S)
        Whether something holds, by member and instant; any layout in memory.

    Returns
    -------
    ndarray of int64, shape (M,)
        In steps.
    """
    longest = np.empty(holds.shape[0], dtype=np.int64)
    _longest_run_kernel(np.ascontiguousarray(holds), longest)
    return longest
