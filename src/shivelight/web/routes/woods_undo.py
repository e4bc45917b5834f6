"""How things done to woods are taken back: kept here as they were, told to nobody."""

import secrets
import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, fields
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
        self._kept: OrderedDict[str, _Step] = OrderedDict()
        self._lock = threading.Lock()

    def keep(self, step: "_Step") -> str:
        """Keep a step, and give its name."""
        name = secrets.token_urlsafe(12)
        with self._lock:
            self._kept[name] = step
            while len(self._kept) > MOST_KEPT:
                self._kept.popitem(last=False)
        return name

    def take(self, name: str, book: str) -> "_Step":
        """Take a step out.

        Raises
        ------
        NotFoundError
            If it is not there, was taken back before, or belongs to another book.
        """
        with self._lock:
            if name not in self._kept or self._kept[name].book != book:
                raise NotFoundError(
                    "That can no longer be taken back: it was already, or it belongs to another "
                    "book, or shivelight was started anew since. The book stands as the page "
                    "shows it."
                )
            return self._kept.pop(name)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Step:
    """One step that can be taken back, in which book, and where to go afterwards."""

    back: Back
    then: str
    book: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BookStash:
    """The running app's stash, for the book that is open."""

    stash: Stash
    book: str

    def keep(self, back: Back, then: str) -> Undo:
        """Keep a step, and write the form that takes it back and goes to ``then``."""
        name = self.stash.keep(_Step(back=back, then=then, book=self.book))
        return Undo(path="/wood/undo", boxes={"undo": name})

    def take(self, name: str) -> _Step:
        """Take a step of this book out."""
        return self.stash.take(name, self.book)


def stash_of(request: Request) -> BookStash:
    """Get the running app's stash."""
    state = request.app.state
    if not hasattr(state, "woods_stash"):
        state.woods_stash = Stash()
    return BookStash(stash=state.woods_stash, book=house_of(request).settings.book)


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
    step = stash_of(request).take(typed.get("undo", ""))
    with house_of(request).bench() as bench:
        words = step.back(bench)
    return go(request, step.then, words)
