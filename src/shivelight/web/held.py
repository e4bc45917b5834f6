"""What jobs have worked out and pages show: by a key, for a while, in memory alone."""

import threading
from collections import OrderedDict
from typing import Any

from fastapi import Request

MOST_HELD = 24
"""Results that are kept; those not asked for longest go first."""


class Held:
    """Results of jobs, by their keys."""

    def __init__(self) -> None:
        self._held: OrderedDict[str, Any] = OrderedDict()
        self._lock = threading.Lock()

    def keep(self, key: str, value: Any) -> None:
        """Keep a result."""
        with self._lock:
            self._held[key] = value
            self._held.move_to_end(key)
            while len(self._held) > MOST_HELD:
                self._held.popitem(last=False)

    def get(self, key: str) -> Any:
        """Give a result; None where there is none, or it is long gone."""
        with self._lock:
            if key in self._held:
                self._held.move_to_end(key)
            return self._held.get(key)


def held_of(request: Request) -> Held:
    """Results that the app holds."""
    state = request.app.state
    if not hasattr(state, "held"):
        state.held = Held()
    held: Held = state.held
    return held
