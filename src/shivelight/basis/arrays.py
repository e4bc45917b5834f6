"""Array types and the one decorator for compiled loops."""

from collections.abc import Callable
from typing import Any, TypeAlias, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

FloatArray: TypeAlias = NDArray[np.float64]
"""Array of float64; NaN means "no data"."""
BoolArray: TypeAlias = NDArray[np.bool_]
IntArray: TypeAlias = NDArray[np.int64]
UtcArray: TypeAlias = NDArray[np.datetime64]
"""Array of ``datetime64`` instants in UTC."""

F = TypeVar("F", bound=Callable[..., Any])


def kernel(function: F) -> F:
    """Compile a numeric loop with Numba: cached on disk, lets go of the GIL, never fastmath.

    Fast maths is refused because it may treat NaN, our "no data", as a number. Every kernel
    has a slow, obvious twin in ``tests/plain``. With ``NUMBA_DISABLE_JIT=1`` the plain Python
    function is returned by Numba itself, so that coverage sees inside.
    """
    import numba  # noqa: PLC0415  rooms that only need array types must not pay for Numba

    return cast("F", numba.njit(cache=True, nogil=True, fastmath=False)(function))
