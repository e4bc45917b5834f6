"""Spots: the list, and one spot with its light, its year, its past and its pictures."""

from fastapi import APIRouter, Request, Response

from shivelight.basis.errors import BadInputError
from shivelight.outing.spots import SpotState
from shivelight.web.contexts.spot import SpotFound, SpotPage, spot_page
from shivelight.web.contexts.spots import STATES, spots_page
from shivelight.web.forms import Typed, go, writes
from shivelight.web.routes import spots_edit, spots_new, spots_pictures, spots_skyline
from shivelight.web.routes.spots_undo import put_back
from shivelight.web.show import house_of, link, show
from shivelight.workbench import read
from shivelight.workbench.bench import Workbench
from shivelight.workbench.figures import FIRST_YEAR, LAST_YEAR

router = APIRouter()
for _room in (spots_edit, spots_new, spots_pictures, spots_skyline):
    router.include_router(_room.router)
DONE = {
    SpotState.WAITING: "is waiting again",
    SpotState.MADE: "is marked as made",
    SpotState.LOST: "is marked as lost; its history stays",
}


@router.get("/spots")
def spots(request: Request, state: str = "") -> Response:
    """Show all spots by wood, or those of one state."""
    if state and state not in STATES:
        raise BadInputError(f"The state {state!r} is not one of: {', '.join(STATES)}.")
    with house_of(request).bench() as bench:
        page = spots_page(bench.woods(), bench.week(), state=state)
    return show(request, "spots.html.j2", page, title="Spots")


@router.get("/spot")
def spot(request: Request, name: str, day: str = "", year: str = "") -> Response:
    """Show one spot, on a day and in a year."""
    with house_of(request).bench() as bench:
        page = _page(bench, name, day, year)
    return show(request, "spot.html.j2", page, title=page.name)


@router.post("/spot/state", **writes(more=("name", "state")))
def change_state(request: Request, typed: Typed) -> Response:
    """Say that a spot waits, is made, or is lost."""
    state = read.member(typed.get("state", ""), SpotState, what="state")
    with house_of(request).bench() as bench:
        before = bench.spot(typed.get("name", ""))
        after = bench.change_spot(before.name, state=state)
    undo = put_back(request, before, after)
    there = link("/spot", name=after.name)
    return go(request, there, f"{after.name} {DONE[state]}.", undo=undo)


@router.post("/spot/confirmed", **writes(more=("name",)))
def confirm(request: Request, typed: Typed) -> Response:
    """Say that somebody stood there today and its transits held."""
    with house_of(request).bench() as bench:
        before = bench.spot(typed.get("name", ""))
        after = bench.confirm_mark(before.name)
    there = link("/spot", name=after.name)
    words = f"{after.name} was stood at today, and its mark held."
    return go(request, there, words, undo=put_back(request, before, after))


def _page(bench: Workbench, name: str, day: str, year: str) -> SpotPage:
    known = bench.spot(name)
    wood = bench.wood_of(known)
    when = read.day(day, bench.today(wood)) if day else bench.next_morning()
    within(when.year)
    which = read.whole(year, what="year") if year else when.year
    found = SpotFound(
        spot=known,
        wood=wood,
        light=bench.light_on(known.name, when),
        roll=bench.light_figure(known.name, when),
        year=bench.spot_year(known.name, which, chosen=when),
        history=bench.spot_history(known.name),
        pictures=bench.pictures_of(known.name),
        notes=bench.season_notes(wood.name),
        today=bench.today(wood),
    )
    return spot_page(found, day=when, year=which)


def within(year: int) -> None:
    """Refuse a year that the ephemeris does not hold."""
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise BadInputError(
            f"The year {year} is not held; choose one from {FIRST_YEAR} to {LAST_YEAR}."
        )
