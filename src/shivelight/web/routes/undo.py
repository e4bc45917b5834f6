"""How things done on a page are taken back: kept here as they were, told to nobody."""

import secrets
from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias, TypeVar

from fastapi import APIRouter, Request, Response

from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.web.forms import Typed, go, writes
from shivelight.web.house import House, Undo
from shivelight.web.show import house_of
from shivelight.workbench.bench import Workbench

T = TypeVar("T")
router = APIRouter()
Back: TypeAlias = Callable[[Workbench], str]
"""Takes one thing back and says so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Step:
    """One step that can be taken back, in which book, and where to go afterwards."""

    back: Back
    then: str
    book: str


def undo_by(request: Request, back: Back, then: str) -> Undo:
    """Keep a step under a name that nobody can guess, and write the form that takes it back.

    Parameters
    ----------
    request : Request
        Of the form.
    back : callable
        Takes the step back.
    then : str
        Where to go afterwards.
    """
    house, name = house_of(request), secrets.token_urlsafe(12)
    house.steps.keep(name, _Step(back=back, then=then, book=house.settings.book))
    return Undo(path="/wood/undo", boxes={"undo": name})


def unless_changed(
    read: Callable[[Workbench], T],
    after: T,
    write: Callable[[Workbench], object],
    *,
    refusal: str,
    words: str,
) -> Back:
    """Make a step that puts a thing back as it was, unless it was changed again since.

    Parameters
    ----------
    read : callable
        Gives the thing as the book has it.
    after : object
        What it was made by the step that is taken back.
    write : callable
        Puts it back.
    refusal, words : str
        What is said where it was changed again, and where it is back.
    """

    def back(bench: Workbench) -> str:
        if read(bench) != after:
            raise BadInputError(refusal)
        write(bench)
        return words

    return back


@router.post("/wood/undo", **writes(more=("undo",)))
def undo(request: Request, typed: Typed) -> Response:
    """Take the last thing back."""
    house = house_of(request)
    step = _taken(house, typed.get("undo", ""))
    with house.bench() as bench:
        words = step.back(bench)
    return go(request, step.then, words)


def _taken(house: House, name: str) -> _Step:
    """Take a step out, once, and only over the book that it belongs to."""
    step = house.steps.get(name)
    if isinstance(step, _Step) and step.book == house.settings.book and house.steps.take(name):
        return step
    raise NotFoundError(
        "That can no longer be taken back: it was already, or it belongs to another book, or "
        "shivelight was started anew since. The book stands as the page shows it."
    )
