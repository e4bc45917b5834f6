"""How things done to woods are taken back: kept here as they were, told to nobody."""

import secrets
import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import fields
from typing import TypeAlias

from fastapi import APIRouter, Request, Response

from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.outing.woods import Wood
from shivelight.web.forms import Typed, go, writes
from shivelight.web.house import Undo
from shivelight.web.show import house_of, link
from shivelight.workbench.bench import Workbench

MOST_KEPT = 100
"""Steps that can be taken back at one time; the oldest go first."""
router = APIRouter()
Back: TypeAlias = Callable[[Workbench], str]
"""Takes one thing back and says so."""


class Stash:
    """Steps that can be taken back, each under a name that nobody can guess."""

    def __init__(self) -> None:
        self._kept: OrderedDict[str, tuple[Back, str]] = OrderedDict()
        self._lock = threading.Lock()

    def keep(self, back: Back, then: str) -> Undo:
        """Keep a step, and write the form that takes it back and goes to ``then``."""
        name = secrets.token_urlsafe(12)
        with self._lock:
            self._kept[name] = back, then
            while len(self._kept) > MOST_KEPT:
                self._kept.popitem(last=False)
        return Undo(path="/wood/undo", boxes={"undo": name})

    def take(self, name: str) -> tuple[Back, str]:
        """Take a step out.

        Raises
        ------
        NotFoundError
            If it is not there, or was taken back before.
        """
        with self._lock:
            if name not in self._kept:
                raise NotFoundError(
                    "That can no longer be taken back: it was already, or shivelight was started "
                    "anew since. The book stands as the page shows it."
                )
            return self._kept.pop(name)


def stash_of(request: Request) -> Stash:
    """Get the running app's stash."""
    state = request.app.state
    if not hasattr(state, "woods_stash"):
        state.woods_stash = Stash()
    stash: Stash = state.woods_stash
    return stash


def put_back(request: Request, before: Wood, after: Wood) -> Undo:
    """Write the form that makes a wood again what it was before a change."""

    def back(bench: Workbench) -> str:
        if bench.wood(before.name).wood != after:
            raise BadInputError(
                f"{before.name} was changed again since, so nothing was taken back; change it "
                "by hand."
            )
        bench.change_wood(
            before.name,
            **{
                one.name: getattr(before, one.name) for one in fields(before) if one.name != "name"
            },
        )
        return f"{before.name} is as it was."

    return stash_of(request).keep(back, link("/wood", name=before.name))


@router.post("/wood/undo", **writes(more=("undo",)))
def undo(request: Request, typed: Typed) -> Response:
    """Take the last thing back."""
    back, then = stash_of(request).take(typed.get("undo", ""))
    with house_of(request).bench() as bench:
        words = back(bench)
    return go(request, then, words)
