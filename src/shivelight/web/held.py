"""What pages hold between requests: by a key, for a while, in memory alone."""

import threading
from collections import OrderedDict
from typing import Generic, TypeVar

T = TypeVar("T")
MOST_HELD = 24
"""Results of jobs that are kept."""


class Held(Generic[T]):
    """Things by their keys; those not asked for longest go first.

    Parameters
    ----------
    most : int
        How many are kept.
    """

    def __init__(self, most: int = MOST_HELD) -> None:
        self._held: OrderedDict[str, T] = OrderedDict()
        self._lock = threading.Lock()
        self._most = most

    def keep(self, key: str, value: T) -> None:
        """Keep a thing."""
        with self._lock:
            self._held[key] = value
            self._held.move_to_end(key)
            while len(self._held) > self._most:
                self._held.popitem(last=False)

    def get(self, key: str) -> T | None:
        """Give a thing; None where there is none, or it is long gone."""
        with self._lock:
            if key in self._held:
                self._held.move_to_end(key)
            return self._held.get(key)

    def take(self, key: str) -> T | None:
        """Take a thing out, so that it is given once; None where there is none."""
        with self._lock:
            return self._held.pop(key, None)
