"""The photographer's own book and settings, also while the demo valley is being visited."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

from fastapi import Request

from shivelight.basis.errors import NotFoundError
from shivelight.web.house import House
from shivelight.web.show import visit_of
from shivelight.workbench.bench import Workbench
from shivelight.workbench.settings import Settings


class NotFromHereError(NotFoundError):
    """A page of this machine was asked for by another device; it is told as not there."""


def own_settings(house: House) -> Settings:
    """Give the settings of the photographer's own book."""
    return house.settings if house.own is None else house.own[0]


@contextmanager
def own_bench(house: House) -> Iterator[Workbench]:
    """Open the workbench over the photographer's own book."""
    settings, now_utc = house.own or (house.settings, house.now_utc)
    with Workbench.open(settings, create=True, now=now_utc) as bench:
        yield bench


def keep_settings(house: House, made: Settings) -> None:
    """Go by other settings from now on; a visit to the demo goes on in its own book."""
    if house.own is not None:
        house.own = (made, house.own[1])
        made = replace(made, book=house.settings.book)
    house.settings = made


def is_here(request: Request) -> bool:
    """Whether the request comes from this machine."""
    visit = visit_of(request)
    return visit is not None and visit.is_here


def require_here(request: Request, what: str) -> None:
    """Refuse what other devices may not see.

    Raises
    ------
    NotFromHereError
        If another device asks.
    """
    if not is_here(request):
        raise NotFromHereError(
            f"{what} is shown on the machine that shivelight runs on, and on no other."
        )
